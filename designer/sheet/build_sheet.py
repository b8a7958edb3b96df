"""The build sheet: everything that is needed at the bench, as one PDF."""

import datetime
from collections.abc import Sequence
from pathlib import Path

from designer.analysis import Analysis
from designer.model.file import SUFFIX, file_name, fingerprint_of, format_design
from designer.model.saving import write_in_one_step
from designer.sheet.attachment import Attachment
from designer.sheet.cautions import caution_pages
from designer.sheet.cover import Contents, cover_pages
from designer.sheet.cut_list import cut_list_pages
from designer.sheet.cutting_page import cutting_pages
from designer.sheet.drawings import drawing_pages
from designer.sheet.findings_page import finding_pages
from designer.sheet.measure_yours import measure_pages
from designer.sheet.options import SheetOptions
from designer.sheet.pages import SheetPage
from designer.sheet.paper import PAPERS, Paper, register_fonts
from designer.sheet.pdf_pages import Imprint, Progress, pages_pdf
from designer.sheet.printing_page import printing_pages
from designer.sheet.shopping import shopping_pages
from designer.sheet.sources_page import source_pages
from designer.sheet.stand_page import stand_pages
from designer.sheet.steps.card_page import card_pages
from designer.sheet.steps.step_pages import step_pages
from designer.sheet.template import Printing, Template
from designer.sheet.template_pages import laid_out, numbered_pages, template_pages
from designer.sheet.template_values import templates_of
from designer.sheet.water_page import water_pages
from designer.sheet.words import UNIT_WORDS
from designer.takeoff.materials import item_numbers, materials
from designer.takeoff.sticks import stock_plan

AS_DESIGNED = SheetOptions()


def write_build_sheet(
    analysis: Analysis,
    path: str | Path,
    options: SheetOptions = AS_DESIGNED,
    progress: Progress | None = None,
) -> None:
    """Write the build sheet of an analysis, or only its drill templates, to a PDF.

    The same analysis and options give the same bytes. What `progress` raises comes through, and
    then, as after any error, the file is as it was. Raises ValueError, in words for the person,
    when only templates are asked for and there are none, and OSError when the file cannot be
    written.
    """
    data = build_sheet_bytes(analysis, options, progress)
    write_in_one_step([(Path(path), data)], 0o644)


def build_sheet_bytes(
    analysis: Analysis, options: SheetOptions = AS_DESIGNED, progress: Progress | None = None
) -> bytes:
    """The PDF that :func:`write_build_sheet` writes."""
    content = format_design(analysis.design).encode("utf-8")
    imprint = Imprint(
        analysis.design.title or "Bucket bed",
        "drill templates" if options.only_templates else "build sheet",
        (options.date or datetime.date.today()).isoformat(),
        UNIT_WORDS[analysis.design.units],
        identification(content),
    )
    design = Attachment(f"{file_name(imprint.title)}{SUFFIX}", content)
    return pages_pdf(sheet_pages(analysis, options), imprint, progress, design)


def identification(content: bytes) -> str:
    """The number that tells sheets of this design from those of any other: two groups of its
    fingerprint."""
    mark = fingerprint_of(content).upper()
    return f"{mark[:4]}-{mark[4:8]}"


def sheet_pages(analysis: Analysis, options: SheetOptions = AS_DESIGNED) -> list[SheetPage]:
    """Every page of the file in its order. Raises ValueError as :func:`write_build_sheet` does."""
    register_fonts()
    paper = options.paper or PAPERS[analysis.design.paper]
    found = templates_of(analysis, options.kinds)
    wanted = [template for template in found.templates if options.wants(template)]
    printing = Printing(options.template_paper or paper, analysis.design.units, options.correction)
    if options.only_templates:
        if not wanted:
            if found.problems:
                problem = found.problems[0]
            elif analysis.places:
                problem = "This bed has no use for those that were asked for."
            else:
                problem = "Add a bucket first."
            raise ValueError(f"There is no template to print yet. {problem}")
        return template_pages(wanted, printing)
    rest = _pages_to_read(analysis, paper, found.problems, wanted)
    covers: list[SheetPage] = []
    # The cover lists what follows it. A longer one moves the numbers on it, but three figures take
    # no more room than one.
    made = laid_out(wanted, printing)
    for _ in range(2):
        templates = numbered_pages(made, len(covers) + len(rest))
        contents = _contents([*rest, *templates], len(covers), len(templates))
        covers = cover_pages(analysis, paper, contents)
    return [*covers, *rest, *numbered_pages(made, len(covers) + len(rest))]


def _pages_to_read(
    analysis: Analysis,
    paper: Paper,
    template_problems: Sequence[str],
    templates: Sequence[Template],
) -> list[SheetPage]:
    """All pages between the cover and the templates."""
    plan = stock_plan(analysis)
    return [
        *shopping_pages(analysis, plan, paper),
        *drawing_pages(analysis, paper, item_numbers(materials(analysis, plan))),
        *cut_list_pages(analysis, paper),
        *cutting_pages(analysis, plan, paper),
        *step_pages(analysis, paper),
        *card_pages(analysis, paper),
        *water_pages(analysis, paper),
        *stand_pages(analysis, paper),
        *finding_pages(analysis, paper, template_problems),
        *caution_pages(paper),
        *measure_pages(analysis, paper),
        *source_pages(analysis, paper),
        *printing_pages(templates, paper),
    ]


def _contents(following: Sequence[SheetPage], covers: int, templates: int) -> Contents:
    """What follows the cover: each section, or its entries, with the first sheet of each."""
    first: dict[str, int] = {}
    for number, page in enumerate(following, covers + 1):
        first.setdefault(page.entry or page.section, number)
    return Contents(list(first.items()), covers + len(following), templates)
