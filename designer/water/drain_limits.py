"""What a drain can take: largest flow, smallest fall, and the time to run empty."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace
from enum import StrEnum
from math import log, log2

from designer.water.crossing import crossing
from designer.water.drain import Line, Profile, drain_profile

_STEEPEST = 0.1
"""Fall, m/m, up to which a fall that works is looked for."""
_MOST = 1e9
"""Largest multiple of the present flow that is looked at."""


class Limit(StrEnum):
    """Which limit the water reaches first."""

    FILL = "too full"
    RIM = "water at the rim of a hole"
    TIP = "water at the end of a tail pipe"


@dataclass(frozen=True)
class Excess:
    """How far the water stands above the nearest limit, m; negative below it."""

    height: float
    limit: Limit
    distance: float


def excess(profile: Profile, largest_fill: float = 1.0) -> Excess:
    """The limit that is overstepped most, or that the water comes closest to.

    `largest_fill` is the fill (depth over height) that is not to be passed anywhere.
    """
    at = profile.fullest
    found = [
        Excess(
            float(profile.depth[at]) - largest_fill * profile.line.section.height,
            Limit.FILL,
            float(profile.distance[at]),
        )
    ]
    for margin, limit in ((profile.rim_margin, Limit.RIM), (profile.tip_margin, Limit.TIP)):
        if margin is not None:
            found.append(Excess(-margin.margin, limit, margin.distance))
    return max(found, key=lambda e: e.height)


@dataclass(frozen=True)
class LargestFlow:
    """The largest flow a line can take, all inflows growing alike.

    `flow` m³/s at the outfall, `factor` times the present one (None where no water runs now: the
    holes then share alike), and the limit that stops it.
    """

    flow: float
    factor: float | None
    limit: Limit
    distance: float


def largest_flow(
    line: Line, largest_fill: float = 1.0, tail_depth: float = 0.0
) -> LargestFlow | None:
    """The largest flow before the pipe is too full or water reaches a rim or a tail tip.

    0 where the water outside alone passes a limit; None for a line without holes. On a steep pipe
    a stronger flow may shoot past a hole above which a weaker one piles up; the answer is then
    one flow at which a limit is passed, not surely the first.
    """
    if not line.inflows:
        return None
    present = line.flow
    if present <= 0:
        # Any small flow will do as the unit: 1 L/h in each hole.
        unit = tuple(replace(i, flow=1 / 3.6e6) for i in line.inflows)
        line = replace(line, inflows=unit)

    def over(factor: float) -> Excess:
        return excess(drain_profile(line.scaled(factor), tail_depth), largest_fill)

    factor = 0.0
    if over(0.0).height < 0:
        factor = 1.0
        while over(factor).height < 0 and factor < _MOST:
            factor *= 2
        if factor < _MOST:
            factor = crossing(lambda f: over(f).height, 0.0, factor, 1e-7)
    stopped = over(factor)
    return LargestFlow(
        line.flow * factor, factor if present > 0 else None, stopped.limit, stopped.distance
    )


def with_slope(line: Line, slope: float, stretches: Collection[int] | None = None) -> Line:
    """The line with the slope of some stretches (by index; all where None) replaced."""
    return replace(
        line,
        stretches=tuple(
            replace(s, slope=slope) if stretches is None or i in stretches else s
            for i, s in enumerate(line.stretches)
        ),
    )


def smallest_fall(
    line: Line,
    largest_fill: float = 1.0,
    tail_depth: float = 0.0,
    stretches: Collection[int] | None = None,
) -> float | None:
    """The smallest slope, m/m, of the given stretches that keeps every limit; 0 if level works.

    Limits of rims and tips count from the invert, so they stay as the fall changes; the water
    outside stays where it is against the invert at the outfall. Falls are tried upwards to 0.1,
    the first that works is refined from below. None where none works.
    """

    def over(slope: float) -> float:
        sloped = with_slope(line, slope, stretches)
        return excess(drain_profile(sloped, tail_depth), largest_fill).height

    if over(0.0) <= 0:
        return 0.0
    low, high = 0.0, 0.001
    while over(high) > 0:
        low, high = high, high * 1.5
        if high > _STEEPEST:
            return None
    found = crossing(over, low, high, 1e-5)
    # The depth may jump where the water begins to shoot: take the side that works.
    return found if over(found) <= 0 else found * (1 + 1e-5)


@dataclass(frozen=True)
class Emptying:
    """Time to run empty after the last inflow stops.

    `seconds` until the share `left` of the running water is still in the line; `standing` m³ stay
    for good where the line rises towards its outfall or stands in the water outside.
    """

    seconds: float
    left: float
    standing: float


def time_to_empty(line: Line, tail_depth: float = 0.0, left: float = 0.05) -> Emptying:
    """Estimate of the time in which a line runs empty once nothing flows in any more.

    Method: storage routing, dV/dt = -Q, through the steady profiles of the same line at a ladder
    of smaller flows, with V - V0 = a Q^b between two rungs. The last film has no end time, so it
    stops at `left` of the running water. The inflow spread along the line stands for the water
    that the line itself gives up; treat the answer as good to about a third (judgement).
    """
    standing = drain_profile(line.scaled(0.0), tail_depth).volume

    def running_volume(factor: float) -> float:
        return drain_profile(line.scaled(factor), tail_depth).volume - standing

    flow, stored = line.flow, 0.0
    if flow > 0:
        stored = running_volume(1.0)
    if flow <= 0 or stored <= 0:
        return Emptying(0.0, left, standing)
    end = left * stored
    seconds, factor = 0.0, 1.0
    for _ in range(60):
        factor /= 2
        less = min(max(running_volume(factor), 0.0), stored)
        if less >= stored:
            # A pipe that stays full under the water outside: it holds no less at half the flow.
            flow /= 2
            continue
        power = log2(stored / less) if less > 0 else 1.0
        low = max(less, end)
        seconds += _routing_time(stored, low, flow, power)
        if less <= end:
            break
        stored, flow = less, flow / 2
    return Emptying(seconds, left, standing)


def _routing_time(stored: float, less: float, flow: float, power: float) -> float:
    """Integral of dV/Q from `less` to `stored` with Q = flow (V/stored)^(1/power); s."""
    exponent = 1 - 1 / power
    if abs(exponent) < 1e-6:
        return stored / flow * log(stored / less)
    left = float((less / stored) ** exponent)
    return stored / flow * (1 - left) / exponent
