"""Continuous beams on any supports, exactly. SI: m, N, N m, Pa m4; down and sagging positive.

Euler-Bernoulli beam of one stiffness EI on rigid supports that turn freely, with point loads,
uniform patch loads and overhangs. The moments over the supports follow from Clapeyron's theorem of
three moments; between the ends of loads every curve is a polynomial, so moments, shears and
deflections are exact. (Theorem from memory; held against an independent stiffness solution.)
"""

import itertools
from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from math import isfinite, sqrt
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from designer.stand.segments import Extreme, Segment, Stretch, size, stretch

_CLOSEST = 1e-6
"""Supports nearer than this, in m, are refused."""


class Load(NamedTuple):
    """A force in N, downwards, spread evenly from `start` to `end` in m; at a point if equal."""

    start: float
    end: float
    force: float


def point(station: float, force: float) -> Load:
    """A point load of `force` N."""
    return Load(station, station, force)


def uniform(start: float, end: float, per_metre: float) -> Load:
    """A load of `per_metre` N/m from `start` to `end`."""
    return Load(start, end, per_metre * (end - start))


@dataclass(frozen=True)
class Beam:
    """A solved beam. `reactions` in N, upwards positive, stand in the order of `supports`."""

    length: float
    supports: tuple[float, ...]
    stiffness: float
    reactions: tuple[float, ...]
    segments: tuple[tuple[Segment, ...], ...]
    """Segments by stretch: overhang, spans, overhang; an overhang of no length has none."""

    @cached_property
    def stretches(self) -> tuple[Stretch, ...]:
        """Spans and overhangs from the start, those of no length left out."""
        last = len(self.segments) - 1
        return tuple(
            stretch("overhang" if i in (0, last) else "span", segments, self.stiffness)
            for i, segments in enumerate(self.segments)
            if segments
        )

    @property
    def moment(self) -> Extreme:
        """The greatest bending moment, N m."""
        return max((s.moment for s in self.stretches), key=size)

    @property
    def shear(self) -> Extreme:
        """The greatest shear, N."""
        return max((s.shear for s in self.stretches), key=size)

    @property
    def deflection(self) -> Extreme:
        """The greatest deflection, m."""
        return max((s.deflection for s in self.stretches), key=size)

    def moments_at(self, stations: ArrayLike) -> NDArray[np.float64]:
        """Bending moments at stations, N m, in their shape."""
        t, rows = self._rows(stations)
        return np.asarray(rows[3] + t * (rows[4] - rows[2] * t / 2))

    def shears_at(self, stations: ArrayLike) -> NDArray[np.float64]:
        """Shears just beyond stations, N, in their shape."""
        t, rows = self._rows(stations)
        return np.asarray(rows[4] - rows[2] * t)

    def deflections_at(self, stations: ArrayLike) -> NDArray[np.float64]:
        """Deflections at stations, m, down positive, in their shape."""
        t, rows = self._rows(stations)
        bent = rows[3] / 2 + t * (rows[4] / 6 - rows[2] * t / 24)
        return np.asarray((rows[6] + t * (rows[5] - t * bent)) / self.stiffness)

    @cached_property
    def _table(self) -> NDArray[np.float64]:
        return np.array([s for own in self.segments for s in own], dtype=float).T

    def _rows(self, stations: ArrayLike) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        x = np.asarray(stations, dtype=float)
        if x.size and not (x.min() >= -_CLOSEST and x.max() <= self.length + _CLOSEST):
            raise ValueError("a station lies off the beam")
        index = np.clip(np.searchsorted(self._table[0], x, side="right") - 1, 0, None)
        rows = self._table[:, index]
        return x - rows[0], rows


