"""The stock plan of a bed: the same pieces as in the cut list and the same letters as drawn."""

from collections import Counter

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from designer.analysis import Analysis, analyse
from designer.drawing.plan import plan_groups
from designer.drawing.records import Text
from designer.layout.volume import bucket_litres
from designer.model import edits
from designer.model.design import Design
from designer.takeoff.materials import materials
from designer.takeoff.pieces import cut_list, drain_line
from designer.takeoff.quantities import Takeoff, take_off
from designer.takeoff.sticks import KERF, CutOptions, StockLength, StockPlan, stock_plan
from tests.beds import bed
from tests.strategies import designs

FOOT = 304.8
INCH = 25.4
QUICK = CutOptions(seconds=0.5)


def planned(plan: StockPlan) -> Counter[tuple[str, float]]:
    """Every piece of a plan by what is written on it and its length."""
    return Counter(
        (cut.mark, cut.length)
        for part in plan.parts
        for cuts in (*(stick.cuts for stick in part.sticks), part.unplaced)
        for cut in cuts
    )


def check(analysis: Analysis, plan: StockPlan) -> None:
    """The plan cuts the cut list, each stick holds its pieces, and the letters are all there."""
    pieces = cut_list(analysis, plan.sold)
    assert all(len(piece.marks) == piece.count for piece in pieces)
    assert planned(plan) == Counter((mark, p.length) for p in pieces for mark in p.marks)
    for part in plan.parts:
        for stick in part.sticks:
            sawn = sum(cut.length + plan.kerf for cut in stick.cuts)
            assert sawn <= stick.stock - 2 * plan.trim + plan.kerf + 0.05
            assert 0 <= stick.offcut <= stick.stock
    letters = {analysis.bucket_label(bucket) for bucket in analysis.places}
    for name in ("Nipple", "Tail"):
        marks = [mark for mark, _ in planned(plan).elements() if mark.startswith(f"{name} ")]
        assert Counter(mark.removeprefix(f"{name} ") for mark in marks) == Counter(letters)


@settings(max_examples=25, suppress_health_check=list(HealthCheck))
@given(designs(max_runs=2, max_buckets=8))
def test_the_pieces_planned_are_those_of_the_cut_list_and_the_drawing(design: Design) -> None:
    analysis = analyse(design)
    check(analysis, stock_plan(analysis, QUICK))


@pytest.mark.parametrize("buckets", [1, 10, 24])
def test_the_letters_on_the_pieces_are_those_drawn_on_the_plan(buckets: int) -> None:
    analysis = analyse(bed(buckets))
    drawn = {
        shape.text
        for group in plan_groups(analysis, "r1", 10.0)
        for shape in group.build()
        if isinstance(shape, Text)
    }
    plan = stock_plan(analysis)
    tails = {mark.removeprefix("Tail ") for mark, _ in planned(plan) if mark.startswith("Tail ")}
    assert len(tails) == buckets
    assert tails <= drawn


def test_nipples_and_tails_of_ten_buckets_fit_one_eight_foot_stick() -> None:
    """Common practice, no source: 7 1/2 ft of pieces for ten buckets, a 1/8 in saw cut between."""
    design = edits.set_tails(bed(10, "imperial", pitch=FOOT), "r1", "common", 3 * INCH)
    options = CutOptions(stocks={"pvc-1-2-in": (StockLength(8 * FOOT),)})
    plan = stock_plan(analyse(design), options)
    part = next(p for p in plan.parts if p.part_id == "pvc-1-2-in")
    assert plan.kerf == INCH / 8
    assert part.bought_lengths == ((8 * FOOT, 1),)
    assert part.longest_offcut == pytest.approx(3.5 * INCH)
    assert part.proven


def test_owned_offcuts_are_cut_first_and_not_bought() -> None:
    analysis = analyse(bed(10))
    options = CutOptions(offcuts={"pvc-20-mm": (1500.0, 1200.0)})
    before, after = stock_plan(analysis), stock_plan(analysis, options)
    owned = [s for p in after.parts for s in p.sticks if s.owned]
    assert {s.stock for s in owned} <= {1500.0, 1200.0}
    assert owned
    assert after.sticks < before.sticks
    check(analysis, after)


def test_prices_choose_among_stick_lengths() -> None:
    analysis = analyse(bed(10))
    for cheap in (2000.0, 3000.0):
        lengths = tuple(StockLength(n, 100 if n == cheap else 900) for n in (2000.0, 3000.0))
        plan = stock_plan(analysis, CutOptions(stocks={"pvc-20-mm": lengths}))
        part = next(p for p in plan.parts if p.part_id == "pvc-20-mm")
        assert {stick.stock for stick in part.sticks} == {cheap}


def test_a_tail_longer_than_any_stick_on_sale_is_named() -> None:
    """A tail cannot be joined up from two pieces."""
    analysis = analyse(edits.set_tails(bed(10), "r1", "common", 150.0))
    plan = stock_plan(analysis, CutOptions(stocks={"pvc-20-mm": (StockLength(120.0),)}))
    part = next(p for p in plan.parts if p.part_id == "pvc-20-mm")
    assert "Tail A" in {cut.mark for cut in part.unplaced}
    assert not plan.proven
    check(analysis, plan)


