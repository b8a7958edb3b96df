"""Words of a drawing that no line runs through.

Names and dimensions are placed clear of lines where they are made. What still crosses, such as the
reach of a plant over a name, is interrupted behind the words.
"""

from collections.abc import Sequence

from shapely import Point, Polygon, STRtree, box
from shapely.geometry import LineString
from shapely.geometry.base import BaseGeometry

from designer.drawing.records import Circle, Line, Record, Text, text_box
from designer.drawing.styles import STYLES, WIDTH_MM

_OPAQUE = 0.9
"""A filled shape hides the lines that were drawn before it from this opacity on."""
_DESCENDS = 0.12
"""How far the tails of letters reach below a text's box, as a share of its height."""


def clear_words(records: Sequence[Record]) -> list[Record]:
    """The records with all words on top, and behind those that a line would cross, a gap in it."""
    drawn = [record for record in records if not isinstance(record, Text)]
    texts = [record for record in records if isinstance(record, Text)]
    lines = [_line(record) for record in drawn]
    covers = {i: area for i, record in enumerate(drawn) if (area := _cover(record)) is not None}
    tree = STRtree(lines)
    gaps: list[Record] = []
    for text in texts:
        left, bottom, right, top = text_box(text)
        low = _DESCENDS * text.height if not text.angle else 0.0
        room = box(left, bottom - low, right, top)
        if text.style != "badge_text" and any(
            _seen(lines, covers, int(i), room) for i in tree.query(room, predicate="intersects")
        ):
            gaps.append(Line(tuple(room.exterior.coords[:-1]), "gap", True))
    return [*drawn, *gaps, *texts]


def _seen(
    lines: Sequence[BaseGeometry], covers: dict[int, Polygon], index: int, room: Polygon
) -> bool:
    """Whether a line is seen in a room, and not under what was drawn after it."""
    part = lines[index].intersection(room)
    return not part.is_empty and not any(
        i > index and area.covers(part) for i, area in covers.items()
    )


def _line(record: Record) -> BaseGeometry:
    """Where a record draws a line; an empty one where it only fills."""
    if WIDTH_MM[STYLES[record.style].weight] == 0:
        return LineString()
    if isinstance(record, Circle):
        return Point(record.x, record.y).buffer(record.radius).exterior
    assert isinstance(record, Line)
    points = (*record.points, record.points[0]) if record.closed else record.points
    return LineString(points)


def _cover(record: Record) -> Polygon | None:
    """What a record hides of the lines under it."""
    style = STYLES[record.style]
    if style.fill is None or style.opacity < _OPAQUE:
        return None
    if isinstance(record, Circle):
        return Point(record.x, record.y).buffer(record.radius)
    if isinstance(record, Line) and record.closed and len(record.points) > 2:
        area = Polygon(record.points)
        return area if area.is_valid else None
    return None
