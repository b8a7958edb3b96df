"""The water level over pump cycles: who holds the water when. SI: m, m3, m3/s, s from midnight.

The pump fills the feed line, then each bucket gets its steady share; each bucket holds water up to
its running level and lets it go by its storage curve; the drain brings it home after a travel time
(plug flow, so the drain holds flow x time). When the pump stops, the feed line runs back at once.
Plants draw on their bucket through the day. Every litre is counted: what leaves one store enters
another in the same step.
"""

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, fsum, inf

import numpy as np
from numpy.typing import NDArray

from designer.water.schedule import DAY, HOUR, SAME_TIME, Schedule
from designer.water.storage import Advance, StorageCurve, advance
from designer.water.vessel import Reservoir


@dataclass(frozen=True, slots=True, kw_only=True)
class CycleBucket:
    """A bucket in the cycle: its `feed` while the pump runs (m3/s), its plants' `daily_use`
    (m3 a day) and how long its water takes down the drain to the reservoir (s)."""

    name: str
    curve: StorageCurve
    feed: float
    daily_use: float
    travel_time: float

    def __post_init__(self) -> None:
        if not all(0 <= v < inf for v in (self.feed, self.daily_use, self.travel_time)):
            raise ValueError(f"{self.name}: feed, use and travel time must not be below zero")


@dataclass(frozen=True, slots=True)
class Cycle:
    """Levels and volumes at each time, and what crossed the boundary in all.

    `bucket_level` is above each outlet's invert, one column per bucket. `pump_uncovered_at` is the
    first moment the pump drew air, or None. `spilled_*` counts water lost over a rim.
    """

    time: NDArray[np.float64]
    pump_on: NDArray[np.bool_]
    reservoir_volume: NDArray[np.float64]
    reservoir_level: NDArray[np.float64]
    bucket_water: NDArray[np.float64]
    bucket_level: NDArray[np.float64]
    in_drain: NDArray[np.float64]
    in_feed_line: NDArray[np.float64]
    topped_up: float
    used: float
    unmet_use: float
    spilled_reservoir: float
    spilled_buckets: float
    pump_uncovered_at: float | None

    @property
    def lowest_level(self) -> float:
        """Lowest level of the reservoir, m."""
        return float(self.reservoir_level.min())

    @property
    def highest_level(self) -> float:
        """Highest level of the reservoir, m; the rim where it overflowed."""
        return float(self.reservoir_level.max())

    @property
    def water_in_system(self) -> NDArray[np.float64]:
        """All water at each time, m3."""
        total: NDArray[np.float64] = (
            self.reservoir_volume + self.bucket_water.sum(axis=1) + self.in_drain
        ) + self.in_feed_line
        return total

    @property
    def balance_error(self) -> float:
        """What the books miss over the whole time, as a share of all water put in."""
        water = self.water_in_system
        lost = self.used + self.spilled_reservoir + self.spilled_buckets
        put_in = float(water[0]) + self.topped_up
        return abs(put_in - lost - float(water[-1])) / put_in if put_in > 0 else 0.0


