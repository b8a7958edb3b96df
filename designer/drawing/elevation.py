"""The elevation: a section along the active run's axis, seen from its right side.

Buckets of the left row stand behind the axis and are drawn solid; those of the right row stand in
front of the section and are drawn as ISO 128 draws parts in front of a cutting plane. x is the
plan's view x, y the level above the datum.
"""

import itertools
from bisect import bisect_left
from collections.abc import Callable, Iterator, Mapping
from functools import partial

from shapely.geometry import Polygon

from designer.analysis import Analysis
from designer.drawing.dimensions import TEXT
from designer.drawing.elevation_dimensions import elevation_dimensions
from designer.drawing.elevation_ground import (
    ground_profile,
    ground_records,
    lowest_stack,
    stack_records,
)
from designer.drawing.fonts import text_width
from designer.drawing.frame import ViewFrame, active_layout, view_frame
from designer.drawing.letters import letter_size
from designer.drawing.marks import BADGE, badge, box_ring
from designer.drawing.outlet_faces import LIP
from designer.drawing.records import Group, Line, Record, Text
from designer.layout.outlet import outside_diameter_at
from designer.layout.run import Place, RunLayout
from designer.layout.site import ReservoirLayout


def elevation_groups(analysis: Analysis, run_id: str | None, scale: float) -> Iterator[Group]:
    """Groups of the elevation of one run (the first when None), lowest first.

    `scale` is mm of the thing for 1 mm of paper. Nothing when there is no run.
    """
    layout = active_layout(analysis, run_id)
    if layout is None:
        return
    view = view_frame(analysis, run_id)
    origin, _ = view.to_view(layout.run.start.x, layout.run.start.y)
    run = layout.run
    reservoir = analysis.reservoir
    sides = _reservoir_sides(reservoir, view) if reservoir is not None else None
    ground = (*ground_profile(layout, origin, sides, scale), scale)
    yield Group("elev:ground", None, ground, partial(ground_records, *ground))
    if reservoir is not None and sides is not None:
        yield Group(
            "elev:reservoir",
            "reservoir",
            (reservoir, sides, scale),
            partial(_reservoir, reservoir, sides, scale),
        )
    static = (
        run.stand, run.drain, run.length, run.return_path, run.return_fall, layout.parts, origin,
        view, scale, run.start, run.outlet, layout.units,
    )  # fmt: skip
    number = analysis.run_number(layout)
    letters = layout.letters
    labels = {bucket: number + letter for bucket, letter in letters.items()}
    covering = _covering(layout, labels, scale)
    for place in sorted(layout.places, key=lambda p: p.bucket.side == "right"):
        yield Group(
            f"elev:{place.bucket.id}",
            place.bucket.id,
            (place, origin, layout.run.medium_depth),
            partial(_bucket, place, layout, origin),
        )
    yield Group(f"elev:{run.id}", run.id, static, partial(_stand, layout, origin))
    yield Group(f"elev:{run.id}/drain", run.id, static, partial(_drain, layout, view, origin))
    for place in layout.places:
        length = layout.tail_length(place)
        yield Group(
            f"elev:{place.bucket.id}/tail",
            place.bucket.id,
            (place, length, origin, layout.parts),
            partial(_tail, place, length, layout, origin),
        )
    for place in layout.places:  # after all bodies, so that no outline runs through a letter
        label, covers = labels[place.bucket.id], place.bucket.id in covering
        yield Group(
            f"elev:{place.bucket.id}/letter",
            place.bucket.id,
            (place, label, covers, origin, scale),
            partial(_letter, place, label, covers, origin, scale),
        )
    nearest = layout.from_cap[0] if layout.places else None
    yield Group(
        f"dim:elev:{run.id}",
        None,
        (static, nearest, analysis.design.units, reservoir, sides, ground),
        partial(elevation_dimensions, layout, nearest, origin, reservoir, sides, ground[0], scale),
    )
    boxes = {run.id: _box(layout, origin)} if run.id in analysis.marks else {}
    if reservoir is not None and sides is not None:
        boxes["reservoir"] = (sides[0], reservoir.floor_level, sides[1], reservoir.rim_level)
    own = {place.bucket.id: place for place in layout.places}
    for subject, state in analysis.marks.items():
        build: Callable[[], list[Record]]
        if subject in boxes:
            build = partial(box_ring, *boxes[subject], state, scale)
        elif subject in own:
            # Rings would cross, for the two rows stand behind each other; inside, the badge
            # would hide the letter.
            place = own[subject]
            x = origin + place.station + (2.5 * BADGE * scale if subject in covering else 0.0)
            above = place.base + place.part.height + 1.4 * BADGE * scale
            build = partial(badge, x, above, state, scale)
        else:
            continue
        token = (boxes.get(subject), own.get(subject), subject in covering, origin, state, scale)
        yield Group(f"mark:elev:{subject}", subject, token, build)


