"""Sheets of views that are not in projection with each other: each with a scale of its own.

They stand beside each other or one below the other. The title block states the scale of the first;
every other has its own beside its name (ISO 5455, clause 4).
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from reportlab.pdfgen.canvas import Canvas

from designer.drawing.pdf import draw_records
from designer.drawing.records import Record
from designer.drawing.scales import scale_words
from designer.sheet.balloon_links import link_balloons
from designer.sheet.clear_words import clear_words
from designer.sheet.pages import Room, page_room
from designer.sheet.paper import POINTS_PER_MM, Paper
from designer.sheet.pen import Pen, text_width
from designer.sheet.tagging import figure, marked
from designer.sheet.views import CAPTION, EDGE, box_of, line_group
from designer.sheet.words import in_words

_ABOUT = 8.0
"""Size of what is said beside a view's name, points."""
_BETWEEN = 8.0
"""Least room between two views, mm."""


@dataclass(frozen=True)
class Cell:
    """A view with its scale; `of` names what it shows where that is not plain."""

    name: str
    scale: int
    records: list[Record]
    of: str = ""

    @property
    def caption_width(self) -> float:
        """Room that the view's name and what is said beside it may need, mm."""
        about = f"{scale_words(self.scale)}, {self.of}"
        return text_width(self.name, 11.0, bold=True) + 3.0 + text_width(about, _ABOUT)

    @property
    def size(self) -> tuple[float, float]:
        """Width and height on paper with its name, mm."""
        left, bottom, right, top = box_of(self.records)
        width = max((right - left) / self.scale, self.caption_width)
        return width, (top - bottom) / self.scale + CAPTION


@dataclass(frozen=True)
class CellSheet:
    """Views on a paper as it is held; `across` where they stand beside each other."""

    paper: Paper
    cells: tuple[Cell, ...]
    across: bool = True

    @property
    def scale(self) -> int:
        """The scale that the title block states."""
        return self.cells[0].scale

    @property
    def name(self) -> str:
        """What the sheet is called."""
        first, *others = (cell.name for cell in self.cells)
        return in_words([first, *(name[0].lower() + name[1:] for name in others)])


def cells_sheet(cells: Sequence[Cell], papers: Sequence[Paper]) -> CellSheet | None:
    """The first paper and arrangement that has room for the views; None where none has."""
    for paper in papers:
        room = page_room(paper)
        wide, high = room.width - 2 * EDGE, room.height - 2 * EDGE
        for across in (True, False):
            sizes = [cell.size for cell in cells]
            along, over = [w for w, _ in sizes], [h for _, h in sizes]
            if not across:
                along, over = over, along
            needed = sum(along) + _BETWEEN * (len(cells) - 1)
            limits = (wide, high) if across else (high, wide)
            if needed <= limits[0] and max(over) <= limits[1]:
                return CellSheet(paper, tuple(cells), across)
    return None


def draw_cells(
    canvas: Canvas, sheet: CellSheet, room: Room, said: Callable[[str], str] = str
) -> None:
    """Draw the views spread over a room. `said` turns a view's name into its alternative text."""
    sizes = [cell.size for cell in sheet.cells]
    count = len(sizes)
    wide, high = room.width - 2 * EDGE, room.height - 2 * EDGE
    total = sum(size[0 if sheet.across else 1] for size in sizes)
    gap = ((wide if sheet.across else high) - total) / (count + 1)
    x, y = room.left + EDGE + gap, room.top - EDGE - gap
    for cell, (width, height) in zip(sheet.cells, sizes, strict=True):
        if sheet.across:
            _draw(canvas, cell, sheet, x, room.top - EDGE - (high - height) / 2, said)
            x += width + gap
        else:
            _draw(canvas, cell, sheet, room.left + EDGE + (wide - width) / 2, y, said)
            y -= height + gap


def _draw(
    canvas: Canvas,
    cell: Cell,
    sheet: CellSheet,
    left: float,
    top: float,
    said: Callable[[str], str],
) -> None:
    """One view with its name, its upper left corner at a place on the page, mm."""
    box, scale = box_of(cell.records), cell.scale
    width, height = cell.size
    pen, size = Pen(canvas), 11.0
    canvas.setFillGray(0)
    with marked(canvas, "H2"):
        pen.text(left, top - 4.0, cell.name, size, bold=True)
    about = [cell.of] if cell.of else []
    if cell is not sheet.cells[0]:
        about.insert(0, scale_words(scale))
    if about:
        with marked(canvas, "P"):
            x = left + text_width(cell.name, size, bold=True) + 3.0
            pen.text(x, top - 4.0, ", ".join(about), _ABOUT)
    at = ((left - box[0] / scale) * POINTS_PER_MM, (top - CAPTION - box[3] / scale) * POINTS_PER_MM)
    corners = (left, top - height, left + width, top - CAPTION)
    edges = tuple(side * POINTS_PER_MM for side in corners)
    with figure(canvas, said(cell.name), edges):  # type: ignore[arg-type]
        draw_records(canvas, clear_words(cell.records), *at, scale, group=line_group(scale))
        link_balloons(canvas, cell.records, *at, scale)
