"""Pages as the bytes of a PDF, with title blocks, bookmarks, links, tags and the design itself."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import groupby

from reportlab.pdfgen.canvas import Canvas

from designer.sheet.attachment import Attachment, attach
from designer.sheet.document_facts import describe, identify, label_pages
from designer.sheet.links import destination, sheet_name
from designer.sheet.pages import Room, SheetPage, page_room
from designer.sheet.paper import POINTS_PER_MM, start_canvas
from designer.sheet.tagging import artifact, finish_tags, group, start_tags
from designer.sheet.title_block import TitleBlock, draw_title_block

Progress = Callable[[int, int], None]
"""Called with pages done and pages in all; it may raise to stop the work."""


@dataclass(frozen=True)
class Imprint:
    """What is the same on every sheet: the design's title, the kind of file, date, units, and the
    number that tells this design from any other; empty where there is no design."""

    title: str
    file_kind: str
    date: str
    units: str
    identification: str = ""


def pages_pdf(
    pages: Sequence[SheetPage],
    imprint: Imprint,
    progress: Progress | None = None,
    design: Attachment | None = None,
) -> bytes:
    """The PDF, with the file of the design in it.

    The same pages, imprint and design give the same bytes. What `progress` raises comes through.
    """
    title = f"{imprint.title}: {imprint.file_kind}"
    canvas = start_canvas(title)
    start_tags(canvas)
    number, entry = 0, ""
    for section, members in groupby(pages, lambda page: page.section):
        _bookmark(canvas, section, 0)
        with group(canvas, "Sect"):
            for page in members:
                number += 1
                if page.entry and page.entry != entry:
                    entry = page.entry
                    _bookmark(canvas, entry, 1)
                destination(canvas, sheet_name(number))
                _draw_page(canvas, page, imprint, number, len(pages))
                if progress:
                    progress(number, len(pages))
    finish_tags(canvas)
    describe(canvas, title, f"{imprint.file_kind.capitalize()} of a bucket bed", imprint.date)
    label_pages(canvas, [not page.title_block for page in pages])
    if design is not None:
        attach(canvas, design)
    identify(canvas)
    return bytes(canvas.getpdfdata())


def _draw_page(canvas: Canvas, page: SheetPage, imprint: Imprint, number: int, count: int) -> None:
    paper = page.paper
    canvas.setPageSize((paper.width * POINTS_PER_MM, paper.height * POINTS_PER_MM))
    if page.title_block:
        page.draw(canvas, page_room(paper))
        block = TitleBlock(
            imprint.title,
            page.about or imprint.file_kind.capitalize(),
            page.section,
            imprint.identification,
            imprint.date,
            page.scale,
            imprint.units,
            number,
            count,
        )
        with artifact(canvas):
            draw_title_block(canvas, paper, block)
    else:
        page.draw(canvas, Room(0.0, 0.0, paper.width, paper.height))
    canvas.showPage()


def _bookmark(canvas: Canvas, words: str, level: int) -> None:
    """A bookmark in the viewer's outline for the page that is about to be drawn."""
    canvas.bookmarkPage(f"{level} {words}")
    canvas.addOutlineEntry(words, f"{level} {words}", level)
