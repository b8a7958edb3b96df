"""What a bucket holds and lets out as its water rises, and its exact advance over a time step.

Between the points of a storage curve the outflow grows in a straight line with the stored water W,
so dW/dt = inflow - use - outflow(W) is linear there and solved by its exponential; a step is split
where W crosses a point. Only the curve's straight pieces approximate. SI: m, m3, m3/s, s.
"""

from bisect import bisect_right
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from math import expm1, inf, isfinite, log1p

from designer.water.vessel import Bucket

DRAINING_TIME = 250.0
"""Time constant in s of a bucket whose outlet is not computed: free water falls to 5 % in 12.5 min.

The porosity test of Purdue University (controlled environment agriculture, "Pore space in soilless
substrates") lets a medium drain for 10 to 15 minutes; 12.5 min / ln 20 = 250 s.
"""
_POINTS = 33


@dataclass(frozen=True)
class StorageCurve:
    """Points of rising stored water (m3), level above the outlet's invert (m), outflow (m3/s).

    The first point is the dry bucket; below the invert the level is negative and nothing flows out;
    the last point is the rim. Raises ValueError where stored water does not rise or outflow falls.
    """

    stored: tuple[float, ...]
    level: tuple[float, ...]
    outflow: tuple[float, ...]

    def __post_init__(self) -> None:
        if not len(self.stored) == len(self.level) == len(self.outflow) >= 2:
            raise ValueError("a storage curve needs two points or more, each of three numbers")
        if not all(isfinite(v) for row in (self.stored, self.level, self.outflow) for v in row):
            raise ValueError("a storage curve must be of finite numbers")
        if self.stored[0] != 0 or any(b <= a for a, b in pairwise(self.stored)):
            raise ValueError("the stored water of a storage curve must rise from zero")
        if self.outflow[0] != 0 or any(b < a for a, b in pairwise(self.outflow)):
            raise ValueError("the outflow must start at zero and never fall as water rises")
        if any(b < a for a, b in pairwise(self.level)):
            raise ValueError("the level must not fall as water is added")

    @property
    def capacity(self) -> float:
        """Water at the rim, m3."""
        return self.stored[-1]

    @cached_property
    def retained(self) -> float:
        """Water that stays when the bucket has drained, m3: the most that lets nothing out."""
        return max(w for w, flow in zip(self.stored, self.outflow, strict=True) if flow == 0)

    @cached_property
    def slopes(self) -> tuple[float, ...]:
        """Rise of the outflow with stored water in each piece, 1/s."""
        points = list(zip(self.stored, self.outflow, strict=True))
        return tuple((q1 - q0) / (w1 - w0) for (w0, q0), (w1, q1) in pairwise(points))

    def piece(self, stored: float) -> int:
        """Index of the piece that holds `stored` m3."""
        return min(max(bisect_right(self.stored, stored) - 1, 0), len(self.stored) - 2)

    def outflow_at(self, stored: float) -> float:
        """Outflow in m3/s at `stored` m3."""
        i = self.piece(stored)
        return self.outflow[i] + self.slopes[i] * (stored - self.stored[i])

    def level_at(self, stored: float) -> float:
        """Level in m above the outlet's invert at `stored` m3."""
        i = self.piece(stored)
        share = (stored - self.stored[i]) / (self.stored[i + 1] - self.stored[i])
        return self.level[i] + share * (self.level[i + 1] - self.level[i])


def lagging_curve(
    bucket: Bucket, held_by_medium: float = 0.0, time_constant: float = DRAINING_TIME
) -> StorageCurve:
    """Storage curve of a first-order lag: outflow = water above the invert / `time_constant` s.

    `held_by_medium`: water in m3 that the medium holds above the sump and plants can take. Here the
    water above the invert is mostly on its way through the medium; its level says how much there
    is, not where a surface stands. Use `outlet_curve` for that.
    """
    if not time_constant > 0:
        raise ValueError("the draining time must be above zero")
    return _curve(bucket, held_by_medium, lambda _level, free: free / time_constant)


