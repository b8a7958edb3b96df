"""The cross-section through one bucket's outlet, as :class:`Section` has it.

Cut material is hatched or, where it is thin, filled; what stands beyond the plane is seen plain.
"""

from collections.abc import Iterator

from shapely.geometry import Point, box

from designer.analysis import Analysis
from designer.drawing.cut_faces import areas, cut_face, hatching
from designer.drawing.outlet_faces import LIP, OutletFaces
from designer.drawing.records import XY, Circle, Group, Line, Record, Text, plain_group
from designer.drawing.section_plane import Section, facing, section_of

GROUND = 2.5
"""Depth of the ground's hatching, mm on paper."""


def section_groups(
    analysis: Analysis, run_id: str | None, scale: float, bucket_id: str | None = None
) -> Iterator[Group]:
    """Groups of the section without its dimensions, lowest first. `scale` is mm of the thing for
    1 mm of paper. Nothing where there is no bucket."""
    section = section_of(analysis, run_id, bucket_id)
    if section is None:
        return
    run = section.layout.run.id
    yield plain_group("section:ground", None, _ground(section, scale))
    yield plain_group(f"section:{run}", run, _stand(section, scale))
    if section.opposite is not None:
        name = section.opposite.place.bucket.id
        yield plain_group(f"section:{name}", name, _seen_bucket(section, section.opposite, scale))
    name = section.place.bucket.id
    yield plain_group(f"section:{name}", name, _cut_bucket(section, scale))
    yield plain_group(f"section:{run}/drain", run, _drain(section, scale))
    yield plain_group(f"section:{name}/outlet", name, _outlet(section, scale))
    yield plain_group(f"section:{run}/feed", run, _feed(section, scale))


def _ground(section: Section, scale: float) -> list[Record]:
    """The ground as cut, and where it lies elsewhere at the stack, as seen."""
    left, right = section.reach
    left, right, y = left - 6 * scale, right + 6 * scale, section.ground
    strip = box(left, y - GROUND * scale, right, y)
    records: list[Record] = [Line(ends, "ground_hatch") for ends in hatching(strip, 3.0 * scale)]
    records.append(Line(((left, y), (right, y)), "ground"))
    if section.support is not None and section.support.ground > y + 1:
        there = section.support.ground
        records.append(Line(((left, there), (right, there)), "dimension"))
    return records


def _stand(section: Section, scale: float) -> list[Record]:
    records: list[Record] = []
    above = box(-1e5, section.ground, 1e5, 1e5)
    for block in section.blocks:
        if section.stack_cut:
            records += cut_face(block, scale, 1, "cut_stone")
            continue
        records += areas(block.intersection(above), "block")
        records += areas(block.difference(above), "hidden")
    for thing in (*section.packing, *section.shims):
        records += areas(thing, "shim")
    for i, rail in enumerate(section.rails):
        records += cut_face(rail, scale, 1 if i % 2 else -1, "cut_wood")
    return records


def _letter(section: Section, faces: OutletFaces, scale: float) -> Text:
    """The bucket's letter between the medium's top and the sump, beside its centre line."""
    place = faces.place
    side = -1 if place.offset > 0 else 1
    level = (faces.sump_level + faces.medium_level) / 2
    size = min(5.0 * scale, place.part.base_diameter * 0.4)
    label = section.analysis.bucket_label(place.bucket.id)
    x = place.assembly.bucket_axis + 0.2 * place.part.base_diameter
    return Text(side * x, level, label, size, "letter")


def _seen_bucket(section: Section, faces: OutletFaces, scale: float) -> list[Record]:
    side = -section.side
    pipe, y = section.layout.parts.outlet_pipe, faces.place.outlet
    half = pipe.outside_diameter / 2
    nipple = box(0, y - half, faces.place.assembly.wall + 1, y + half)
    body = faces.outline
    under = faces.rim_level - LIP * faces.place.part.height
    left, _, right, _ = facing(body, side).bounds
    return [
        *areas(facing(nipple, side), "seen"),
        *areas(facing(faces.elbow_outline(0.0, 1), side), "seen"),
        *areas(facing(body, side), "bucket"),
        Line(((left, under), (right, under)), "base"),
        *areas(facing(faces.lid, side), "seen"),
        _letter(section, faces, scale),
    ]


