"""Spacings that repeat along a pipe: one, or two in turn where two rows stand unevenly apart."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

SAME = 0.05
"""Spacings this close are one, mm: closer than a hole can be marked."""


@dataclass(frozen=True)
class Repeat:
    """A stretch of holes with one repeating pattern: its `spacings` (mm, one or two of them), and
    the indices of its `first` and `last` hole."""

    spacings: tuple[float, ...]
    first: int
    last: int

    @property
    def holes(self) -> int:
        return self.last - self.first + 1


def repeating_spacing(stations: Sequence[float]) -> Repeat | None:
    """The longest stretch of holes whose spacing repeats, from their rising stations in mm.

    The pattern must come at least twice: three holes at one spacing, or five at two in turn. One
    spacing wins over two that reach as far. Holes that share a station are one. None when nothing
    repeats.
    """
    found: list[Repeat] = []
    gaps = [after - before for before, after in pairwise(stations)]
    for period in (1, 2):
        start = 0
        for i in range(period, len(gaps) + 1):
            if i < len(gaps) and abs(gaps[i] - gaps[i - period]) <= SAME:
                continue
            if i - start >= 2 * period:
                found.append(Repeat(tuple(gaps[start : start + period]), start, i))
            start = i - period + 1
    found = [repeat for repeat in found if min(repeat.spacings) > SAME]
    return max(found, key=lambda repeat: repeat.holes, default=None)
