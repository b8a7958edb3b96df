"""The cheapest cutting plan, with proof."""

from time import monotonic
from typing import Literal

from designer.takeoff.columns import Columns, arc_flow_columns, pattern_columns
from designer.takeoff.generation import generated_columns
from designer.takeoff.solver import cheapest, whole_bound
from designer.takeoff.stock import (
    CutPlan,
    CuttingJob,
    Pattern,
    as_plan,
    attainable,
    first_fit,
    material_bound,
    without_surplus,
)
from designer.takeoff.ties import fewest_patterns, longest_offcut

Method = Literal["patterns", "arc flow"]

_FEW_PATTERNS = 2_000
"""Up to this many maximal patterns the job is solved over all of them at once."""
_MOST_PATTERNS = 20_000
"""Beyond this many maximal patterns the job is solved as an arc flow."""
_MOST_ARCS = 30_000
"""Beyond this many arcs only the best plan so far and its bound are given: the solver's time limit
does not hold while it prepares a larger flow."""
_TIE_SECONDS = 1.0
"""The longest that each search among equally cheap plans takes."""


def cut_plan(
    job: CuttingJob, seconds: float = 10.0, method: Method | None = None, *, ties: bool = True
) -> CutPlan:
    """The cheapest sticks for a job; `proven` when no plan can be cheaper.

    A quick plan that meets the bound of its material is proven as it stands. Else the job is
    solved over all maximal patterns while they are few; over generated patterns, whose bound most
    often is met; and, where that is not, as an exact model. After about `seconds` the best plan
    so far is given with the bound that is certain. Among equally cheap plans the longest single
    offcut (of a bought stick, where any is bought) and then the fewest different patterns win as
    far as a short search finds them: see `settled`. Without `ties` any of the cheapest will do.

    `method` forces one of the two exact models, to compare them. ValueError where that model is
    too large for this job.
    """
    if not job.lengths:
        return as_plan(job, [], 0, True)
    end = monotonic() + seconds
    search = _Search(job)
    exact = _forced(job, method) if method else pattern_columns(job, _FEW_PATTERNS)
    columns = exact
    if method is None and exact is None:
        columns, bound = generated_columns(job, search.best, seconds / 2)
        search.raise_bound(whole_bound(bound, job.price_step))
        if not search.proven:
            search.solve(columns, (end - monotonic()) / 2, exact=False)
    if method or not search.proven:
        exact = exact or pattern_columns(job, _MOST_PATTERNS) or arc_flow_columns(job, _MOST_ARCS)
        if exact is not None and monotonic() < end:
            search.solve(exact, end - monotonic(), exact=True)
    best, settled = search.best, False
    if ties and search.proven and columns is not None:
        best, certain = longest_offcut(job, columns, best, _TIE_SECONDS)
        best, fewest = fewest_patterns(job, best, _TIE_SECONDS)
        settled = certain and fewest and columns is exact
    return as_plan(job, best, search.bound, settled)


class _Search:
    """The best plan so far and the bound that no plan can beat."""

    def __init__(self, job: CuttingJob) -> None:
        self.job = job
        self.best: list[Pattern] = first_fit(job)
        self.bound = material_bound(job)

    @property
    def cost(self) -> int:
        return self.job.price(self.best)

    @property
    def proven(self) -> bool:
        return self.cost <= self.bound

    def raise_bound(self, bound: int) -> None:
        if bound > self.bound:
            self.bound = attainable(self.job, min(bound, self.cost), self.cost)

    def solve(self, columns: Columns, seconds: float, *, exact: bool) -> None:
        """Take the columns' cheapest plan where it is cheaper; exact columns bound the cost."""
        answer = cheapest(self.job, columns, seconds)
        if answer.x is not None:
            found = without_surplus(self.job, columns.decode(answer.x))
            if self.job.price(found) < self.cost:
                self.best = found
        if exact and answer.bound is not None:
            self.raise_bound(answer.bound)


def _forced(job: CuttingJob, method: Method) -> Columns:
    if method == "patterns":
        columns = pattern_columns(job, _MOST_PATTERNS)
    else:
        columns = arc_flow_columns(job, _MOST_ARCS)
    if columns is None:
        raise ValueError(f"This job is too large to solve by {method}.")
    return columns
