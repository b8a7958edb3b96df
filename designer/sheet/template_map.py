"""The map of the pieces of a flat template: which piece this page is among all."""

from designer.sheet.pen import NARROW, WIDE, Pen
from designer.sheet.template_grid import Grid, Tile

_MAP = (48.0, 36.0)
"""The map's largest width and height, mm."""
_MAP_CELL = (8.0, 4.5)
_NAMED = (6.5, 3.4)
"""Cells of at least this size carry their names."""

_TEXT = 7.0
_LINE = 2.9


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
