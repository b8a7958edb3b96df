"""The water over plan and elevation: buckets by their flow, and where the water stands.

Groups in the coordinates of `plan` and `elevation`, to be drawn over them. Nothing while the water
is not solved or not current: an old number is never shown as true.
"""

import itertools
from collections.abc import Iterator
from functools import partial
from math import cos, hypot, pi, sin

import numpy as np
from numpy.typing import NDArray

from designer.analysis import Analysis
from designer.drawing.charts_run import grade_points
from designer.drawing.dimensions import SMALL_TEXT
from designer.drawing.flow_classes import SHUT, FlowClass, flow_class, mean_flow
from designer.drawing.fonts import text_width
from designer.drawing.frame import ViewFrame, active_layout, view_frame
from designer.drawing.records import XY, Circle, Group, Line, Record, Text
from designer.layout.run import Place, RunLayout
from designer.layout.site import ReservoirLayout
from designer.units import format_flow, format_length, style_for
from designer.water.bed.buckets import BucketWater
from designer.water.bed.drains import RunDrain
from designer.water.bed.feed import MM
from designer.water.bed.moment import Moment
from designer.water.bed.solution import BedWater
from designer.water.crossing import crossing

RIM_SHARES = (0.8, 0.97)
"""The strokes that tell a bucket's class run between these shares of its rim's radius."""


def water_plan_groups(analysis: Analysis, run_id: str | None, scale: float) -> Iterator[Group]:
    """Every bucket tinted and stroked by the class of its flow, its flow below its letter, and
    crossed where it is tied off or blocked. `run_id` and `scale` as for `plan_groups`."""
    water = _current(analysis)
    if water is None:
        return
    view = view_frame(analysis, run_id)
    mean = mean_flow(water.feed)
    for layout in water.runs:
        for place in layout.places:
            flow, feed = water.feed.flows[place.bucket.id], place.bucket.feed
            one = flow_class(flow, mean, feed is not None)
            words = format_flow(flow, analysis.design.units)
            if feed is not None:
                words = feed.replace("_", " ")
            x, y = view.to_view(place.x, place.y)
            rim = place.part.rim_diameter / 2
            yield Group(
                f"water:{place.bucket.id}",
                place.bucket.id,
                (x, y, rim, one, words, scale),
                partial(_tinted, x, y, rim, one, words, scale),
            )


def _tinted(
    x: float, y: float, rim: float, one: FlowClass, words: str, scale: float
) -> list[Record]:
    records: list[Record] = [Circle(x, y, rim * RIM_SHARES[1], one.style)]
    inner, outer = (share * rim for share in RIM_SHARES)
    for i in range(one.strokes):
        turn = 2 * pi * i / one.strokes
        along, up = cos(turn), sin(turn)
        ends = ((x + inner * along, y + inner * up), (x + outer * along, y + outer * up))
        records.append(Line(ends, one.style))
    if one is SHUT:
        for turn in (pi / 4, 3 * pi / 4, 5 * pi / 4, 7 * pi / 4):  # a cross, clear of the letter
            along, up = cos(turn), sin(turn)
            start = 0.55 * rim
            ends = ((x + start * along, y + start * up), (x + outer * along, y + outer * up))
            records.append(Line(ends, one.style))
    letter = min(5.0 * scale, rim * 0.8)
    at = letter / 2 + SMALL_TEXT * scale
    # The words stay between the strokes; without their unit, then smaller, where they are long.
    room = 2 * (max(inner**2 - at**2, 0.0) ** 0.5 if at < inner else 0.0)
    if one is not SHUT and text_width(words, SMALL_TEXT * scale) > room:
        words = words.split()[0]
    size = SMALL_TEXT * scale * min(1.0, room / text_width(words, SMALL_TEXT * scale))
    if size > 0:
        records.append(Text(x, y - at, words, size))
    return records


def water_elevation_groups(
    analysis: Analysis, run_id: str | None, scale: float, at_seconds: float | None = None
) -> Iterator[Group]:
    """The water of one run's elevation: in the buckets, in the drain, and the pressure line of
    the feed; all running steadily, or with the reservoir as well at a time of the day's cycles,
    `at_seconds` from midnight. `run_id` and `scale` as for `elevation_groups`."""
    water = _current(analysis)
    layout = active_layout(analysis, run_id)
    if water is None or layout is None:
        return
    moment = None if at_seconds is None else water.at(at_seconds)
    view = view_frame(analysis, run_id)
    origin, _ = view.to_view(layout.run.start.x, layout.run.start.y)
    if moment is not None:
        records = _reservoir(water.layout, moment, view, scale, analysis)
        yield _group("water:elev:reservoir", "reservoir", records)
    if layout.run.id not in water.drains:
        return
    for place in layout.places:
        records = _bucket(water.buckets[place.bucket.id], place, moment, origin)
        yield _group(f"water:elev:{place.bucket.id}", place.bucket.id, records)
    share = 1.0 if moment is None else moment.drain_share
    run = layout.run.id
    yield _group(f"water:elev:{run}/drain", run, _drain(water.drains[run], view, origin, share))
    if water.feed.running and (moment is None or moment.pump_on):
        yield _group(f"water:elev:{run}/grade", run, _grade(water, layout, origin, scale))


def _current(analysis: Analysis) -> BedWater | None:
    return analysis.water if analysis.water_current else None


def _group(key: str, subject: str, records: list[Record]) -> Group:
    """A group of few records, which are their own token: it is redrawn only where they differ."""
    return Group(key, subject, tuple(records), lambda: records)


