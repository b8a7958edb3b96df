"""The stand of one run: rails, supports, tipping and lifting, and its part in a whole analysis."""

from collections.abc import Callable, Iterator
from time import perf_counter

from designer.analysis import analyse, with_stands
from designer.model import edits
from designer.stand.bed.solution import solve_stand
from tests.bench.beds import bed

TRIES = 5


def rows() -> Iterator[str]:
    """A line for each size: milliseconds for the stand solved, and for it solved and judged."""
    for buckets in (10, 30, 100, 500):
        design = bed(buckets, buckets)
        run = design.runs[0]
        count = edits.supports_needed(run.length)
        design = edits.set_supports(design, run.id, edits.even_supports(run.length, count))
        first = analyse(design)
        solved = _least(lambda a=first: solve_stand(a.design, a.runs[0], a.catalogue))
        judged = _least(lambda a=first: with_stands(a))
        yield (
            f"{buckets:4} buckets on {count:3} supports: solved in {solved:7.2f} ms, solved and "
            f"judged in {judged:7.2f} ms"
        )


def _least(work: Callable[[], object]) -> float:
    """Milliseconds of the quickest of some tries; the first one, which loads files, is left out."""
    work()
    times = []
    for _ in range(TRIES):
        start = perf_counter()
        work()
        times.append((perf_counter() - start) * 1e3)
    return min(times)