def outlet_curve(
    bucket: Bucket, outflow: Callable[[float], float], held_by_medium: float = 0.0
) -> StorageCurve:
    """Storage curve of an outlet whose flow in m3/s is `outflow(level above the invert in m)`.

    Points lie closer near the invert, where weir flow bends most. A relation that gives no flow
    below some level leaves water standing up to that level.
    """
    return _curve(bucket, held_by_medium, lambda level, _free: outflow(level))


def _curve(
    bucket: Bucket, held_by_medium: float, outflow: Callable[[float, float], float]
) -> StorageCurve:
    if held_by_medium < 0:
        raise ValueError(f"{bucket.name}: water held by the medium cannot be below zero")
    room = bucket.rim_level - bucket.invert_level
    retained = bucket.sump_water + held_by_medium
    stored: list[float] = [retained]
    level: list[float] = [0.0]
    flows: list[float] = [0.0]
    for i in range(1, _POINTS):
        height = room * (i / (_POINTS - 1)) ** 2
        free = bucket.water_between(bucket.invert_level, bucket.invert_level + height)
        if retained + free > stored[-1]:
            stored.append(retained + free)
            level.append(height)
            flows.append(outflow(height, free))
    if retained > 0:
        stored.insert(0, 0.0)
        level.insert(0, bucket.floor_level - bucket.invert_level)
        flows.insert(0, 0.0)
    return StorageCurve(tuple(stored), tuple(level), tuple(flows))


@dataclass(frozen=True, slots=True)
class Advance:
    """A bucket after a time step: water held, and what left it meanwhile, all m3."""

    stored: float
    drained: float
    used: float
    spilled: float


def advance(
    curve: StorageCurve, stored: float, inflow: float, use: float, seconds: float
) -> Advance:
    """The bucket `seconds` later under steady `inflow` and plant `use` in m3/s.

    Plants take no more than there is: a dry bucket yields only what flows in. What would rise over
    the rim is spilled. Held + drained + used + spilled equals what was there plus what flowed in.
    """
    net = inflow - use
    drained = dry = spilled = 0.0
    left = seconds
    i = curve.piece(stored)
    rising = net > curve.outflow_at(stored)
    if not rising and i > 0 and stored == curve.stored[i]:
        i -= 1
    while left > 0:
        slope = curve.slopes[i]
        rate = net - curve.outflow[i] - slope * (stored - curve.stored[i])
        if rate == 0 or (rate > 0) != rising:  # inflow and outflow are in balance
            drained += net * left
            break
        edge = curve.stored[i + 1] if rising else curve.stored[i]
        reach = _time_to(edge - stored, rate, slope)
        if reach > left:
            moved = rate * left * _mean_fading(slope * left)
            moved = min(moved, edge - stored) if rising else max(moved, edge - stored)
            drained += max(net * left - moved, 0.0)
            stored += moved
            break
        drained += max(net * reach - (edge - stored), 0.0)
        stored = edge
        left -= reach
        i += 1 if rising else -1
        if i < 0:
            dry = left
            break
        if i == len(curve.slopes):
            spilled = max(net - curve.outflow[-1], 0.0) * left
            drained += net * left - spilled
            break
    return Advance(stored, drained, use * (seconds - dry) + inflow * dry, spilled)


def _time_to(gap: float, rate: float, slope: float) -> float:
    """Seconds until the water has changed by `gap`, from its `rate` now; infinite if it never has.

    The rate fades as exp(-slope t) since outflow grows with the water.
    """
    share = gap * slope / rate
    if share == 0:
        return gap / rate
    return gap / rate * (-log1p(-share) / share) if share < 1 else inf


def _mean_fading(x: float) -> float:
    """Mean of exp(-t) for t from 0 to `x`: how much of its first rate a fading flow keeps."""
    return -expm1(-x) / x if x > 0 else 1.0
