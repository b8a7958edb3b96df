"""Stations along a run: of supports, of staggered buckets, of whole pitches. All in mm."""

import itertools
from collections.abc import Sequence

from designer.model.design import Bucket, Run, Side


def supports_needed(length: float, spacing: float = 1220.0) -> int:
    """How many supports keep the drain from sagging at a spacing, mm."""
    return max(2, int(-(-length // spacing)) + 1)


def even_supports(length: float, count: int) -> tuple[float, ...]:
    """Stations of supports spread evenly, one at each end of the run."""
    return tuple(round(length * i / (count - 1), 3) for i in range(count))


def staggered(ids: list[str], length: float, pitch: float) -> tuple[Bucket, ...]:
    """Buckets alternating left and right, the first one pitch from the capped end."""
    sides: tuple[Side, Side] = ("left", "right")
    return tuple(
        Bucket(id=bucket_id, station=round(length - pitch * (i + 1), 3), side=sides[i % 2])
        for i, bucket_id in enumerate(ids)
    )


def snapped_station(run: Run, station: float) -> float:
    """The nearest station that is a whole number of pitches from the capped end."""
    return round(run.length - round((run.length - station) / run.pitch) * run.pitch, 3)


def ground_at(
    stations: Sequence[float], known: Sequence[float], levels: Sequence[float]
) -> tuple[float, ...]:
    """Ground levels at stations from those at known ones, straight between them; level where
    nothing is known, and beyond the outermost as there."""
    ground = sorted(zip(known, levels, strict=False), key=lambda one: one[0])
    return tuple(_level_at(station, ground) for station in stations)


def _level_at(station: float, ground: Sequence[tuple[float, float]]) -> float:
    if not ground:
        return 0.0
    if station <= ground[0][0]:
        return ground[0][1]
    for (near, low), (far, high) in itertools.pairwise(ground):
        if station == far:
            return high
        if station < far:
            return low + (high - low) * (station - near) / (far - near)
    return ground[-1][1]
