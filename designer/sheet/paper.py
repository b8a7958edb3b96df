"""Paper sizes and margins of everything we print.

Sizes: A4 and A3 from ISO 216, Letter 8.5 x 11 in, Tabloid 11 x 17 in. Office printers leave 4 to
6.7 mm unprinted at the edge and inkjets most at the foot (printer manuals), so nothing is drawn
within 10 mm of any edge.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from reportlab import rl_config
from reportlab.pdfgen.canvas import Canvas

from designer.drawing.fonts import BOLD, POINTS_PER_MM, REGULAR, register_fonts
from designer.units import MM_PER_INCH, LengthError, parse_length

__all__ = [
    "A3",
    "A4",
    "BOLD",
    "LETTER",
    "MARGIN",
    "PAPERS",
    "POINTS_PER_MM",
    "REGULAR",
    "ROLLS",
    "TABLOID",
    "Paper",
    "PaperName",
    "paper_named",
    "register_fonts",
    "roll",
    "start_canvas",
]

MARGIN = 10.0
"""Clear edge on every side, mm."""

LONGEST = 5000.0
"""Longest page, mm. A page of a PDF is at most 14,400 points long, 5.08 m (ISO 32000-1, annex C);
the unit that would lift this is not read by every viewer."""

_LEAST_ROLL, _MOST_ROLL = 280.0, 2000.0


@dataclass(frozen=True)
class Paper:
    """A sheet of paper as it is held: ``width`` and ``height`` in mm.

    Of a ``roll``, one is its width and the other the longest page that is cut from it.
    """

    name: str
    width: float
    height: float
    roll: bool = False

    @property
    def turned(self) -> Paper:
        """The same sheet held the other way."""
        return replace(self, width=self.height, height=self.width)


A4 = Paper("A4", 210.0, 297.0)
A3 = Paper("A3", 297.0, 420.0)
LETTER = Paper("Letter", 215.9, 279.4)
TABLOID = Paper("Tabloid", 279.4, 431.8)

PaperName = Literal["a4", "letter", "a3", "tabloid"]
PAPERS: dict[PaperName, Paper] = {"a4": A4, "letter": LETTER, "a3": A3, "tabloid": TABLOID}


def roll(width: float) -> Paper:
    """Paper from a roll ``width`` mm wide. Raises ValueError, in words, for a width that no roll
    for templates has."""
    if not _LEAST_ROLL <= width <= _MOST_ROLL:
        raise ValueError(
            f"A roll for templates is {_LEAST_ROLL:.0f} to {_MOST_ROLL:.0f} mm (11 to 78 in) wide, "
            f"not {width:.0f} mm."
        )
    inches = width / MM_PER_INCH
    known = f" ({inches:.0f} in)" if abs(inches - round(inches)) * MM_PER_INCH < 1.0 else ""
    return Paper(f"Roll {width:.0f} mm{known}", width, LONGEST, roll=True)


ROLLS: dict[str, Paper] = {f"roll-{width}": roll(width) for width in (610, 914)}
"""The usual rolls, 24 and 36 in."""


def paper_named(name: str) -> Paper:
    """The paper of a name such as "a3", "roll-610" or "roll-24in"; a roll's bare number is mm.

    Raises ValueError, in words for the person.
    """
    key = name.strip().lower()
    for known, paper in (*PAPERS.items(), *ROLLS.items()):
        if key == known:
            return paper
    if key.startswith("roll"):
        try:
            width = parse_length(key.removeprefix("roll").strip(" -"), "metric")
        except LengthError as error:
            raise ValueError(f"How wide is the roll {name!r}? {error}") from error
        return roll(width)
    raise ValueError(
        f"There is no paper {name!r}; choose one of {', '.join(PAPERS)}, or a roll such as "
        "roll-610 or roll-24in."
    )


def start_canvas(title: str) -> Canvas:
    """An empty canvas in memory with our fonts that asks viewers to print at 100 %.

    /PrintScaling /None (ISO 32000-1, 12.2) only sets what the print dialog proposes, so pages drawn
    to scale must still say so in words. The same pages give the same bytes.
    """
    register_fonts()
    # Pages stay bytes: written as letters (ASCII85) they would be a quarter larger.
    rl_config.useA85 = 0
    canvas = Canvas("", initialFontName=REGULAR, lang="en", invariant=1, pdfVersion=(1, 7))
    canvas.setTitle(title)
    canvas.setViewerPreference("PrintScaling", "None")
    canvas.setViewerPreference("DisplayDocTitle", "true")
    return canvas
