"""Dimensions and levels of the cross-section, of its detail and of the return end."""

from collections.abc import Iterator, Sequence
from itertools import pairwise

from designer.analysis import Analysis
from designer.drawing.dimensions import SMALL_TEXT, TEXT, level_dimension, upright_dimension
from designer.drawing.level_marks import LevelMark, level_column
from designer.drawing.records import (
    XY,
    Circle,
    Group,
    Record,
    Text,
    plain_group,
)
from designer.drawing.return_plane import GROUND_BESIDE, ReturnEnd, air_hole_level, return_end_of
from designer.drawing.section_plane import Section, plane_letters, section_of
from designer.layout.outlet import outside_diameter_at
from designer.units import UnitSystem, format_length, style_for

_ROW = 8.0
"""From one row of dimensions to the next, mm on paper."""
_FIRST = 10.0
"""From a thing to the first row beside it, mm on paper."""
_LEVELS = 14.0
"""From the reservoir to the words of the levels at its left, mm on paper."""
_HERE = 0.5
"""A level this near the datum is the datum's, mm."""


def section_dimension_groups(
    analysis: Analysis, run_id: str | None, scale: float, bucket_id: str | None = None
) -> Iterator[Group]:
    """Dimensions of `section_groups`: heights at the left, levels at the right, and what stands
    where across the run above and below."""
    section = section_of(analysis, run_id, bucket_id)
    if section is not None:
        records = [
            *_above(section, scale),
            *_below(section, scale),
            *_heights(section, scale),
            *level_column(section_levels(section), section.reach[1] + 3 * scale, scale),
            *_detail_mark(section, scale),
        ]
        yield plain_group("dim:section", None, records)


def return_dimension_groups(
    analysis: Analysis, run_id: str | None, scale: float
) -> Iterator[Group]:
    """Dimensions of `return_end_groups`: the air gap and the levels."""
    end = return_end_of(analysis, run_id)
    if end is not None:
        records = level_column(return_levels(end, scale), end.left - _LEVELS * scale, scale, -1)
        records += _air_hole(end, scale)
        records += _air_gap(end, scale)
        yield plain_group("dim:return", None, records)


def section_levels(section: Section) -> list[LevelMark]:
    """The levels that are marked beside the section."""
    place, levels, system = section.place, section.layout.levels, section.layout.units
    faces = section.faces if section.side > 0 else section.opposite
    axis = faces.place.assembly.bucket_axis if faces is not None else 0.0

    def wall(level: float) -> float:
        """The right side of the bucket at the right."""
        if faces is None:
            return axis
        return axis + outside_diameter_at(faces.place.part, level - place.base) / 2

    rails = max((rail.bounds[2] for rail in section.rails), default=axis)
    blocks = max((block.bounds[2] for block in section.blocks), default=rails)
    rim = section.faces.rim_level
    return [
        level_mark("rim", rim, section.rim_ends[1], system),
        level_mark("medium", section.faces.medium_level, wall(section.faces.medium_level), system),
        level_mark("outlet", place.outlet, wall(place.outlet), system),
        level_mark("rails", levels.rail_top(section.station), max(rails, wall(place.base)), system),
        level_mark("blocks", levels.block_top, blocks, system),
        level_mark("ground", section.ground, section.reach[1], system),
    ]


def return_levels(end: ReturnEnd, scale: float) -> list[LevelMark]:
    """The levels marked left of the return end: the reservoir's and the outfall."""
    tank, system = end.tank, end.layout.units
    wall = end.outside.bounds[0]
    return [
        level_mark("outfall", end.invert(0.0), 0.0, system),
        level_mark("rim", tank.rim_level, wall, system),
        level_mark("full", tank.full_level, wall, system),
        level_mark("low water", tank.low_level, wall, system),
        level_mark("floor", tank.floor_level, wall, system),
        level_mark("ground", 0.0, end.left - GROUND_BESIDE * scale, system),
    ]


def level_mark(name: str, level: float, x: float, system: UnitSystem) -> LevelMark:
    """A mark whose words give the level with its sign; the datum is the ground by the bed."""
    words = format_length(abs(level), style_for(system))
    sign = "" if abs(level) < _HERE else "+" if level > 0 else "-"
    return LevelMark(f"{sign}{words} {name}", level, x)


