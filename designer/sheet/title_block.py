"""The title block at the foot of every sheet, with the fields that ISO 7200 asks for.

It is 180 mm wide, in the lower right corner (ISO 5457). The owner, whoever drew it and whoever
approved it write their names by hand.
"""

from dataclasses import dataclass

from reportlab.pdfgen.canvas import Canvas

from designer.sheet.paper import MARGIN, Paper
from designer.sheet.pen import WIDE, Pen, fitted
from designer.sheet.projection import draw_projection_symbol

WIDTH = 180.0
ROW = 7.0
HEIGHT = 3 * ROW
"""Size of the block, mm."""
_LABEL, _WORDS = 7.0, 9.0
"""Sizes of a field's name and of what stands in it, points."""
_SYMBOL = 24.0
"""Width of the projection symbol's field, mm."""
_LANGUAGE = "en"
"""Language of the sheets (ISO 639)."""


@dataclass(frozen=True)
class TitleBlock:
    """The words of one sheet's title block, ready to print.

    `scale` is empty where nothing is drawn to one; `about` is the supplementary title and
    `identification` the same on every sheet of a design and on no other's.
    """

    title: str
    about: str
    document_type: str
    identification: str
    date: str
    scale: str
    units: str
    sheet: int
    sheets: int


def draw_title_block(canvas: Canvas, paper: Paper, block: TitleBlock) -> None:
    """Draw the block in the lower right corner, within the margins. A sheet with a scale bears the
    symbol of its projection."""
    pen = Pen(canvas)
    canvas.setFillGray(0)
    left = paper.width - MARGIN - WIDTH
    symbol = _SYMBOL if block.scale else 0.0
    rows = (
        (("Title", block.title, 84.0), ("Supplementary title", block.about, 96.0 - symbol)),
        (("Document type", block.document_type, 66.0), ("Owner", "", 38.0),
         ("Drawn by", "", 38.0), ("Approved by", "", 38.0)),
        (("Identification number", block.identification, 46.0),
         ("Date of issue", block.date, 28.0), ("Language", _LANGUAGE, 18.0),
         ("Units", block.units, 24.0), ("Scale", block.scale or "none", 34.0),
         ("Sheet", f"{block.sheet} of {block.sheets}", 30.0)),
    )  # fmt: skip
    for number, row in enumerate(rows):
        x, y = left, MARGIN + (2 - number) * ROW
        for label, words, width in row:
            pen.chain([(x, y), (x + width, y), (x + width, y + ROW), (x, y + ROW)], close=True)
            pen.text(x + 1.2, y + ROW - 2.6, label, _LABEL)
            shown, size = fitted(words, _WORDS, width - 2.4, bold=True)
            pen.text(x + 1.2, y + 1.2, shown, size, bold=True)
            x += width
    if symbol:
        draw_projection_symbol(pen, left + WIDTH - symbol / 2, MARGIN + 2.5 * ROW, paper, size=0.55)
    corners = [(left, MARGIN), (left + WIDTH, MARGIN)]
    corners += [(x, MARGIN + HEIGHT) for x, _ in reversed(corners)]
    pen.chain(corners, WIDE, close=True)


def draw_frame(canvas: Canvas, paper: Paper, left: float) -> None:
    """The frame of a drawing, within the margins; the left one keeps room for the punch."""
    pen = Pen(canvas)
    right, top = paper.width - MARGIN, paper.height - MARGIN
    pen.chain([(left, MARGIN), (right, MARGIN), (right, top), (left, top)], WIDE, close=True)
