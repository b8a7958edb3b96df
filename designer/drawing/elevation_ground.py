"""The ground of the elevation, level or as it was measured, and the stacks that stand on it."""

import itertools
from collections.abc import Sequence
from math import ceil

from designer.drawing.dimensions import SMALL_TEXT
from designer.drawing.records import Line, Record, Text
from designer.layout.run import RunLayout
from designer.model.stations import ground_at
from designer.stand.bed.stacks import standing

Profile = tuple[tuple[float, float], ...]
"""Points of the ground line: view x and level, x rising."""
Sides = tuple[float, float, float, float]
"""The reservoir's rim from and to, and its floor from and to, in view x."""


def ground_profile(
    layout: RunLayout, origin: float, sides: Sides | None, scale: float
) -> tuple[Profile, tuple[Profile, ...]]:
    """The ground along the whole view, and its stretches that are not dug away.

    Straight between the levels measured at the supports, and beyond them as at the last one. The
    ground at the reservoir is the datum, for that is what it is sunk from.
    """
    end, stand = origin + layout.run.length, layout.run.stand
    low = min(origin, sides[0]) if sides else origin
    high = max(end, sides[1]) if sides else end
    low, high = low - 5 * scale, high + 10 * scale
    known = dict(zip(stand.supports, stand.ground, strict=False))
    knots = [(origin + station, level) for station, level in sorted(known.items())]
    if not knots:
        knots = [(low, 0.0)]
    elif sides and sides[1] < knots[0][0]:
        knots = [(sides[0], 0.0), (sides[1], 0.0), *knots]
    elif sides and sides[0] > knots[-1][0]:
        knots += [(sides[0], 0.0), (sides[1], 0.0)]
    whole = _between(knots, low, high)
    if sides is None:
        return whole, (whole,)
    dug = _between(knots, low, sides[0]), _between(knots, sides[1], high)
    return whole, tuple(stretch for stretch in dug if len(stretch) > 1)


def _between(knots: Sequence[tuple[float, float]], a: float, b: float) -> Profile:
    """The line from a to b; nothing where b is not beyond a."""
    if b <= a:
        return ()
    xs = [a, *(x for x, _ in knots if a < x < b), b]
    return tuple(zip(xs, ground_at(xs, *zip(*knots, strict=True)), strict=True))


def lowest_beyond(profile: Profile, x: float) -> float:
    """Lowest level of the ground to the right of x, the datum at most."""
    return min([0.0, *(level for _, level in _between(profile, x, profile[-1][0]))])


def ground_records(profile: Profile, stretches: Sequence[Profile], scale: float) -> list[Record]:
    """Ground line with short hatches below it; where it is uneven, the level line as well that
    every height is measured from."""
    records: list[Record] = []
    step, long = 3 * scale, 2 * scale
    for stretch in stretches:
        records.append(Line(stretch, "ground"))
        first, last = stretch[0][0] + step, stretch[-1][0]
        places = [first + 2 * step * i for i in range(max(0, ceil((last - first) / (2 * step))))]
        for x, level in zip(places, ground_at(places, *zip(*stretch, strict=True)), strict=True):
            records.append(Line(((x, level), (x - long, level - long)), "ground_hatch"))
    if any(level for _, level in profile):
        low, high = profile[0][0], profile[-1][0]
        records.append(Line(((low, 0.0), (high, 0.0)), "axis"))
        records += _level_line_name(stretches, SMALL_TEXT * scale)
    return records


def _level_line_name(stretches: Sequence[Profile], size: float) -> list[Record]:
    """The level line's name where the ground leaves it the most room; below it where that lies
    above the line."""
    parts = [part for stretch in stretches for part in itertools.pairwise(stretch)]
    if not parts:
        return []
    (a, from_level), (b, to_level) = min(parts, key=lambda part: part[0][1] + part[1][1])
    side = 1 if from_level + to_level < 0 else -1
    return [Text((a + b) / 2, side * 0.7 * size, "level line", size, "text_soft")]


def stack_records(layout: RunLayout, origin: float) -> list[Record]:
    """Each stack from the ground up: blocks, packing, and the shims under drain and rails."""
    records: list[Record] = []
    half, top = layout.parts.block.width / 2, layout.levels.block_top
    for at in standing(layout):
        x = origin + at.station
        records += [_box(x, half, *course, "block") for course in at.courses]
        if at.stack.packing > 0:
            records.append(_box(x, half, top - at.stack.packing, top, "shim"))
        if at.rail_shim > 0:
            records.append(_box(x, half, top, top + at.rail_shim, "shim"))
        if at.shim > 0:
            records.append(_box(x, half * 0.66, top, top + at.shim, "shim"))
    return records


def lowest_stack(layout: RunLayout) -> float:
    """Level of the lowest foot of a stack, the datum at most."""
    return min([0.0, *(at.foot for at in standing(layout))])


def _box(x: float, half: float, low: float, high: float, style: str) -> Line:
    corners = ((x - half, low), (x + half, low), (x + half, high), (x - half, high))
    return Line(corners, style, True)
