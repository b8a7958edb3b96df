"""The curve of a small pump through the points its maker states."""

import math
from collections.abc import Sequence
from itertools import pairwise

from designer.water.monotone import MonotoneCurve
from designer.water.properties import STANDARD_GRAVITY

ASSUMED_EXPONENT = 1.75
"""Exponent of a curve known by two points only: from memory, 1.5 to 2 where nothing is known."""
USEFUL_SHARE = (0.7, 1.2)
"""Useful flows as a share of the best flow: widest preferred region of Hydraulic Institute,
Engineering Data Tool section 1.B (published, opened)."""


class PumpCurve:
    """Head over flow, strictly falling; flow in m3/s, head in m of water.

    Two points: H = a - b Q^n through both, with an assumed exponent n. For a maker's greatest head
    H0 and greatest flow Qmax this is H = H0 (1 - (Q/Qmax)^n) (form H = Hshutoff - K Q^n: Cleveland,
    Texas Tech University, CE 3305 notes). Three points or more: a monotone cubic through all of
    them, and straight on beyond the last. Beyond the flow of zero head the head is negative.
    """

    def __init__(
        self, points: Sequence[tuple[float, float]], exponent: float = ASSUMED_EXPONENT
    ) -> None:
        """Take (flow m3/s, head m) in any order.

        ValueError when there are fewer than two points, when a flow or head is below zero, when
        the head does not fall from each point to the next, or when the exponent is not within 1
        to 4. The exponent plays no part with three points or more.
        """
        ordered = sorted(points)
        if len(ordered) < 2:
            raise ValueError("A pump needs two points of its curve. Give its greatest head, too.")
        if any(flow < 0.0 or head < 0.0 for flow, head in ordered):
            raise ValueError("A pump's flows and heads cannot be below zero.")
        if any(q1 <= q0 or h1 >= h0 for (q0, h0), (q1, h1) in pairwise(ordered)):
            raise ValueError("A pump gives less head the more it pumps. Check its points.")
        if not 1.0 <= exponent <= 4.0:
            raise ValueError("The exponent of a pump curve must lie between 1 and 4.")
        self.points = tuple(ordered)
        self.exponent: float | None = None
        """The assumed exponent n, None where the points alone make the curve."""
        if len(ordered) == 2:
            (q0, h0), (q1, h1) = ordered
            self.exponent = exponent
            self._factor = (h0 - h1) / (math.pow(q1, exponent) - math.pow(q0, exponent))
            self._shut_off = h0 + self._factor * math.pow(q0, exponent)
        else:
            self._through = MonotoneCurve([q for q, _ in ordered], [h for _, h in ordered])
            self._shut_off = self._through.value(0.0)

    def head(self, flow: float) -> float:
        """Head at a flow of zero or more."""
        if self.exponent is not None:
            return self._shut_off - self._factor * math.pow(flow, self.exponent)
        return self._through.value(flow)

    def slope(self, flow: float) -> float:
        """Derivative of the head by the flow, m per m3/s; zero or less."""
        if self.exponent is not None:
            return -self._factor * self.exponent * math.pow(flow, self.exponent - 1.0)
        return self._through.slope(flow)

    @property
    def shut_off_head(self) -> float:
        """Head at no flow."""
        return self._shut_off

    @property
    def free_flow(self) -> float:
        """Flow at no head."""
        if self.exponent is not None:
            return math.pow(self._shut_off / self._factor, 1.0 / self.exponent)
        last, head = self.points[-1]  # heads of points are not below zero, so it is beyond
        return last - head / self._through.slope(last)

    @property
    def best_flow(self) -> float:
        """Flow of the greatest hydraulic power, standing in for the best-efficiency flow.

        Makers of small pumps state no efficiency; this stand-in is an assumption.
        """
        if self.exponent is not None:
            return self.free_flow * math.pow(1.0 + self.exponent, -1.0 / self.exponent)
        # A curve through points may have more than one peak of power: look along all of it.
        free = self.free_flow
        steps = 2000
        best = max(range(steps + 1), key=lambda i: i * self.head(free * i / steps))
        return free * best / steps

    def useful_range(self) -> tuple[float, float]:
        """Least and greatest flow at which the pump works as meant, m3/s."""
        best = self.best_flow
        return USEFUL_SHARE[0] * best, USEFUL_SHARE[1] * best

    def hydraulic_power(self, flow: float, density: float) -> float:
        """Power given to the water, W: density g Q H."""
        return density * STANDARD_GRAVITY * flow * self.head(flow)
