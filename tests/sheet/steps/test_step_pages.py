"""The pages of the steps: a box for every action, a picture of the run, the same words."""

import io
from contextlib import nullcontext
from functools import cache
from pathlib import Path

import pdfplumber
import pytest
from hypothesis import given, settings
from pdfplumber.pdf import PDF

from designer.analysis import Analysis, analyse
from designer.drawing.records import Circle, Line, Text, extent
from designer.model.design import Design
from designer.sheet.build_sheet import build_sheet_bytes
from designer.sheet.cautions import caution
from designer.sheet.paper import A4, PaperName, register_fonts
from designer.sheet.pdf_pages import Imprint, pages_pdf
from designer.sheet.pen import LEAST_TEXT
from designer.sheet.steps.build import build_steps
from designer.sheet.steps.card_page import card_pages
from designer.sheet.steps.pictures import fitted
from designer.sheet.steps.step import PRACTICE
from designer.sheet.steps.step_pages import step_pages
from tests.sheet.printed import on
from tests.sheet.steps.test_build import bed
from tests.strategies import designs

MM = 72 / 25.4
CASES = [(2, "metric", "a4"), (12, "imperial", "letter"), (60, "metric", "a4")]


@cache
def printed(buckets: int, units: str, paper: PaperName) -> PDF:
    return pdfplumber.open(io.BytesIO(build_sheet_bytes(bed(buckets, units), on(paper))))


def words_of(pdf: PDF, head: str) -> str:
    pages = [page for page in pdf.pages if page.extract_text().startswith(head)]
    assert pages, head
    return "".join("".join(page.extract_text().split()) for page in pages)


@pytest.mark.parametrize(("buckets", "units", "paper"), CASES)
def test_every_action_stands_on_its_steps_page_with_a_box_to_tick(
    buckets: int, units: str, paper: PaperName
) -> None:
    pdf = printed(buckets, units, paper)
    for number, step in enumerate(build_steps(bed(buckets, units)), 1):
        head = f"Step {number}: {step.title}"
        words = words_of(pdf, head)
        for action in step.actions:
            assert action.text.replace(" ", "") in words
        for one in step.cautions:
            assert "".join(caution(one).brief.split()) in words
        starred = any(action.practice for action in step.actions)
        assert (f"*{PRACTICE}".replace(" ", "") in words) == starred
        boxes = [
            rect
            for page in pdf.pages
            if page.extract_text().startswith(head)
            for rect in page.rects
            if rect["width"] == pytest.approx(3.4 * MM, abs=0.01)
            and rect["height"] == pytest.approx(3.4 * MM, abs=0.01)
        ]
        assert len(boxes) == len(list(step.actions)), head


@pytest.mark.parametrize(("buckets", "units"), [(2, "metric"), (12, "imperial"), (60, "metric")])
def test_every_picture_fits_the_page_and_its_letters_can_be_read(buckets: int, units: str) -> None:
    register_fonts()
    analysis: Analysis = bed(buckets, units)
    seen = 0
    for step in build_steps(analysis):
        for part in step.parts:
            for picture in part.pictures:
                records, scale, *_ = fitted(analysis, picture, 180.0)
                if not records:
                    continue
                seen += 1
                left, bottom, right, top = extent(records)  # type: ignore[misc]
                assert (right - left) / scale <= 180.5, picture.caption
                assert (top - bottom) / scale <= 80.0
                assert {type(one) for one in records} <= {Line, Circle, Text}
                for one in records:
                    if isinstance(one, Text):
                        assert one.height / scale * MM >= LEAST_TEXT - 0.01
    assert seen >= 6


def test_the_running_card_and_its_log_print_on_one_sheet() -> None:
    pdf = printed(12, "imperial", "letter")
    cards = [page for page in pdf.pages if page.extract_text().startswith("Running card")]
    assert len(cards) == 1
    assert "Log" in cards[0].extract_text()


def test_the_printing_page_tries_the_printer_with_bars_of_true_length() -> None:
    pdf = printed(2, "metric", "a4")
    (page,) = [p for p in pdf.pages if p.extract_text().startswith("How to print")]
    lengths = [abs(line["x1"] - line["x0"]) / MM for line in page.lines]
    for wanted in (100.0, 101.6):
        assert any(length == pytest.approx(wanted, abs=0.02) for length in lengths)


def test_the_steps_know_nothing_of_pages() -> None:
    """Steps are values: only the modules that draw import the drawing library."""
    folder = Path(build_steps.__code__.co_filename).parent
    drawing = {"card_page", "pictures", "step_pages", "tick"}
    for path in folder.glob("*.py"):
        assert ("import" in path.read_text() and "reportlab" in path.read_text()) == (
            path.stem in drawing
        ), path.stem


@settings(max_examples=20, deadline=None)
@given(designs(max_runs=2, max_buckets=8))
def test_any_design_has_its_steps_on_pages(design: Design) -> None:
    register_fonts()
    analysis = analyse(design)
    pages = step_pages(analysis, A4) + card_pages(analysis, A4)
    assert bool(pages) == bool(build_steps(analysis))
    imprint = Imprint("Any", "steps", "2026-03-01", "mm")
    with pdfplumber.open(io.BytesIO(pages_pdf(pages, imprint))) if pages else nullcontext() as pdf:
        for page in pdf.pages if pdf else ():
            assert page.extract_text()
