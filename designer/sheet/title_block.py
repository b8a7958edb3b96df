"""The title block at the foot of every sheet, with the fields that ISO 7200 asks for.

It is 180 mm wide, in the lower right corner (ISO 5457). Whoever drew it and whoever
checked it write their names by hand.
"""

from dataclasses import dataclass

from reportlab.pdfgen.canvas import Canvas

from designer.sheet.paper import MARGIN, Paper
from designer.sheet.pen import WIDE, Pen, fitted

WIDTH = 180.0
ROW = 9.0
HEIGHT = 2 * ROW
"""Size of the block, mm."""
_LABEL = 7.0


@dataclass(frozen=True)
class TitleBlock:
    """The words of one sheet's title block, ready to print."""

    title: str
    document_type: str
    date: str
    scale: str
    units: str
    sheet: int
    sheets: int


def draw_title_block(canvas: Canvas, paper: Paper, block: TitleBlock) -> None:
    """Draw the block in the lower right corner, within the margins."""
    pen = Pen(canvas)
    canvas.setFillGray(0)
    left = paper.width - MARGIN - WIDTH
    rows = (
        (("Title", block.title, 98.0), ("Document type", block.document_type, 48.0),
         ("Sheet", f"{block.sheet} of {block.sheets}", 34.0)),
        (("Drawn by", "", 49.0), ("Checked by", "", 49.0), ("Date", block.date, 26.0),
         ("Units", block.units, 22.0), ("Scale", block.scale or "none", 34.0)),
    )  # fmt: skip
    for number, row in enumerate(rows):
        x, y = left, MARGIN + (1 - number) * ROW
        for label, words, width in row:
            pen.chain([(x, y), (x + width, y), (x + width, y + ROW), (x, y + ROW)], close=True)
            pen.text(x + 1.2, y + ROW - 3.0, label, _LABEL)
            shown, size = fitted(words, 10.0, width - 2.4, bold=True)
            pen.text(x + 1.2, y + 1.6, shown, size, bold=True)
            x += width
    corners = [(left, MARGIN), (left + WIDTH, MARGIN)]
    corners += [(x, MARGIN + 2 * ROW) for x, _ in reversed(corners)]
    pen.chain(corners, WIDE, close=True)


def draw_frame(canvas: Canvas, paper: Paper, left: float) -> None:
    """The frame of a drawing, within the margins; the left one keeps room for the punch."""
    pen = Pen(canvas)
    right, top = paper.width - MARGIN, paper.height - MARGIN
    pen.chain([(left, MARGIN), (right, MARGIN), (right, top), (left, top)], WIDE, close=True)
