"""The pages of a build sheet before they are drawn: their room, and text flowed into it.

Pages are made first and drawn afterwards, so that each can say "sheet 3 of 11".
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from xml.sax.saxutils import escape

from reportlab.lib.colors import HexColor
from reportlab.lib.styles import ParagraphStyle
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable, Spacer, Table, TableStyle

from designer.sheet.flowables import LinkedWords, PlacedWords, Words, tag_table
from designer.sheet.paper import BOLD, MARGIN, POINTS_PER_MM, REGULAR, Paper
from designer.sheet.tagging import artifact, marked
from designer.sheet.title_block import HEIGHT

FILING = 20.0
"""Left margin for the punch, mm (ISO 5457)."""
HEAD = 12.0
"""Room for a text page's heading, mm."""
_ENOUGH = 45.0
"""A long table starts on a page only where this much is left, mm."""
_RULE = HexColor("#8a9198")
_SHADE = HexColor("#eceff1")

BODY = ParagraphStyle("body", fontName=REGULAR, fontSize=9, leading=12.2)
SMALL = ParagraphStyle("small", BODY, fontSize=8, leading=10.6)
CELL = ParagraphStyle("cell", BODY, fontSize=8.5, leading=11)
CELL_RIGHT = ParagraphStyle("cell-right", CELL, alignment=2)
CELL_HEAD = ParagraphStyle("cell-head", CELL, fontName=BOLD)
CELL_HEAD_RIGHT = ParagraphStyle("cell-head-right", CELL_HEAD, alignment=2)
SUBHEAD = ParagraphStyle("subhead", BODY, fontName=BOLD, fontSize=11, leading=14)


@dataclass(frozen=True)
class Room:
    """The free rectangle of a page, mm from the paper's lower left corner."""

    left: float
    bottom: float
    width: float
    height: float

    @property
    def top(self) -> float:
        return self.bottom + self.height


@dataclass(frozen=True)
class SheetPage:
    """One page to draw. `section` is its heading, document type and bookmark; `about` says more in
    the title block; `entry` is a bookmark below that one. `scale` is ready text, empty where the
    page is not drawn to scale. `draw` fills the room, in mm; a page without a title block has the
    whole paper."""

    section: str
    draw: Callable[[Canvas, Room], None]
    paper: Paper
    scale: str = ""
    entry: str = ""
    title_block: bool = True
    about: str = ""


def page_room(paper: Paper) -> Room:
    """What margins and title block leave free on a page as it is held."""
    bottom = MARGIN + HEIGHT + 3.0
    return Room(FILING, bottom, paper.width - FILING - MARGIN, paper.height - MARGIN - bottom)


def text_page_room(paper: Paper) -> Room:
    """The room of a text page, below its heading."""
    room = page_room(paper)
    return Room(room.left, room.bottom, room.width, room.height - HEAD)


def flow_pages(section: str, blocks: Sequence[Sequence[Flowable]], paper: Paper) -> list[SheetPage]:
    """Pages that hold blocks of text and tables one below the other.

    A block is kept on one page where it fits on one; a table longer than a page is continued with
    its headings repeated.
    """
    room = text_page_room(paper)
    pages = _fill(blocks, room.width * POINTS_PER_MM, room.height * POINTS_PER_MM)
    return [
        SheetPage(section, _drawer(section, page, number), paper)
        for number, page in enumerate(pages)
    ]


def _drawer(
    section: str, placed: Sequence[tuple[Flowable, float]], number: int
) -> Callable[[Canvas, Room], None]:
    def draw(canvas: Canvas, room: Room) -> None:
        if number == 0:
            with marked(canvas, "H1"):
                draw_heading(canvas, room, section)
        else:
            with artifact(canvas):
                draw_heading(canvas, room, f"{section} (continued)")
        top = (room.top - HEAD) * POINTS_PER_MM
        for flowable, below in placed:
            flowable.drawOn(canvas, room.left * POINTS_PER_MM, top - below)

    return draw


def draw_heading(canvas: Canvas, room: Room, words: str) -> None:
    """The heading at the top of a page."""
    canvas.setFillGray(0)
    canvas.setFont(BOLD, 15)
    canvas.drawString(room.left * POINTS_PER_MM, (room.top - 5.5) * POINTS_PER_MM, words)


