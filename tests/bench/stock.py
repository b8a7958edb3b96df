"""Cutting stock: the proven plan beside first-fit decreasing."""

from collections.abc import Iterator
from random import Random
from statistics import median
from time import perf_counter

from designer.takeoff.solving import cut_plan
from designer.takeoff.stock import CuttingJob, Stock, cutting_job, first_fit

_JOBS = 5
_STICK, _KERF = 3000, 3


def rows() -> Iterator[str]:
    """A line for each size: time, sticks saved and waste beside first-fit decreasing. 3 m sticks
    on a grid of 1 mm, pieces from 5 to 60 % of a stick."""
    cut_plan(cutting_job([1000] * 3, [Stock(_STICK)], _KERF))  # the solver is loaded here
    for pieces, lengths in ((10, 5), (50, 8), (200, 8), (200, 20), (1000, 12), (1000, 30)):
        times, quick_times, saved, proven = [], [], 0, 0
        waste = quick_waste = material = 0
        for seed in range(_JOBS):
            job = _job(seed, pieces, lengths)
            start = perf_counter()
            quick = first_fit(job)
            middle = perf_counter()
            plan = cut_plan(job)
            times.append(perf_counter() - middle)
            quick_times.append(middle - start)
            saved += len(quick) - len(plan.sticks)
            proven += plan.proven
            used = sum(a * n for a, n in zip(job.lengths, job.counts, strict=True))
            material += used
            waste += plan.waste
            quick_waste += len(quick) * _STICK - used
        yield (
            f"{pieces:4} pieces of {lengths:2} lengths: median {median(times):6.2f} s, most "
            f"{max(times):6.2f} s (first fit {median(quick_times) * 1000:5.1f} ms); proven "
            f"{proven} of {_JOBS}; {saved} sticks saved, waste {waste / (waste + material):.1%} "
            f"beside {quick_waste / (quick_waste + material):.1%}"
        )


def _job(seed: int, pieces: int, lengths: int) -> CuttingJob:
    draw = Random(seed)
    made = [draw.randint(_STICK // 20, _STICK * 6 // 10) for _ in range(lengths)]
    return cutting_job([draw.choice(made) for _ in range(pieces)], [Stock(_STICK)], _KERF)
