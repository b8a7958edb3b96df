"""The whole-number solver, scipy's HiGHS, as the cutting plans use it."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from designer.takeoff.columns import Columns, Whole
from designer.takeoff.stock import CuttingJob

_SLACK, _RELATIVE_SLACK = 1e-6, 1e-9
"""How far a computed bound may lie above the true one."""

Rows = tuple[Any, Any, Any]
"""A block of conditions low <= A @ x <= high, as (A, low, high)."""


@dataclass(frozen=True)
class Answer:
    """What the solver found: whole numbers or None, the bound on the cost that is certain, and
    whether the search ended by itself."""

    x: Whole | None
    bound: int | None
    ended: bool


def least(
    cost: Any, rows: Sequence[Rows], most: Any, seconds: float, nodes: int | None = None
) -> Answer:
    """Least cost @ x over whole x from 0 to `most`, for whole costs."""
    from scipy.optimize import Bounds, LinearConstraint, milp

    options: dict[str, float | int] = {"mip_rel_gap": 0.0, "time_limit": max(seconds, 0.05)}
    if nodes is not None:
        options["node_limit"] = nodes
    found = milp(
        cost,
        integrality=np.ones(len(cost)),
        bounds=Bounds(0, most),
        constraints=[LinearConstraint(a, low, high) for a, low, high in rows],
        options=options,
    )
    x = None if found.x is None else np.rint(found.x).astype(np.int64)
    known = found.mip_dual_bound is not None and np.isfinite(found.mip_dual_bound)
    bound = whole_bound(found.mip_dual_bound) if known else None
    return Answer(x, bound, found.status in (0, 2))


def cheapest(job: CuttingJob, columns: Columns, seconds: float) -> Answer:
    """The cheapest sticks over some columns."""
    step = job.price_step
    prices = np.array([stock.price // step for stock in job.stocks], dtype=float)
    rows: list[Rows] = [
        (columns.makes, np.array(job.counts, dtype=float), np.inf),
        (columns.uses, 0, stock_limits(job)),
    ]
    if columns.balance is not None:
        rows.append((columns.balance, 0, 0))
    answer = least(columns.uses.T @ prices, rows, np.inf, seconds)
    return replace(answer, bound=None if answer.bound is None else answer.bound * step)


def stock_limits(job: CuttingJob) -> Any:
    """How many sticks of each stock there are."""
    return np.array([stock.owned or np.inf for stock in job.stocks], dtype=float)


def whole_bound(bound: float, step: int = 1) -> int:
    """The least multiple of `step` that a fractional bound allows, within its tolerance."""
    return int(np.ceil(bound / step - _SLACK - _RELATIVE_SLACK * abs(bound / step))) * step
