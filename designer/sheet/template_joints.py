"""Where the pieces of a flat template are trimmed and joined, and the map of the pieces.

Both pieces of a joint carry the same marks at the same places of the drawing, so that they
coincide when the pieces lie right. The crosses lie aslant: upright ones are punched.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from shapely import STRtree
from shapely.geometry import box
from shapely.geometry.base import BaseGeometry

from designer.sheet.pen import DASHED, WIDE, Pen, text_width, wrapped
from designer.sheet.template_grid import OVERLAP, Grid, Tile

JOINING_STEP = (
    "Trim the pages where a dashed line says so, lay line on line and the slanted crosses on each "
    "other, and tape: rows A, B, C from the top, columns 1, 2, 3 from the left."
)

_ARM = 2.0
_TEXT = 7.0
_LINE = 2.9
_APART = 4.0
_MAP_CELL = (8.0, 4.5)
_MAP_SMALL = (3.0, 2.5)
_MAP_WIDEST = 80.0


@dataclass(frozen=True)
class Joint:
    """The line on which two neighbouring pieces meet, `earlier` left of or above the other.

    `across` runs from `start` to `end` at `place`: a level joint along x at a height, an upright
    one along y.
    """

    earlier: Tile
    later: Tile
    upright: bool
    place: float
    start: float
    end: float

    def point(self, along: float, beside: float) -> tuple[float, float]:
        """The place in the drawing so far along the joint and to the left of it or above it."""
        return (self.place - beside, along) if self.upright else (along, self.place + beside)


def joints(grid: Grid, tile: Tile) -> Iterator[Joint]:
    """The joints of a piece with those pieces around it that are printed."""
    row, column, window = tile.row, tile.column, tile.window
    for other, upright in (
        (grid.tile(row, column - 1), True),
        (grid.tile(row, column + 1), True),
        (grid.tile(row - 1, column), False),
        (grid.tile(row + 1, column), False),
    ):
        if other is None:
            continue
        earlier, later = sorted((tile, other), key=lambda tile: (tile.row, tile.column))
        if upright:
            yield Joint(earlier, later, True, earlier.cell.right, window.bottom, window.top)
        else:
            yield Joint(earlier, later, False, earlier.cell.bottom, window.left, window.right)


def draw_joint(pen: Pen, joint: Joint, ink: STRtree) -> None:
    """The joint line with two crosses and what is done there, clear of the drawing where it can
    be."""
    start, end = joint.start, joint.end
    pen.line(*joint.point(start, 0), *joint.point(end, 0), dash=DASHED)
    third = (end - start) / 3
    for low in (start, start + 2 * third):
        middle = _clear(joint, ink, low, low + third, 2 * _ARM)
        x, y = joint.point(middle, 0)
        pen.line(x - _ARM, y - _ARM, x + _ARM, y + _ARM)
        pen.line(x - _ARM, y + _ARM, x + _ARM, y - _ARM)
    first, second = joint.earlier.name, joint.later.name
    words = (f"{first}: lay {second} here", f"{second}: trim here")
    reach = max(text_width(line, _TEXT) for line in words)
    if reach > third:
        words, reach = (first, second), text_width(second, _TEXT)
    middle = _clear(joint, ink, start + third, start + 2 * third, reach)
    for line, beside in zip(words, (1.3, -3.2), strict=True):
        x, y = joint.point(middle, beside)
        pen.text(x, y, line, _TEXT, align="centre", upright=joint.upright)


def _clear(joint: Joint, ink: STRtree, low: float, high: float, length: float) -> float:
    """The middle of the stretch of the joint that has the least ink beside it, the nearest to the
    middle of those from `low` to `high`."""
    half, middle = length / 2 + 1.0, (low + high) / 2
    spare = max((high - low) / 2 - half, 0.0)
    steps = int(spare // _APART)
    shifts = sorted((i * _APART for i in range(-steps, steps + 1)), key=abs)
    places = [middle + shift for shift in shifts]
    return min(places, key=lambda place: _ink_beside(joint, ink, place - half, place + half))


def _ink_beside(joint: Joint, ink: STRtree, start: float, end: float) -> float:
    """Length of lines within the overlap along a stretch of the joint, mm."""
    a, b = joint.point(start, -OVERLAP / 2), joint.point(end, OVERLAP / 2)
    zone = box(min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1]))
    near: Sequence[BaseGeometry] = ink.geometries[ink.query(zone)]
    return float(sum(zone.intersection(shape).length for shape in near))


def map_size(rows: int, columns: int) -> tuple[float, float]:
    """Width and height in mm of the map of a grid; nothing for a single piece."""
    if rows * columns == 1:
        return 0.0, 0.0
    across, down = _map_cell(columns)
    return max(columns * across, 40.0), rows * down + 2 * _LINE + 3.0


def draw_map(pen: Pen, grid: Grid, here: Tile, left: float, top: float) -> None:
    """All pieces as they lie, this one framed bold, and what was left out."""
    across, down = _map_cell(grid.columns)
    for row in range(grid.rows):
        for column in range(grid.columns):
            x, y = left + column * across, top - row * down
            tile = grid.tile(row, column)
            bold = tile == here
            corners = [(x, y), (x + across, y), (x + across, y - down), (x, y - down)]
            if bold:
                corners = [(x + 0.3, y - 0.3), (x + across - 0.3, y - 0.3)]
                corners += [(x + across - 0.3, y - down + 0.3), (x + 0.3, y - down + 0.3)]
            pen.chain(corners, WIDE if bold else 0.25, close=True)
            if across >= _MAP_CELL[0]:
                words = tile.name if tile else "–"
                middle = y - down / 2 - 0.9
                pen.text(x + across / 2, middle, words, _TEXT, bold=bold, align="centre")
    y = top - grid.rows * down - _LINE
    blank = grid.rows * grid.columns - len(grid.tiles)
    words = f"This is {here.name} of {len(grid.tiles)} pieces."
    if blank:
        words += f" Left out, blank: {blank}."
    for line in wrapped(words, _TEXT, map_size(grid.rows, grid.columns)[0]):
        pen.text(left, y, line, _TEXT)
        y -= _LINE


def _map_cell(columns: int) -> tuple[float, float]:
    return _MAP_CELL if columns * _MAP_CELL[0] <= _MAP_WIDEST else _MAP_SMALL
