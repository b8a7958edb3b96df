"""Where a record of a view draws its line, as a shape to measure from."""

from shapely.geometry import LineString, Point
from shapely.geometry.base import BaseGeometry

from designer.drawing.records import Circle, Line


def drawn_line(record: Line | Circle) -> BaseGeometry:
    """The chain of a line, closed where it is, or the ring of a circle, mm of the thing."""
    if isinstance(record, Circle):
        return Point(record.x, record.y).buffer(record.radius).exterior
    return LineString((*record.points, record.points[0]) if record.closed else record.points)
