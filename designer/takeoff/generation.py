"""Good patterns found by their worth, and a bound on the cost, where all patterns are too many.

Column generation (Gilmore and Gomory 1961, from memory): solve the job in fractions over a few
patterns, take each piece's worth from its duals, and add the pattern that is worth most by a
knapsack, until none is worth more than its stick. The fractional cost is a bound on the whole one.
"""

from math import gcd
from time import monotonic
from typing import Any

import numpy as np
from numpy.typing import NDArray

from designer.takeoff.columns import Columns, columns_of
from designer.takeoff.stock import CuttingJob, Pattern

Floats = NDArray[np.float64]

_ENOUGH = 1e-7
"""A pattern that is worth this little more than its stick ends the search."""


def generated_columns(
    job: CuttingJob, first: list[Pattern], seconds: float
) -> tuple[Columns, float]:
    """Columns of patterns worth having, with those of a `first` plan, and a bound that holds
    whenever the search stops.

    The bound is Farley's (1990, from memory) with owned offcuts: for any worths w >= 0, with v(s)
    the most worth a stick of s holds and f = min(1, price(s) / v(s)) over the sticks to buy, no
    plan costs less than f (w . needs - sum of v over the owned sticks).
    """
    end = monotonic() + seconds
    patterns = list(dict.fromkeys(first + _alone(job)))
    known = set(patterns)
    needs = np.array(job.counts, dtype=float)
    scale = float(max(stock.price for stock in job.stocks))
    bound = 0.0
    while True:
        columns = columns_of(job, patterns)
        worths = _worths(job, columns, needs, scale)
        if worths is None:
            return columns, bound
        values, found = _most_worth(job, worths)
        bound = max(bound, _bound(job, worths, values, needs) * scale)
        fresh = [p for p, gain in found if gain > _ENOUGH and p not in known]
        if not fresh or monotonic() > end:
            return columns, bound
        known.update(fresh)
        patterns += fresh


def _alone(job: CuttingJob) -> list[Pattern]:
    """Each length alone, as often as it fits, in each stock that holds it."""
    found: list[Pattern] = []
    for stock, room in enumerate(job.rooms):
        for item, (size, need) in enumerate(zip(job.sizes, job.counts, strict=True)):
            if size <= room:
                counts = [0] * len(job.lengths)
                counts[item] = min(need, room // size)
                found.append((stock, tuple(counts)))
    return found


def _worths(job: CuttingJob, columns: Columns, needs: Floats, scale: float) -> Floats | None:
    """What one more piece of each length costs in fractions, and of each owned stock saves."""
    from scipy.optimize import linprog
    from scipy.sparse import vstack

    owned = [i for i, stock in enumerate(job.stocks) if stock.owned]
    prices = np.array([stock.price for stock in job.stocks]) / scale
    rows, limits = -columns.makes, -needs
    if owned:
        rows = vstack([rows, columns.uses[owned]], format="csr")
        limits = np.concatenate([limits, [float(job.stocks[i].owned) for i in owned]])
    found: Any = linprog(columns.uses.T @ prices, A_ub=rows, b_ub=limits, method="highs")
    if found.status != 0:
        return None
    marginals = -np.asarray(found.ineqlin.marginals, dtype=float)
    saved = np.zeros(len(job.stocks))
    saved[owned] = marginals[len(needs) :]
    scaled = prices + saved
    return np.concatenate([np.maximum(marginals[: len(needs)], 0.0), scaled])


def _most_worth(job: CuttingJob, worths: Floats) -> tuple[Floats, list[tuple[Pattern, float]]]:
    """The most worth each stock holds, and the pattern that does with its gain over its stick.
    `worths` are of each length, then the cost of a stick of each stock."""
    items = len(job.lengths)
    worth, costs = worths[:items], worths[items:]
    grain = gcd(*job.sizes)
    sizes = [size // grain for size in job.sizes]
    rooms = [max(room, 0) // grain for room in job.rooms]
    top = max(rooms)
    best = np.zeros(top + 1)
    taken: list[tuple[int, int, NDArray[np.bool_]]] = []
    for item, (size, need) in enumerate(zip(sizes, job.counts, strict=True)):
        most, part = min(need, top // size), 1
        while most > 0 and worth[item] > 0:  # 1, 2, 4 ... of it and the rest make any number
            n = min(part, most)
            better = best[: top + 1 - n * size] + n * worth[item]
            take = np.zeros(top + 1, dtype=bool)
            take[n * size :] = better > best[n * size :] + 1e-12
            best[n * size :] = np.where(take[n * size :], better, best[n * size :])
            taken.append((item, n, take))
            most, part = most - n, part * 2
    values = np.array([best[room] for room in rooms])
    found: list[tuple[Pattern, float]] = []
    for stock, room in enumerate(rooms):
        counts, left = [0] * items, room
        for item, n, take in reversed(taken):
            if take[left]:
                counts[item] += n
                left -= n * sizes[item]
        if any(counts):
            found.append(((stock, tuple(counts)), float(values[stock] - costs[stock])))
    return values, found


def _bound(job: CuttingJob, worths: Floats, values: Floats, needs: Floats) -> float:
    items = len(job.lengths)
    scale = max(stock.price for stock in job.stocks)
    factor: float = min(
        [1.0]
        + [
            stock.price / scale / value
            for stock, value in zip(job.stocks, values, strict=True)
            if not stock.owned and value > 0
        ]
    )
    spared = sum(s.owned * value for s, value in zip(job.stocks, values, strict=True))
    return factor * (float(worths[:items] @ needs) - float(spared))
