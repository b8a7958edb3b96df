"""Cutting plans: the kerf rule, tiny jobs by every other way, and proof of the least cost."""

from collections import Counter
from collections.abc import Iterator
from itertools import pairwise
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from designer.takeoff.generation import generated_columns
from designer.takeoff.solver import cheapest
from designer.takeoff.solving import cut_plan
from designer.takeoff.stock import (
    CutPlan,
    CuttingJob,
    Stock,
    attainable,
    cutting_job,
    first_fit,
    material_bound,
)


def cut(job: CuttingJob) -> CutPlan:
    """The plan of a job, checked for what every plan must do."""
    plan = cut_plan(job)
    check(job, plan)
    return plan


def check(job: CuttingJob, plan: CutPlan) -> None:
    made = Counter(piece for stick in plan.sticks for piece in stick.pieces)
    assert made == Counter(dict(zip(job.lengths, job.counts, strict=True)))
    for stick in plan.sticks:
        room = stick.stock.length - 2 * job.trim + job.kerf
        assert stick.pieces
        assert sum(piece + job.kerf for piece in stick.pieces) <= room
        assert all(a >= b for a, b in pairwise(stick.pieces))
        sawn = job.trim + sum(piece + job.kerf for piece in stick.pieces)
        assert stick.offcut == max(0, stick.stock.length - sawn)
    for stock in job.stocks:
        if stock.owned:
            assert sum(stick.stock == stock for stick in plan.sticks) <= stock.owned
    assert plan.cost == sum(stick.stock.price for stick in plan.sticks)
    assert plan.cost >= plan.bound >= material_bound(job)


def test_three_metres_in_thousands_need_the_two_cuts_between_them() -> None:
    """3 x 1000 mm with a 3 mm saw cut need 3006 mm; 1 mm less and a second stick is cut."""
    assert len(cut(cutting_job([1000] * 3, [Stock(3006)], kerf=3)).sticks) == 1
    assert len(cut(cutting_job([1000] * 3, [Stock(3005)], kerf=3)).sticks) == 2


def test_squared_ends_take_their_length_off_the_stick() -> None:
    assert len(cut(cutting_job([1000] * 3, [Stock(3026)], kerf=3, trim=10)).sticks) == 1
    assert len(cut(cutting_job([1000] * 3, [Stock(3025)], kerf=3, trim=10)).sticks) == 2


def test_a_piece_as_long_as_the_stick_needs_no_cut() -> None:
    plan = cut(cutting_job([3000], [Stock(3000)], kerf=3))
    assert plan.sticks[0].offcut == 0
    with pytest.raises(ValueError, match="longer than any stick"):
        cutting_job([3000], [Stock(3000)], kerf=3, trim=1)


@pytest.mark.parametrize(
    "pieces", [[34, 34, 48, 48, 28, 28], [58, 48, 48, 20, 20, 20, 20]], ids=["pairs", "mixed"]
)
def test_two_sticks_where_the_first_fit_takes_three(pieces: list[int]) -> None:
    job = cutting_job(pieces, [Stock(120)])
    assert len(first_fit(job)) == 3
    assert len(cut(job).sticks) == 2


def test_owned_offcuts_are_used_before_sticks_are_bought() -> None:
    stocks = [Stock(3000, price=700), Stock(1500, price=0, owned=2)]
    plan = cut(cutting_job([1400] * 4, stocks, kerf=3))
    assert plan.cost == 700
    assert [stick.stock.length for stick in plan.sticks] == [1500, 1500, 3000]


def test_what_fits_on_owned_offcuts_costs_nothing() -> None:
    stocks = [Stock(3000, price=700), Stock(1500, price=0, owned=2)]
    plan = cut(cutting_job([700] * 3, stocks, kerf=3))
    assert (plan.cost, plan.proven) == (0, True)


def test_several_stock_lengths_are_mixed_by_their_prices() -> None:
    """Three pieces of 7 ft and one of 3 ft: 10 ft + 7 + 7 from 8 ft beats three of 10 ft."""
    stocks = [Stock(96, price=800), Stock(120, price=1000)]
    plan = cut(cutting_job([84, 84, 84, 36], stocks))
    assert plan.cost == 800 + 800 + 1000
    dear = [Stock(96, price=800), Stock(120, price=810)]
    assert cut(cutting_job([84, 84, 84, 36], dear)).cost == 800 + 800 + 810


