"""The sheet about cutting: the pieces printed are those of the stock plan and of the cut list."""

import re
from collections import Counter

import pytest

from designer.analysis import Analysis
from designer.sheet.paper import PaperName
from designer.sheet.words import length
from designer.takeoff.materials import stick_text
from designer.takeoff.pieces import cut_list
from designer.takeoff.sticks import cut_alike, stock_plan
from designer.units import UnitSystem
from tests.sheet.printed import assert_clean
from tests.sheet.test_stand_page import CASES, pages, solved, text_of


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
    meant: Counter[str] = Counter()
    for (mark, mm), count in laid.items():
        meant[f"{mark} {length(mm, units)}"] += count
    assert printed(analysis, text, {length(mm, units) for _, mm in laid}) == meant


def printed(analysis: Analysis, text: str, sizes: set[str]) -> Counter[str]:
    """Every piece that the pages tell of: "3 to 5: each Tail A to C 83 mm each" are nine."""
    size = "|".join(re.escape(one) for one in sorted(sizes, key=len, reverse=True))
    told = re.compile(
        r"(?<![\w.])(?P<a>\d+)(?: to (?P<b>\d+))?[.:] "
        r"|(?P<kind>Nipple|Tail|Drain|Rail)(?: (?P<c>\w+(?:\.\w+)?)(?: to (?P<d>\w+))?)? "
        rf"(?P<size>{size})"
    )
    letters = [analysis.bucket_label(p.bucket.id) for r in analysis.runs for p in r.from_cap]
    found: Counter[str] = Counter()
    sticks = 1
    for one in told.finditer(text):
        if one["a"]:
            sticks = int(one["b"] or one["a"]) - int(one["a"]) + 1
            continue
        names = [one["c"]]
        if one["d"]:
            names = letters[letters.index(one["c"]) : letters.index(one["d"]) + 1]
        for name in names:
            found[" ".join(filter(None, (one["kind"], name, one["size"])))] += sticks
    return found


@pytest.mark.parametrize(("buckets", "units", "paper"), CASES)
def test_sticks_that_are_cut_alike_are_drawn_once(
    buckets: int, units: UnitSystem, paper: PaperName
) -> None:
    text = text_of(pages(buckets, units, paper, "Cutting"))
    for part in stock_plan(solved(buckets, units)).parts:
        groups = list(cut_alike(part.sticks))
        assert sum(map(len, groups)) == len(part.sticks)
        for alike in groups:
            sizes = {tuple(round(cut.length, 2) for cut in stick.cuts) for stick in alike}
            assert len(sizes) == 1
            if len(alike) > 1:
                assert f"{len(alike)} × {stick_text(alike[0].stock, units)}" in text


def test_sixty_buckets_are_cut_on_one_page() -> None:
    assert len(pages(60, "metric", "a4", "Cutting")) == 1


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
