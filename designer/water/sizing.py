"""Advice on sizes: the smallest on offer that works, and why. Pure functions. SI: m, m3, m3/s.

Each takes the sizes on offer and a function that says how one would do, so that the choice rests
on the same computation as the design itself.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from math import isfinite, pi, sqrt

from designer.units import LengthStyle, UnitSystem, format_flow, format_length, format_volume

PUMP_MARGIN = 0.15
"""Spare head and flow of a pump for wear, dirt and a label that promises much; from memory."""
FREEBOARD_MARGIN = 0.20
"""Room in the reservoir beyond the drain-back (engineering practice, from memory)."""
_LITRES = 1e3
_L_H = 3.6e6


@dataclass(frozen=True, slots=True)
class Trial:
    """How one size would do: the size as asked, whether it works, and the sentence that says so."""

    size: float
    works: bool
    text: str


@dataclass(frozen=True, slots=True)
class Advice:
    """The smallest size that works, or None; why; and every size looked at, smallest first."""

    size: float | None
    why: str
    trials: tuple[Trial, ...]


def smallest_that_works(sizes: Sequence[float], trial: Callable[[float], Trial]) -> Advice:
    """Try sizes from the smallest and stop at the first that works.

    `why` is the sentence of the size that works; where none does, that of the largest.
    """
    trials: list[Trial] = []
    for size in sorted(set(sizes)):
        trials.append(trial(size))
        if trials[-1].works:
            return Advice(size, trials[-1].text, tuple(trials))
    why = trials[-1].text if trials else "There is no size to choose from."
    return Advice(None, why, tuple(trials))


def drain_bore(
    sizes: Sequence[float], fill: Callable[[float], float], limit: float = 0.5
) -> Advice:
    """Smallest drain bore in m whose fullest section is filled to no more than `limit` of its bore.

    `fill(bore)` gives depth over bore at the fullest section, above 1 or not finite where the pipe
    runs full. Half full or less is common practice, no source.
    """

    def trial(bore: float) -> Trial:
        share = fill(bore)
        if not (isfinite(share) and share < 1):
            return Trial(bore, False, "The drain would run full.")
        text = (
            f"At its fullest the drain is {_percent(share)} full; "
            f"no more than {_percent(limit)} is wanted."
        )
        return Trial(bore, share <= limit, text)

    return smallest_that_works(sizes, trial)


def tube_bore(
    sizes: Sequence[float],
    velocity: Callable[[float], float],
    uniformity: Callable[[float], float],
    *,
    fastest: float,
    target: float,
    system: UnitSystem = "metric",
) -> Advice:
    """Smallest manifold bore in m that keeps the velocity and reaches the uniformity asked for.

    `velocity(bore)` in m/s in the fastest stretch, at most `fastest`; `uniformity(bore)` as a share
    0 to 1, at least `target`.
    """

    def trial(bore: float) -> Trial:
        speed, even = velocity(bore), uniformity(bore)
        text = (
            f"Water runs at {_speed(speed, system)} where it is fastest (no more than "
            f"{_speed(fastest, system)}) and the buckets' flows are even to {_percent(even)} "
            f"(at least {_percent(target)})."
        )
        return Trial(bore, speed <= fastest and even >= target, text)

    return smallest_that_works(sizes, trial)


def bore_for_velocity(flow: float, fastest: float) -> float:
    """Least bore in m that carries `flow` m3/s at no more than `fastest` m/s: D = sqrt(4Q/(pi V)).

    Raises ValueError for a flow below zero or a speed not above it.
    """
    if flow < 0 or not fastest > 0:
        raise ValueError("the flow must not be below zero and the speed must be above it")
    return sqrt(4 * flow / (pi * fastest))


@dataclass(frozen=True, slots=True)
class PumpNeed:
    """What the pump must give at its working point, margin counted: m3/s and m of head."""

    flow: float
    head: float
    lift: float
    losses: float


def pump_need(
    bucket_flow: float,
    buckets: int,
    lift: float,
    losses: Callable[[float], float],
    *,
    bypass: float = 0.0,
    margin: float = PUMP_MARGIN,
) -> PumpNeed:
    """Flow and head a pump needs so that every bucket gets `bucket_flow` m3/s.

    `lift`: highest outlet above the water at low water, m. `losses(flow)`: head lost in m on the
    way to the worst bucket, with the head its outlet needs, at that flow in all. `bypass`: flow
    sent straight back. The margin is added to the flow, and to the head at that greater flow.
    """
    if buckets < 0 or bucket_flow < 0 or bypass < 0 or margin < 0:
        raise ValueError("flows, counts and margins must not be below zero")
    flow = (bucket_flow * buckets + bypass) * (1 + margin)
    lost = losses(flow)
    return PumpNeed(flow=flow, head=max(lift + lost, 0.0) * (1 + margin), lift=lift, losses=lost)


@dataclass(frozen=True, slots=True)
class PumpAdvice:
    """The weakest pump that does it, or None, and why."""

    pump: str | None
    why: str


def choose_pump(
    pumps: Mapping[str, Callable[[float], float]], need: PumpNeed, system: UnitSystem = "metric"
) -> PumpAdvice:
    """The pump with the least head to spare at the needed flow; each curve is head(flow) in m."""
    spare = {name: head(need.flow) - need.head for name, head in pumps.items()}
    enough = {name: margin for name, margin in spare.items() if margin >= 0}
    wanted = f"{format_flow(need.flow * _L_H, system)} at {_height(need.head, system)}"
    if not enough:
        return PumpAdvice(None, f"None of these pumps gives {wanted}.")
    name = min(enough, key=lambda n: (enough[n], n))
    return PumpAdvice(
        name, f"It gives {wanted} with {_height(enough[name], system)} of head to spare."
    )


@dataclass(frozen=True, slots=True)
class ReservoirNeed:
    """What a reservoir must hold, m3, by what for."""

    below_low_water: float
    between_top_ups: float
    freeboard: float

    @property
    def total(self) -> float:
        """Volume from floor to rim, m3."""
        return self.below_low_water + self.between_top_ups + self.freeboard


def reservoir_need(
    daily_use: float,
    days: float,
    returning: float,
    pump_cover: float,
    *,
    margin: float = FREEBOARD_MARGIN,
) -> ReservoirNeed:
    """Volumes a reservoir needs so that it is topped up every `days` and never overflows.

    `daily_use` m3 of all plants; `returning` m3 that comes back when the pump stops, which is also
    missing while it runs, so that low water lies above the `pump_cover` m3 by as much. Freeboard
    takes the drain-back and a margin, for a reservoir filled to its line while the pump runs.
    """
    if min(daily_use, days, returning, pump_cover, margin) < 0:
        raise ValueError("volumes, days and margins must not be below zero")
    return ReservoirNeed(pump_cover + returning, daily_use * days, returning * (1 + margin))


def choose_reservoir(
    capacities: Sequence[float], need: ReservoirNeed, system: UnitSystem = "metric"
) -> Advice:
    """Smallest capacity in m3 that holds all that is needed."""

    def volume(cubic_metres: float) -> str:
        return format_volume(cubic_metres * _LITRES, system)

    def trial(capacity: float) -> Trial:
        text = (
            f"It holds {volume(capacity)} of the {volume(need.total)} needed: "
            f"{volume(need.between_top_ups)} between top-ups, "
            f"{volume(need.below_low_water)} below low water, "
            f"{volume(need.freeboard)} free for what runs back."
        )
        return Trial(capacity, capacity >= need.total, text)

    return smallest_that_works(capacities, trial)


def _percent(share: float) -> str:
    return f"{100 * share:.0f} %"


def _speed(metres_per_second: float, system: UnitSystem) -> str:
    if system == "metric":
        return f"{metres_per_second:.2f} m/s"
    return f"{metres_per_second / 0.3048:.1f} ft/s"


def _height(metres: float, system: UnitSystem) -> str:
    if system == "metric":
        return f"{metres:.2f} m"
    return format_length(metres * 1000, LengthStyle.FEET_INCHES)
