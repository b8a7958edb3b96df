"""Pages as the bytes of a PDF, with their title blocks and bookmarks."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from reportlab.pdfgen.canvas import Canvas

from designer.sheet.pages import Room, SheetPage, page_room
from designer.sheet.paper import POINTS_PER_MM, start_canvas
from designer.sheet.title_block import TitleBlock, draw_title_block

Progress = Callable[[int, int], None]
"""Called with pages done and pages in all; it may raise to stop the work."""


@dataclass(frozen=True)
class Imprint:
    """What is the same on every sheet: the design's title, the kind of file, date and units."""

    title: str
    file_kind: str
    date: str
    units: str


def pages_pdf(
    pages: Sequence[SheetPage], imprint: Imprint, progress: Progress | None = None
) -> bytes:
    """The PDF. The same pages and imprint give the same bytes; what `progress` raises comes
    through."""
    canvas = start_canvas(f"{imprint.title}: {imprint.file_kind}")
    section = entry = ""
    for number, page in enumerate(pages, 1):
        if page.section != section:
            section = page.section
            _bookmark(canvas, section, 0)
        if page.entry and page.entry != entry:
            entry = page.entry
            _bookmark(canvas, entry, 1)
        _draw_page(canvas, page, imprint, number, len(pages))
        if progress:
            progress(number, len(pages))
    return bytes(canvas.getpdfdata())


def _draw_page(canvas: Canvas, page: SheetPage, imprint: Imprint, number: int, count: int) -> None:
    paper = page.paper
    canvas.setPageSize((paper.width * POINTS_PER_MM, paper.height * POINTS_PER_MM))
    if page.title_block:
        page.draw(canvas, page_room(paper))
        block = TitleBlock(
            imprint.title, page.section, imprint.date, page.scale, imprint.units, number, count
        )
        draw_title_block(canvas, paper, block)
    else:
        page.draw(canvas, Room(0.0, 0.0, paper.width, paper.height))
    canvas.showPage()


def _bookmark(canvas: Canvas, words: str, level: int) -> None:
    """A bookmark in the viewer's outline for the page that is about to be drawn."""
    canvas.bookmarkPage(f"{level} {words}")
    canvas.addOutlineEntry(words, f"{level} {words}", level)