def _covering(layout: RunLayout, labels: Mapping[str, str], scale: float) -> frozenset[str]:
    """Ids of the buckets in front whose letter would stand on that of one behind them."""
    behind = sorted(p.station for p in layout.places if p.bucket.side == "left")
    widths = (
        text_width(label, letter_size(label, place.part, scale), bold=True)
        for place in layout.places
        for label in (labels[place.bucket.id],)
    )
    room = 1.1 * max(widths, default=0.0) + 0.5 * scale
    covering = set()
    for place in layout.places:
        first = bisect_left(behind, place.station - room)
        near = first < len(behind) and behind[first] <= place.station + room
        if near and place.bucket.side == "right":
            covering.add(place.bucket.id)
    return frozenset(covering)


def _box(layout: RunLayout, origin: float) -> tuple[float, float, float, float]:
    levels = layout.levels
    top = max((p.base + p.part.height for p in layout.places), default=levels.rail_top(0))
    return origin, lowest_stack(layout), origin + layout.run.length, top


def _reservoir_sides(layout: ReservoirLayout, view: ViewFrame) -> tuple[float, float, float, float]:
    """Rim from and to, floor from and to, in view x."""

    def spread(shape: Polygon) -> tuple[float, float]:
        xs = [view.to_view(x, y)[0] for x, y in shape.exterior.coords]
        return min(xs), max(xs)

    return (*spread(layout.rim), *spread(layout.base_outline))


def _reservoir(
    layout: ReservoirLayout, sides: tuple[float, float, float, float], scale: float
) -> list[Record]:
    rim_l, rim_r, base_l, base_r = sides
    top, floor = layout.rim_level, layout.floor_level

    def at(level: float) -> tuple[float, float]:
        share = (level - floor) / (top - floor)
        return base_l + (rim_l - base_l) * share, base_r + (rim_r - base_r) * share

    full_l, full_r = at(layout.full_level)
    low_l, low_r = at(layout.low_level)
    water = ((base_l, floor), (base_r, floor), (full_r, layout.full_level))
    return [
        Line(((base_l, floor), (base_r, floor), (rim_r, top), (rim_l, top)), "reservoir", True),
        Line((*water, (full_l, layout.full_level)), "water", True),
        Line(((low_l, layout.low_level), (low_r, layout.low_level)), "low_water"),
        _reservoir_name(layout, (base_l, base_r), TEXT * scale),
    ]


def _reservoir_name(layout: ReservoirLayout, floor: tuple[float, float], size: float) -> Text:
    """Its name in the water where there is room above low water, else below the floor."""
    x, low, full = sum(floor) / 2, layout.low_level, layout.full_level
    if full - low > 3 * size and text_width("Reservoir", size) < floor[1] - floor[0]:
        return Text(x, (low + full) / 2, "Reservoir", size)
    return Text(x, layout.floor_level - 1.5 * size, "Reservoir", size)


