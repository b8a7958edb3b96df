"""The plan: what is seen from above, in the active run's view frame."""

from collections.abc import Iterator
from functools import partial

import numpy as np
from shapely.geometry import LineString, Polygon

from designer.analysis import Analysis
from designer.checks.finding import State
from designer.drawing.dimensions import SMALL_TEXT, TEXT
from designer.drawing.fonts import text_width
from designer.drawing.frame import (
    Points,
    ViewFrame,
    active_layout,
    bounds,
    outline_points,
    view_frame,
)
from designer.drawing.letters import letter_size
from designer.drawing.marks import box_ring, corner_badge, ring, ring_style
from designer.drawing.plan_dimensions import plan_dimension_groups
from designer.drawing.plan_reservoir import reservoir_group
from designer.drawing.records import Circle, Group, Line, Record, Text
from designer.layout.run import Frame, Place, RunLayout
from designer.layout.site import bed_footprint
from designer.model.design import Obstacle


def plan_groups(analysis: Analysis, run_id: str | None, scale: float) -> Iterator[Group]:
    """Groups of the plan, lowest first. `scale` is mm of the thing for 1 mm of paper.

    x, y in the view frame of the run `run_id` (the first run when None).
    """
    view = view_frame(analysis, run_id)
    design = analysis.design
    if analysis.site.outline is not None:
        outline = analysis.site.outline
        yield Group("plan:site", "site", (outline, view), partial(_outline, outline, view))
    for obstacle in design.obstacles:
        shape = analysis.site.obstacles[obstacle.id]
        yield Group(
            f"plan:{obstacle.id}",
            obstacle.id,
            (obstacle, view, scale),
            partial(_obstacle, obstacle, shape, view, scale),
        )
    if analysis.reservoir is not None:
        yield reservoir_group(analysis, analysis.reservoir, view, scale)
    # What stands higher is drawn later, so that no line runs through the letters.
    for layout in analysis.runs:
        yield from _run_groups(analysis, layout, view, scale)
    for layout in analysis.runs:
        yield from _canopy_groups(layout, view)
    for layout in analysis.runs:
        yield from _bucket_groups(analysis, layout, view, scale)
    active = active_layout(analysis, run_id)
    if active is not None:
        yield from plan_dimension_groups(analysis, active, view, scale)
    yield from _mark_groups(analysis, view, scale)


def _run_groups(
    analysis: Analysis, layout: RunLayout, view: ViewFrame, scale: float
) -> Iterator[Group]:
    run = layout.run
    static = (
        run.stand, run.drain, run.manifold, run.start, run.heading, run.length, run.outlet,
        run.return_path, run.feed_path, run.bucket, layout.parts, view, scale,
        analysis.design.reservoir,
    )  # fmt: skip
    yield Group(f"plan:{run.id}", run.id, static, partial(_run, analysis, layout, view))
    yield Group(f"plan:{run.id}/feed", run.id, static, partial(_feed, analysis, layout, view))


def _canopy_groups(layout: RunLayout, view: ViewFrame) -> Iterator[Group]:
    for place in layout.places:
        yield Group(
            f"plan:{place.bucket.id}/canopy",
            place.bucket.id,
            (place, view),
            partial(_canopy, place, view),
        )


def _bucket_groups(
    analysis: Analysis, layout: RunLayout, view: ViewFrame, scale: float
) -> Iterator[Group]:
    run, number, letters = layout.run, analysis.run_number(layout), layout.letters
    for place in layout.places:
        label = number + letters[place.bucket.id]
        yield Group(
            f"plan:{place.bucket.id}",
            place.bucket.id,
            (place, label, view, scale, layout.parts, run.manifold),
            partial(_bucket, place, label, layout, view, scale),
        )


def _outline(shape: Polygon, view: ViewFrame) -> list[Record]:
    return [Line(outline_points(shape, view), "outline", True)]


