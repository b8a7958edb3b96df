"""Where the names of things on the site stand, so that no words are on others."""

from collections.abc import Iterable, Iterator, Sequence

from shapely import Polygon, STRtree, box

from designer.drawing.drawn_lines import drawn_line
from designer.drawing.marks import BADGES
from designer.drawing.records import Box, Record, Text, extent, text_box


def name_places(name: Text, thing: Box) -> Iterator[Text]:
    """Where the name of a thing may stand, the best first: where it was put, within its thing,
    right, below, above or left of it, and then further away."""
    left, bottom, right, top = thing
    x, y, size = (left + right) / 2, (bottom + top) / 2, name.height
    level = name._replace(x=x, y=y, angle=0.0, anchor="middle")
    yield name
    yield level
    for away in (1.0, 2.5, 4.0):
        yield level._replace(x=right + away * size / 2, anchor="start")
        yield level._replace(y=bottom - away * size)
        yield level._replace(y=top + away * size)
        yield level._replace(x=left - away * size / 2, anchor="end")


def named_apart(things: Sequence[Sequence[Record]], others: Iterable[Record]) -> list[list[Record]]:
    """The records of named things, each thing's in a list of its own, their names apart from each
    other, from the words of the `others` and, where there is room, from all lines."""
    rest = [*others, *(r for thing in things for r in thing if not isinstance(r, Text))]
    rest = [record for record in rest if record.style not in BADGES]
    taken = [box(*text_box(r)) for r in rest if isinstance(r, Text)]
    lines = STRtree([drawn_line(r) for r in rest if not isinstance(r, Text)])
    placed = []
    for thing in things:
        shape = extent([r for r in thing if not isinstance(r, Text)])
        done: list[Record] = []
        for record in thing:
            if isinstance(record, Text) and shape is not None:
                record = _best(record, shape, taken, lines)
                taken.append(box(*text_box(record)))
            done.append(record)
        placed.append(done)
    return placed


def _best(name: Text, thing: Box, taken: Sequence[Polygon], lines: STRtree) -> Text:
    free = []
    for place in name_places(name, thing):
        room = box(*text_box(place))
        if not any(room.intersects(words) for words in taken):
            if not len(lines.query(room, predicate="intersects")):
                return place
            free.append(place)
    return free[0] if free else name
