"""The sheet about the stand: its numbers are those that were solved, and nothing is cut off."""

import io
from dataclasses import replace
from functools import cache

import pdfplumber
import pytest
from pdfplumber.page import Page

from designer.analysis import Analysis, analyse, analyse_fully
from designer.checks.stand.situation import CAUTION, StandSituation
from designer.sheet.build_sheet import build_sheet_bytes
from designer.sheet.paper import PAPERS, PaperName
from designer.sheet.stand_page import stand_pages
from designer.units import UnitSystem
from tests.beds import bed
from tests.sheet.printed import assert_clean, on

CASES = [(2, "metric", "a4"), (12, "imperial", "letter"), (60, "metric", "a4")]


@cache
def solved(buckets: int, units: UnitSystem) -> Analysis:
    return analyse_fully(bed(buckets, units))


@cache
def pages(buckets: int, units: UnitSystem, paper: PaperName, section: str) -> list[Page]:
    """The pages of one section of the whole build sheet."""
    pdf = pdfplumber.open(io.BytesIO(build_sheet_bytes(solved(buckets, units), on(paper))))
    return [p for p in pdf.pages if p.extract_text().split("\n")[0].startswith(section)]


def text_of(found: list[Page]) -> str:
    return " ".join(" ".join(page.extract_text().split()) for page in found)


@pytest.mark.parametrize(("buckets", "units", "paper"), CASES)
def test_it_carries_the_numbers_of_the_solved_stand(
    buckets: int, units: UnitSystem, paper: PaperName
) -> None:
    analysis = solved(buckets, units)
    text = text_of(pages(buckets, units, paper, "Stand"))
    assert CAUTION in text
    for stand in analysis.stands.values():
        s = StandSituation(analysis.design, stand, analysis.catalogue)
        assert stand.lift is not None
        assert f"weighs {s.mass(stand.lift.mass)} wet" in text
        assert stand.grade.name in text
        for rail in stand.rails:
            for stress in (rail.bending, rail.shear, rail.bearing):
                assert stress is not None
                assert f"{100 * stress.ratio:.0f} %" in text
        for support in stand.supports:
            shim = s.say(support.shim) if support.shim > 0 else "none"
            assert shim in text
            assert s.pressure(support.pressure) in text


@pytest.mark.parametrize(("buckets", "units", "paper"), CASES)
def test_no_words_are_small_cut_off_or_over_one_another(
    buckets: int, units: UnitSystem, paper: PaperName
) -> None:
    assert_clean(pages(buckets, units, paper, "Stand"))


@pytest.mark.parametrize(("buckets", "units", "paper"), CASES[:2])
def test_it_tells_what_the_ground_carries_in_all_and_whether_a_block_is_too_heavy_for_one(
    buckets: int, units: UnitSystem, paper: PaperName
) -> None:
    analysis = solved(buckets, units)
    text = text_of(pages(buckets, units, paper, "Stand"))
    (stand,) = analysis.stands.values()
    s = StandSituation(analysis.design, stand, analysis.catalogue)
    w = stand.weights
    assert stand.lift is not None
    assert analysis.reservoir is not None
    assert stand.whole > w.all_buckets + w.drain.mass + w.rails.mass + w.block.mass
    assert f"All of it, full, on the ground {s.mass(stand.whole)}" in text
    assert f"full reservoir {s.mass(analysis.reservoir.litres_full)}" in text  # a litre, a kg
    too_heavy = f"One block, {s.mass(w.block.mass)}, is over that limit"
    assert (too_heavy in text) == (w.block.mass > stand.lift.limit)


def test_a_stand_that_is_not_solved_or_not_current_is_not_printed() -> None:
    assert stand_pages(analyse(bed(6)), PAPERS["a4"]) == []
    assert stand_pages(replace(solved(2, "metric"), stands_current=False), PAPERS["a4"]) == []
