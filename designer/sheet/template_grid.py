"""How a flat drawing is cut into pieces that fit on paper.

Rows are A, B, C from the top, columns 1, 2, 3 from the left. Neighbouring pieces share `OVERLAP` mm
of the drawing, with the joint line in the middle.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from shapely import STRtree
from shapely.geometry import box
from shapely.geometry.base import BaseGeometry

from designer.layout.run import letter
from designer.sheet.template import TemplateSheet
from designer.sheet.template_page import Area, Heading, cut_from_roll, drawing_area

OVERLAP = 12.0


@dataclass(frozen=True)
class Tile:
    """One piece: its row and column from 0, and the part of the drawing it shows, mm.

    `cell` is what is left of that when it is trimmed at its joint lines, endless where there is
    none; the cells of all pieces are the plane.
    """

    row: int
    column: int
    window: Area
    cell: Area

    @property
    def name(self) -> str:
        return f"{letter(self.row)}{self.column + 1}"


@dataclass(frozen=True)
class Grid:
    """The pieces of a drawing on `sheet`, one to a page.

    Those on which nothing stands are left out where the others hang together without them.
    """

    sheet: TemplateSheet
    heading: Heading
    rows: int
    columns: int
    tiles: tuple[Tile, ...]

    @property
    def paper_area(self) -> float:
        """Paper used, mm2."""
        return len(self.tiles) * self.sheet.paper.width * self.sheet.paper.height

    def tile(self, row: int, column: int) -> Tile | None:
        """The piece there, None when it was left out."""
        found = (tile for tile in self.tiles if (tile.row, tile.column) == (row, column))
        return next(found, None)

    def place(self, tile: Tile) -> tuple[float, float]:
        """How far the drawing is moved on the page to show this piece, mm."""
        area = drawing_area(self.sheet, self.heading)
        window = tile.window
        return (
            (area.left + area.right - window.left - window.right) / 2,
            (area.bottom + area.top - window.bottom - window.top) / 2,
        )


def best_grid(
    width: float,
    height: float,
    ink: Sequence[BaseGeometry],
    sheet: TemplateSheet,
    heading: Callable[[int, int], Heading],
) -> Grid:
    """The grid of fewest pages, upright or sideways, then of least paper.

    `ink` is what is drawn; `heading` tells the words of a page for so many rows and columns.
    """
    grids = [_grid(width, height, ink, way, heading) for way in (sheet, sheet.turned)]
    return min(grids, key=lambda grid: (len(grid.tiles), grid.paper_area))


def _grid(
    width: float,
    height: float,
    ink: Sequence[BaseGeometry],
    sheet: TemplateSheet,
    heading: Callable[[int, int], Heading],
) -> Grid:
    rows = columns = 1
    # More pieces need a larger map, which leaves less room: repeat until both agree.
    while True:
        words = heading(rows, columns)
        area = drawing_area(sheet, words)
        needed = (
            max(rows, pieces_along(height, area.height)),
            max(columns, pieces_along(width, area.width)),
        )
        if needed == (rows, columns):
            break
        rows, columns = needed
    across, down = _spans(width, columns), _spans(height, rows)
    tiles = [
        Tile(row, column, _area(across[column], down[-1 - row]), _area(own_x, own_y))
        for row in range(rows)
        for column in range(columns)
        for own_x, own_y in [(_cells(width, columns)[column], _cells(height, rows)[-1 - row])]
    ]
    tree = STRtree(ink)
    kept = [t for t in tiles if len(tree.query(_box(t.window), predicate="intersects"))]
    if not _hang_together(kept):
        kept = tiles
    return Grid(_cut(sheet, area, tiles[0].window), words, rows, columns, tuple(kept))


def _hang_together(tiles: Sequence[Tile]) -> bool:
    """Whether each piece can be joined to the others from neighbour to neighbour."""
    left = {(tile.row, tile.column) for tile in tiles}
    reached = [left.pop()] if left else []
    while reached:
        row, column = reached.pop()
        near = {(row, column - 1), (row, column + 1), (row - 1, column), (row + 1, column)} & left
        left -= near
        reached += near
    return bool(tiles) and not left


def pieces_along(length: float, room: float, overlap: float = OVERLAP) -> int:
    """How many pieces of at most `room` mm make up `length` with their overlaps."""
    return max(1, math.ceil((length - overlap) / (room - overlap) - 1e-9))


def _spans(length: float, count: int) -> list[tuple[float, float]]:
    """Equal pieces of a length, each sharing `OVERLAP` with the next."""
    step = (length - OVERLAP) / count if count > 1 else 0.0
    size = step + OVERLAP if count > 1 else length
    return [(i * step, i * step + size) for i in range(count)]


def _cells(length: float, count: int) -> list[tuple[float, float]]:
    """The same pieces, each trimmed at the middle of its overlaps and endless elsewhere."""
    joints = [start + OVERLAP / 2 for start, _ in _spans(length, count)[1:]]
    ends = [-math.inf, *joints, math.inf]
    return list(pairwise(ends))


def _area(across: tuple[float, float], up: tuple[float, float]) -> Area:
    return Area(across[0], up[0], across[1], up[1])


def _box(area: Area) -> BaseGeometry:
    return box(area.left, area.bottom, area.right, area.top)


def _cut(sheet: TemplateSheet, area: Area, window: Area) -> TemplateSheet:
    """A page of a roll, no longer than the piece needs."""
    spare = area.width - window.width if sheet.sideways else area.height - window.height
    return cut_from_roll(sheet, spare)