@pytest.mark.parametrize("stick", [1000.0, 2400.0, 3000.0, 6000.0])
def test_drain_and_rails_are_joined_up_from_whatever_sticks_are_sold(stick: float) -> None:
    analysis = analyse(bed(24))
    parts = analysis.runs[0].parts
    sold = {part.id: (StockLength(stick),) for part in (parts.drain, parts.rail)}
    plan = stock_plan(analysis, CutOptions(stocks=sold, seconds=0.5))
    assert not [cut for part in plan.parts for cut in part.unplaced]
    check(analysis, plan)
    couplings = {
        line.id: line.needed for line in materials(analysis, plan) if "coupling" in line.id
    }
    pieces = [p for p in cut_list(analysis, plan.sold) if p.kind == "drain"]
    stretches = len(drain_line(analysis.runs[0], plan.sold).stretches)
    assert sum(couplings.values()) == len(pieces) - stretches


@settings(max_examples=20, suppress_health_check=list(HealthCheck), deadline=None)
@given(designs(max_runs=2, max_buckets=6), st.lists(st.floats(500, 8000), min_size=1, max_size=3))
def test_no_drain_or_rail_is_left_without_a_stick(design: Design, lengths: list[float]) -> None:
    analysis = analyse(design)
    sold = {
        part.id: tuple(StockLength(length) for length in lengths)
        for layout in analysis.runs
        for part in (layout.parts.drain, layout.parts.rail)
    }
    plan = stock_plan(analysis, CutOptions(stocks=sold, seconds=0.2))
    check(analysis, plan)
    left = {cut.mark.split()[0] for part in plan.parts for cut in part.unplaced}
    assert left <= {"Tail", "Nipple"}


def test_squaring_both_ends_and_a_wide_cut_take_more_sticks() -> None:
    analysis = analyse(bed(60))
    fine = stock_plan(analysis, CutOptions(kerf=1.0))
    coarse = stock_plan(analysis, CutOptions(kerf=12.0, trim=10.0))
    assert fine.sticks < coarse.sticks
    assert not [cut for part in coarse.parts for cut in part.unplaced]
    assert stock_plan(analysis).kerf == KERF["metric"]


def test_a_design_without_runs_needs_no_sticks() -> None:
    plan = stock_plan(analyse(Design(title="")))
    assert (plan.parts, plan.waste, plan.sticks, plan.proven) == ((), 0.0, 0, True)


def amounts(takeoff: Takeoff) -> dict[tuple[str, str, str], float]:
    return {
        (item.heading, item.id, measure): amount
        for item in takeoff.items
        for amount, measure in item.amounts
    }


@settings(max_examples=60, suppress_health_check=list(HealthCheck))
@given(designs(max_runs=2, max_buckets=8), st.randoms(use_true_random=False))
def test_deleting_a_bucket_removes_exactly_its_parts(design: Design, draw: object) -> None:
    analysis = analyse(design)
    assume(analysis.places)
    bucket = draw.choice(sorted(analysis.places))  # type: ignore[attr-defined]
    layout, place = analysis.places[bucket]
    run, parts = layout.run, layout.parts
    before = take_off(analysis)
    after = take_off(analyse(edits.delete(design, [bucket])))

    gone: Counter[tuple[str, str, str]] = Counter()
    outlets, feed, pieces = "Buckets and outlets", "Feed", "pieces"
    tail = layout.tail_length(place)
    litres = bucket_litres(place.part, run.medium_depth)
    gone[outlets, place.part.id, pieces] += 1
    gone[outlets, parts.grommet.id, pieces] += 1
    gone[outlets, parts.elbow.id, pieces] += 2
    gone[outlets, parts.outlet_pipe.id, "length"] += run.outlet.nipple_length + tail
    gone[feed, parts.barb.id, pieces] += 1
    gone[feed, parts.feed_tube.id, "length"] += run.manifold.feed_length
    if run.manifold.emitter is not None:
        gone[feed, run.manifold.emitter, pieces] += 1
    gone["Medium", parts.medium.id, "litres"] += litres
    gone["Medium", parts.medium.id, "kg"] += litres / 1000 * parts.medium.bulk_density

    one, two = amounts(before), amounts(after)
    for key in one | two:
        if key[1].endswith("-coupling"):
            continue  # a coupling moves away from a hole, and may do so no more
        assert one.get(key, 0.0) - two.get(key, 0.0) == pytest.approx(gone[key], abs=1e-6), key

    def lengths(takeoff: Takeoff, kind: str) -> Counter[float]:
        counted: Counter[float] = Counter()
        for piece in takeoff.pieces:
            if piece.kind == kind:
                counted[round(piece.length, 2)] += piece.count
        return counted

    nipple = Counter({round(run.outlet.nipple_length, 2): 1})
    assert lengths(before, "nipple") - lengths(after, "nipple") == nipple
    assert lengths(before, "tail") - lengths(after, "tail") == Counter({round(tail, 2): 1})
    assert lengths(before, "rail") == lengths(after, "rail")
    assert sum(lengths(before, "drain").elements()) == pytest.approx(
        sum(lengths(after, "drain").elements()), abs=0.1
    )
