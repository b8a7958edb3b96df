"""A printer that is not true is measured once, and then prints templates that are."""

from pathlib import Path

import pdfplumber
import pytest
from hypothesis import given
from hypothesis import strategies as st

from designer.analysis import analyse_fully
from designer.sheet.build_sheet import build_sheet_bytes
from designer.sheet.calibration import (
    MOST,
    UNCORRECTED,
    BarLengths,
    Correction,
    correction_from_measured,
)
from designer.sheet.calibration_page import calibration_page, calibration_pdf, long_bars
from designer.sheet.options import SheetOptions
from designer.sheet.paper import A3, A4, LETTER, MARGIN, TABLOID, Paper, roll
from designer.sheet.template import Printing
from designer.sheet.template_patch import patch_template
from designer.sheet.template_strip import strip_template
from designer.units import UnitSystem, parse_length
from tests.beds import bed
from tests.sheet.measure import bar_length_of_ink, bars, render
from tests.sheet.page_audit import layout_faults
from tests.sheet.page_marks import read_marks
from tests.sheet.printed import DAY, print_templates
from tests.sheet.test_templates import PATCH, strip

EVERY_PAPER = pytest.mark.parametrize(
    "paper", [A4, LETTER, A3, TABLOID, roll(610), roll(914.4)], ids=lambda paper: paper.name
)
BOTH_UNITS = pytest.mark.parametrize("units", ["metric", "imperial"])
DRAWN = BarLengths(180.0, 250.0)
OFF = st.floats(-0.99 * MOST, 0.99 * MOST)


@given(OFF, OFF)
def test_what_is_drawn_with_the_correction_prints_true(across: float, along: float) -> None:
    measured = BarLengths(180 * (1 + across), 250 * (1 + along))
    found = correction_from_measured(measured, DRAWN)
    assert 100 * found.across * (1 + across) == pytest.approx(100, abs=1e-9)
    assert 100 * found.along * (1 + along) == pytest.approx(100, abs=1e-9)


@given(st.floats(-0.015, 0.015), st.floats(-0.015, 0.015), st.floats(-0.005, 0.005))
def test_measuring_a_corrected_page_mends_what_was_measured_badly(
    across: float, along: float, slip: float
) -> None:
    true = BarLengths(180 * (1 + across), 250 * (1 + along))
    first = correction_from_measured(BarLengths(true.across * (1 + slip), true.along), DRAWN)
    printed = BarLengths(100 * first.across * (1 + across), 100 * first.along * (1 + along))
    second = correction_from_measured(printed, BarLengths(100.0, 100.0), in_force=first)
    assert second.across * (1 + across) == pytest.approx(1, abs=1e-9)
    assert second.along * (1 + along) == pytest.approx(1, abs=1e-9)


@pytest.mark.parametrize(
    ("typed", "units", "said"),
    [
        ("7.1", "metric", "inches"),
        ("18", "metric", "cm"),
        ("180", "imperial", "in mm"),
        ("100.2", "metric", "a short bar"),
        ("101.5", "metric", "a short bar"),
        ("4 in", "imperial", "a short bar"),
        ("250", "metric", "the other long bar"),
        ("174.6", "metric", "3.0 % off: the page was fitted"),
        ("186", "metric", "3.3 % off"),
        ("0", "metric", "Type the length"),
        ("-180", "metric", "Type the length"),
    ],
)
def test_absurd_readings_are_refused_in_words(typed: str, units: UnitSystem, said: str) -> None:
    with pytest.raises(ValueError, match=said) as refused:
        correction_from_measured(BarLengths(parse_length(typed, units), 250), DRAWN)
    assert "across" in str(refused.value)


@pytest.mark.parametrize("nonsense", [float("nan"), float("inf")])
def test_what_is_no_length_is_refused(nonsense: float) -> None:
    with pytest.raises(ValueError, match="along"):
        correction_from_measured(BarLengths(180, nonsense), DRAWN)


def test_corrections_that_add_up_to_too_much_are_refused() -> None:
    far = Correction(1.02, 1.0)
    with pytest.raises(ValueError, match="uncorrected and measure again"):
        correction_from_measured(BarLengths(98.5, 100), BarLengths(100, 100), in_force=far)