def simulate(
    reservoir: Reservoir,
    buckets: Sequence[CycleBucket],
    schedule: Schedule,
    hourly_shares: Sequence[float],
    duration: float = DAY,
    *,
    feed_line_volume: float = 0.0,
    top_up: bool = True,
    longest_step: float = 60.0,
) -> Cycle:
    """Follow the water for `duration` s from midnight, all at rest and the reservoir full.

    `hourly_shares`: each hour's share of the daily plant use, 24 numbers from midnight.
    `feed_line_volume`: water in m3 that runs back from the feed line when the pump stops.
    `top_up`: fill to the full line just before the pump starts, and at midnight while it runs,
    whenever the level stands below low water. A pump that reaches air passes on what there is.
    Raises ValueError for shares that do not add up to 1 or a duration that is not above zero.
    """
    if len(hourly_shares) != 24 or abs(fsum(hourly_shares) - 1) > 1e-9 or min(hourly_shares) < 0:
        raise ValueError("the 24 hourly shares of plant use must add up to 1")
    if not (0 < duration < inf and longest_step > 0 and 0 <= feed_line_volume < inf):
        raise ValueError("duration and step must be above zero, the feed line not below")
    total_feed = fsum(bucket.feed for bucket in buckets)
    runs = schedule.runs(duration) if total_feed > 0 else []
    fill_time = feed_line_volume / total_feed if total_feed > 0 else 0.0
    times = _times(runs, fill_time, duration, longest_step)
    state = _State(reservoir, buckets, feed_line_volume)
    stops = [stop for _, stop in runs]
    was_on = False
    for begin, end in pairwise(times):
        run = bisect_right(stops, begin + SAME_TIME)
        on = run < len(runs) and runs[run][0] <= begin + SAME_TIME
        if was_on and not on:
            state.feed_line_runs_back()
        if top_up and on and (not was_on or begin % DAY < SAME_TIME):
            state.top_up()
        share = hourly_shares[int((begin + SAME_TIME) % DAY // HOUR)]
        state.step(begin, end, total_feed if on else 0.0, share / HOUR)
        state.record(on)
        was_on = on
    return state.result(times)


def _times(
    runs: Sequence[tuple[float, float]], fill_time: float, duration: float, longest_step: float
) -> list[float]:
    """Every moment at which a rate changes, and points between so that no step is too long."""
    events = {0.0, duration}
    events.update(k * HOUR for k in range(ceil(duration / HOUR)))
    for start, stop in runs:
        events.update((start, stop))
        if start + fill_time < stop:
            events.add(start + fill_time)
    times = [0.0]
    for event in sorted(events):
        begin = times[-1]
        if event - begin <= SAME_TIME:
            continue
        parts = ceil((event - begin) / longest_step)
        times.extend(begin + (event - begin) * k / parts for k in range(1, parts))
        times.append(event)
    return times


@dataclass(frozen=True, slots=True)
class _Moves:
    """One step's moves, m3: into the feed line, each bucket after it, and what came home."""

    into_line: float
    buckets: list[Advance]
    arrived: list[float]


class _State:
    """The stores and their books while the simulation runs."""

    def __init__(
        self, reservoir: Reservoir, buckets: Sequence[CycleBucket], feed_line_volume: float
    ) -> None:
        self.reservoir = reservoir
        self.buckets = buckets
        self.line_room = feed_line_volume
        self.volume = reservoir.volume(reservoir.full_level)
        self.pump_volume = reservoir.volume(reservoir.pump_level)
        self.low_volume = reservoir.volume(reservoir.low_water_level)
        self.line = 0.0
        self.water = [bucket.curve.retained for bucket in buckets]
        self.clock = [0.0]
        self.sent = [[0.0] for _ in buckets]  # drained so far, at each moment of the clock
        self.place = [0] * len(buckets)  # where on the clock the arriving water was sent
        self.home = [0.0] * len(buckets)  # arrived so far
        self.topped_up = self.used = self.unmet = 0.0
        self.spilled_reservoir = self.spilled_buckets = 0.0
        self.uncovered_at: float | None = None
        self.rows: list[tuple[float, float, float]] = []
        self.water_rows: list[list[float]] = []
        self.on_rows: list[bool] = []
        self.record(False)

    def feed_line_runs_back(self) -> None:
        self.volume += self.line
        self.line = 0.0

    def top_up(self) -> None:
        if self.volume < self.low_volume:
            added = self.reservoir.volume(self.reservoir.full_level) - self.volume
            self.volume += added
            self.topped_up += added

    def step(self, begin: float, end: float, pump_flow: float, use_share: float) -> None:
        """Advance all stores to `end`; `use_share` is the share of a day's use in each second."""
        wanted = pump_flow * (end - begin)
        pumped = wanted
        moved = self._move(begin, end, pumped, wanted, use_share)
        if self.volume + fsum(moved.arrived) - wanted < self.pump_volume and wanted > 0:
            pumped = min(wanted, max(self.volume - self.pump_volume, 0.0))
            moved = self._move(begin, end, pumped, wanted, use_share)
            if self.uncovered_at is None:
                self.uncovered_at = begin + pumped / pump_flow
        self.line += moved.into_line
        self.volume += fsum(moved.arrived) - pumped
        self.clock.append(end)
        for i, after in enumerate(moved.buckets):
            wish = self.buckets[i].daily_use * use_share * (end - begin)
            self.water[i] = after.stored
            self.used += after.used
            self.unmet += wish - after.used
            self.spilled_buckets += after.spilled
            self.sent[i].append(self.sent[i][-1] + after.drained)
            self.home[i] += moved.arrived[i]
        over = self.volume - self.reservoir.vessel.capacity
        if over > 0:
            self.volume -= over
            self.spilled_reservoir += over

    def _move(
        self, begin: float, end: float, pumped: float, wanted: float, use_share: float
    ) -> _Moves:
        """What moves until `end` if the pump gives `pumped` m3 of the `wanted`; changes nothing."""
        into_line = min(pumped, self.line_room - self.line)
        fed = (pumped - into_line) / wanted if wanted > 0 else 0.0
        after = [
            advance(b.curve, water, b.feed * fed, b.daily_use * use_share, end - begin)
            for b, water in zip(self.buckets, self.water, strict=True)
        ]
        arrived = [self._arriving(i, begin, end, step.drained) for i, step in enumerate(after)]
        return _Moves(into_line, after, arrived)

    def _arriving(self, i: int, begin: float, end: float, drained: float) -> float:
        """What bucket `i` sent that comes home by `end`, `drained` of it sent since `begin`."""
        moment = end - self.buckets[i].travel_time
        clock, sent = self.clock, self.sent[i]
        if moment <= 0:
            return 0.0
        if moment >= begin:
            sent_by_then = sent[-1] + drained * (moment - begin) / (end - begin)
        else:
            place = self.place[i]
            while clock[place + 1] < moment:
                place += 1
            self.place[i] = place
            share = (moment - clock[place]) / (clock[place + 1] - clock[place])
            sent_by_then = sent[place] + share * (sent[place + 1] - sent[place])
        return max(sent_by_then - self.home[i], 0.0)

    def record(self, on: bool) -> None:
        in_drain = fsum(sent[-1] - home for sent, home in zip(self.sent, self.home, strict=True))
        self.rows.append((self.volume, in_drain, self.line))
        self.water_rows.append(list(self.water))
        self.on_rows.append(on)

    def result(self, times: Sequence[float]) -> Cycle:
        rows = np.array(self.rows)
        water = np.array(self.water_rows).reshape(len(times), len(self.buckets))
        levels = np.empty_like(water)
        for i, bucket in enumerate(self.buckets):
            levels[:, i] = np.interp(water[:, i], bucket.curve.stored, bucket.curve.level)
        return Cycle(
            time=np.array(times),
            pump_on=np.array(self.on_rows, dtype=np.bool_),
            reservoir_volume=rows[:, 0],
            reservoir_level=np.array([self.reservoir.level(row[0]) for row in self.rows]),
            bucket_water=water,
            bucket_level=levels,
            in_drain=rows[:, 1],
            in_feed_line=rows[:, 2],
            topped_up=self.topped_up,
            used=self.used,
            unmet_use=self.unmet,
            spilled_reservoir=self.spilled_reservoir,
            spilled_buckets=self.spilled_buckets,
            pump_uncovered_at=self.uncovered_at,
        )
