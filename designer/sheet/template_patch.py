"""The drill template of a bucket's outlet hole: a patch of the bucket's own wall laid flat.

Only the part of the wall about the hole is printed. Its lower edge is the unrolled edge of the
bucket's base, an arc, so the hole comes out square to the base. The hole is drawn as a plain
circle: on a tapered wall of 260 to 300 mm the true outline of a 28 mm hole is within 0.04 mm of it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import partial

from designer.layout.unroll import Frustum, Unrolling
from designer.sheet.pen import CHAIN, WIDE, Pen, fitted, wrapped
from designer.sheet.template import Numbering, Printing, Template, TemplatePage, TemplateSheet
from designer.sheet.template_page import (
    Area,
    Heading,
    begin_page,
    cut_from_roll,
    drawing_area,
    end_page,
)
from designer.sheet.words import length
from designer.units import MM_PER_INCH, UnitSystem

_LEAST_WIDTH = 120.0
_BESIDE_HOLE = 44.0
_ABOVE_HOLE = 22.0
_CROSS_INSET = 6.0
_CROSS_ARM = 3.0
_AIR = 6.0
_TEXT = 8.0
_STEP = 3.6


@dataclass(frozen=True)
class BucketPatch:
    """The outlet hole of one kind of bucket; lengths mm, diameters outside.

    ``hole_height`` is the level of the hole's centre above the base. ``hole_saw`` is ready text
    such as "25.4 mm (1 in)", ``used_on`` such as "Buckets A to H". Raises ValueError when the
    bucket is impossible or the hole does not lie on its wall.
    """

    title: str
    bottom_diameter: float
    top_diameter: float
    height: float
    hole_height: float
    hole_diameter: float
    hole_saw: str
    note: str
    used_on: str

    def __post_init__(self) -> None:
        frustum = self.frustum
        if not self.hole_diameter > 0:
            raise ValueError(f"{self.title}: the hole needs a diameter.")
        radius = self.hole_diameter / 2
        if not radius < self.hole_height < self.height - radius:
            raise ValueError(
                f"{self.title}: the hole runs over the edge of the bucket; "
                "choose another height for it."
            )
        if not self.hole_diameter < 2 * frustum.radius_at(self.hole_height):
            raise ValueError(f"{self.title}: the hole is wider than the bucket.")

    @property
    def frustum(self) -> Frustum:
        return Frustum(self.bottom_diameter, self.top_diameter, self.height)


@dataclass(frozen=True)
class PatchPlace:
    """Where the patch lies: hole centre on the page, reach about it, height of its lower edge.

    ``x``, ``y`` place the hole's centre in mm from the paper's lower left corner; ``half_width``,
    ``above`` and ``below`` are mm from it, ``below`` to the lower edge on the centre line.
    ``edge_height`` is how far up the wall the lower edge stands: 0 when it is the base line, more
    when the hole stands too high for one sheet.
    """

    x: float
    y: float
    half_width: float
    above: float
    below: float
    edge_height: float


def patch_heading(patch: BucketPatch, units: UnitSystem, edge_height: float = 0.0) -> Heading:
    """The words at the head of the patch's page."""
    if edge_height:
        line = f"a line drawn {length(edge_height, units)} up the wall from the base"
    else:
        line = "the bottom edge of the bucket"
    return Heading(
        patch.title,
        f"Drill template, full size. For: {patch.used_on}. Hole saw: {patch.hole_saw}.",
        (
            (
                "Measure your bucket first. The patch fits one that is, outside, "
                f"{length(patch.bottom_diameter, units)} across the base, "
                f"{length(patch.top_diameter, units)} across the top and "
                f"{length(patch.height, units)} high. Cut out along the outline."
            ),
            f"Wrap it round the bucket with its curved edge on {line}, and tape it flat.",
            "Punch the centre of the cross through the paper.",
            "Drill the pilot hole, then the hole saw, square to the wall. Deburr both sides.",
        ),
        patch.note,
    )


def place_patch(patch: BucketPatch, sheet: TemplateSheet, units: UnitSystem) -> PatchPlace:
    """The patch's place on ``sheet`` held upright."""
    area = drawing_area(sheet, patch_heading(patch, units))
    radius = patch.hole_diameter / 2
    girth = 2 * math.pi * min(patch.bottom_diameter, patch.top_diameter) / 2
    half_width = min(
        max(_LEAST_WIDTH / 2, radius + _BESIDE_HOLE), area.width / 2 - 1.0, girth / 2 * 0.9
    )
    above = radius + _ABOVE_HOLE
    below = patch.frustum.along_wall(patch.hole_height)
    edge_height = 0.0
    droop = _droop(patch, half_width)
    # One more line of heading may be needed for the raised edge's words.
    room = area.height - above - max(droop, 0.0) - _AIR
    if below > room:
        step = 10.0 if units == "metric" else MM_PER_INCH
        edge_height = math.ceil((below - room) / step) * step
        below -= edge_height
    slack = area.height - above - below - max(droop, 0.0)
    return PatchPlace(
        area.left + area.width / 2,
        area.top - above - slack / 2,
        half_width,
        above,
        below,
        edge_height,
    )


def patch_template(patch: BucketPatch, buckets: Iterable[str] = ()) -> Template:
    """The patch as a template, for the buckets of these ids."""
    return Template("outlet", patch.title, partial(_pages, patch), frozenset(buckets))


