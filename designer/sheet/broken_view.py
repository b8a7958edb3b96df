"""Views of which only a part is shown: a long reservoir broken off, what stands near clipped.

A part that is broken off ends in a torn edge, as ISO 128 ends partial views (from memory).
"""

from shapely.geometry import GeometryCollection, LineString, MultiLineString, Polygon, box
from shapely.geometry.base import BaseGeometry

from designer.drawing.dimensions import SMALL_TEXT
from designer.drawing.records import Box, Line, Record, Text, extent, text_box
from designer.sheet.name_places import name_places

_TOOTH = 2.5
"""Width and half the height of a tooth of the torn edge, mm on paper."""
_CLEAR = 1.5
"""Between the torn edge and words, mm on paper."""


def broken_off(records: list[Record], x: float, scale: float) -> list[Record]:
    """Records without what lies left of `x`, which ends there in a torn edge. Words that would
    stand across it are set small to its right."""
    height = [y for r in records if isinstance(r, Line) for _, y in r.points]
    if not height:
        return records
    region = _right_of(x, min(height), max(height), scale)
    kept: list[Record] = []
    for record in records:
        if isinstance(record, Line):
            kept += clipped(record, region)
        elif isinstance(record, Text):
            edge = x + (_TOOTH + _CLEAR) * scale
            if text_box(record)[0] < edge:
                small = min(record.height, SMALL_TEXT * scale)
                record = record._replace(x=edge, anchor="start", height=small)
            kept.append(record)
        else:
            kept.append(record)
    return kept


def _right_of(x: float, bottom: float, top: float, scale: float) -> Polygon:
    """All that lies right of a torn edge at `x`."""
    tooth, far = _TOOTH * scale, 1e7
    edge = [(x, bottom - far)]
    y, out = bottom - tooth, False
    while y < top + tooth:
        edge.append((x + tooth if out else x, y))
        y, out = y + 2 * tooth, not out
    edge.append((x, top + far))
    return Polygon([*edge, (x + far, top + far), (x + far, bottom - far)])


def clipped(line: Line, region: BaseGeometry) -> list[Record]:
    """The parts of a line or an area within a region, to the micrometre."""
    points = [(round(x, 3), round(y, 3)) for x, y in line.points]
    shape = Polygon(points) if line.closed and len(points) > 2 else None
    if shape is not None and shape.is_valid:
        found = shape.intersection(region)
        return [
            line._replace(points=tuple(part.exterior.coords[:-1]))
            for part in getattr(found, "geoms", [found])
            if isinstance(part, Polygon) and not part.is_empty
        ]
    # the outline of an area that crosses itself is shown as a line, without its fill
    if line.closed:
        points.append(points[0])
    found = LineString(points).intersection(region)
    parts = found.geoms if isinstance(found, GeometryCollection | MultiLineString) else [found]
    return [
        line._replace(points=tuple(part.coords), closed=False)
        for part in parts
        if isinstance(part, LineString) and not part.is_empty
    ]


def seen_in_frame(near: list[list[Record]], frame: Box, drawn: list[Record]) -> list[Record]:
    """What stands near, each thing's records in a list of their own, as far as it lies in a frame.
    A thing is left out where it would cover words of what is `drawn`, or where its name has no
    room at its place or about it."""
    region = box(*frame)
    taken = [box(*text_box(r)) for r in drawn if isinstance(r, Text)]
    kept: list[Record] = []
    for thing in near:
        seen = [part for r in thing if isinstance(r, Line) for part in clipped(r, region)]
        inside = extent(seen)
        if inside is None or any(box(*inside).intersects(words) for words in taken):
            continue
        names = [r for r in thing if isinstance(r, Text)]
        placed = [_name_place(name, inside, region, taken) for name in names]
        if None not in placed:
            kept += seen
            for name in placed:
                if name is not None:
                    kept.append(name)
                    taken.append(box(*text_box(name)))
    return kept


def _name_place(name: Text, thing: Box, region: Polygon, taken: list[Polygon]) -> Text | None:
    """The first place of the name in the region that is on no other words."""
    for place in name_places(name, thing):
        words = box(*text_box(place))
        if region.contains(words) and not any(words.intersects(other) for other in taken):
            return place
    return None