def test_among_equal_plans_the_longest_offcut_stays_whole() -> None:
    """Five pieces of 40 on sticks of 120: 3 + 2 leave 0 and 40; five of 30 leave 90 as 4 + 1."""
    assert max(s.offcut for s in cut(cutting_job([40] * 5, [Stock(120)])).sticks) == 40
    assert [s.offcut for s in cut(cutting_job([30] * 5, [Stock(120)])).sticks] == [0, 90]


def test_among_equal_plans_few_different_patterns_are_cut() -> None:
    """12 of 50 and 12 of 25 on sticks of 100: nine sticks in two patterns, or more in mixtures."""
    plan = cut(cutting_job([50] * 12 + [25] * 12, [Stock(100)]))
    assert len(plan.sticks) == 9
    assert plan.settled
    assert plan.different <= 2


def test_nothing_to_cut_needs_no_stick() -> None:
    plan = cut_plan(cutting_job([], [Stock(100)]))
    assert (plan.sticks, plan.proven, plan.waste) == ((), True, 0)


def test_what_cannot_be_a_job_is_refused() -> None:
    for pieces, kerf in (([0], 0), ([-5], 0), ([50], -1)):
        with pytest.raises(ValueError):
            cutting_job(pieces, [Stock(100)], kerf=kerf)
    with pytest.raises(ValueError):
        Stock(100, price=0)
    many = cutting_job(range(20, 80), [Stock(1000)])
    with pytest.raises(ValueError, match="too large to solve by patterns"):
        cut_plan(many, method="patterns")


def test_a_plan_out_of_time_says_how_far_it_may_be_from_the_best() -> None:
    draw = Random(3)
    job = cutting_job([draw.randint(150, 1800) for _ in range(300)], [Stock(3000)], kerf=3)
    plan = cut_plan(job, seconds=0.0)
    check(job, plan)
    assert plan.shortfall == plan.cost - plan.bound
    assert plan.proven == (plan.shortfall == 0)