def _bucket(place: Place, layout: RunLayout, origin: float) -> list[Record]:
    part, x = place.part, origin + place.station
    base, top = place.base, place.base + part.height
    rb, rt, rr = part.base_diameter / 2, part.top_diameter / 2, part.rim_diameter / 2
    lip = LIP * part.height
    body = (
        (x - rb, base),
        (x + rb, base),
        (x + rt, top - lip),
        (x + rr, top - lip),
        (x + rr, top),
        (x - rr, top),
        (x - rr, top - lip),
        (x - rt, top - lip),
    )
    if place.bucket.side == "right":
        return [Line(body, "bucket_front", True)]
    depth = min(layout.run.medium_depth, part.height)
    rm = outside_diameter_at(part, depth) / 2
    medium = ((x - rb, base), (x + rb, base), (x + rm, base + depth), (x - rm, base + depth))
    return [Line(body, "bucket", True), Line(medium, "medium", True)]


def _letter(place: Place, label: str, covers: bool, origin: float, scale: float) -> list[Record]:
    """A bucket's letter in its upper part, lower where it `covers` that of a bucket behind it."""
    size = letter_size(label, place.part, scale)
    y = place.base + place.part.height * 0.75 - (1.1 * size if covers else 0.0)
    return [Text(origin + place.station, y, label, size, "letter")]


def _stand(layout: RunLayout, origin: float) -> list[Record]:
    run, levels = layout.run, layout.levels
    ends = (0.0, run.length)
    rail = [(origin + s, levels.rail_top(s) - levels.rail_depth) for s in ends]
    rail += [(origin + s, levels.rail_top(s)) for s in reversed(ends)]
    return [*stack_records(layout, origin), Line(tuple(rail), "rail", True)]


def _drain(layout: RunLayout, view: ViewFrame, origin: float) -> list[Record]:
    run, levels = layout.run, layout.levels
    ends = (run.length, 0.0)
    tops = [(origin + s, levels.crown(s)) for s in ends]
    unders = [(origin + s, levels.underside(s)) for s in ends]
    inverts = [(origin + s, levels.invert(s)) for s in ends]
    points = layout.return_points
    done = 0.0
    for a, b in itertools.pairwise(points):
        done += ((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2) ** 0.5
        x, _ = view.to_view(*b)
        drop = run.return_fall * done / layout.return_length if layout.return_length else 0.0
        tops.append((x, levels.crown(0.0) - drop))
        unders.append((x, levels.underside(0.0) - drop))
        inverts.append((x, levels.invert(0.0) - drop))
    wall = layout.parts.drain.wall
    inner_tops = [(x, y - wall) for x, y in tops]
    cap = layout.parts.drain.outside_diameter * 0.35
    x_cap, low, high = origin + run.length, levels.underside(run.length), levels.crown(run.length)
    return [
        Line((*tops, *reversed(unders)), "drain", True),
        Line(tuple(inverts), "drain_wall"),
        Line(tuple(inner_tops), "drain_wall"),
        Line(
            ((x_cap, low - 3), (x_cap + cap, low - 3), (x_cap + cap, high + 3), (x_cap, high + 3)),
            "elbow",
            True,
        ),
    ]


def _tail(place: Place, length: float, layout: RunLayout, origin: float) -> list[Record]:
    x = origin + place.station
    half = layout.parts.outlet_pipe.outside_diameter / 2
    body = layout.parts.elbow.body_diameter / 2
    tip = place.socket - length
    face = place.socket - layout.parts.elbow.socket_depth
    return [
        Line(((x - half, tip), (x + half, tip), (x + half, face), (x - half, face)), "tail", True),
        Line(
            (
                (x - body, face),
                (x + body, face),
                (x + body, place.outlet + body),
                (x - body, place.outlet + body),
            ),
            "elbow",
            True,
        ),
    ]
