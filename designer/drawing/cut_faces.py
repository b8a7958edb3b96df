"""Cut material in a section: hatched as ISO 128-3 does, thin walls filled black (both from memory).

Hatching is narrow, at 45 degrees; parts that touch lean the other way.
"""

from collections.abc import Iterator

from shapely import affinity
from shapely.geometry import LineString, MultiLineString, Polygon
from shapely.geometry.base import BaseGeometry

from designer.drawing.records import XY, Line, Record

SPACING = 1.8
"""Between two lines of a hatching, mm on paper."""
THIN = 1.1
"""A wall thinner than this on paper, mm, is filled black: hatching would not be seen in it."""


def cut_face(
    shape: BaseGeometry, scale: float, lean: int = 1, fill: str | None = None
) -> list[Record]:
    """Records of a cut area: outline and hatching that leans right (1) or left (-1), over the
    areas of the style `fill` if any. `scale` is mm of the thing to one mm of paper."""
    records: list[Record] = []
    for part in polygons(shape):
        if 2 * part.area / part.length < THIN * scale:
            records.append(Line(_ring(part), "cut_thin", True))
            continue
        if fill is not None:
            records.append(Line(_ring(part), fill, True))
        records += [Line(ends, "hatch") for ends in hatching(part, SPACING * scale, lean)]
        for ring in (part.exterior, *part.interiors):
            records.append(Line(_points(ring.coords[:-1]), "cut", True))
    return records


def hatching(shape: Polygon, spacing: float, lean: int = 1) -> list[tuple[XY, XY]]:
    """Lines at 45 degrees through an area, `spacing` mm apart and all on one grid."""
    turned = affinity.rotate(shape, -45 * lean, origin=(0, 0))
    left, bottom, right, top = turned.bounds
    first = int(bottom // spacing) + 1
    rows = [
        LineString([(left - 1, i * spacing), (right + 1, i * spacing)])
        for i in range(first, int(top // spacing) + 1)
    ]
    cut = affinity.rotate(MultiLineString(rows).intersection(turned), 45 * lean, origin=(0, 0))
    return [
        (_point(piece.coords[0]), _point(piece.coords[-1]))
        for piece in getattr(cut, "geoms", [cut])
        if isinstance(piece, LineString) and piece.length > 0
    ]


def areas(shape: BaseGeometry, style: str) -> list[Record]:
    """A shape's outside as areas of a style; holes are not left open."""
    return [Line(_points(part.exterior.coords[:-1]), style, True) for part in polygons(shape)]


def polygons(shape: BaseGeometry) -> Iterator[Polygon]:
    """The areas a shape is made of."""
    for part in getattr(shape, "geoms", [shape]):
        if isinstance(part, Polygon) and not part.is_empty:
            yield part


def _ring(shape: Polygon) -> tuple[XY, ...]:
    """The area as one chain of points, each hole reached along a seam."""
    points = list(_points(shape.exterior.coords))
    for hole in shape.interiors:
        points += [*_points(hole.coords), points[0]]
    return tuple(points)


def _points(coords: object) -> tuple[XY, ...]:
    return tuple(_point(xy) for xy in coords)  # type: ignore[attr-defined]


def _point(xy: tuple[float, ...]) -> XY:
    return float(xy[0]), float(xy[1])
