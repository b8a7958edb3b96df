"""Curves through points that rise or fall only where the points do."""

from bisect import bisect_right
from collections.abc import Sequence
from itertools import pairwise


class MonotoneCurve:
    """Piecewise cubic through points, without overshoot between them.

    Slopes at inner points are the weighted harmonic mean of the two chords, after Fritsch and
    Butland, SIAM J. Sci. Stat. Comput. 5 (1984) 300-304 (from memory); where the chords differ in
    sign the slope is zero. Beyond the first and last point the curve goes on straight.
    """

    def __init__(self, x: Sequence[float], y: Sequence[float]) -> None:
        """Take at least two points, x strictly increasing; ValueError otherwise."""
        if len(x) != len(y) or len(x) < 2:
            raise ValueError("A curve needs at least two points.")
        if any(b <= a for a, b in pairwise(x)):
            raise ValueError("The points of a curve must be in order, no two at the same place.")
        self.x = tuple(x)
        self.y = tuple(y)
        self.slopes = _slopes(self.x, self.y)

    def value(self, x: float) -> float:
        """Height of the curve at x."""
        return self._at(x)[0]

    def slope(self, x: float) -> float:
        """First derivative at x."""
        return self._at(x)[1]

    def _at(self, x: float) -> tuple[float, float]:
        if x <= self.x[0]:
            return self.y[0] + self.slopes[0] * (x - self.x[0]), self.slopes[0]
        if x >= self.x[-1]:
            return self.y[-1] + self.slopes[-1] * (x - self.x[-1]), self.slopes[-1]
        i = bisect_right(self.x, x) - 1
        width = self.x[i + 1] - self.x[i]
        t = (x - self.x[i]) / width
        rise = self.y[i + 1] - self.y[i]
        left, right = self.slopes[i] * width, self.slopes[i + 1] * width
        bend = left + right - 2.0 * rise
        lean = 3.0 * rise - 2.0 * left - right
        value = self.y[i] + t * (left + t * (lean + t * bend))
        return value, (left + t * (2.0 * lean + 3.0 * t * bend)) / width


def _slopes(x: tuple[float, ...], y: tuple[float, ...]) -> tuple[float, ...]:
    widths = [b - a for a, b in pairwise(x)]
    chords = [(b - a) / w for a, b, w in zip(y, y[1:], widths, strict=False)]
    inner = [
        _harmonic(widths[i], widths[i + 1], chords[i], chords[i + 1])
        for i in range(len(chords) - 1)
    ]
    if not inner:
        return (chords[0], chords[0])
    return (
        _end_slope(chords[0], inner[0]),
        *inner,
        _end_slope(chords[-1], inner[-1]),
    )


def _harmonic(left: float, right: float, before: float, after: float) -> float:
    if before * after <= 0.0:
        return 0.0
    w1, w2 = left + 2.0 * right, 2.0 * left + right
    return (w1 + w2) / (w1 / before + w2 / after)


def _end_slope(chord: float, inner: float) -> float:
    """Slope that leaves the last piece a parabola, held between a tenth and three chords."""
    parabola = 1.5 * chord - 0.5 * inner if inner * chord > 0.0 else 1.5 * chord
    low, high = sorted((0.1 * chord, 3.0 * chord))
    return min(max(parabola, low), high)
