"""The water of a bed at one moment of its day of pump cycles."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from designer.layout.run import RunLayout
from designer.water.bed.drains import RunDrain
from designer.water.bed.feed import MM
from designer.water.bed.reservoir import LITRES, alike
from designer.water.cycle import Cycle


@dataclass(frozen=True)
class Moment:
    """Where the water is, `seconds` from midnight.

    `reservoir_level` is mm above the datum, `bucket_levels` mm above each bucket's outlet invert
    by bucket id, `in_drain` and `in_feed` litres. `drain_share` is what the drains hold as a share
    of what they hold while all runs steadily.
    """

    seconds: float
    pump_on: bool
    reservoir_level: float
    bucket_levels: Mapping[str, float]
    in_drain: float
    in_feed: float
    drain_share: float


def moment_of(
    day: Cycle, runs: Sequence[RunLayout], drains: Mapping[str, RunDrain], seconds: float
) -> Moment:
    """The water at a time of the simulated day, held within it; between its steps by straight
    lines. Alike buckets of a run share one level, as the day takes them together."""
    at = min(max(seconds, 0.0), float(day.time[-1]))

    def value(row: NDArray[np.float64]) -> float:
        return float(np.interp(at, day.time, row))

    sets = [ids for layout in runs for ids in alike(layout)]
    levels = {
        bucket_id: value(day.bucket_level[:, column]) / MM
        for column, ids in enumerate(sets)
        for bucket_id in ids
    }
    after = min(int(np.searchsorted(day.time, at, side="right")), len(day.time) - 1)
    steady = sum(drain.profile.volume for drain in drains.values())
    in_drain = value(day.in_drain)
    return Moment(
        at,
        bool(day.pump_on[after]),
        value(day.reservoir_level) / MM,
        levels,
        in_drain * LITRES,
        value(day.in_feed_line) * LITRES,
        min(in_drain / steady, 1.0) if steady > 0 else 0.0,
    )
