"""Among equally cheap plans: the longest single offcut, then the fewest different patterns."""

from collections.abc import Sequence
from typing import Any

import numpy as np

from designer.takeoff.columns import Columns, columns_of, patterns_of
from designer.takeoff.solver import least, stock_limits
from designer.takeoff.stock import CuttingJob, Pattern, without_surplus

_MOST_PATTERNS = 2_000
"""Beyond this many patterns the number of different ones is left as it comes."""
_NODES = 2_000
"""How far each search goes: it is a nicety and must not take long."""


def longest_offcut(
    job: CuttingJob, columns: Columns, best: list[Pattern], seconds: float
) -> tuple[list[Pattern], bool]:
    """As cheap a plan with the longest single offcut that the columns allow, and whether the
    search for it ended.

    One stick stands apart from the columns: `y` pieces of each length in a stick of stock `z`,
    filled as little as the cost allows.
    """
    from scipy import sparse

    bought = any_bought(job, best)
    items, kinds, width = len(job.lengths), len(job.stocks), columns.width
    sizes = np.array(job.sizes, dtype=float)
    rooms = np.array(job.rooms, dtype=float)
    ends = np.array([stock.length for stock in job.stocks], dtype=float)
    prices = np.array([stock.price for stock in job.stocks], dtype=float)
    needs = np.array(job.counts, dtype=float)
    may = np.array([bool(stock.owned) != bought for stock in job.stocks]) & (rooms > 0)
    no_x, no_y, no_z = (np.zeros((1, n)) for n in (width, items, kinds))

    def row(x: Any, y: Any, z: Any) -> Any:
        return sparse.hstack([sparse.csr_array(part) for part in (x, y, z)], format="csr")

    rows = [
        (row(columns.makes, np.eye(items), np.zeros((items, kinds))), needs, np.inf),
        (row(columns.uses, np.zeros((kinds, items)), np.eye(kinds)), 0, stock_limits(job)),
        (row((columns.uses.T @ prices)[None], no_y, prices[None]), 0, float(job.price(best))),
        (row(no_x, sizes[None], -rooms[None]), -np.inf, 0),
        (row(no_x, no_y, np.ones((1, kinds))), 1, 1),
        (row(no_x, np.ones((1, items)), no_z), 1, np.inf),
    ]
    if columns.balance is not None:
        height = columns.balance.shape[0]
        idle = row(columns.balance, np.zeros((height, items)), np.zeros((height, kinds)))
        rows.append((idle, 0, 0))
    cost = np.concatenate([np.zeros(width), sizes, -ends])
    most = np.concatenate([np.full(width, np.inf), needs, may.astype(float)])
    answer = least(cost, rows, most, seconds, _NODES)
    if answer.x is None:
        return best, False
    x, y, z = np.split(answer.x, [width, width + items])
    apart = (int(np.argmax(z)), tuple(int(n) for n in y))
    found = without_surplus(job, [*columns.decode(x), apart])
    if job.price(found) > job.price(best) or longest(job, found) < longest(job, best):
        return best, False
    return found, answer.ended


def longest(job: CuttingJob, patterns: Sequence[Pattern]) -> int:
    """The longest offcut of the bought sticks, or of the owned ones where none is bought."""
    bought = [p for p in patterns if not job.stocks[p[0]].owned]
    return max((job.left(p) for p in bought or patterns), default=0)


def any_bought(job: CuttingJob, patterns: Sequence[Pattern]) -> bool:
    """Whether a stick must be bought."""
    return any(not job.stocks[stock].owned for stock, _ in patterns)


def fewest_patterns(
    job: CuttingJob, best: list[Pattern], seconds: float
) -> tuple[list[Pattern], bool]:
    """As cheap a plan with as long an offcut from fewer different patterns, and whether it is
    certain that no plan has fewer."""
    from scipy import sparse

    different = len(set(best))
    if different == 1:
        return best, True
    patterns = patterns_of(job, _MOST_PATTERNS, maximal=False)
    if patterns is None:
        return best, False
    columns = columns_of(job, patterns)
    width = columns.width
    prices = np.array([stock.price for stock in job.stocks], dtype=float)
    needs = np.array(job.counts, dtype=float)
    repeats = np.array([_repeats(job, pattern) for pattern in patterns], dtype=float)
    bought, length = any_bought(job, best), longest(job, best)
    long = [
        float(job.left(p) >= length and bool(job.stocks[p[0]].owned) != bought) for p in patterns
    ]
    none = sparse.csr_array((1, width))

    def row(x: Any, used: Any) -> Any:
        return sparse.hstack([sparse.csr_array(x), sparse.csr_array(used)], format="csr")

    rows = [
        (row(columns.makes, sparse.csr_array(columns.makes.shape)), needs, needs),
        (row(columns.uses, sparse.csr_array(columns.uses.shape)), 0, stock_limits(job)),
        (row((columns.uses.T @ prices)[None], none), 0, float(job.price(best))),
        (row(np.array(long)[None], none), 1, np.inf),
        (row(sparse.eye_array(width), -sparse.diags_array(repeats)), -np.inf, 0),
        (row(none, np.ones((1, width))), 1, different - 1),
    ]
    cost = np.concatenate([np.zeros(width), np.ones(width)])
    most = np.concatenate([repeats, np.ones(width)])
    answer = least(cost, rows, most, seconds, _NODES)
    if answer.x is None:
        return best, answer.ended
    return columns.decode(answer.x[:width]), answer.ended


def _repeats(job: CuttingJob, pattern: Pattern) -> int:
    """How often a pattern can be cut before it makes too many of a length."""
    return min(need // n for need, n in zip(job.counts, pattern[1], strict=True) if n)
