"""The collar round a whole bucket: its wall laid flat from the base to just above its holes.

It shows what a patch cannot: where holes stand round the bucket, a level line all the way round
and the four quarters. Its lower edge is the unrolled edge of the base, an arc; its two ends meet
about half way round from the outlet.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property

from designer.layout.unroll import Frustum, Point, Unrolling
from designer.sheet.pen import CHAIN, WIDE, Pen, fitted, text_width
from designer.sheet.template import Template
from designer.sheet.template_flat import FlatTemplate, flat_template
from designer.sheet.template_page import Heading
from designer.sheet.template_words import TEXT, Spot, WordsOnLines, around
from designer.sheet.words import length
from designer.units import UnitSystem

_ABOVE_HOLE = 22.0
_LABEL_STEP = 90.0
_LABEL = 70.0
_SEAM = (-0.92 * math.pi, 1.08 * math.pi)
"""Where the two ends lie, by angle from the outlet. Not just half way round: an even number of
pieces would be joined through the outlet's hole."""
_ARC_POINTS = 241


@dataclass(frozen=True)
class WallHole:
    """A hole in a bucket's wall: `angle` round from the outlet, rad, to the right as seen from
    outside; `height` of its centre above the base and `diameter`, mm; `words` stand beside it."""

    angle: float
    height: float
    diameter: float
    words: str


@dataclass(frozen=True)
class BucketCollar:
    """The wall of one kind of bucket with all its holes; lengths mm, diameters outside.

    Raises ValueError when the bucket is impossible, there is no hole, or a hole does not lie on
    its wall.
    """

    title: str
    bottom_diameter: float
    top_diameter: float
    height: float
    holes: tuple[WallHole, ...]
    note: str
    used_on: str

    def __post_init__(self) -> None:
        frustum = self.frustum
        if not self.holes:
            raise ValueError(f"{self.title}: there is no hole to mark.")
        for hole in self.holes:
            radius = hole.diameter / 2
            if not 0 < radius < hole.height < self.height - radius:
                raise ValueError(
                    f"{self.title}: a hole runs over the edge of the bucket; "
                    "choose another height for it."
                )
            if not hole.diameter < 2 * frustum.radius_at(hole.height):
                raise ValueError(f"{self.title}: a hole is wider than the bucket.")

    @property
    def frustum(self) -> Frustum:
        return Frustum(self.bottom_diameter, self.top_diameter, self.height)

    @property
    def top(self) -> float:
        """Height of the collar's upper edge above the base, mm."""
        above = max(hole.height + hole.diameter / 2 for hole in self.holes) + _ABOVE_HOLE
        return min(above, self.height)


@dataclass(frozen=True)
class CollarPlace:
    """The collar in the template's own mm: `left` and `bottom` are what lies at 0, 0."""

    collar: BucketCollar

    @cached_property
    def edges(self) -> list[Point]:
        """Both edges in the unrolling's own frame."""
        return [*self._level(0.0), *self._level(self.collar.top)]

    @property
    def size(self) -> Point:
        """Width and height of the whole collar, mm."""
        xs, ys = zip(*self.edges, strict=True)
        return max(xs) - min(xs), max(ys) - min(ys)

    def at(self, angle: float, height: float) -> Point:
        """Where a point of the wall lies, by angle from the outlet and height over the base."""
        x, y = self._flat.unroll(angle, height)
        left, bottom = self._corner
        return x - left, y - bottom

    def level(self, height: float) -> list[Point]:
        """The level line at a height, from one end to the other."""
        left, bottom = self._corner
        return [(x - left, y - bottom) for x, y in self._level(height)]

    @cached_property
    def _flat(self) -> Unrolling:
        return Unrolling(self.collar.frustum)

    @cached_property
    def _corner(self) -> Point:
        xs, ys = zip(*self.edges, strict=True)
        return min(xs), min(ys)

    def _level(self, height: float) -> list[Point]:
        steps = _ARC_POINTS - 1
        first, last = _SEAM
        turns = [first + (last - first) * i / steps for i in range(_ARC_POINTS)]
        return [self._flat.unroll(turn, height) for turn in turns]


def collar_template(
    collar: BucketCollar, units: UnitSystem, buckets: Iterable[str] = ()
) -> Template:
    """The collar as a template, for the buckets of these ids."""
    place = CollarPlace(collar)

    def lines(pen: Pen) -> None:
        _draw_lines(pen, place)

    def draw(pen: Pen) -> None:
        lines(pen)
        _draw_words(WordsOnLines(pen, lines), place, units)

    width, height = place.size
    return flat_template(
        FlatTemplate(
            "collar",
            collar.title,
            _heading(collar, units),
            width,
            height,
            draw,
            frozenset(buckets),
        )
    )


