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

from designer.sheet.pen import DASHED, NARROW, WIDE, Pen, text_width
from designer.sheet.template_grid import OVERLAP, Grid, Tile

JOINING_STEP = (
    "Trim the pages where a dashed line says so, lay line on line and the slanted crosses on each "
    "other, and tape: rows A, B, C from the top, columns 1, 2, 3 from the left."
)

_ARM = 2.0
_TEXT = 7.0
_LINE = 2.9
_APART = 4.0
_MAP = (48.0, 36.0)
"""The map's largest width and height, mm."""
_MAP_CELL = (8.0, 4.5)
_NAMED = (6.5, 3.4)
"""Cells of at least this size carry their names."""


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
    taken = []
    for low in (start, start + 2 * third):
        middle = _clear(joint, ink, low, low + third, 2 * _ARM)
        taken.append(middle)
        x, y = joint.point(middle, 0)
        pen.line(x - _ARM, y - _ARM, x + _ARM, y + _ARM)
        pen.line(x - _ARM, y + _ARM, x + _ARM, y - _ARM)
    first, second = joint.earlier.name, joint.later.name
    words = (f"{first}: lay {second} here", f"{second}: trim here")
    reach = max(text_width(line, _TEXT) for line in words)
    if reach > third:
        words, reach = (first, second), text_width(second, _TEXT)
    middle = _clear(joint, ink, start + OVERLAP, end - OVERLAP, reach, taken)
    for line, beside in zip(words, (1.3, -3.2), strict=True):
        x, y = joint.point(middle, beside)
        pen.text(x, y, line, _TEXT, align="centre", upright=joint.upright)


def _clear(
    joint: Joint,
    ink: STRtree,
    low: float,
    high: float,
    length: float,
    taken: Sequence[float] = (),
) -> float:
    """The middle of the stretch from `low` to `high` of the joint that has the least ink beside it,
    the nearest to their middle of those; not where a cross is `taken` up."""
    half, middle = length / 2 + 1.0, (low + high) / 2
    spare = max((high - low) / 2 - half, 0.0)
    steps = int(spare // _APART)
    shifts = sorted((i * _APART for i in range(-steps, steps + 1)), key=abs)
    places = [middle + shift for shift in shifts]
    free = [p for p in places if all(abs(p - cross) > half + _ARM for cross in taken)] or places
    return min(free, key=lambda place: _ink_beside(joint, ink, place - half, place + half))


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
    across, down = _map_cell(rows, columns)
    return max(columns * across, _MAP[0]), rows * down + 2 * _LINE + 2.0


def draw_map(pen: Pen, grid: Grid, here: Tile, left: float, top: float) -> None:
    """All pieces as they lie, this one framed bold, and how many were left out."""
    across, down = _map_cell(grid.rows, grid.columns)
    for row in range(grid.rows):
        for column in range(grid.columns):
            x, y = left + column * across, top - row * down
            tile = grid.tile(row, column)
            _frame(pen, x, y, across, down)
            if tile == here:
                _frame(pen, x + 0.4, y - 0.4, across - 0.8, down - 0.8, WIDE)
            if across >= _NAMED[0] and down >= _NAMED[1]:
                words = tile.name if tile else "–"
                at = x + across / 2, y - down / 2 - 0.9
                pen.text(*at, words, _TEXT, bold=tile == here, align="centre")
    y = top - grid.rows * down - _LINE
    blank = grid.rows * grid.columns - len(grid.tiles)
    lines = [f"This is {here.name}, one of {len(grid.tiles)} pieces."]
    if blank:
        lines.append(
            "1 blank piece is left out." if blank == 1 else f"{blank} blank pieces are left out."
        )
    for line in lines:
        pen.text(left, y, line, _TEXT)
        y -= _LINE


def _frame(
    pen: Pen, left: float, top: float, width: float, height: float, line: float = NARROW
) -> None:
    right, bottom = left + width, top - height
    pen.chain([(left, top), (right, top), (right, bottom), (left, bottom)], line, close=True)


def _map_cell(rows: int, columns: int) -> tuple[float, float]:
    return min(_MAP_CELL[0], _MAP[0] / columns), min(_MAP_CELL[1], _MAP[1] / rows)