def _fill(
    blocks: Sequence[Sequence[Flowable]], width: float, height: float
) -> list[list[tuple[Flowable, float]]]:
    """Each page's flowables with the distance of their foot from the room's top, points."""
    pages: list[list[tuple[Flowable, float]]] = [[]]
    used = 0.0
    for block in blocks:
        whole = sum(flowable.wrap(width, height)[1] for flowable in block)
        left = height - used
        if pages[-1] and whole > left and (whole <= height or left < _ENOUGH * POINTS_PER_MM):
            pages.append([])
            used = 0.0
        waiting = list(block)
        while waiting:
            flowable = waiting.pop(0)
            if isinstance(flowable, Spacer) and (not pages[-1] or flowable.height > height - used):
                continue  # no page begins with a gap, or is begun for one
            _, needs = flowable.wrap(width, height - used)
            if needs <= height - used + 1e-6:
                used += needs
                pages[-1].append((flowable, used))
                continue
            parts = flowable.split(width, height - used)
            if len(parts) > 1:
                waiting[:0] = parts
            elif pages[-1]:
                pages.append([])
                used = 0.0
                waiting.insert(0, flowable)
            else:
                raise ValueError("A piece of text is too tall for a page of the build sheet.")
    return pages


def paragraph(words: str, style: ParagraphStyle = BODY) -> Words:
    """Plain words as a paragraph that wraps."""
    return Words(_markup(words), style)


def linked(words: str, place: str, leads: str, style: ParagraphStyle = CELL) -> LinkedWords:
    """Plain words that lead to a named place of the file; `leads` says where."""
    return LinkedWords(_markup(words), style).to(place, leads)


def placed(words: str, place: str, style: ParagraphStyle = CELL) -> PlacedWords:
    """Plain words at a place of the file that links can lead to by its name."""
    return PlacedWords(_markup(words), style).at(place)


def _markup(words: str) -> str:
    return escape(words).replace("\n", "<br/>")


def labelled(label: str, words: str, style: ParagraphStyle = BODY) -> Words:
    """A paragraph that begins with a bold label."""
    return Words(f'<font name="{BOLD}">{_markup(label)}</font> {_markup(words)}', style)


def gap(height: float) -> Spacer:
    """Empty room, mm."""
    return Spacer(1, height * POINTS_PER_MM)


def table(
    heads: Sequence[str],
    rows: Sequence[Sequence[str | Flowable]],
    widths: Sequence[float],
    right: Sequence[int] = (),
    cell: ParagraphStyle = CELL,
) -> Table:
    """A ruled table whose words wrap and whose headings repeat on every page.

    A cell is plain words, or what :func:`linked` makes of them. `widths` are mm; `right` are the
    columns that are set flush right; `cell` is the style of the others.
    """
    styled = [
        [paragraph(h, CELL_HEAD_RIGHT if i in right else CELL_HEAD) for i, h in enumerate(heads)]
    ]
    styled += [
        [_cell(content, CELL_RIGHT if i in right else cell) for i, content in enumerate(row)]
        for row in rows
    ]
    made = Table(
        styled,
        colWidths=[width * POINTS_PER_MM for width in widths],
        repeatRows=1,
        hAlign="LEFT",
        splitInRow=1,
        renderCB=tag_table,
    )
    made.setStyle(
        TableStyle(
            [
                ("VALIGN", (0, 0), (-1, -1), "TOP"),
                ("BACKGROUND", (0, 0), (-1, 0), _SHADE),
                ("LINEBELOW", (0, 0), (-1, 0), 0.5 * POINTS_PER_MM, HexColor("#000000")),
                ("LINEBELOW", (0, 1), (-1, -1), 0.13 * POINTS_PER_MM, _RULE),
                ("TOPPADDING", (0, 0), (-1, -1), 2),
                ("BOTTOMPADDING", (0, 0), (-1, -1), 2.5),
                ("LEFTPADDING", (0, 0), (-1, -1), 4),
                ("RIGHTPADDING", (0, 0), (-1, -1), 6),
                # Or figures set right would touch the words set left beside them.
                *(
                    ("LEFTPADDING", (i + 1, 0), (i + 1, -1), 9)
                    for i in right
                    if i + 1 < len(heads) and i + 1 not in right
                ),
            ]
        )
    )
    return made


def _cell(content: str | Flowable, style: ParagraphStyle) -> Flowable:
    return paragraph(content, style) if isinstance(content, str) else content