def _heading(collar: BucketCollar, units: UnitSystem) -> Heading:
    return Heading(
        collar.title,
        f"Drill template, full size. For: {collar.used_on}.",
        (
            (
                "Measure your bucket first. The collar fits one that is, outside, "
                f"{length(collar.bottom_diameter, units)} across the base, "
                f"{length(collar.top_diameter, units)} across the top and "
                f"{length(collar.height, units)} high."
            ),
            (
                "Join the sheets, cut out along the outline, and wrap the collar round the bucket "
                "with its curved edge on the bottom edge. Its two ends meet; if not, measure again."
            ),
            (
                "Prick holes and level line through the paper. Each level mark is as high as the "
                "outlet's centre."
            ),
            "Drill the pilot hole, then the hole saw, square to the wall. Deburr both sides.",
        ),
        collar.note,
    )


def _draw_lines(pen: Pen, place: CollarPlace) -> None:
    collar = place.collar
    pen.chain(place.level(0.0), WIDE)
    pen.chain(place.level(collar.top))
    for height in sorted({hole.height for hole in collar.holes}):
        pen.chain(place.level(height))
    for angle in (*_SEAM, *_QUARTERS):
        ends = (*place.at(angle, 0.0), *place.at(angle, collar.top))
        pen.line(*ends, dash=() if angle in _SEAM else CHAIN)
    for hole in collar.holes:
        x, y = place.at(hole.angle, hole.height)
        radius = hole.diameter / 2
        pen.circle(x, y, radius, WIDE)
        pen.cross(x, y, min(radius, 6.0) if radius > 3 else 4.0)


_QUARTERS = {
    -math.pi / 2: "quarter round",
    0.0: "outlet side",
    math.pi / 2: "quarter round",
    math.pi: "half way round",
}
"""The lines up the wall, by angle from the outlet."""


def _draw_words(words: WordsOnLines, place: CollarPlace, units: UnitSystem) -> None:
    collar = place.collar
    for hole in collar.holes:
        spots = around(*place.at(hole.angle, hole.height), hole.diameter / 2)
        words.draw(hole.words, sorted(spots, key=lambda spot: -spot.y))
    for angle, name in _QUARTERS.items():
        words.draw(name, _beside(place, angle, (-1, 1)))
    for angle, side in zip(_SEAM, (1, -1), strict=True):
        words.draw("ends meet", _beside(place, angle, (side,)), needed=False)
    heights = sorted({hole.height for hole in collar.holes})
    for angle in _label_angles(collar):
        _label(words, place, angle, 0.0, "bottom edge of the bucket")
        for height in heights:
            up = length(collar.frustum.along_wall(height), units)
            _label(words, place, angle, height, f"level line, {up} up the wall")
        _label(words, place, angle, collar.top, collar.title, below=True)


def _beside(place: CollarPlace, angle: float, sides: Sequence[int]) -> list[Spot]:
    """Spots beside a line up the wall, from the middle of the collar's height on."""
    spots = []
    for share in (0.3, 0.2, 0.4, 0.5, 0.1, 0.6, 0.7, 0.8, 0.9):
        x, y = place.at(angle, place.collar.top * share)
        spots += [Spot(x + side * 4.0, y, "left" if side > 0 else "right") for side in sides]
    return spots


def _label_angles(collar: BucketCollar) -> list[float]:
    """Angles at which lines carry their words: some between every two quarters."""
    girth = math.pi * 2 * collar.frustum.radius_at(collar.top / 2)
    count = 4 * max(1, int(girth / 4 // _LABEL_STEP))
    first, last = _SEAM
    return [first + (last - first) * (i + 0.5) / count for i in range(count)]


def _label(
    words: WordsOnLines,
    place: CollarPlace,
    angle: float,
    height: float,
    said: str,
    *,
    below: bool = False,
) -> None:
    """Words just above a level line, or below it, at this angle or near it."""
    shown, size = fitted(said, TEXT, _LABEL)
    reach = text_width(shown, size) / 2 + 1.0
    around_mm = place.collar.frustum.radius_at(height)
    level = place.level(height)
    spots = []
    for aside in (0.0, 14.0, -14.0, 28.0, -28.0, 42.0, -42.0):
        turn = angle + aside / around_mm
        if _SEAM[0] < turn < _SEAM[1]:
            x, y = place.at(turn, height)
            line = [ly for lx, ly in level if abs(lx - x) <= reach + 4.0] or [y]
            y = min(line) - 4.0 if below else max(line) + 1.8
            spots.append(Spot(x, y, "centre"))
    words.draw(shown, spots, size, needed=False)
