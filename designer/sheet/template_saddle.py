"""The saddle: how a pipe is cut to sit on the crown of another, and the hole that it leaves there.

The tails of a bed hang free in sawn holes and are cut square. This template is for a grower who
seats them on the drain, or who cuts the hole by hand.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from designer.layout.saddle import Saddle
from designer.sheet.pen import CHAIN, WIDE, Pen
from designer.sheet.template import Template
from designer.sheet.template_flat import FlatTemplate, flat_template
from designer.sheet.template_page import Heading
from designer.sheet.words import diameter
from designer.units import UnitSystem

SLEEVE = 45.0
"""Paper above the cut, mm: enough to stand square on the pipe."""
GAP = 25.0
"""Between the two outlines, mm."""

_MARGIN = 14.0
_SIDE_BY_SIDE = 165.0
_TEXT = 8.0
_CAUTION = "Eye protection on, work clamped. Saw outside the line, then file. (common practice)"


@dataclass(frozen=True)
class SaddleSheet:
    """A branch on a main pipe, with their names. Raises ValueError, beginning with the title, when
    the branch is as wide as the main."""

    title: str
    main_name: str
    main_diameter: float
    branch_name: str
    branch_diameter: float
    used_on: str
    note: str = ""

    def __post_init__(self) -> None:
        if not 0 < self.branch_diameter < self.main_diameter:
            raise ValueError(f"{self.title}: the pipe is as wide as the one it should stand on.")

    @property
    def saddle(self) -> Saddle:
        return Saddle(self.main_diameter, self.branch_diameter)

    @property
    def wrap_height(self) -> float:
        """Of the paper round the branch, mm."""
        return self.saddle.deepest + SLEEVE

    @property
    def hole_width(self) -> float:
        """Of the hole as it lies flat, round the main, mm."""
        return 2 * max(x for x, _ in self.saddle.hole_outline())

    @property
    def patch_size(self) -> tuple[float, float]:
        """Width and height of the paper with the hole, mm."""
        return self.hole_width + 2 * _MARGIN, self.branch_diameter + 2 * _MARGIN

    @property
    def patch_corner(self) -> tuple[float, float]:
        """Where that paper lies from the wrap's lower left corner, mm: beside the wrap, or above
        it where both are too wide for an upright page."""
        beside = self.saddle.wrap + GAP
        if beside + self.patch_size[0] <= _SIDE_BY_SIDE:
            return beside, 0.0
        return 0.0, self.wrap_height + GAP

    @property
    def size(self) -> tuple[float, float]:
        """Width and height of both outlines together, mm."""
        (width, height), (x, y) = self.patch_size, self.patch_corner
        return max(self.saddle.wrap, x + width), max(self.wrap_height, y + height)


def saddle_template(sheet: SaddleSheet, units: UnitSystem, buckets: Iterable[str] = ()) -> Template:
    """The saddle as a template, for the buckets of these ids."""

    def draw(pen: Pen) -> None:
        _draw_wrap(pen, sheet)
        _draw_hole(pen, sheet)

    return flat_template(
        FlatTemplate(
            "saddle",
            sheet.title,
            _heading(sheet, units),
            *sheet.size,
            draw,
            frozenset(buckets),
        )
    )


def _heading(sheet: SaddleSheet, units: UnitSystem) -> Heading:
    deepest = sheet.saddle.deepest
    branch, main = (diameter(d, units) for d in (sheet.branch_diameter, sheet.main_diameter))
    return Heading(
        sheet.title,
        f"Cutting template, full size. {sheet.branch_name} ({branch} outside) on "
        f"{sheet.main_name} ({main} outside). For: {sheet.used_on}.",
        (
            (
                "Tails that hang free in a sawn hole are cut square and do not need this sheet. "
                "Use it to seat a tail on the drain."
            ),
            (
                "Cut out the outline with the curve, wrap it round the tail with its lower edge "
                f"on the tail's end, and cut along the curve: {diameter(deepest, units)} comes "
                "off at most."
            ),
            (
                "Cut out the outline with the hole, lay its crown line along the drain's crown, "
                "and mark the hole: the tail just passes through it."
            ),
            "Offer the tail up, its two long points at the sides of the drain, and file to fit.",
        ),
        sheet.note,
        _CAUTION,
    )


def _draw_wrap(pen: Pen, sheet: SaddleSheet) -> None:
    saddle, top = sheet.saddle, sheet.wrap_height
    width = saddle.wrap
    middle = width / 2
    pen.chain([(0, 0), (0, top), (width, top), (width, 0)])
    pen.line(0, 0, width, 0)
    pen.chain([(middle + x, y) for x, y in saddle.branch_outline()], WIDE)
    for quarter in (1, 2, 3):
        pen.line(width * quarter / 4, 0, width * quarter / 4, top, dash=CHAIN)
    above = saddle.deepest + 3.0
    for quarter, words in enumerate(("along the drain", "side", "along the drain", "side")):
        pen.text(width * quarter / 4 + 4.0, above, words, _TEXT, upright=True)


def _draw_hole(pen: Pen, sheet: SaddleSheet) -> None:
    (left, low), (width, height) = sheet.patch_corner, sheet.patch_size
    right, top = left + width, low + height
    x, y = left + width / 2, low + height / 2
    pen.chain([(left, low), (right, low), (right, top), (left, top)], close=True)
    pen.line(x, low, x, top, dash=CHAIN)
    pen.line(left, y, right, y, dash=CHAIN)
    outline = sheet.saddle.hole_outline()
    pen.chain([(x + across, y + along) for across, along in outline], WIDE, close=True)
    pen.text(x + 1.5, top - 4.0, "crown line", _TEXT)