def _cut_bucket(section: Section, scale: float) -> list[Record]:
    faces, side = section.faces, section.side
    medium = facing(faces.room(0.0, faces.medium_level), side)
    sump = facing(faces.room(0.0, faces.sump_level), side)
    surface = sump.bounds
    axis = side * faces.place.assembly.bucket_axis
    over = 4 * scale
    return [
        *areas(facing(faces.inside, side), "seen"),
        *areas(medium, "medium"),
        *areas(sump, "water"),
        Line(((surface[0], surface[3]), (surface[2], surface[3])), "water_line"),
        Line(_liner(faces, side, scale), "liner"),
        *cut_face(facing(faces.wall, side), scale),
        *cut_face(facing(faces.lid, side), scale),
        Line(((axis, faces.place.base - over), (axis, faces.rim_level + over)), "axis"),
        _letter(section, faces, scale),
    ]


def _liner(faces: OutletFaces, side: int, scale: float) -> tuple[XY, ...]:
    """The liner bag along the wall inside, drawn a little off it so that it can be seen."""
    floor = faces.place.base + faces.place.part.wall + 0.8 * scale
    room = facing(faces.room(floor, faces.rim_level - 1.2 * scale), side)
    a, b, c, d = room.exterior.coords[:-1]
    off = 0.8 * scale * (1 if a[0] < b[0] else -1)
    return (d[0] + off, d[1]), (a[0] + off, a[1]), (b[0] - off, b[1]), (c[0] - off, c[1])


def _drain(section: Section, scale: float) -> list[Record]:
    pipe, y = section.layout.parts.drain, section.drain_axis
    bore = Point(0, y).buffer(pipe.bore / 2, quad_segs=24)
    surface = y - pipe.bore / 2 + section.water_depth
    water = bore.intersection(box(-pipe.bore, y - pipe.bore, pipe.bore, surface))
    half = 0.5 * pipe.outside_diameter + 2 * scale
    low, high = y - half, section.place.outlet + section.layout.parts.elbow.body_diameter
    return [
        *areas(Point(0, y).buffer(pipe.outside_diameter / 2, quad_segs=24), "seen"),
        *areas(water, "water"),
        *cut_face(section.drain, scale),
        Line(((-half, y), (half, y)), "axis"),
        Line(((0.0, low), (0.0, high + 2 * scale)), "axis"),
    ]


def _outlet(section: Section, scale: float) -> list[Record]:
    """The outlet assembly, its inside shown and its walls cut."""
    faces, side = section.faces, section.side
    parts = section.layout.parts
    y, half = faces.place.outlet, parts.outlet_pipe.outside_diameter / 2
    inner = faces.place.assembly.inner_elbow
    records: list[Record] = []
    for shape in (
        faces.elbow_outline(0.0, 1),
        faces.elbow_outline(inner, -1),
        box(0, y - half, inner, y + half),
        box(-half, faces.tail_tip, half, y),
    ):
        records += [r._replace(style="inside") for r in _lines(areas(facing(shape, side), "seen"))]
    for face, lean in (
        (faces.outer_elbow, 1),
        (faces.inner_elbow, 1),
        (faces.nipple, -1),
        (faces.tail, -1),
        (faces.grommet, 1),
    ):
        records += cut_face(facing(face, side), scale, lean)
    records.append(Line(((-side * half, y), (side * (inner + half), y)), "axis"))
    return records


def _lines(records: list[Record]) -> list[Line]:
    return [record for record in records if isinstance(record, Line)]


def _feed(section: Section, scale: float) -> list[Record]:
    tube, (x, y) = section.layout.parts.manifold, section.manifold
    ring = Point(x, y).buffer(tube.outside_diameter / 2, quad_segs=12)
    bore = Point(x, y).buffer(tube.inside_diameter / 2, quad_segs=12)
    records: list[Record] = []
    if section.opposite is not None:
        rim = section.opposite.rim_level
        path = tuple(p for p in section.feed(section.opposite) if p[1] > rim or p[0] == x)
        records.append(Line(path, "feed"))
    path = section.feed(section.faces)
    records.append(Line(path, "manifold"))
    if section.layout.run.manifold.emitter is not None:
        (end_x, end_y), half = path[-1], 6.0
        records += areas(box(end_x - half, end_y - 4, end_x + half, end_y + 14), "seen")
    radius = tube.outside_diameter / 2
    records += areas(box(x - 3, y + radius - 2, x + 3, y + radius + 10), "seen")  # the barb
    records += [Circle(x, y, radius, "seen"), *areas(bore, "water")]
    return [*records, *cut_face(ring.difference(bore), scale)]
