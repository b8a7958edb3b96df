"""The collar round the drain: wraps once round the pipe, so its edges stand square to the pipe.

With the crown line of the paper on a line drawn along the pipe, every hole comes out on one line
and square. The hole is drawn as it lies flat: a saw's round hole is longer round the pipe.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from designer.layout.saddle import Saddle
from designer.sheet.pen import CHAIN, WIDE, Pen
from designer.sheet.template import Template
from designer.sheet.template_flat import FlatTemplate, flat_template
from designer.sheet.template_page import Heading
from designer.sheet.words import diameter, length
from designer.units import UnitSystem

BESIDE_HOLE = 25.0
"""Paper on each side of the hole along the pipe, mm: enough to stand square."""

_TEXT = 8.0
_CROSS = 6.0


@dataclass(frozen=True)
class PipeCollar:
    """One hole on the crown of a pipe; diameters outside, mm. `hole_saw` is ready text. Raises
    ValueError when the hole has no size or is as wide as the pipe."""

    title: str
    pipe_diameter: float
    hole_diameter: float
    hole_saw: str
    note: str
    used_on: str

    def __post_init__(self) -> None:
        if not self.hole_diameter > 0:
            raise ValueError(f"{self.title}: the hole needs a diameter.")
        if not self.hole_diameter < self.pipe_diameter:
            raise ValueError(f"{self.title}: the hole is as wide as the pipe.")

    @property
    def wrap(self) -> float:
        """Once round the pipe, mm: the paper's width."""
        return math.pi * self.pipe_diameter

    @property
    def length(self) -> float:
        """Along the pipe, mm: the paper's height. The hole's centre lies half way."""
        return self.hole_diameter + 2 * BESIDE_HOLE


def wrap_template(collar: PipeCollar, units: UnitSystem, buckets: Iterable[str] = ()) -> Template:
    """The collar as a template, for the buckets of these ids."""

    def draw(pen: Pen) -> None:
        _draw(pen, collar, units)

    return flat_template(
        FlatTemplate(
            "drain_collar",
            collar.title,
            _heading(collar, units),
            collar.wrap,
            collar.length,
            draw,
            frozenset(buckets),
        )
    )


def _heading(collar: PipeCollar, units: UnitSystem) -> Heading:
    across = diameter(collar.pipe_diameter, units)
    return Heading(
        collar.title,
        f"Drill template, full size. Pipe {across} outside. For: {collar.used_on}. "
        f"Hole saw: {collar.hole_saw}.",
        (
            (
                "Cut out along the outline. Wrap it round the pipe: the ends meet edge to edge, "
                "and the long edges then stand square to the pipe."
            ),
            (
                "Draw one line along the crown of the pipe. Slide the collar to each station of "
                "the hole schedule, its crown line on that line."
            ),
            "Punch the centre of the cross through the paper, and slide on to the next.",
            "Drill the pilot hole, then the hole saw, straight at the pipe's middle. Deburr.",
        ),
        collar.note,
    )


def _draw(pen: Pen, collar: PipeCollar, units: UnitSystem) -> None:
    width, height = collar.wrap, collar.length
    x, y = width / 2, height / 2
    pen.chain([(0, 0), (width, 0), (width, height), (0, height)], close=True)
    for quarter in (1, 2, 3):
        pen.line(width * quarter / 4, 0, width * quarter / 4, height, dash=CHAIN)
    outline = Saddle(collar.pipe_diameter, collar.hole_diameter).hole_outline()
    pen.chain([(x + across, y + along) for across, along in outline], WIDE, close=True)
    pen.cross(x, y, min(_CROSS, collar.hole_diameter / 2 - 1.0))
    top = height - 5.0
    pen.text(x + 1.5, top, "crown line", _TEXT, bold=True)
    pen.text(x + 1.5, 2.5, f"{length(height / 2, units)} to the centre", _TEXT)
    pen.text(width / 4 + 1.5, top, "side", _TEXT)
    pen.text(width * 3 / 4 + 1.5, top, "side", _TEXT)
    pen.text(1.5, top, "ends meet", _TEXT)
    pen.text(width - 1.5, top, "ends meet", _TEXT, align="right")
