"""Which records a point or a box touches. Pure; in the pane's own frame, mm, y up."""

from math import hypot, inf

from designer.drawing.records import XY, Box, Circle, Line, Record, Text, extent, text_box
from designer.drawing.styles import STYLES

UNTOUCHED = frozenset({"canopy", "dimension", "dimension_end", "axis", "ground_hatch"})
"""Styles of lines that only inform and would lie in the way of what is under them."""

BODIES = frozenset({"rim", "bucket", "bucket_front", "drain", "reservoir"})
"""Styles of the shapes by which a person knows a thing."""


def distance(record: Record, x: float, y: float) -> float:
    """Distance from a point to a record, mm: 0 inside a body or something filled."""
    solid = record.style in BODIES or STYLES[record.style].fill is not None
    if isinstance(record, Circle):
        away = hypot(x - record.x, y - record.y) - record.radius
        return max(0.0, away) if solid else abs(away)
    if isinstance(record, Text):
        left, bottom, right, top = text_box(record)
        return hypot(max(left - x, 0, x - right), max(bottom - y, 0, y - top))
    if record.closed and solid and inside(record.points, x, y):
        return 0.0
    ends = record.points[1:] + record.points[:1] if record.closed else record.points[1:]
    near = (_to_segment(a, b, x, y) for a, b in zip(record.points, ends, strict=False))
    return min(near, default=inf)


def touches(records: list[Record], x: float, y: float, reach: float) -> float | None:
    """Distance from a point to the nearest record within `reach`, mm; None when none is."""
    near = min((distance(r, x, y) for r in records if r.style not in UNTOUCHED), default=inf)
    return near if near <= reach else None


def inside(points: tuple[XY, ...], x: float, y: float) -> bool:
    """Whether a point lies in a polygon, by counting the edges that a ray to the right crosses."""
    crossed = False
    for (x1, y1), (x2, y2) in zip(points, points[1:] + points[:1], strict=True):
        if (y1 > y) != (y2 > y) and x < x1 + (x2 - x1) * (y - y1) / (y2 - y1):
            crossed = not crossed
    return crossed


def main_outline(records: list[Record]) -> list[Record]:
    """The records by which a thing is shown as chosen: its body, else its largest shape, else
    its lines."""
    shapes: list[Record] = [
        r
        for r in records
        if r.style not in UNTOUCHED
        and (isinstance(r, Circle) or (isinstance(r, Line) and r.closed))
    ]
    bodies = [shape for shape in shapes if shape.style in BODIES]
    if bodies:
        return bodies
    if shapes:
        return [max(shapes, key=lambda shape: _area(extent([shape])))]
    return [r for r in records if isinstance(r, Line) and r.style not in UNTOUCHED]


def within(inner: Box, outer: Box) -> bool:
    """Whether a box lies in another."""
    return (
        outer[0] <= inner[0]
        and outer[1] <= inner[1]
        and inner[2] <= outer[2]
        and inner[3] <= outer[3]
    )


def meet(one: Box, other: Box) -> bool:
    """Whether two boxes have anything in common."""
    apart_x = one[2] < other[0] or other[2] < one[0]
    return not (apart_x or one[3] < other[1] or other[3] < one[1])


def joined(boxes: list[Box]) -> Box | None:
    """The box around boxes; None when there are none."""
    if not boxes:
        return None
    lefts, bottoms, rights, tops = zip(*boxes, strict=True)
    return min(lefts), min(bottoms), max(rights), max(tops)


def _area(box: Box | None) -> float:
    # A flat thing such as a level pipe still counts by its length.
    return (box[2] - box[0] + 1) * (box[3] - box[1] + 1) if box else 0.0


def _to_segment(a: XY, b: XY, x: float, y: float) -> float:
    dx, dy = b[0] - a[0], b[1] - a[1]
    square = dx * dx + dy * dy
    part = ((x - a[0]) * dx + (y - a[1]) * dy) / square if square else 0.0
    part = min(1.0, max(0.0, part))
    return hypot(x - a[0] - part * dx, y - a[1] - part * dy)
