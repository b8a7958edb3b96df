"""Cutting stock: published instances, and jobs whose optimum is known by how they are made."""

from random import Random

import pytest

from designer.takeoff.solving import cut_plan
from designer.takeoff.stock import CuttingJob, Stock, cutting_job, first_fit


@pytest.mark.parametrize("method", [None, "patterns", "arc flow"])
def test_raws_of_100_cut_into_four_lengths_take_453(method: str | None) -> None:
    """Raw 100: 97 of 45, 610 of 36, 395 of 31, 211 of 14. The data are published with an
    optimisation vendor's example; the optimum 453 is Chvatal, Linear Programming, chapter 13
    (from memory)."""
    job = cutting_job([45] * 97 + [36] * 610 + [31] * 395 + [14] * 211, [Stock(100)])
    plan = cut_plan(job, method=method)  # type: ignore[arg-type]
    assert (len(plan.sticks), plan.proven) == (453, True)


def triplets(seed: int, sticks: int) -> CuttingJob:
    """Pieces from 25 to 50 % of a stick of 1000, made three by three so that each three fill a
    stick. Every stick holds at most three of them, so n/3 is the least there can be. It is how
    Falkenauer's t60 instances (1996, second-hand) are made; the items here are our own."""
    draw = Random(seed)
    pieces: list[int] = []
    while len(pieces) < 3 * sticks:
        first = draw.randint(380, 490)
        second = draw.randint(251, (1000 - first) // 2)
        if 250 < 1000 - first - second < 500:
            pieces += [first, second, 1000 - first - second]
    return cutting_job(pieces, [Stock(1000)])


@pytest.mark.parametrize("seed", range(5))
def test_sixty_pieces_made_three_to_a_stick_take_twenty(seed: int) -> None:
    job = triplets(seed, 20)
    plan = cut_plan(job)
    assert (len(plan.sticks), plan.proven, plan.waste) == (20, True, 0)
    assert len(first_fit(job)) > 20


def test_nipples_and_tails_of_ten_buckets_come_out_of_one_eight_foot_stick() -> None:
    """Common practice, no source: 6 in and 3 in to a bucket, 7 1/2 ft for ten, out of one 8 ft
    stick. With a 1/8 in saw cut: 90 in + 20 x 1/8 in = 92 1/2 in, 3 1/2 in stay. In 1/16 in."""
    plan = cut_plan(cutting_job([6 * 16] * 10 + [3 * 16] * 10, [Stock(96 * 16)], kerf=2))
    assert [stick.offcut for stick in plan.sticks] == [3 * 16 + 8]
