"""Volumes of buckets and reservoirs in litres, by depths in mm; what a medium leaves free."""

from designer.layout.vessel import MM, Vessel, bucket_vessel, reservoir_vessel
from designer.model.parts import BucketPart, ReservoirPart

LITRES_PER_M3 = 1e3


def bucket_litres(bucket: BucketPart, depth: float | None = None) -> float:
    """Litres in a bucket filled to `depth` mm above its base, inside its wall; all when None."""
    return _litres(bucket_vessel(bucket), depth)


def reservoir_litres(reservoir: ReservoirPart, depth: float | None = None) -> float:
    """Litres in a reservoir filled to `depth` mm above its floor; all when None."""
    return _litres(reservoir_vessel(reservoir), depth)


def pore_share(water_percent: float) -> float:
    """Share of a medium that free water can fill: what it holds drained, and about as much air
    again up to nine tenths (from memory)."""
    return min(max(2 * water_percent / 100, 0.4), 0.9)


def _litres(vessel: Vessel, depth: float | None) -> float:
    volume = vessel.capacity if depth is None else vessel.volume(depth * MM)
    return volume * LITRES_PER_M3
