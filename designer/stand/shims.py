"""Stacks, packing and shims: what stands under each support, and the fall they really make.

Lengths in any one unit; the bed asks in mm.
"""

import itertools
from collections.abc import Sequence
from dataclasses import dataclass
from math import floor

_MOST_COURSES = 60


def rounded(thickness: float, grain: float) -> float:
    """A thickness as a person can make it: the nearest whole number of `grain`, not below zero."""
    return max(round(thickness / grain), 0) * grain


@dataclass(frozen=True, slots=True)
class Stack:
    """What brings a stack's top to its level: blocks from below, then `packing` on top, or the
    stack let into the ground by `sunk`. One of the two is zero."""

    blocks: tuple[float, ...]
    packing: float
    sunk: float

    @property
    def courses(self) -> int:
        """How many blocks high."""
        return len(self.blocks)

    @property
    def top(self) -> float:
        """Height of its top above the ground."""
        return sum(self.blocks) + self.packing - self.sunk


def stack(
    height: float, block_heights: Sequence[float], grain: float, most_packing: float
) -> Stack:
    """Blocks of the given heights and packing, rounded to `grain`, for a top `height` above the
    ground.

    The combination with the least packing, up to `most_packing`, wins, then the fewest blocks.
    Where none fits, the one that is least too high is let into the ground. Raises ValueError
    without a block.
    """
    sizes = sorted({size for size in block_heights if size > 0}, reverse=True)
    if not sizes:
        raise ValueError("a stack needs a block")
    fits: list[tuple[float, int, tuple[float, ...]]] = []
    sinks: list[tuple[float, int, tuple[float, ...]]] = []
    for blocks in _combinations(max(height, 0.0), sizes):
        rest = height - sum(blocks)
        if blocks and -grain / 2 <= rest <= most_packing:
            fits.append((rounded(rest, grain), len(blocks), blocks))
        elif rest < 0:
            sinks.append((rounded(-rest, grain), len(blocks), blocks))
    if fits:
        packing, _, blocks = min(fits)
        return Stack(blocks, packing, 0.0)
    sunk, _, blocks = min(sinks)
    return Stack(blocks, 0.0, sunk)


def _combinations(height: float, sizes: Sequence[float]) -> list[tuple[float, ...]]:
    """Stacks up to the first that is too high: any number of the greatest block, then the rest."""
    first, *others = sizes
    most = min(floor(height / first + 1e-9), _MOST_COURSES)
    if not others:
        return [(first,) * count for count in (most, most + 1) if count]
    found = [(first,) * (most + 1)]
    for count in range(most + 1):
        below = (first,) * count
        if count:
            found.append(below)
        found += [below + rest for rest in _combinations(height - first * count, others)]
    return found


@dataclass(frozen=True, slots=True)
class BuiltFall:
    """The fall that rounded shims make over the whole run: `total` up to the capped end, and the
    least and greatest slope between neighbouring supports."""

    total: float
    least: float
    greatest: float


def fall_as_built(
    stations: Sequence[float], shims: Sequence[float], length: float
) -> BuiltFall | None:
    """The fall over `length` from shims at rising stations; None with fewer than two stations.

    Between supports the pipe is straight; beyond the outermost it goes on as between the last two.
    """
    if len(set(stations)) < 2:
        return None
    slopes = [
        (t2 - t1) / (s2 - s1)
        for (s1, t1), (s2, t2) in itertools.pairwise(zip(stations, shims, strict=True))
        if s2 > s1
    ]
    low = shims[0] - slopes[0] * stations[0]
    high = shims[-1] + slopes[-1] * (length - stations[-1])
    return BuiltFall(high - low, min(slopes), max(slopes))
