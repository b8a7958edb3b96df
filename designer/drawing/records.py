"""The plain records a view is made of. All coordinates and heights in mm of the thing drawn, y up.

A view is a sequence of :class:`Group`. A backend draws the records of each group; one that keeps
what it drew compares a group's `token` with the last one and builds only what differs.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal, NamedTuple

from designer.drawing.fonts import text_width
from designer.drawing.styles import STYLES

Anchor = Literal["start", "middle", "end"]
XY = tuple[float, float]


class Line(NamedTuple):
    """A polyline or, when `closed`, a polygon that may be filled by its style."""

    points: tuple[XY, ...]
    style: str
    closed: bool = False


class Circle(NamedTuple):
    """A circle, filled or not by its style."""

    x: float
    y: float
    radius: float
    style: str


class Text(NamedTuple):
    """One line of text. (x, y) is on its middle height; `angle` is counter-clockwise, degrees."""

    x: float
    y: float
    text: str
    height: float
    style: str = "text"
    anchor: Anchor = "middle"
    angle: float = 0.0


Record = Line | Circle | Text


@dataclass(frozen=True, slots=True)
class Group:
    """Records that belong together and change together.

    `key` is unique in the view. `subject` is the id of the design's thing that is drawn, None for
    what cannot be chosen. `token` compares equal when `build` would return the same records.
    """

    key: str
    subject: str | None
    token: object
    build: Callable[[], list[Record]]


def plain_group(key: str, subject: str | None, records: list[Record]) -> Group:
    """A group of few records, which are their own token: it is redrawn only where they differ."""
    return Group(key, subject, tuple(records), lambda: records)


Box = tuple[float, float, float, float]


def extent(records: list[Record]) -> Box | None:
    """(left, bottom, right, top) of records; None when there are none."""
    xs: list[float] = []
    ys: list[float] = []
    for record in records:
        if isinstance(record, Line):
            xs += (p[0] for p in record.points)
            ys += (p[1] for p in record.points)
        elif isinstance(record, Circle):
            xs += (record.x - record.radius, record.x + record.radius)
            ys += (record.y - record.radius, record.y + record.radius)
        else:
            left, bottom, right, top = text_box(record)
            xs += (left, right)
            ys += (bottom, top)
    return (min(xs), min(ys), max(xs), max(ys)) if xs else None


def text_box(record: Text) -> Box:
    """The box of a text that is level or stands upright."""
    width = text_width(record.text, record.height, bold=STYLES[record.style].bold)
    start = {"start": 0.0, "middle": -width / 2, "end": -width}[record.anchor]
    half = record.height / 2
    if abs(record.angle) == 90:
        low = record.y + (start if record.angle > 0 else -start - width)
        return record.x - half, low, record.x + half, low + width
    return record.x + start, record.y - half, record.x + start + width, record.y + half


def shifted(record: Record, dx: float, dy: float) -> Record:
    """A record moved by (dx, dy)."""
    if isinstance(record, Line):
        return record._replace(points=tuple((x + dx, y + dy) for x, y in record.points))
    return record._replace(x=record.x + dx, y=record.y + dy)
