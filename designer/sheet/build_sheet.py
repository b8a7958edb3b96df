"""The build sheet: everything that is needed at the bench, as one PDF."""

import datetime
from collections.abc import Callable, Sequence
from pathlib import Path

from reportlab.pdfgen.canvas import Canvas

from designer.analysis import Analysis
from designer.model.saving import write_in_one_step
from designer.sheet.cautions import caution_pages
from designer.sheet.cover import Contents, cover_pages
from designer.sheet.cutting_page import cutting_pages
from designer.sheet.drawings import drawing_pages
from designer.sheet.findings_page import finding_pages
from designer.sheet.materials import material_pages
from designer.sheet.measure_yours import measure_pages
from designer.sheet.pages import SheetPage, page_room
from designer.sheet.paper import PAPERS, POINTS_PER_MM, Paper, PaperName, start_canvas
from designer.sheet.schedules import schedule_pages
from designer.sheet.stand_page import stand_pages
from designer.sheet.template_values import Templates, templates_of
from designer.sheet.templates import count_template_pages, draw_templates, template_starts
from designer.sheet.title_block import TitleBlock, draw_title_block
from designer.sheet.water_page import water_pages
from designer.sheet.words import UNIT_WORDS
from designer.takeoff.quantities import take_off
from designer.takeoff.sticks import stock_plan

TEMPLATES = "Drill templates"
Progress = Callable[[int, int], None]
"""Called with pages done and pages in all; it may raise to stop the work."""


def write_build_sheet(
    analysis: Analysis,
    path: str | Path,
    paper: PaperName | None = None,
    only_templates: bool = False,
    progress: Progress | None = None,
    date: datetime.date | None = None,
) -> None:
    """Write the build sheet of an analysis, or only its drill templates, to a PDF.

    `paper` wins over the design's own. `date` is printed on every sheet, today when None; the same
    analysis and date give the same bytes. What `progress` raises comes through, and then, as after
    any error, the file is as it was. Raises ValueError, in words for the person, when only
    templates are asked for and there are none, and OSError when the file cannot be written.
    """
    target = Path(path)
    data = build_sheet_bytes(analysis, paper, only_templates, progress, date)
    write_in_one_step([(target, data)], 0o644)


def build_sheet_bytes(
    analysis: Analysis,
    paper: PaperName | None = None,
    only_templates: bool = False,
    progress: Progress | None = None,
    date: datetime.date | None = None,
) -> bytes:
    """The PDF that :func:`write_build_sheet` writes."""
    title = analysis.design.title or "Bucket bed"
    canvas = start_canvas(None, f"{title}: {_kind(only_templates)}")
    sheet = PAPERS[paper or analysis.design.paper]
    units = analysis.design.units
    templates = templates_of(analysis)
    if only_templates and not (templates.patches or templates.strips):
        problem = templates.problems[0] if templates.problems else "Add a bucket first."
        raise ValueError(f"There is no template to print yet. {problem}")
    starts = template_starts(templates.patches, templates.strips, sheet, units)
    count = count_template_pages(templates.patches, templates.strips, sheet, units)
    pages = [] if only_templates else _pages(analysis, sheet, templates, starts, count)
    total = len(pages) + count
    issued = (date or datetime.date.today()).isoformat()
    seen = ""
    for number, page in enumerate(pages, 1):
        if page.section != seen:
            seen = page.section
            _bookmark(canvas, page.section)
        block = TitleBlock(
            title, page.section, issued, page.scale, UNIT_WORDS[units], number, total
        )
        _draw_page(canvas, page, block)
        if progress:
            progress(number, total)
    if count:
        _bookmark(canvas, TEMPLATES)

        def template_done(done: int, _: int) -> None:
            if progress:
                progress(len(pages) + done, total)

        draw_templates(
            canvas,
            templates.patches,
            templates.strips,
            sheet,
            units,
            template_done,
            before=len(pages),
            started=lambda name: _bookmark(canvas, name, 1),
        )
    return bytes(canvas.getpdfdata())


def _kind(only_templates: bool) -> str:
    return "drill templates" if only_templates else "build sheet"


def _pages(
    analysis: Analysis,
    paper: Paper,
    templates: Templates,
    starts: Sequence[tuple[str, int]],
    template_pages: int,
) -> list[SheetPage]:
    """All pages before the templates. The cover lists what follows it, so it is made last."""
    plan = stock_plan(analysis)
    rest = [
        *drawing_pages(analysis, paper),
        *measure_pages(analysis, paper),
        *schedule_pages(analysis, paper),
        *water_pages(analysis, paper),
        *stand_pages(analysis, paper),
        *material_pages(analysis, take_off(analysis), plan, paper),
        *cutting_pages(analysis, plan, paper),
        *finding_pages(analysis, paper, templates.problems),
        *caution_pages(paper),
    ]
    sections = list(dict.fromkeys(page.section for page in rest))
    firsts = [next(i for i, page in enumerate(rest) if page.section == s) for s in sections]

    def cover(covers: int) -> list[SheetPage]:
        before = covers + len(rest)
        entries = [(s, covers + i + 1) for s, i in zip(sections, firsts, strict=True)]
        entries += [(name, before + start) for name, start in starts]
        contents = Contents(entries, before + template_pages, template_pages)
        return cover_pages(analysis, paper, contents)

    # A longer cover moves the numbers on it, but three figures take no more room than one.
    return [*cover(len(cover(1))), *rest]


def _draw_page(canvas: Canvas, page: SheetPage, block: TitleBlock) -> None:
    paper = page.paper
    canvas.setPageSize((paper.width * POINTS_PER_MM, paper.height * POINTS_PER_MM))
    page.draw(canvas, page_room(paper))
    draw_title_block(canvas, paper, block)
    canvas.showPage()


def _bookmark(canvas: Canvas, words: str, level: int = 0) -> None:
    """A bookmark in the viewer's outline for the page that is about to be drawn."""
    canvas.bookmarkPage(f"{level} {words}")
    canvas.addOutlineEntry(words, f"{level} {words}", level)