def test_the_correction_is_said_in_words() -> None:
    assert Correction(1.0042, 0.998).stated.startswith(
        "Corrected for this printer: 100.4 % across, 99.8 % along"
    )
    assert "Not corrected" in UNCORRECTED.stated


@EVERY_PAPER
@BOTH_UNITS
def test_the_calibration_page_has_bars_as_long_as_the_paper_allows(
    paper: Paper, units: UnitSystem, tmp_path: Path
) -> None:
    path = tmp_path / "calibration.pdf"
    path.write_bytes(calibration_pdf(paper, units, DAY))
    drawn = long_bars(paper, units)
    page = calibration_page(paper, units).paper
    found = bars(path, 0)
    for upward, long, side in ((False, drawn.across, page.width), (True, drawn.along, page.height)):
        lengths = sorted(bar.length for bar in found if bar.upward is upward)
        assert lengths == pytest.approx([100, 101.6, long], abs=0.01)
        assert side - 2 * MARGIN - 60 < long < side - 2 * MARGIN
    (marks,) = read_marks(path.read_bytes()).pages
    assert layout_faults(marks) == []
    assert "Not corrected" in marks.said


def test_the_bars_of_the_calibration_page_are_true_in_ink(tmp_path: Path) -> None:
    path = tmp_path / "calibration.pdf"
    path.write_bytes(calibration_pdf(A4, "metric", DAY))
    ink = render(path, 0)
    found = bars(path, 0)
    assert len(found) == 6
    for bar in found:
        assert bar_length_of_ink(ink, bar) == pytest.approx(bar.length, abs=0.05)


@EVERY_PAPER
def test_a_printer_that_is_off_prints_true_once_it_was_measured(
    paper: Paper, tmp_path: Path
) -> None:
    shrinks_across, stretches_along = 0.9938, 1.0047
    drawn = long_bars(paper, "metric")
    correction = correction_from_measured(
        BarLengths(drawn.across * shrinks_across, drawn.along * stretches_along), drawn
    )
    path = tmp_path / "templates.pdf"
    templates = [patch_template(PATCH), strip_template(strip(12, 352.5))]
    pages = [page for t in templates for page in t.pages(Printing(paper, "metric", correction))]
    print_templates(path, templates, Printing(paper, "metric", correction))
    assert {page.sheet.sideways for page in pages} == {False, True}
    for number, page in enumerate(pages):
        found = bars(path, number)
        assert len(found) == 4
        for bar in found:
            along_paper = bar.upward != page.sheet.sideways
            printed = bar.length * (stretches_along if along_paper else shrinks_across)
            true = min((100.0, 101.6), key=lambda length: abs(length - printed))
            assert printed == pytest.approx(true, abs=0.01)


@pytest.mark.parametrize("correction", [UNCORRECTED, Correction(1.004, 0.998)])
@EVERY_PAPER
def test_every_template_page_says_whether_it_was_corrected(
    paper: Paper, correction: Correction, tmp_path: Path
) -> None:
    path = tmp_path / "templates.pdf"
    templates = [patch_template(PATCH), strip_template(strip(30, 352.5))]
    print_templates(path, templates, Printing(paper, "metric", correction))
    with pdfplumber.open(path) as pdf:
        for page in pdf.pages:
            bold = "".join(c["text"] for c in page.chars if "Bold" in c["fontname"])
            assert correction.stated in bold


def test_pages_to_read_are_never_corrected() -> None:
    analysis = analyse_fully(bed(2))
    plain, corrected = (
        read_marks(
            build_sheet_bytes(
                analysis,
                SheetOptions(correction=correction, template_paper=LETTER, date=DAY),
            )
        ).pages
        for correction in (UNCORRECTED, Correction(1.012, 0.995))
    )
    templates = [page for page in plain if "template page 1 of" in page.said]
    first = plain.index(templates[0])
    assert 0 < first < len(plain) - 1
    for before, after in zip(plain[:first], corrected[:first], strict=True):
        assert [(w.text, w.box) for w in before.words] == [(w.text, w.box) for w in after.words]
    for page in corrected[first:]:
        assert "Corrected for this printer" in page.said
    for page in plain[first:]:
        assert "Not corrected" in page.said
