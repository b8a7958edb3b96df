"""Paper sizes and margins of everything we print.

Sizes: A4 from ISO 216, Letter 8.5 x 11 in. Office printers leave 4 to 6.7 mm unprinted at the edge
and inkjets most at the foot (printer manuals), so nothing is drawn within 10 mm of any edge.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from reportlab.pdfgen.canvas import Canvas

from designer.drawing.fonts import BOLD, POINTS_PER_MM, REGULAR, register_fonts

__all__ = [
    "A4",
    "BOLD",
    "LETTER",
    "MARGIN",
    "PAPERS",
    "POINTS_PER_MM",
    "REGULAR",
    "Paper",
    "PaperName",
    "register_fonts",
    "start_canvas",
]

MARGIN = 10.0
"""Clear edge on every side, mm."""


@dataclass(frozen=True)
class Paper:
    """A sheet of paper as it is held: ``width`` and ``height`` in mm."""

    name: str
    width: float
    height: float

    @property
    def turned(self) -> Paper:
        """The same sheet held the other way."""
        return replace(self, width=self.height, height=self.width)


A4 = Paper("A4", 210.0, 297.0)
LETTER = Paper("Letter", 215.9, 279.4)

PaperName = Literal["a4", "letter"]
PAPERS: dict[PaperName, Paper] = {"a4": A4, "letter": LETTER}


def start_canvas(title: str) -> Canvas:
    """An empty canvas in memory with our fonts that asks viewers to print at 100 %.

    /PrintScaling /None (ISO 32000-1, 12.2) only sets what the print dialog proposes, so pages drawn
    to scale must still say so in words. The same pages give the same bytes.
    """
    register_fonts()
    canvas = Canvas("", initialFontName=REGULAR, lang="en", invariant=1)
    canvas.setTitle(title)
    canvas.setViewerPreference("PrintScaling", "None")
    canvas.setViewerPreference("DisplayDocTitle", "true")
    return canvas
