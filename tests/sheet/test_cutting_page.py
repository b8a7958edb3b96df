"""The sheet about cutting: the pieces printed are those of the stock plan and of the cut list."""

from collections import Counter

import pytest

from designer.sheet.paper import PaperName
from designer.sheet.words import length
from designer.takeoff.pieces import cut_list
from designer.takeoff.sticks import stock_plan
from designer.units import UnitSystem
from tests.sheet.test_stand_page import CASES, assert_clean, pages, solved, text_of


@pytest.mark.parametrize(("buckets", "units", "paper"), CASES)
def test_the_pieces_printed_are_the_stock_plans_and_the_cut_lists(
    buckets: int, units: UnitSystem, paper: PaperName
) -> None:
    analysis = solved(buckets, units)
    text = text_of(pages(buckets, units, paper, "Cutting"))
    pieces = cut_list(analysis)
    plan = stock_plan(analysis)
    wanted = Counter((mark, p.length) for p in pieces for mark in p.marks)
    laid = Counter((c.mark, c.length) for p in plan.parts for s in p.sticks for c in s.cuts)
    left = Counter((c.mark, c.length) for p in plan.parts for c in p.unplaced)
    assert laid + left == wanted
    printed: Counter[str] = Counter()
    for (mark, mm), count in laid.items():
        printed[f"{mark} {length(mm, units)}"] += count
    for words, count in printed.items():
        assert text.count(f" {words},") + text.count(f" {words};") == count, words


@pytest.mark.parametrize(("buckets", "units", "paper"), CASES)
def test_each_stick_says_its_length_and_its_offcut(
    buckets: int, units: UnitSystem, paper: PaperName
) -> None:
    text = text_of(pages(buckets, units, paper, "Cutting"))
    plan = stock_plan(solved(buckets, units))
    for part in plan.parts:
        assert part.part in text
        for stick in part.sticks:
            assert f"offcut {length(stick.offcut, units)}" in text
    assert f"each saw cut takes {length(plan.kerf, units)}" in text
    assert text.count("Proven") + text.count("Within") == len(plan.parts)


@pytest.mark.parametrize(("buckets", "units", "paper"), CASES)
def test_no_words_are_small_cut_off_or_over_one_another(
    buckets: int, units: UnitSystem, paper: PaperName
) -> None:
    assert_clean(pages(buckets, units, paper, "Cutting"))