def chain(points: Sequence[XY], row: float, system: UnitSystem, scale: float) -> list[Record]:
    """Dimensions one after the other between points, in one row above or below them."""
    records: list[Record] = []
    for (x1, y1), (x2, y2) in pairwise(sorted(points)):
        words = format_length(x2 - x1, style_for(system))
        records += level_dimension(x1, x2, row, words, scale, (y1, y2))
    return records


def _heights(section: Section, scale: float) -> list[Record]:
    """Stand and outlet one above the other, and the bucket's own height beside them."""
    layout, style = section.layout, style_for(section.layout.units)
    left = section.reach[0]
    top, outlet = layout.levels.rail_top(section.station), section.place.outlet
    records: list[Record] = []
    for low, high in ((section.ground, top), (top, outlet)):
        words = format_length(high - low, style)
        records += upright_dimension(low, high, left - _FIRST * scale, words, scale, (left, left))
    base, rim = section.place.base, section.faces.rim_level
    x = left - (_FIRST + _ROW) * scale
    start = left - (_FIRST + 2) * scale, left
    return [*records, *upright_dimension(base, rim, x, _words(section, rim - base), scale, start)]


def _above(section: Section, scale: float) -> list[Record]:
    """How far the buckets stand from the drain's axis, and the width over their rims."""
    rim, axis = section.faces.rim_level, section.place.assembly.bucket_axis
    start = section.place.outlet + section.layout.parts.elbow.body_diameter
    points = [(0.0, start), (section.side * axis, rim + 4 * scale)]
    row = section.top + 7 * scale
    if section.opposite is not None:
        axis = section.opposite.place.assembly.bucket_axis
        points.append((-section.side * axis, rim))
    records = chain(points, row, section.layout.units, scale)
    left, right = section.rim_ends
    words = _words(section, right - left)
    return [
        *records,
        *level_dimension(left, right, row + _ROW * scale, words, scale, (rim, rim)),
    ]


def _below(section: Section, scale: float) -> list[Record]:
    """The rails from middle to middle, and the width of the stack."""
    row = section.bottom - _FIRST * scale
    records: list[Record] = []
    if section.rails:
        foot = section.layout.levels.block_top
        middles = [((r.bounds[0] + r.bounds[2]) / 2, foot) for r in section.rails]
        records += chain(middles, row, section.layout.units, scale)
        row -= _ROW * scale
    if section.blocks:
        left = min(block.bounds[0] for block in section.blocks)
        right = max(block.bounds[2] for block in section.blocks)
        start = (section.bottom - 2 * scale,) * 2
        records += level_dimension(left, right, row, _words(section, right - left), scale, start)
    return records


def _air_gap(end: ReturnEnd, scale: float) -> list[Record]:
    """From the full level up to the outfall's invert, left of the reservoir."""
    full, invert = end.tank.full_level, end.invert(0.0)
    words = f"air gap {format_length(invert - full, style_for(end.layout.units))}"
    x = end.left - (_LEVELS - 4) * scale
    wall = end.outside.bounds[0]
    records = upright_dimension(full, invert, x, "", scale, (wall, 0.0))
    # the words stand on the outfall's line: other levels' lines cross the dimension below it
    size = TEXT * scale
    beside = Text(x + 2 * scale, invert + 0.8 * size, words, size, "text_soft", "start")
    return [*(record for record in records if not isinstance(record, Text)), beside]


def _detail_mark(section: Section, scale: float) -> list[Record]:
    """A circle round what the detail shows, with its letter."""
    low = section.drain_axis - section.layout.parts.drain.outside_diameter / 2
    high = section.place.outlet + section.layout.parts.elbow.body_diameter / 2
    radius = (high - low) / 2 + 2 * scale
    middle = (high + low) / 2
    size = 1.2 * TEXT * scale
    letter = plane_letters(section.layout)[2]
    return [
        Circle(0.0, middle, radius, "dimension"),
        Text(0.8 * size, middle + radius + size, letter, size, "letter"),
    ]


def _air_hole(end: ReturnEnd, scale: float) -> list[Record]:
    """What the hole in the feed tube is for."""
    if not end.tank.reservoir.siphon_break:
        return []
    x = end.pump_x + end.layout.parts.manifold.outside_diameter / 2 + 1.5 * scale
    size = SMALL_TEXT * scale
    return [Text(x, air_hole_level(end.tank), "air hole", size, "text_soft", "start")]


def _words(section: Section, length: float) -> str:
    return format_length(length, style_for(section.layout.units))
