"""The cutting job as whole-number columns: by patterns, or as a flow along the stick.

Both hold exactly the plans of the job. By patterns there is a column for every maximal way to cut
a stick (one that has no room for another piece that is still needed); few lengths make few
patterns. As an arc flow (Valério de Carvalho 1999, from memory) a stick is a path from its start
to its room, an arc for each piece at each place where it can begin; it grows with the stick's
length on the grid and not with the number of combinations.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import islice
from math import gcd
from typing import Any

import numpy as np
from numpy.typing import NDArray

from designer.takeoff.stock import CuttingJob, Pattern

Whole = NDArray[np.int64]

_MOST_LENGTHS = 200
"""With more distinct lengths the patterns are not even tried."""


@dataclass(frozen=True)
class Columns:
    """Columns x >= 0, whole: `makes` @ x pieces of each length, `uses` @ x sticks of each stock,
    `balance` @ x = 0. `decode` turns x into patterns, which may make more than needed."""

    makes: Any
    uses: Any
    balance: Any | None
    decode: Callable[[Whole], list[Pattern]]

    @property
    def width(self) -> int:
        """How many columns there are."""
        return int(self.makes.shape[1])


def patterns_of(job: CuttingJob, most: int, *, maximal: bool) -> list[Pattern] | None:
    """Every way to cut a stick with at least one piece, or only the maximal ones; none makes more
    of a length than the job needs. None where there are more than `most`."""
    if len(job.lengths) > _MOST_LENGTHS:
        return None
    found = list(islice(_fillings(job, maximal), most + 1))
    return None if len(found) > most else found


def _fillings(job: CuttingJob, maximal: bool) -> Iterator[Pattern]:
    sizes, needs = job.sizes, job.counts
    later = [job.filled([0] * (i + 1) + list(needs[i + 1 :])) for i in range(len(sizes))]

    def fill(stock: int, item: int, room: int, least: int, counts: list[int]) -> Iterator[Pattern]:
        """Patterns from `item` on; `least` is the smallest size that could still be needed."""
        if item == len(sizes):
            if any(counts):
                yield stock, tuple(counts)
            return
        size, need = sizes[item], needs[item]
        for n in range(min(need, room // size), -1, -1):
            smallest = size if n < need else least
            if maximal and room - n * size - later[item] >= smallest:
                break  # even all that comes later leaves room for one more
            counts[item] = n
            yield from fill(stock, item + 1, room - n * size, smallest, counts)
        counts[item] = 0

    for stock, room in enumerate(job.rooms):
        if room > 0:
            yield from fill(stock, 0, room, room + 1, [0] * len(sizes))


def pattern_columns(job: CuttingJob, most: int) -> Columns | None:
    """The job over its maximal patterns; None where there are more than `most`."""
    patterns = patterns_of(job, most, maximal=True)
    return None if patterns is None else columns_of(job, patterns)


def columns_of(job: CuttingJob, patterns: list[Pattern]) -> Columns:
    """A column for each of these patterns."""
    from scipy import sparse

    stocks = np.array([stock for stock, _ in patterns], dtype=int)
    counts = np.array([counts for _, counts in patterns], dtype=float)
    counts = counts.reshape(len(patterns), len(job.lengths))
    uses = sparse.csr_array(
        (np.ones(len(patterns)), (stocks, np.arange(len(patterns)))),
        shape=(len(job.stocks), len(patterns)),
    )

    def decode(x: Whole) -> list[Pattern]:
        return [patterns[i] for i in np.flatnonzero(x) for _ in range(int(x[i]))]

    return Columns(sparse.csr_array(counts.T), uses, None, decode)


def arc_flow_columns(job: CuttingJob, most: int) -> Columns | None:
    """The job as a flow; None where it would have more than `most` arcs."""
    from scipy import sparse

    grain = gcd(*job.sizes)
    sizes = [size // grain for size in job.sizes]
    rooms = [max(room, 0) // grain for room in job.rooms]
    begins = _beginnings(sizes, job.counts, max(rooms), most)
    if begins is None:
        return None
    places = {0, *rooms}
    for size, starts in zip(sizes, begins, strict=True):
        places.update(starts.tolist(), (starts + size).tolist())
    nodes = np.array(sorted(places))
    index = {int(node): i for i, node in enumerate(nodes)}

    tails: list[int] = []
    heads: list[int] = []
    items: list[int] = []
    for item, (size, starts) in enumerate(zip(sizes, begins, strict=True)):
        tails += [index[u] for u in starts.tolist()]
        heads += [index[u + size] for u in starts.tolist()]
        items += [item] * len(starts)
    arcs, idle, ends = len(tails), len(nodes) - 1, len(rooms)
    width = arcs + idle + ends
    ones, every = np.ones(arcs), np.arange(arcs)
    makes = sparse.csr_array((ones, (items, every)), shape=(len(sizes), width))
    columns = np.arange(width)
    out_of = np.array([*tails, *range(idle), *(index[room] for room in rooms)])
    into = np.array([*heads, *range(1, idle + 1)])
    values = np.concatenate([np.ones(arcs + idle), -np.ones(width)])
    balance = sparse.csr_array(
        (
            values,
            (np.concatenate([into, out_of]), np.concatenate([columns[: arcs + idle], columns])),
        ),
        shape=(len(nodes), width),
    )[1:]
    uses = sparse.csr_array(
        (np.ones(ends), (np.arange(ends), columns[arcs + idle :])), shape=(ends, width)
    )

    def decode(x: Whole) -> list[Pattern]:
        return _paths(x, out_of, into, items, idle, len(sizes))

    return Columns(makes, uses, balance, decode)


def _beginnings(
    sizes: list[int], counts: tuple[int, ...], room: int, most: int
) -> list[Whole] | None:
    """Where on a stick each size can begin when larger ones stand before smaller ones."""
    reached = np.zeros(room + 1, dtype=bool)
    reached[0] = True
    found: list[Whole] = []
    total = 0
    for size, count in zip(sizes, counts, strict=True):
        starts = np.zeros(room + 1, dtype=bool)
        front = reached.copy()
        for _ in range(count):
            begin = front[: room + 1 - size] if size <= room else front[:0]
            if not begin.any():
                break
            starts[: len(begin)] |= begin
            moved = np.zeros(room + 1, dtype=bool)
            moved[size:] = begin
            front = moved
            reached |= front
        found.append(np.flatnonzero(starts))
        total += len(found[-1])
        if total > most:
            return None
    return found


def _paths(
    x: Whole, out_of: Whole, into: Whole, items: list[int], idle: int, lengths: int
) -> list[Pattern]:
    """Take a flow apart into the sticks it is made of."""
    left = x.copy()
    arcs = len(items)
    leaving: dict[int, list[int]] = {}
    for column in np.flatnonzero(left).tolist():
        leaving.setdefault(int(out_of[column]), []).append(column)
    found: list[Pattern] = []
    for _ in range(int(left[arcs + idle :].sum())):
        node, counts = 0, [0] * lengths
        while True:
            column = next(c for c in leaving[node] if left[c])
            left[column] -= 1
            if column >= arcs + idle:
                found.append((column - arcs - idle, tuple(counts)))
                break
            if column < arcs:
                counts[items[column]] += 1
            node = int(into[column])
    return found
