"""The lid of a bucket: holes for plant and feed tube, set out from the rim on the outlet side.

Only the part about the holes is printed, up to the rim: an arc as round as the rim finds the
lid's middle by itself.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from designer.layout.lid import LidHoles
from designer.sheet.pen import CHAIN, WIDE, Pen, fitted
from designer.sheet.template import Template
from designer.sheet.template_flat import FlatTemplate, flat_template
from designer.sheet.template_page import Heading
from designer.sheet.template_words import TEXT, Spot, WordsOnLines, around
from designer.sheet.words import count_of, diameter, length
from designer.units import UnitSystem

LEAST_HALF_WIDTH = 75.0
"""Half of the paper's width, mm: enough of the rim to set the middle out from."""

_BESIDE = 14.0
_LEAN = 28.0
_BELOW = 8.0
_FEED_CROSS = 5.0
_STEP = 3.6


@dataclass(frozen=True)
class LidSheet:
    """The lid of one kind of bucket under one crop. `crop` is the crop's name. Raises ValueError,
    beginning with the title, when the holes do not fit."""

    title: str
    rim_diameter: float
    plants: int
    plant_diameter: float
    feed_diameter: float
    note: str
    used_on: str

    def __post_init__(self) -> None:
        try:
            LidHoles(self.rim_diameter, self.plants, self.plant_diameter, self.feed_diameter)
        except ValueError as error:
            raise ValueError(f"{self.title}: {str(error)[:1].lower()}{str(error)[1:]}") from error

    @property
    def holes(self) -> LidHoles:
        return LidHoles(self.rim_diameter, self.plants, self.plant_diameter, self.feed_diameter)

    @property
    def half_width(self) -> float:
        """From the line to the outlet to the paper's right edge, mm."""
        reach = max(abs(x) for x, _ in self.holes.plant_places) + self.plant_diameter / 2 + _BESIDE
        return min(max(reach, LEAST_HALF_WIDTH), self.rim_diameter / 2 * 0.97)

    @property
    def below(self) -> float:
        """From the lid's middle down to the paper's lower edge, mm."""
        lowest = min(y for _, y in self.holes.plant_places) - self.plant_diameter / 2
        return min(_BELOW - lowest, self.rim_diameter / 2)

    @property
    def size(self) -> tuple[float, float]:
        """Width and height of the paper, mm."""
        return self.middle[0] + self.half_width, self.below + self.rim_diameter / 2

    @property
    def middle(self) -> tuple[float, float]:
        """The lid's middle on the paper. Paper for several plants is too wide for one page: it is
        wider on the left, so that two pages are not joined through the feed tube's hole."""
        left = self.half_width
        if self.plants > 1:
            left = min(left + _LEAN, self.rim_diameter / 2 * 0.97)
        return left, self.below

    def rim_at(self, across: float) -> float:
        """How far above the lid's middle the rim lies, so far to the side of it, mm."""
        return math.sqrt((self.rim_diameter / 2) ** 2 - across**2)


def lid_template(sheet: LidSheet, units: UnitSystem, buckets: Iterable[str] = ()) -> Template:
    """The lid as a template, for the buckets of these ids."""

    def lines(pen: Pen) -> None:
        _draw_lines(pen, sheet)

    def draw(pen: Pen) -> None:
        lines(pen)
        _draw_words(WordsOnLines(pen, lines), sheet, units)

    return flat_template(
        FlatTemplate(
            "lid", sheet.title, _heading(sheet, units), *sheet.size, draw, frozenset(buckets)
        )
    )


def _heading(sheet: LidSheet, units: UnitSystem) -> Heading:
    plants = count_of(sheet.plants, "plant")
    return Heading(
        sheet.title,
        f"Drill template, full size, for buckets with a lid. For: {sheet.used_on}, "
        f"{plants} in each.",
        (
            (
                "Measure across your bucket's rim first: the curved edge fits "
                f"{length(sheet.rim_diameter, units)}. Put the lid on and mark the outlet's side."
            ),
            (
                "Cut out along the outline. Lay the curved edge on the rim, its middle at the "
                "outlet, and tape it flat. The lid's middle is then where the lines cross."
            ),
            "Punch the crosses through the paper. Take the lid off to drill it, on scrap wood.",
            "Deburr the holes, so that no edge cuts the stem or the tube.",
        ),
        sheet.note,
    )


def _draw_lines(pen: Pen, sheet: LidSheet) -> None:
    (x, y), (width, height), radius = sheet.middle, sheet.size, sheet.rim_diameter / 2
    right, left = (math.degrees(math.asin(side / radius)) for side in (width - x, x))
    pen.arc(x, y, radius, 90 - right, right + left, WIDE)
    shoulders = y + sheet.rim_at(x), y + sheet.rim_at(width - x)
    pen.chain([(0, shoulders[0]), (0, 0), (width, 0), (width, shoulders[1])])
    pen.line(x, 0, x, height, dash=CHAIN)
    pen.line(0, y, width, y, dash=CHAIN)
    holes = sheet.holes
    for px, py in holes.plant_places:
        pen.circle(x + px, y + py, sheet.plant_diameter / 2, WIDE)
        pen.cross(x + px, y + py, 6.0)
    fx, fy = holes.feed_place
    pen.circle(x + fx, y + fy, sheet.feed_diameter / 2, WIDE)
    pen.cross(x + fx, y + fy, _FEED_CROSS)
    tip = y + radius - 2.0
    pen.chain([(x - 1.2, tip - 3.5), (x, tip), (x + 1.2, tip - 3.5)])


def _draw_words(words: WordsOnLines, sheet: LidSheet, units: UnitSystem) -> None:
    x, y = sheet.middle
    size = length(sheet.plant_diameter, units)
    for px, py in sheet.holes.plant_places:
        words.draw(f"plant: {size}", around(x + px, y + py, sheet.plant_diameter / 2))
    fx, fy = sheet.holes.feed_place
    feed = f"feed tube: {diameter(sheet.feed_diameter, units)}"
    words.draw(feed, around(x + fx, y + fy, max(sheet.feed_diameter / 2, _FEED_CROSS)))
    # The arc falls away to the sides; words of 45 mm stay under it.
    under = y + sheet.rim_at(min(45.0, sheet.half_width)) - 5.0
    for i, line in enumerate(("outlet side", "curved edge on the rim")):
        beside = [Spot(x + 3.0, under - i * _STEP), Spot(x - 3.0, under - i * _STEP, "right")]
        words.draw(line, beside, bold=not i)
    middle = [Spot(2.0 + left, y + 1.5) for left in (1.0, x, x / 2)]
    words.draw("middle line", middle, needed=False)
    _draw_name(words, sheet)


def _draw_name(words: WordsOnLines, sheet: LidSheet) -> None:
    """What the paper is and for which buckets, on the left below the rim."""
    x, y = sheet.middle
    top = y + sheet.rim_at(x) - 6.0
    for i, line in enumerate((sheet.title, sheet.used_on)):
        shown, size = fitted(line, TEXT, x - 6.0)
        spots = [Spot(3.0, top - down - i * _STEP) for down in range(0, int(top), 8)]
        words.draw(shown, spots, size, needed=False)
