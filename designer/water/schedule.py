"""When the pump runs. Seconds from midnight."""

from dataclasses import dataclass
from math import ceil, fsum, inf

DAY = 86_400.0
HOUR = 3_600.0
SAME_TIME = 1e-6
"""Moments closer than this count as one, s."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Schedule:
    """Pump times: `on` seconds running, `off` seconds resting, by day from `start` to `end`.

    The cycle begins anew at `start` each day; outside the window the pump rests. No `off` time
    means it runs throughout the window. Raises ValueError for times that make no schedule.
    """

    on: float
    off: float
    start: float = 0.0
    end: float = DAY

    def __post_init__(self) -> None:
        if not (self.on >= 0 and self.off >= 0 and 60 <= self.on + self.off < inf):
            raise ValueError("the pump's running and resting time must come to a minute or more")
        if not 0 <= self.start < self.end <= DAY:
            raise ValueError("the pump's day must begin before it ends, within one day")

    def runs(self, duration: float) -> list[tuple[float, float]]:
        """(start, stop) of each time the pump runs within `duration` s, joined where they touch."""
        runs: list[tuple[float, float]] = []
        for day in range(ceil(duration / DAY)):
            begin, end = day * DAY + self.start, min(day * DAY + self.end, duration)
            for k in range(max(ceil((end - begin) / (self.on + self.off)), 0)):
                start = begin + k * (self.on + self.off)
                stop = min(start + self.on, end)
                if stop - start <= SAME_TIME:
                    continue
                if runs and start - runs[-1][1] <= SAME_TIME:
                    runs[-1] = (runs[-1][0], stop)
                else:
                    runs.append((start, stop))
        return runs

    @property
    def hours_on(self) -> float:
        """Hours the pump runs in a day."""
        return fsum(stop - start for start, stop in self.runs(DAY)) / HOUR