def _obstacle(obstacle: Obstacle, shape: Polygon, view: ViewFrame, scale: float) -> list[Record]:
    points = outline_points(shape, view)
    records: list[Record] = [Line(points, obstacle.kind, True)]
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    wide, high = max(xs) - min(xs), max(ys) - min(ys)
    x, y = (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2
    for size in (TEXT * scale, SMALL_TEXT * scale):
        room = text_width(obstacle.name, size) + size
        if wide >= room and high >= 1.4 * size:
            records.append(Text(x, y, obstacle.name, size))
            return records
        if high >= room and wide >= 1.4 * size:
            records.append(Text(x, y, obstacle.name, size, angle=90))
            return records
    size = TEXT * scale
    records.append(Text(x, max(ys) + size, obstacle.name, size))
    return records


def _strip(
    frame: Frame, view: ViewFrame, low: float, high: float, offset: float, width: float
) -> Points:
    corners = (
        (low, offset - width / 2),
        (high, offset - width / 2),
        (high, offset + width / 2),
        (low, offset + width / 2),
    )
    return tuple(view.to_view(*frame.at(*corner)) for corner in corners)


def _run(analysis: Analysis, layout: RunLayout, view: ViewFrame) -> list[Record]:
    run, parts, frame = layout.run, layout.parts, layout.frame
    rail_width = parts.rail.thickness if run.stand.on_edge else parts.rail.width
    records: list[Record] = []
    offsets = [side * o for o in layout.rail_offsets for side in (1, -1)]
    for station in run.stand.supports:
        half = parts.block.width / 2
        low, high = station - half, station + half
        records += [
            Line(_strip(frame, view, low, high, offset, parts.block.length), "block", True)
            for offset in layout.block_offsets
        ]
    for offset in offsets:
        records.append(Line(_strip(frame, view, 0.0, run.length, offset, rail_width), "rail", True))
    od = parts.drain.outside_diameter
    path = [frame.at(run.length), *layout.return_points]
    with np.errstate(all="ignore"):  # a path that turns back on itself divides by 0 inside
        pipe = LineString(path).buffer(od / 2, cap_style="flat", join_style="mitre")
    records.append(Line(outline_points(pipe, view), "drain", True))
    cap = _strip(frame, view, run.length, run.length + od * 0.35, 0.0, od * 1.15)
    records.append(Line(cap, "elbow", True))
    over = 0.6 * od
    axis = (frame.at(-over), frame.at(run.length + 2 * over))
    records.append(Line(tuple(view.to_view(*p) for p in axis), "axis"))
    return records


def _feed(analysis: Analysis, layout: RunLayout, view: ViewFrame) -> list[Record]:
    """The manifold as far as its plug, which lies at the capped end."""
    run = layout.run
    points = [layout.frame.at(station, run.manifold.offset) for station in (0.0, run.length)]
    reservoir = analysis.design.reservoir
    if reservoir is not None:
        pump = (reservoir.place.x, reservoir.place.y)
        points = [pump, *((p.x, p.y) for p in run.feed_path), *points]
    return [Line(tuple(view.to_view(*p) for p in points), "manifold")]


def _canopy(place: Place, view: ViewFrame) -> list[Record]:
    x, y = view.to_view(place.x, place.y)
    return [Circle(x, y, place.crop.canopy_spread / 2, "canopy")]


def _bucket(
    place: Place, label: str, layout: RunLayout, view: ViewFrame, scale: float
) -> list[Record]:
    x, y = view.to_view(place.x, place.y)
    frame, parts = layout.frame, layout.parts
    side = 1 if place.offset > 0 else -1
    pipe = parts.outlet_pipe.outside_diameter
    nipple = (
        (place.station - pipe / 2, side * parts.elbow.body_diameter / 2),
        (place.station + pipe / 2, side * parts.elbow.body_diameter / 2),
        (place.station + pipe / 2, side * place.assembly.wall),
        (place.station - pipe / 2, side * place.assembly.wall),
    )
    hole = view.to_view(place.hole_x, place.hole_y)
    feed = (
        view.to_view(*frame.at(place.station, layout.run.manifold.offset)),
        view.to_view(*frame.at(place.station + pipe, place.offset * 0.75)),
    )
    rim = place.part.rim_diameter / 2
    size = letter_size(label, place.part, scale)
    return [
        Circle(x, y, rim, "rim"),
        Circle(x, y, place.part.base_diameter / 2, "base"),
        Line(tuple(view.to_view(*frame.at(*p)) for p in nipple), "nipple", True),
        Circle(*hole, parts.elbow.body_diameter / 2, "elbow"),
        Line(feed, "feed"),
        Text(x, y, label, size, "letter"),
    ]


def _mark_groups(analysis: Analysis, view: ViewFrame, scale: float) -> Iterator[Group]:
    for subject, state in analysis.marks.items():
        token: object
        shape: Polygon | None = None
        if subject in analysis.places:
            token = analysis.places[subject][1]
        else:
            shape = _marked_shape(analysis, subject)
            token = shape
        yield Group(
            f"mark:{subject}",
            subject,
            (token, state, view, scale),
            partial(_mark, analysis, subject, shape, state, view, scale),
        )


def _marked_shape(analysis: Analysis, subject: str) -> Polygon | None:
    """The outline of a marked thing that is not a bucket; shapes compare by value."""
    if subject == "reservoir" and analysis.reservoir is not None:
        return analysis.reservoir.rim
    if subject == "site":
        return analysis.site.outline
    if subject in analysis.site.obstacles:
        return analysis.site.obstacles[subject]
    for layout in analysis.runs:
        if layout.run.id == subject:
            return bed_footprint(layout)
    return None


def _mark(
    analysis: Analysis,
    subject: str,
    shape: Polygon | None,
    state: State,
    view: ViewFrame,
    scale: float,
) -> list[Record]:
    if subject in analysis.places:
        _, place = analysis.places[subject]
        return ring(*view.to_view(place.x, place.y), place.part.rim_diameter / 2, state, scale)
    if shape is None:
        return []
    points = outline_points(shape, view)
    if subject in analysis.site.obstacles:
        return [Line(points, ring_style(state), True), *corner_badge(points, state, scale)]
    return box_ring(*bounds(points), state, scale)
