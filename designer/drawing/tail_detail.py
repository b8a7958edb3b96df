"""The detail of a section: one tail in the drain, cut, with the lengths that decide it."""

from collections.abc import Iterator

from shapely.geometry import Point, box

from designer.analysis import Analysis
from designer.drawing.cut_faces import areas, cut_face
from designer.drawing.dimensions import upright_dimension
from designer.drawing.level_marks import level_column
from designer.drawing.records import Group, Line, Record, plain_group
from designer.drawing.section_dimensions import level_mark
from designer.drawing.section_plane import Section, section_of
from designer.units import format_length, style_for

_SHOWN = 22.0
"""What is shown beside the drain, mm."""


def tail_detail_groups(
    analysis: Analysis, run_id: str | None, scale: float, bucket_id: str | None = None
) -> Iterator[Group]:
    """Groups of the detail with its dimensions. `scale` is mm of the thing for 1 mm of paper. The
    bucket stands at the right. Nothing where there is no bucket."""
    section = section_of(analysis, run_id, bucket_id)
    if section is None:
        return
    name = section.place.bucket.id
    records = [*_drain(section, scale), *_outlet(section, scale)]
    yield plain_group(f"detail:{name}", name, records)
    yield plain_group("dim:detail", None, _dimensions(section, scale))


def detail_radius(section: Section) -> float:
    """Half the width of what the detail shows, mm."""
    return section.layout.parts.drain.outside_diameter / 2 + _SHOWN


def _drain(section: Section, scale: float) -> list[Record]:
    pipe, y = section.layout.parts.drain, section.drain_axis
    bore = Point(0, y).buffer(pipe.bore / 2, quad_segs=32)
    surface = y - pipe.bore / 2 + section.water_depth
    records = [*areas(Point(0, y).buffer(pipe.outside_diameter / 2, quad_segs=32), "inside")]
    if section.water_depth > 0:
        water = bore.intersection(box(-pipe.bore, y - pipe.bore, pipe.bore, surface))
        left, _, right, _ = water.bounds
        records += [*areas(water, "water"), Line(((left, surface), (right, surface)), "water_line")]
    half = pipe.outside_diameter / 2 + 3 * scale
    return [
        *records,
        *cut_face(section.drain, scale),
        Line(((-half, y), (half, y)), "axis"),
    ]


def _outlet(section: Section, scale: float) -> list[Record]:
    faces, parts = section.faces, section.layout.parts
    to, y, half = detail_radius(section), section.place.outlet, parts.outlet_pipe.bore / 2
    shown = box(-to, -1e5, to, 1e5)
    records: list[Record] = []
    for face, lean in ((faces.outer_elbow, 1), (faces.nipple, -1), (faces.tail, -1)):
        records += cut_face(face.intersection(shown), scale, lean)
    low, top = faces.tail_tip, y + parts.elbow.body_diameter / 2
    under = section.drain_axis - parts.drain.outside_diameter / 2
    return [
        *records,
        Line(((-half, low), (half, low)), "dimension"),
        Line(((0.0, under - 3 * scale), (0.0, top + 3 * scale)), "axis"),
        Line(((-2 * scale, y), (to + 2 * scale, y)), "axis"),
    ]


def _dimensions(section: Section, scale: float) -> list[Record]:
    """The tail's length at the left; crown, tip, water and invert as levels at the right."""
    system, faces = section.layout.units, section.faces
    levels, station = section.layout.levels, section.station
    crown, invert = levels.crown(station), levels.invert(station)
    tip, socket = faces.tail_tip, section.place.socket
    style, left = style_for(system), -detail_radius(section)
    pipe = section.layout.parts.outlet_pipe.outside_diameter / 2
    body = section.layout.parts.elbow.body_diameter / 2
    records = upright_dimension(
        tip, socket, left - 14 * scale, format_length(socket - tip, style), scale, (-pipe, -body)
    )
    edge = section.layout.parts.drain.outside_diameter / 2
    # each in a row of its own: words that do not fit between the arrows stand above them
    for row, (low, high) in enumerate(((tip, crown), (invert, tip))):
        if high > low:
            words, x = format_length(high - low, style), left - 7 * row * scale
            records += upright_dimension(low, high, x, words, scale, (-edge, -edge))
    marks = [
        level_mark("tail begins", socket, body, system),
        level_mark("crown", crown, edge * 0.3, system),
        level_mark("tail ends", tip, pipe, system),
        level_mark("invert", invert, edge * 0.3, system),
    ]
    if section.water_depth > 0:
        marks.append(level_mark("water", invert + section.water_depth, edge * 0.5, system))
    return [*records, *level_column(marks, -left + 2 * scale, scale)]