def _pages(patch: BucketPatch, printing: Printing) -> list[TemplatePage]:
    sheet, units = printing.sheet, printing.units
    if sheet.paper.roll:
        area = drawing_area(sheet, patch_heading(patch, units))
        place = place_patch(patch, sheet, units)
        needed = place.above + place.below + max(_droop(patch, place.half_width), 0.0) + _AIR
        sheet = cut_from_roll(sheet, area.height - needed)
    return [TemplatePage(sheet, partial(_draw_page, patch, sheet, units))]


def _draw_page(
    patch: BucketPatch, sheet: TemplateSheet, units: UnitSystem, pen: Pen, numbering: Numbering
) -> None:
    place = place_patch(patch, sheet, units)
    begin_page(pen, sheet, patch_heading(patch, units, place.edge_height))
    _draw_outline(pen, patch, place)
    _draw_hole(pen, patch, place)
    _draw_words(pen, patch, place, units)
    end_page(pen, sheet, patch.title, numbering)


def _lower_edge(patch: BucketPatch, place: PatchPlace, reach: float) -> list[tuple[float, float]]:
    """Points on the page of the lower edge, ``reach`` mm to each side of the centre line."""
    z = place.edge_height * patch.frustum.cos_half_angle
    flat = Unrolling(patch.frustum, patch.hole_height)
    return [(place.x + x, place.y + y) for x, y in flat.level_line(z, -reach, reach)]


def _droop(patch: BucketPatch, half_width: float) -> float:
    """How far the ends of the base line hang below its middle, mm."""
    points = Unrolling(patch.frustum).level_line(0.0, -half_width, half_width, 3)
    return points[1][1] - points[0][1]


def _draw_outline(pen: Pen, patch: BucketPatch, place: PatchPlace) -> None:
    edge = _lower_edge(patch, place, place.half_width)
    top = place.y + place.above
    left, right = edge[0], edge[-1]
    pen.chain([left, (left[0], top), (right[0], top), right])
    pen.chain(edge, WIDE)
    pen.line(place.x, place.y - place.below, place.x, top, dash=CHAIN)
    for x, low in (
        (place.x - place.half_width + _CROSS_INSET, left[1]),
        (place.x + place.half_width - _CROSS_INSET, right[1]),
    ):
        pen.cross(x, top - _CROSS_INSET, _CROSS_ARM)
        pen.cross(x, low + _CROSS_INSET, _CROSS_ARM)


def _draw_hole(pen: Pen, patch: BucketPatch, place: PatchPlace) -> None:
    radius = patch.hole_diameter / 2
    pen.circle(place.x, place.y, radius, WIDE)
    pen.cross(place.x, place.y, min(radius, 6.0) if radius > 3 else 4.0)


def _draw_words(pen: Pen, patch: BucketPatch, place: PatchPlace, units: UnitSystem) -> None:
    radius, half = patch.hole_diameter / 2, place.half_width
    beside = Area(place.x + radius + 4, place.y, place.x + half - 3, place.y)
    measure = place.x - radius - 8.0
    pen.line(measure - 2.0, place.y, place.x - radius - 1.5, place.y)
    pen.line(measure, place.y - place.below, measure, place.y)
    for y in (place.y - place.below, place.y):
        pen.line(measure - 1.5, y - 1.5, measure + 1.5, y + 1.5, WIDE)
    height = length(place.below, units)
    origin = "this edge" if place.edge_height else "the base"
    words = f"Hole centre {height} above {origin}, measured along the wall"
    _block(pen, place.x - half + 3, place.y + 3.5, words, half - radius - 6, bottom=True)
    _block(pen, beside.left, place.y + 3.5, f"Hole saw {patch.hole_saw}", beside.width, bottom=True)
    top = place.y + place.above
    room = half - 2 * _CROSS_INSET - 8
    _block(pen, place.x - half + 2 * _CROSS_INSET, top - 6, patch.title, room, bold=True)
    _block(pen, place.x + 5, top - 6, patch.used_on, room)
    edge = "base line"
    if place.edge_height:
        edge = f"this edge {length(place.edge_height, units)} up the wall from the base"
    room = beside.width - _CROSS_INSET - _CROSS_ARM
    _block(pen, beside.left, place.y - place.below + 2.0, edge, room, bottom=True)
    arrow = top - 1.5
    pen.chain([(place.x - 1.2, arrow - 3.5), (place.x, arrow), (place.x + 1.2, arrow - 3.5)])
    pen.text(place.x - 2.2, arrow - 3.0, "up", _TEXT, align="right")


def _block(
    pen: Pen,
    x: float,
    y: float,
    words: str,
    width: float,
    *,
    bold: bool = False,
    bottom: bool = False,
) -> None:
    """At most three wrapped lines, the first at ``y``, or the last when ``bottom``."""
    lines = wrapped(words, _TEXT, width, bold=bold)
    if len(lines) > 3:
        lines = [*lines[:2], " ".join(lines[2:])]
    if bottom:
        y += _STEP * (len(lines) - 1)
    for i, line in enumerate(lines):
        shown, size = fitted(line, _TEXT, width, bold=bold)
        pen.text(x, y - i * _STEP, shown, size, bold=bold)
