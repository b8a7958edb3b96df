"""A flat template of any size: a drawing in mm, cut into pieces where it is larger than a page."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial

from shapely import STRtree

from designer.sheet.pen import Pen
from designer.sheet.template import (
    Numbering,
    Printing,
    Template,
    TemplateKind,
    TemplatePage,
    TemplateSheet,
)
from designer.sheet.template_grid import Grid, Tile, best_grid
from designer.sheet.template_joints import JOINING_STEP, draw_joint, joints
from designer.sheet.template_map import draw_map, map_size
from designer.sheet.template_page import Heading, aside_corner, begin_page, end_page
from designer.sheet.template_window import WindowPen, ink_of, shown


@dataclass(frozen=True)
class FlatTemplate:
    """A drawing `width` by `height` mm with the words at its head, for the buckets of these ids.

    `draw` draws all of it in mm from its lower left corner, the same each time; it is called once
    for each piece and once to see where there is ink. Use the pen's own methods, nothing outside
    0 to `width` and 0 to `height`. Raises ValueError for a drawing without size.
    """

    kind: TemplateKind
    title: str
    heading: Heading
    width: float
    height: float
    draw: Callable[[Pen], None]
    buckets: frozenset[str] = frozenset()

    def __post_init__(self) -> None:
        if not (0 < self.width < float("inf") and 0 < self.height < float("inf")):
            raise ValueError(f"{self.title}: the template has no size.")


def flat_template(flat: FlatTemplate) -> Template:
    """The drawing as a template."""
    return Template(flat.kind, flat.title, partial(_pages, flat), flat.buckets)


def flat_grid(flat: FlatTemplate, sheet: TemplateSheet) -> Grid:
    """How the drawing is cut on this paper, whichever way the paper is held."""
    ink = ink_of(flat.draw)
    return best_grid(flat.width, flat.height, ink, sheet, partial(_heading, flat.heading))


def _pages(flat: FlatTemplate, printing: Printing) -> list[TemplatePage]:
    grid = flat_grid(flat, printing.sheet)
    ink = STRtree(ink_of(flat.draw, [tile.cell for tile in grid.tiles]))
    return [
        TemplatePage(grid.sheet, partial(_draw_page, flat, grid, tile, ink)) for tile in grid.tiles
    ]


def _heading(heading: Heading, rows: int, columns: int) -> Heading:
    if rows * columns == 1:
        return heading
    return replace(heading, steps=(JOINING_STEP, *heading.steps), aside=map_size(rows, columns))


def _draw_page(
    flat: FlatTemplate, grid: Grid, tile: Tile, ink: STRtree, pen: Pen, numbering: Numbering
) -> None:
    sheet, heading, title = grid.sheet, grid.heading, flat.title
    if len(grid.tiles) > 1:
        heading = replace(heading, title=f"{heading.title}: piece {tile.name}")
        title += f": piece {tile.name} of {len(grid.tiles)}"
    begin_page(pen, sheet, heading)
    if grid.rows * grid.columns > 1:
        draw_map(pen, grid, tile, *aside_corner(sheet, heading))
    x, y = grid.place(tile)
    with shown(pen.canvas, tile.window, x, y):
        flat.draw(WindowPen(pen.canvas, tile.window, tile.cell, [t.cell for t in grid.tiles]))
        for joint in joints(grid, tile):
            draw_joint(Pen(pen.canvas), joint, ink)
    end_page(pen, sheet, title, numbering)
