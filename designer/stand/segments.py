"""One stretch of a solved beam as polynomials, and its extremes. SI; down and sagging positive."""

import itertools
from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt
from typing import Literal, NamedTuple

_HALVINGS = 60


class Extreme(NamedTuple):
    """A greatest value, with its sign, and the station in m where it stands."""

    station: float
    value: float


class Segment(NamedTuple):
    """Between two breaks: load per metre, and at its start moment, shear, EI slope, EI sag."""

    start: float
    length: float
    load: float
    moment: float
    shear: float
    slope: float
    sag: float

    def moment_at(self, t: float) -> float:
        """Bending moment `t` m along it, N m."""
        return self.moment + t * (self.shear - self.load * t / 2)

    def slope_at(self, t: float) -> float:
        """EI times the slope, N m2."""
        return self.slope - t * (self.moment + t * (self.shear / 2 - self.load * t / 6))

    def sag_at(self, t: float) -> float:
        """EI times the deflection, N m3."""
        bent = self.moment / 2 + t * (self.shear / 6 - self.load * t / 24)
        return self.sag + t * (self.slope - t * bent)


@dataclass(frozen=True)
class Stretch:
    """A span between two supports, or an overhang beyond the outermost one.

    `moment` is the greatest bending moment either way (N m), `shear` the greatest shear (N),
    `deflection` the greatest sag or rise (m, down positive), `length` in m.
    """

    kind: Literal["span", "overhang"]
    start: float
    end: float
    moment: Extreme
    shear: Extreme
    deflection: Extreme

    @property
    def length(self) -> float:
        """Length, m."""
        return self.end - self.start


def stretch(
    kind: Literal["span", "overhang"], segments: Sequence[Segment], stiffness: float
) -> Stretch:
    """A stretch's extremes from its segments, for a stiffness EI in Pa m4."""
    moments, shears, sags = [], [], []
    for s in segments:
        end = s.start + s.length
        moments += [Extreme(s.start, s.moment), Extreme(end, s.moment_at(s.length))]
        shears += [Extreme(s.start, s.shear), Extreme(end, s.shear - s.load * s.length)]
        if s.load and 0 < s.shear / s.load < s.length:
            t = s.shear / s.load
            moments.append(Extreme(s.start + t, s.moment_at(t)))
        for t in (0.0, *_level_points(s), s.length):
            sags.append(Extreme(s.start + t, s.sag_at(t) / stiffness))
    last = segments[-1]
    return Stretch(
        kind,
        segments[0].start,
        last.start + last.length,
        max(moments, key=size),
        max(shears, key=size),
        max(sags, key=size),
    )


def size(extreme: Extreme) -> float:
    """A value without its sign."""
    return abs(extreme.value)


def _level_points(s: Segment) -> list[float]:
    """Where a segment's slope passes through zero: between zeros of its moment it only grows or
    only falls, so that halving finds every one."""
    cuts = [0.0, *sorted(t for t in _moment_zeros(s) if 0 < t < s.length), s.length]
    found = []
    for low, high in itertools.pairwise(cuts):
        rising = s.slope_at(high) > 0
        if (s.slope_at(low) > 0) == rising:
            continue
        for _ in range(_HALVINGS):
            middle = (low + high) / 2
            low, high = (low, middle) if (s.slope_at(middle) > 0) == rising else (middle, high)
        found.append((low + high) / 2)
    return found


def _moment_zeros(s: Segment) -> tuple[float, ...]:
    if not s.load:
        return (-s.moment / s.shear,) if s.shear else ()
    root = s.shear**2 + 2 * s.load * s.moment
    if root < 0:
        return ()
    return ((s.shear - sqrt(root)) / s.load, (s.shear + sqrt(root)) / s.load)