def solve_beam(
    length: float, supports: Sequence[float], loads: Sequence[Load], stiffness: float
) -> Beam:
    """Solve a beam of `length` m on supports at rising stations, of stiffness EI in Pa m4.

    Supports hold down as well as up. Raises ValueError with fewer than two supports, supports out
    of order or off the beam, loads off the beam, or values that are not finite.
    """
    _check(length, supports, loads, stiffness)
    edges = [0.0, *supports, length]
    shares = _share(edges, loads)
    spans = list(zip(edges[1:-2], edges[2:-1], shares[1:-1], strict=True))
    first = -sum(load.force * (supports[0] - _middle(load)) for load in shares[0])
    last = -sum(load.force * (_middle(load) - supports[-1]) for load in shares[-1])
    turns = [_turns(start, end, own) for start, end, own in spans]
    moments = _support_moments(spans, turns, first, last)
    slopes = [
        turns[i][0] + (end - start) * (moments[i] / 3 + moments[i + 1] / 6)
        for i, (start, end, _) in enumerate(spans)
    ]
    solved: list[tuple[Segment, ...]] = []
    ends: list[float] = []
    starts: list[float] = []
    overhang, shear = _segments(0.0, supports[0], shares[0], 0.0, 0.0, 0.0, 0.0)
    if overhang:  # turn it as a whole until it meets its support with the first span's slope
        tip = overhang[-1]
        turn = slopes[0] - tip.slope_at(tip.length)
        sink = -tip.sag_at(tip.length) - turn * supports[0]
        overhang, shear = _segments(0.0, supports[0], shares[0], 0.0, 0.0, turn, sink)
    solved.append(overhang)
    ends.append(shear)
    for i, (start, end, own) in enumerate(spans):
        span = end - start
        held = sum(load.force * (end - _middle(load)) for load in own) / span
        starts.append(held + (moments[i + 1] - moments[i]) / span)
        piece, shear = _segments(start, end, own, moments[i], starts[-1], slopes[i], 0.0)
        solved.append(piece)
        ends.append(shear)
    beyond = sum(load.force for load in shares[-1])
    start, end, _ = spans[-1]
    slope = -(turns[-1][1] + (end - start) * (moments[-2] / 6 + moments[-1] / 3))
    starts.append(beyond)
    piece, _ = _segments(supports[-1], length, shares[-1], moments[-1], beyond, slope, 0.0)
    solved.append(piece)
    reactions = tuple(after - before for after, before in zip(starts, ends, strict=True))
    return Beam(length, tuple(supports), stiffness, reactions, tuple(solved))


def resting_beam(
    length: float, supports: Sequence[float], loads: Sequence[Load], stiffness: float
) -> Beam | None:
    """The beam as it rests, for supports that push up but do not hold down.

    A support that would pull is left out, and taken back where the beam then comes down on it. None
    where the beam would tip off. Raises ValueError as :func:`solve_beam`.
    """
    _check(length, supports, loads, stiffness)
    touching = list(supports)
    tiny = 1e-9 * max(sum(abs(load.force) for load in loads), 1.0)
    for _ in range(4 * len(supports) + 4):
        if len(touching) < 2:
            return None
        beam = solve_beam(length, touching, loads, stiffness)
        pull = min(beam.reactions)
        if pull < -tiny:
            del touching[beam.reactions.index(pull)]
            continue
        lifted = [s for s in supports if s not in touching]
        if not lifted:
            return beam
        sags = beam.deflections_at(lifted)
        deepest = int(sags.argmax())
        if sags[deepest] <= 1e-9:
            return beam
        touching = sorted([*touching, lifted[deepest]])
    return None


def _check(
    length: float, supports: Sequence[float], loads: Sequence[Load], stiffness: float
) -> None:
    numbers = [length, stiffness, *supports, *(value for load in loads for value in load)]
    if not all(map(isfinite, numbers)) or length <= 0 or stiffness <= 0:
        raise ValueError("a beam needs finite numbers, and a length and stiffness above zero")
    if len(supports) < 2:
        raise ValueError("a beam needs at least two supports")
    if any(b - a < _CLOSEST for a, b in itertools.pairwise(supports)):
        raise ValueError("supports must stand apart and in order")
    if supports[0] < 0 or supports[-1] > length:
        raise ValueError("a support stands off the beam")
    if any(not 0 <= load.start <= load.end <= length for load in loads):
        raise ValueError("a load lies off the beam")


