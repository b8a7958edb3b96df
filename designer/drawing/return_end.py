"""The return end: the drain's outfall over the reservoir, cut along the last stretch of the drain.

Pump and feed tube stand behind the plane or in it and are seen whole.
"""

from collections.abc import Iterator

from shapely import union_all
from shapely.geometry import LineString, Polygon, box

from designer.analysis import Analysis
from designer.drawing.cut_faces import areas, cut_face, hatching, polygons
from designer.drawing.records import XY, Circle, Group, Line, Record, plain_group
from designer.drawing.return_plane import GROUND_BESIDE, ReturnEnd, air_hole_level, return_end_of
from designer.drawing.section import GROUND
from designer.stand.bed.stacks import standing

_PUMP = (120.0, 0.8)
"""Length of a small pump in mm, and its height as a share of the water that must cover it (from
memory)."""
_TOOTH = 2.0
"""Half the height of the mark of a break, mm on paper."""


def return_end_groups(analysis: Analysis, run_id: str | None, scale: float) -> Iterator[Group]:
    """Groups of the view without dimensions, lowest first. `scale` is mm of the thing for 1 mm of
    paper. Nothing where the drain does not end over a reservoir."""
    end = return_end_of(analysis, run_id)
    if end is None:
        return
    run = end.layout.run.id
    yield plain_group("return:ground", None, _ground(end, scale))
    yield plain_group("return:reservoir", "reservoir", _reservoir(end, scale))
    yield plain_group(f"return:{run}/feed", run, _feed(end))
    if end.along_run:
        yield plain_group(f"return:{run}", run, _stand(end))
    yield plain_group(f"return:{run}/drain", run, _drain(end, scale))


def _ground(end: ReturnEnd, scale: float) -> list[Record]:
    """The ground as cut, round the pit the reservoir stands in."""
    left, right, depth = end.left - GROUND_BESIDE * scale, end.right + 2 * scale, GROUND * scale
    tank = end.outside
    band = union_all([box(left, -depth, right, 0), tank.buffer(depth, join_style="mitre")])
    band = band.intersection(box(left, -1e5, right, 0)).difference(tank)
    records: list[Record] = []
    for part in polygons(band):
        records += [Line(ends, "ground_hatch") for ends in hatching(part, 3.0 * scale)]
    surface = LineString([(left, 0), (right, 0)]).difference(tank)
    for piece in getattr(surface, "geoms", [surface]):
        records.append(Line(tuple((float(x), float(y)) for x, y in piece.coords), "ground"))
    return records


def _reservoir(end: ReturnEnd, scale: float) -> list[Record]:
    tank = end.tank
    records: list[Record] = [*areas(end.inside, "seen")]
    if tank.full_level > tank.floor_level:
        records += areas(end.below(tank.full_level), "water")
        left, right = end.chord(tank.full_level)
        records.append(Line(((left, tank.full_level), (right, tank.full_level)), "water_line"))
    left, right = end.chord(tank.low_level)
    records.append(Line(((left, tank.low_level), (right, tank.low_level)), "low_water"))
    return [*records, *cut_face(end.outside.difference(end.inside), scale)]


def _feed(end: ReturnEnd) -> list[Record]:
    """The pump on the floor, its tube, and the air hole that breaks the siphon."""
    tank, half = end.tank, end.layout.parts.manifold.outside_diameter / 2
    long, share = _PUMP
    high = max(share * tank.pump.cover, 40.0)
    x, floor = end.pump_x, tank.floor_level
    way = LineString(end.feed).buffer(half, cap_style="flat", join_style="mitre")
    records = areas(way, "seen")
    records += areas(box(x - long / 2, floor, x + long / 2, floor + high), "pump")
    if tank.reservoir.siphon_break:
        records.append(Circle(x, air_hole_level(tank), 0.4 * half, "cut_thin"))
    return records


def _stand(end: ReturnEnd) -> list[Record]:
    """The ends of the rails and the first stack, as far as they are seen beyond the drain."""
    layout, levels, long = end.layout, end.layout.levels, end.layout.return_length
    records: list[Record] = []
    half = layout.parts.block.width / 2
    for at in standing(layout):
        x, top = long + at.station, levels.block_top
        if x + half > end.right:
            continue
        for low, high in at.courses:
            records += areas(box(x - half, low, x + half, high), "block")
        if at.stack.packing > 0:
            records += areas(box(x - half, top - at.stack.packing, x + half, top), "shim")
        if at.shim > 0:
            records += areas(box(x - 0.66 * half, top, x + 0.66 * half, top + at.shim), "shim")
    to = min(end.right, long + layout.run.length)
    if to > long:
        tops = [(x, levels.rail_top(x - long)) for x in (long, to)]
        unders = [(x, y - levels.rail_depth) for x, y in reversed(tops)]
        records.append(Line((*tops, *unders), "rail", True))
    return records


def _drain(end: ReturnEnd, scale: float) -> list[Record]:
    """The drain cut along its axis, with its water; broken off or turned away at the right."""
    pipe, to = end.layout.parts.drain, end.drain_to
    xs = [0.0, min(end.layout.return_length, to), to]

    def strip(low: float, high: float) -> Polygon:
        points = [(x, end.invert(x) + low) for x in xs]
        return Polygon([*points, *((x, end.invert(x) + high) for x in reversed(xs))])

    outside = strip(-pipe.wall, pipe.bore + pipe.wall)
    records = [*areas(outside, "inside")]
    depth = end.water_depth
    if depth > 0:
        records += areas(strip(0.0, depth), "water")
        records.append(Line(tuple((x, end.invert(x) + depth) for x in xs), "water_line"))
    for face in (strip(-pipe.wall, 0.0), strip(pipe.bore, pipe.bore + pipe.wall)):
        records += cut_face(face, scale)
    middle = pipe.bore / 2
    axis = (-3 * scale, end.invert(0.0) + middle), (to + 3 * scale, end.invert(to) + middle)
    if end.bends:
        half = 0.575 * pipe.outside_diameter
        y = end.invert(to) + middle
        records += areas(box(to - half, y - half, to + half, y + half), "elbow")
        records.append(Circle(to, y, pipe.outside_diameter / 2, "seen"))
    else:
        records.append(
            Line(_break(to, end.invert(to) - pipe.wall, pipe.outside_diameter, scale), "dimension")
        )
    return [*records, Line(axis, "axis")]


def _break(x: float, low: float, high: float, scale: float) -> tuple[XY, ...]:
    """The zigzag across a pipe that is broken off."""
    tooth, middle, over = _TOOTH * scale, low + high / 2, 1.5 * scale
    return (
        (x, low - over),
        (x, middle - tooth),
        (x + tooth, middle - tooth / 2),
        (x - tooth, middle + tooth / 2),
        (x, middle + tooth),
        (x, low + high + over),
    )
