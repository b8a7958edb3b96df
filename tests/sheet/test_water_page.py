"""The sheet about the water: its numbers are those that were solved, and nothing is cut off."""

import io
from dataclasses import replace
from functools import cache

import pdfplumber
import pytest
from hypothesis import given, settings
from pdfplumber.pdf import PDF

from designer.analysis import Analysis, analyse, analyse_fully
from designer.checks.water.situation import WaterSituation
from designer.drawing.fonts import register_fonts
from designer.model.design import Design
from designer.sheet.build_sheet import build_sheet_bytes
from designer.sheet.paper import PAPERS, PaperName
from designer.sheet.water_page import water_pages
from designer.units import UnitSystem
from tests.beds import bed
from tests.sheet.printed import assert_clean, on
from tests.strategies import designs

CASES = [
    (2, "metric", "a4"),
    (12, "imperial", "letter"),
    (60, "metric", "a4"),
    (60, "imperial", "letter"),
]


@cache
def solved(buckets: int, units: UnitSystem) -> Analysis:
    return analyse_fully(bed(buckets, units))


@cache
def sheets(buckets: int, units: UnitSystem, paper: PaperName) -> tuple[PDF, list[int]]:
    """The whole build sheet, and which of its pages (from 0) are about the water."""
    pdf = pdfplumber.open(io.BytesIO(build_sheet_bytes(solved(buckets, units), on(paper))))
    first = [p.extract_text().split("\n")[0] for p in pdf.pages]
    return pdf, [i for i, line in enumerate(first) if line.startswith("Water")]


def text_of(buckets: int, units: UnitSystem, paper: PaperName) -> str:
    pdf, pages = sheets(buckets, units, paper)
    return " ".join(" ".join(pdf.pages[i].extract_text().split()) for i in pages)


@pytest.mark.parametrize(("buckets", "units", "paper"), CASES)
def test_the_water_takes_two_sheets_between_the_card_and_the_checks(
    buckets: int, units: UnitSystem, paper: PaperName
) -> None:
    pdf, pages = sheets(buckets, units, paper)
    assert len(pages) == 2
    heads = [page.extract_text().split("\n")[0] for page in pdf.pages]
    before = max(i for i, head in enumerate(heads) if head.startswith("Running card"))
    after = next(i for i, head in enumerate(heads) if head.startswith("Checks"))
    assert before < pages[0] <= pages[-1] < after


@pytest.mark.parametrize(("buckets", "units", "paper"), CASES)
def test_it_carries_the_numbers_of_the_solved_water(
    buckets: int, units: UnitSystem, paper: PaperName
) -> None:
    analysis = solved(buckets, units)
    water = analysis.water
    assert water is not None
    s = WaterSituation(water, analysis.catalogue)
    feed, store = water.feed, water.reservoir
    text = text_of(buckets, units, paper)
    for wanted in (
        f"{s.flow(feed.flow)} at {s.head(feed.head)}",
        f"{s.flow(feed.spread[0])} to {s.flow(feed.spread[1])}",
        f"emission uniformity {feed.emission_uniformity:.0f} %",
        f"{s.volume(store.drain_back)} run back",
        f"{s.say(store.freeboard)} below the rim",
        f"every {store.top_up_days:.1f} days",
        f"{store.hours_without_pump:.1f} hours",
        f"{store.energy.kilowatt_hours:.1f} kWh a month",
        "in the drain first",
        "exponent 1.75",
        "table 4.E.4 (published)",
        "from memory",
    ):
        assert wanted in text, wanted
    for drain in water.drains.values():
        assert f"{100 * drain.fullest[1]:.0f} % full at most" in text
        assert drain.profile.regime.value in text


@pytest.mark.parametrize(("buckets", "units", "paper"), CASES)
def test_every_bucket_is_listed_with_its_flow(
    buckets: int, units: UnitSystem, paper: PaperName
) -> None:
    analysis = solved(buckets, units)
    assert analysis.water is not None
    s = WaterSituation(analysis.water, analysis.catalogue)
    text = text_of(buckets, units, paper)
    for bucket_id, flow in analysis.water.feed.flows.items():
        assert f"{analysis.bucket_label(bucket_id)} {s.flow(flow)}" in text


@pytest.mark.parametrize(("buckets", "units", "paper"), CASES)
def test_no_words_are_small_cut_off_or_over_one_another(
    buckets: int, units: UnitSystem, paper: PaperName
) -> None:
    pdf, pages = sheets(buckets, units, paper)
    assert_clean([pdf.pages[i] for i in pages])


def test_water_that_is_not_solved_or_not_current_is_not_printed() -> None:
    assert water_pages(analyse(bed(6)), PAPERS["a4"]) == []
    assert water_pages(replace(solved(2, "metric"), water_current=False), PAPERS["a4"]) == []


@given(designs())
@settings(max_examples=8)
def test_any_bed_can_be_printed_with_its_water(design: Design) -> None:
    register_fonts()
    analysis = analyse_fully(design)
    pages = water_pages(analysis, PAPERS[design.paper])
    assert bool(pages) == (analysis.water is not None)


def test_a_starting_value_is_not_called_chosen() -> None:
    """Nobody chose the roughness of the drain of a new bed."""
    text = text_of(12, "imperial", "letter")
    assert "Manning n 0.010. The program's starting value." in text
    assert "As chosen" not in text
    assert "by four published methods for fittings" in text
    design = solved(2, "metric").design
    other = replace(design, water=replace(design.water, manning_n=0.013))
    pdf = pdfplumber.open(io.BytesIO(build_sheet_bytes(analyse_fully(other), on())))
    text = " ".join(" ".join(page.extract_text().split()) for page in pdf.pages)
    assert "Manning n 0.013. As entered." in text