def _middle(load: Load) -> float:
    return (load.start + load.end) / 2


def _share(edges: Sequence[float], loads: Sequence[Load]) -> list[list[Load]]:
    """The loads on each stretch between edges, cut where they reach over one."""
    shares: list[list[Load]] = [[] for _ in edges[1:]]
    last = len(shares) - 1
    for load in loads:
        at = min(bisect_right(edges, load.start) - 1, last)
        if load.end <= edges[at + 1]:
            shares[at].append(load)
            continue
        per_metre = load.force / (load.end - load.start)
        start = load.start
        while start < load.end and at <= last:
            end = min(load.end, edges[at + 1])
            if end > start:
                shares[at].append(Load(start, end, per_metre * (end - start)))
            start = max(start, end)
            at += 1
    return shares


def _turns(start: float, end: float, loads: Sequence[Load]) -> tuple[float, float]:
    """EI times the slopes that loads give a simple span at its two ends, both counted inwards.

    A point load P at a, b from the ends gives P a b (L + b) / 6L and P a b (L + a) / 6L. These are
    cubic in a, so two half loads at Gauss's points stand exactly for an even patch.
    """
    span = end - start
    left = right = 0.0
    for load in loads:
        middle, half = _middle(load) - start, (load.end - load.start) / 2
        for a in (middle - half / sqrt(3), middle + half / sqrt(3)):
            lever = load.force / 2 * a * (span - a) / (6 * span)
            left += lever * (2 * span - a)
            right += lever * (span + a)
    return left, right


def _support_moments(
    spans: Sequence[tuple[float, float, list[Load]]],
    turns: Sequence[tuple[float, float]],
    first: float,
    last: float,
) -> list[float]:
    """Moments over all supports: known at the ends, by three moments between them."""
    lengths = [end - start for start, end, _ in spans]
    inner = len(spans) - 1
    if inner == 0:
        return [first, last]
    matrix = np.zeros((inner, inner))
    right = np.zeros(inner)
    for i in range(inner):
        matrix[i, i] = (lengths[i] + lengths[i + 1]) / 3
        if i + 1 < inner:
            matrix[i, i + 1] = matrix[i + 1, i] = lengths[i + 1] / 6
        right[i] = -(turns[i][1] + turns[i + 1][0])
    right[0] -= first * lengths[0] / 6
    right[-1] -= last * lengths[-1] / 6
    return [first, *np.linalg.solve(matrix, right).tolist(), last]


def _segments(
    start: float,
    end: float,
    loads: Sequence[Load],
    moment: float,
    shear: float,
    slope: float,
    sag: float,
) -> tuple[tuple[Segment, ...], float]:
    """A stretch cut at its loads' ends, from what holds at its start; and the shear at its end."""
    drops: dict[float, float] = {start: 0.0, end: 0.0}
    changes: dict[float, float] = {}
    for load in loads:
        width = load.end - load.start
        if width > 0:
            for at, sign in ((load.start, 1.0), (load.end, -1.0)):
                drops.setdefault(at, 0.0)
                changes[at] = changes.get(at, 0.0) + sign * load.force / width
        else:
            drops[load.start] = drops.get(load.start, 0.0) + load.force
    breaks = sorted(drops)
    found = []
    per_metre = 0.0
    for at, following in itertools.pairwise(breaks):
        shear -= drops[at]
        per_metre += changes.get(at, 0.0)
        segment = Segment(at, following - at, per_metre, moment, shear, slope, sag)
        found.append(segment)
        t = segment.length
        moment, slope, sag = segment.moment_at(t), segment.slope_at(t), segment.sag_at(t)
        shear -= per_metre * t
    return tuple(found), shear - (drops[end] if found else 0.0)
