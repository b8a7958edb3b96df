"""Words of a drawing that no line runs through and no badge covers.

Names and dimensions are placed clear of lines where they are made. What still crosses, such as the
reach of a plant over a name, is interrupted behind the words.
"""

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import cos, pi, sin

from shapely import Point, Polygon, STRtree, box
from shapely.geometry import LineString
from shapely.geometry.base import BaseGeometry

from designer.drawing.drawn_lines import drawn_line
from designer.drawing.marks import BADGES
from designer.drawing.records import XY, Circle, Line, Record, Text, extent, shifted, text_box
from designer.drawing.styles import STYLES, WIDTH_MM

_OPAQUE = 0.95
"""A filled shape hides the lines that were drawn before it from this opacity on."""
_DESCENDS = 0.12
"""How far the tails of letters reach below a text's box, as a share of its height."""
_PAST = 0.12
"""How far a gap reaches past both ends of the words, as a share of their height."""
_RINGS, _STEP = 8, 0.5
"""A badge that is in the way moves out in so many rings of this many of its own widths."""


def clear_words(records: Sequence[Record]) -> list[Record]:
    """The records with all words on top, behind those that a line would cross a gap in it, and
    the badges over everything, where they hide neither words nor each other."""
    shapes: list[Line | Circle] = []
    texts: list[Text] = []
    badges: list[Record] = []
    for record in records:
        if record.style in BADGES:
            badges.append(record)
        elif isinstance(record, Text):
            texts.append(record)
        else:
            shapes.append(record)
    gaps = _gaps(shapes, texts)
    return [*shapes, *gaps, *texts, *_apart(badges, texts)]


def _gaps(shapes: Sequence[Line | Circle], texts: Sequence[Text]) -> Iterator[Line]:
    """Patches behind the words through which a line would be seen."""
    lines = [_line(record) for record in shapes]
    covers = {i: area for i, record in enumerate(shapes) if (area := _cover(record)) is not None}
    tree = STRtree(lines)
    for text in texts:
        left, bottom, right, top = text_box(text)
        low, past = _DESCENDS * text.height, _PAST * text.height
        room = box(left - past, bottom - low, right + past, top)
        if text.angle:
            room = box(left, bottom - past, right + low, top + past)
        crossing = tree.query(room, predicate="intersects")
        if any(_seen(lines, covers, int(i), room) for i in crossing):
            yield Line(tuple(room.exterior.coords[:-1]), "gap", True)


def _seen(
    lines: Sequence[BaseGeometry], covers: dict[int, Polygon], index: int, room: Polygon
) -> bool:
    """Whether a line is seen in a room, and not under what was drawn after it."""
    part = lines[index].intersection(room)
    return not any(i > index and area.covers(part) for i, area in covers.items())


def _line(record: Line | Circle) -> BaseGeometry:
    """Where a record draws a line; an empty one where it only fills."""
    if WIDTH_MM[STYLES[record.style].weight] == 0:
        return LineString()
    return drawn_line(record)


def _cover(record: Line | Circle) -> Polygon | None:
    """What a record hides of the lines under it."""
    style = STYLES[record.style]
    if style.fill is None or style.opacity < _OPAQUE:
        return None
    if isinstance(record, Circle):
        return Point(record.x, record.y).buffer(record.radius)
    if record.closed and len(record.points) > 2:
        area = Polygon(record.points)
        return area if area.is_valid else None
    return None


def _apart(badges: Sequence[Record], texts: Sequence[Text]) -> Iterator[Record]:
    """Badges, each a shape and its sign, moved off words and off each other."""
    taken = [box(*text_box(text)) for text in texts]
    for shape, sign in pairwise(badges):
        corners = extent([shape])
        # A match line may leave a sign or a shape alone: the other sheet has the whole badge.
        if isinstance(shape, Text) or not isinstance(sign, Text) or corners is None:
            continue
        place = box(*corners)
        for dx, dy in _moves(corners[2] - corners[0]):
            moved = box(corners[0] + dx, corners[1] + dy, corners[2] + dx, corners[3] + dy)
            if not any(moved.intersects(other) for other in taken):
                place, shape, sign = moved, shifted(shape, dx, dy), shifted(sign, dx, dy)
                break
        taken.append(place)
        yield shape
        yield sign


def _moves(width: float) -> Iterator[XY]:
    """Nowhere, then in eight directions further and further away."""
    yield 0.0, 0.0
    for ring in range(1, _RINGS + 1):
        for turn in range(8):
            away = ring * _STEP * width
            yield away * cos(turn * pi / 4), away * sin(turn * pi / 4)