def _reservoir(
    layout: ReservoirLayout,
    moment: Moment,
    view: ViewFrame,
    scale: float,
    analysis: Analysis,
) -> list[Record]:
    """The level of the moment: what is missing below the full line is cleared, what stands above
    it is filled."""
    full, now = layout.full_level, moment.reservoir_level
    low, high = min(full, now), max(full, now)
    (low_l, low_r), (high_l, high_r) = (_width_at(layout, view, z) for z in (low, high))
    between = ((low_l, low), (low_r, low), (high_r, high), (high_l, high))
    records: list[Record] = []
    if high > low:
        records.append(Line(between, "water_gone" if now < full else "water", True))
    if now < layout.low_level < full:
        left, right = _width_at(layout, view, layout.low_level)
        records.append(Line(((left, layout.low_level), (right, layout.low_level)), "low_water"))
    left, right = _width_at(layout, view, now)
    depth = format_length(now - layout.floor_level, style_for(analysis.design.units))
    size = SMALL_TEXT * scale
    # in the water, or over it where it is too shallow for words
    middle = now - size if now - layout.floor_level > 2 * size else now + size
    return [
        *records,
        Line(((left, now), (right, now)), "water_now"),
        Text((left + right) / 2, middle, f"{depth} deep", size),
    ]


def _width_at(layout: ReservoirLayout, view: ViewFrame, level: float) -> XY:
    """Left and right of the reservoir in view x at a level."""
    share = (level - layout.floor_level) / (layout.rim_level - layout.floor_level)
    ends = []
    for pick in (min, max):
        base, rim = (
            pick(view.to_view(x, y)[0] for x, y in shape.exterior.coords)
            for shape in (layout.base_outline, layout.rim)
        )
        ends.append(base + (rim - base) * share)
    return ends[0], ends[1]


def _bucket(
    bucket: BucketWater, place: Place, moment: Moment | None, origin: float
) -> list[Record]:
    """The water inside a bucket: up to the band's lower end filled, its ends as lines. A bucket
    of the front row, drawn in outline, has lines only."""
    vessel = bucket.vessel
    floor, rim = vessel.floor_level / MM, vessel.rim_level / MM
    invert = vessel.invert_level / MM
    if moment is None:
        levels = sorted({bucket.band.low / MM, bucket.band.high / MM})
    else:
        levels = [moment.bucket_levels[place.bucket.id]]
    levels = [min(max(invert + level, floor), rim) for level in levels]
    x = origin + place.station

    def half(level: float) -> float:
        shape = vessel.vessel
        wider = (shape.rim_length - shape.base_length) / shape.height
        return (shape.base_length / MM + wider * (level - floor)) / 2

    records: list[Record] = []
    if place.bucket.side == "left":
        foot, top = half(floor), half(levels[0])
        body = ((x - foot, floor), (x + foot, floor), (x + top, levels[0]), (x - top, levels[0]))
        records.append(Line(body, "water", True))
    for level, style in zip(levels, ("water_line", "low_water"), strict=False):
        records.append(Line(((x - half(level), level), (x + half(level), level)), style))
    return records


def _drain(drain: RunDrain, view: ViewFrame, origin: float, share: float) -> list[Record]:
    """The water in the drain at its true place, stations and depths to scale. While it holds only
    a `share` of its steady water, depths are lowered alike until they hold that much."""
    layout = drain.layout
    bends = _pipe(layout, view, origin)
    stations = np.array([drain.station(float(d)) for d in drain.profile.distance])
    depths = np.minimum(_depths(drain, share), drain.line.section.height) / MM
    known, xs, levels = (np.array(row) for row in zip(*bends, strict=True))
    x = np.interp(stations, known, xs)
    surface = np.interp(stations, known, levels) + depths
    top = tuple((float(a), float(b)) for a, b in zip(x, surface, strict=True))
    under = tuple((a, b) for _, a, b in bends)
    return [Line((*under, *top), "water", True), Line(top, "water_now")]


def _pipe(layout: RunLayout, view: ViewFrame, origin: float) -> list[tuple[float, float, float]]:
    """(station mm, view x, invert) where the drain begins, bends and ends, from the outfall up;
    stations of the return path are negative."""
    run, levels = layout.run, layout.levels
    bends = [(run.length, origin + run.length, levels.invert(run.length))]
    bends.append((0.0, origin, levels.invert(0.0)))
    done = 0.0
    for a, b in itertools.pairwise(layout.return_points):
        done += hypot(b[0] - a[0], b[1] - a[1])
        drop = run.return_fall * done / layout.return_length if layout.return_length else 0.0
        bends.append((-done, view.to_view(*b)[0], levels.invert(0.0) - drop))
    return bends[::-1]


def _depths(drain: RunDrain, share: float) -> NDArray[np.float64]:
    profile = drain.profile
    if share >= 1 or profile.volume <= 0:
        return profile.depth

    def held(part: float) -> float:
        area = profile.line.section.areas(profile.depth * part)
        return float(np.sum((area[1:] + area[:-1]) / 2 * np.diff(profile.distance)))

    part = crossing(lambda part: held(part) - share * profile.volume, 0.0, 1.0, 1e-4)
    return profile.depth * part


def _grade(water: BedWater, layout: RunLayout, origin: float, scale: float) -> list[Record]:
    """The hydraulic grade line along the manifold, named at its far end: the words of the drain's
    fall stand over the near one."""
    points = tuple((origin + s, level) for s, level in grade_points(water, layout))
    x, level = points[-1]
    size = SMALL_TEXT * scale
    return [
        Line(points, "grade_line"),
        Text(x, level + size, "Pressure line of the feed", size, "text_soft", "end"),
    ]
