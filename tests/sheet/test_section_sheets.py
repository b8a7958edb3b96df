"""Sheets of sections: balloons and list agree, the projection is honest, nothing overlaps."""

import re
from dataclasses import replace
from functools import cache

import pytest

from designer.analysis import Analysis, analyse_fully
from designer.drawing.frame import view_frame
from designer.drawing.part_places import plan_parts, return_parts, section_parts
from designer.drawing.records import Text
from designer.drawing.return_plane import return_end_of
from designer.drawing.section_plane import section_of
from designer.model import edits
from designer.model.file import format_design
from designer.sheet.build_sheet import build_sheet_bytes, identification
from designer.sheet.drawings import drawing_pages
from designer.sheet.paper import A3, A4, LETTER, PAPERS, TABLOID, Paper, PaperName
from designer.sheet.pdf_pages import Imprint, pages_pdf
from designer.sheet.projection import first_angle
from designer.sheet.run_sheets import run_sheets
from designer.sheet.section_sheets import run_section_sheets, section_sheets
from designer.sheet.views import box_of
from designer.takeoff.materials import item_numbers, materials
from designer.takeoff.sticks import stock_plan
from tests.beds import bed
from tests.sheet.page_audit import layout_faults
from tests.sheet.page_marks import PageMarks, read_marks
from tests.sheet.printed import on


@cache
def analysed(buckets: int, units: str = "metric") -> Analysis:
    return analyse_fully(bed(buckets, units))  # type: ignore[arg-type]


@cache
def numbers_of(buckets: int, units: str = "metric") -> dict[str, int]:
    analysis = analysed(buckets, units)
    return item_numbers(materials(analysis, stock_plan(analysis)))


@cache
def drawings(buckets: int, units: str, paper: PaperName) -> list[PageMarks]:
    analysis = analysed(buckets, units)
    pages = drawing_pages(analysis, PAPERS[paper], numbers_of(buckets, units))
    return read_marks(pages_pdf(pages, Imprint("Bed", "build sheet", "2026-03-01", "mm"))).pages


CASES = pytest.mark.parametrize(
    ("buckets", "units", "paper"),
    [(2, "metric", "a4"), (12, "imperial", "letter"), (30, "metric", "a3")],
)


@CASES
def test_nothing_on_a_drawing_page_overlaps(buckets: int, units: str, paper: PaperName) -> None:
    faults = [fault for page in drawings(buckets, units, paper) for fault in layout_faults(page)]
    assert not faults


def balloons(analysis: Analysis, paper: Paper, numbers: dict[str, int]) -> list[int]:
    found = [
        *(c.records for s, _ in section_sheets(analysis, paper, numbers) for c in s.cells),
        *(
            records
            for layout in analysis.runs
            for sheet in run_sheets(analysis, layout, paper, numbers).sheets
            for _, records in sheet.views
        ),
    ]
    return [
        int(r.text)
        for records in found
        for r in records
        if isinstance(r, Text) and r.style == "balloon_number"
    ]


@CASES
def test_every_part_that_is_seen_has_a_balloon_and_every_balloon_a_line(
    buckets: int, units: str, paper: PaperName
) -> None:
    analysis, numbers = analysed(buckets, units), numbers_of(buckets, units)
    shown = set(balloons(analysis, PAPERS[paper], numbers))
    assert shown <= set(numbers.values())
    seen = set()
    for layout in analysis.runs:
        section = section_of(analysis, layout.run.id)
        end = return_end_of(analysis, layout.run.id)
        assert section is not None
        assert end is not None
        seen |= {p.item for p in (*section_parts(section), *return_parts(end))}
        seen |= {p.item for p in plan_parts(layout, view_frame(analysis, layout.run.id))}
    assert seen <= set(numbers)
    assert shown == {numbers[item] for item in seen}


def test_numbers_count_the_list_from_1_in_its_order() -> None:
    analysis = analysed(6)
    lines = materials(analysis, stock_plan(analysis))
    numbers = item_numbers(lines)
    assert list(numbers.values()) == list(range(1, len(numbers) + 1))
    assert [numbers[line.id] for line in lines] == sorted(numbers[line.id] for line in lines)


def test_a_balloon_leads_to_its_line_in_the_shopping_list() -> None:
    pages = read_marks(build_sheet_bytes(analysed(6), on("a4"))).pages
    lists = {page.number for page in pages if "Shopping list" in page.said}
    sections = [page for page in pages if "SCALE 1:10" in page.said and page.links]
    assert sections
    for page in sections:
        assert {target for _, target in page.links} <= lists
    assert sum(len(page.links) for page in sections) >= 15


@pytest.mark.parametrize("paper", [A4, A3, LETTER, TABLOID], ids=lambda paper: paper.name)
def test_the_plan_stands_where_the_papers_projection_puts_it(paper: Paper) -> None:
    """First angle: the view from above stands below. Third angle: it stands above (ISO 5456-2)."""
    analysis = analysed(12)
    (sheet,) = run_sheets(analysis, analysis.runs[0], paper).sheets
    names = [name for name, _ in sheet.views]
    assert first_angle(paper) == (paper.name in ("A4", "A3"))
    assert names == (["Elevation", "Plan"] if first_angle(paper) else ["Plan", "Elevation"])


@pytest.mark.parametrize("paper", [A4, A3, LETTER, TABLOID], ids=lambda paper: paper.name)
@pytest.mark.parametrize("buckets", [2, 6])
def test_sections_are_true_to_their_scales(buckets: int, paper: Paper) -> None:
    analysis = analysed(buckets)
    sheets = run_section_sheets(analysis, analysis.runs[0], paper, {})
    names = [cell.name for sheet in sheets for cell in sheet.cells]
    assert sorted(names) == ["Detail Z", "Return end Y–Y", "Section X–X"]
    for sheet in sheets:
        for cell in sheet.cells:
            left, bottom, right, top = box_of(cell.records)
            assert (right - left) / cell.scale <= sheet.paper.width - 36
            assert (top - bottom) / cell.scale <= sheet.paper.height - 34
    coarsest = max(cell.scale for sheet in sheets for cell in sheet.cells)
    assert coarsest <= (10 if paper in (A4, LETTER) else 5)


def test_runs_that_read_the_same_share_their_sections() -> None:
    analysis = analysed(60)
    assert len(analysis.runs) == 2
    sheets = section_sheets(analysis, A4, {})
    assert any(len(runs) == 2 for _, runs in sheets)
    design = edits.set_run(analysis.design, analysis.runs[1].run.id, medium_depth=200.0)
    apart = section_sheets(analyse_fully(design), A4, {})
    assert all(len(runs) == 1 for _, runs in apart)


def test_the_identification_number_is_the_designs_own() -> None:
    design = bed(2)
    other = replace(design, notes="Another plan.")
    one, again, two = (identification(format_design(d).encode()) for d in (design, bed(2), other))
    assert re.fullmatch(r"[0-9A-F]{4}-[0-9A-F]{4}", one)
    assert one == again != two


@CASES
def test_the_title_block_has_the_fields_of_iso_7200(
    buckets: int, units: str, paper: PaperName
) -> None:
    for page in drawings(buckets, units, paper):
        for field in (
            "Title", "Supplementary title", "Document type", "Owner", "Drawn by", "Approved by",
            "Identification number", "Date of issue", "Language", "Scale", "Sheet",
        ):  # fmt: skip
            assert field in page.said