def fewest_by_hand(job: CuttingJob) -> int:
    """The least cost by trying every way to share out the pieces, stick by stick."""
    start = tuple(job.counts)
    best: dict[tuple[tuple[int, ...], tuple[int, ...]], int] = {}

    def least(left: tuple[int, ...], owned: tuple[int, ...]) -> int:
        if not any(left):
            return 0
        if (left, owned) not in best:
            first = next(i for i, n in enumerate(left) if n)
            costs = []
            for i, stock in enumerate(job.stocks):
                if stock.owned and not owned[i]:
                    continue
                spent = tuple(n - (i == j and stock.owned > 0) for j, n in enumerate(owned))
                for taken in ways(left, job.rooms[i]):
                    if taken[first]:
                        rest = tuple(a - b for a, b in zip(left, taken, strict=True))
                        costs.append(stock.price + least(rest, spent))
            best[left, owned] = min(costs)
        return best[left, owned]

    def ways(left: tuple[int, ...], room: int) -> Iterator[tuple[int, ...]]:
        if not left:
            yield ()
            return
        size = job.sizes[len(job.sizes) - len(left)]
        for n in range(min(left[0], max(room, 0) // size) + 1):
            for rest in ways(left[1:], room - n * size):
                yield (n, *rest)

    return least(start, tuple(stock.owned for stock in job.stocks))


@st.composite
def small_jobs(draw: st.DrawFn) -> CuttingJob:
    """Up to seven pieces, one or two stocks to buy, perhaps an owned offcut."""
    kerf, trim = draw(st.integers(0, 4)), draw(st.integers(0, 5))
    longest = draw(st.integers(60, 120))
    stocks = [Stock(longest, draw(st.integers(1, 12)))]
    if draw(st.booleans()):
        stocks.append(Stock(draw(st.integers(40, 120)), draw(st.integers(1, 12))))
    if draw(st.booleans()):
        stocks.append(Stock(draw(st.integers(20, 90)), 0, draw(st.integers(1, 2))))
    piece = st.integers(5, longest - 2 * trim)
    return cutting_job(draw(st.lists(piece, min_size=1, max_size=7)), stocks, kerf, trim)


@settings(max_examples=200, derandomize=True)
@given(small_jobs())
def test_small_jobs_cost_what_trying_every_way_finds(job: CuttingJob) -> None:
    plan = cut(job)
    assert plan.proven
    assert plan.cost == fewest_by_hand(job)


@settings(max_examples=100, derandomize=True)
@given(small_jobs())
def test_the_bound_from_worths_is_never_above_what_can_be_done(job: CuttingJob) -> None:
    columns, bound = generated_columns(job, first_fit(job), 5.0)
    least = fewest_by_hand(job)
    assert material_bound(job) <= least
    assert bound <= least + 1e-6
    found = cheapest(job, columns, 5.0)
    assert found.bound is not None
    assert found.bound >= least


@given(
    st.lists(st.integers(1, 30), min_size=1, max_size=3),
    st.integers(0, 200),
    st.integers(0, 200),
)
def test_a_bound_is_raised_to_what_sticks_can_add_up_to(
    prices: list[int], bound: int, more: int
) -> None:
    job = cutting_job([5], [Stock(10 + i, price) for i, price in enumerate(prices)])
    most = bound + more
    sums = {0}
    for cost in range(1, most + 1):
        if any(cost - price in sums for price in prices):
            sums.add(cost)
    expected = min((cost for cost in sums if cost >= bound), default=most)
    assert attainable(job, bound, most) == expected


def test_with_two_stick_lengths_the_bound_counts_whole_sticks() -> None:
    """Eleven of 10 on sticks of 100 at 281 or 150 at 399: one of 150, though 110/100 of the short
    one would be cheaper in fractions."""
    job = cutting_job([10] * 11, [Stock(100, 281), Stock(150, 399)])
    assert material_bound(job) == 399
    assert cut(job).proven


def larger_job(seed: int) -> CuttingJob:
    """20 to 45 pieces of up to six lengths of a bed's size, on a grid of 1 mm."""
    draw = Random(seed)
    lengths = [draw.randint(150, 1800) for _ in range(draw.randint(2, 6))]
    pieces = [draw.choice(lengths) for _ in range(draw.randint(20, 45))]
    stocks = [Stock(3000, 1000)]
    if draw.random() < 0.5:
        stocks.append(Stock(2000, draw.randint(600, 800)))
    if draw.random() < 0.3:
        stocks.append(Stock(draw.randint(300, 1700), 0, 2))
    return cutting_job(pieces, stocks, kerf=3)


@pytest.mark.slow
def test_patterns_and_arc_flow_agree_on_200_larger_jobs() -> None:
    for seed in range(200):
        job = larger_job(seed)
        by_patterns = cut_plan(job, method="patterns", ties=False)
        by_flow = cut_plan(job, method="arc flow", ties=False)
        for plan in (by_patterns, by_flow):
            check(job, plan)
            assert plan.proven, seed
        assert by_patterns.cost == by_flow.cost, seed


def test_the_longest_offcut_is_the_longest_that_any_equal_plan_leaves() -> None:
    """One stick more than needed, cut to the shortest possible: checked against the flow."""
    for seed in range(12):
        job = larger_job(seed)
        by_patterns = cut_plan(job, method="patterns")
        by_flow = cut_plan(job, method="arc flow")
        if by_patterns.settled and by_flow.settled:
            assert by_patterns.sticks[-1].offcut == by_flow.sticks[-1].offcut
            assert by_patterns.different == by_flow.different


def test_many_small_pieces_of_many_lengths_are_proven_too() -> None:
    draw = Random(11)
    lengths = [draw.randint(150, 1800) for _ in range(20)]
    job = cutting_job([draw.choice(lengths) for _ in range(200)], [Stock(3000)], kerf=3)
    plan = cut(job)
    assert plan.proven
    assert len(plan.sticks) <= len(first_fit(job))
