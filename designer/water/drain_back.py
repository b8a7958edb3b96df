"""What runs back into the reservoir when the pump stops, and where the level then stands.

Water above the settled reservoir level in the feed, the drain pipe's content, and what each bucket
holds between its running level and its outlet's invert. Plain geometry. SI: m, m3.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from math import fsum, pi

from designer.water.vessel import Reservoir


@dataclass(frozen=True, slots=True, kw_only=True)
class FeedPipe:
    """A straight length of feed pipe or tube: its bore and length, and the level of its ends, m."""

    bore: float
    length: float
    start_level: float
    end_level: float

    @property
    def content(self) -> float:
        """Water in the full pipe, m3."""
        return pi / 4 * self.bore**2 * self.length

    def content_above(self, level: float) -> float:
        """Water in m3 of the full pipe that stands above `level`; half-way rules by its axis."""
        low, high = sorted((self.start_level, self.end_level))
        if high == low:
            return self.content if low > level else 0.0
        return self.content * min(max((high - level) / (high - low), 0.0), 1.0)


@dataclass(frozen=True, slots=True)
class DrainBack:
    """Water that runs back when the pump stops, m3, by where it comes from."""

    feed: float
    drain: float
    buckets: float

    @property
    def total(self) -> float:
        """All of it, m3."""
        return self.feed + self.drain + self.buckets


def drain_back(
    feed: Iterable[FeedPipe],
    settled_level: float,
    drain_content: float,
    bucket_water: Iterable[float],
) -> DrainBack:
    """Drain-back above the reservoir's `settled_level`.

    `drain_content`: water in the running drain pipe, m3. `bucket_water`: for each bucket, water
    between its running level and its outlet's invert, m3. The feed empties because the open feed
    tubes let air in; a check valve would hold it up.
    """
    return DrainBack(
        feed=fsum(pipe.content_above(settled_level) for pipe in feed),
        drain=drain_content,
        buckets=fsum(bucket_water),
    )


@dataclass(frozen=True, slots=True)
class Settled:
    """The reservoir after the pump has stopped and all has run back.

    `level` and `freeboard` (rim less level) in m; `overflow` in m3 went over the rim.
    """

    level: float
    freeboard: float
    overflow: float


def after_stop(reservoir: Reservoir, running_level: float, returning: DrainBack) -> Settled:
    """Where the water settles when the pump stops with the reservoir at `running_level`."""
    volume = reservoir.volume(running_level) + returning.total
    level = reservoir.level(volume)
    overflow = max(volume - reservoir.vessel.capacity, 0.0)
    return Settled(level=level, freeboard=reservoir.rim_level - level, overflow=overflow)


def running_level(reservoir: Reservoir, settled_level: float, returning: DrainBack) -> float:
    """Level in m of a reservoir that stood at `settled_level` once the pump has filled the rest.

    The floor where there is less water than the feed, drain and buckets take up.
    """
    return reservoir.level(max(reservoir.volume(settled_level) - returning.total, 0.0))
