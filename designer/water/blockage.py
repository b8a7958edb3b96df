"""A blocked drain: when does which place overflow first? Plain bookkeeping. SI: m, m3, m3/s, s."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import fsum, inf

from designer.water.vessel import Bucket

_MOST_HALVINGS = 200

ASSUMPTIONS = (
    "The drain is blocked at its outlet and lets nothing through.",
    "The pump keeps its flow until the reservoir is down to the pump.",
    "Water backs up through the holes and stands at one level in the drain and all buckets.",
    "Each bucket starts at its running level; a bucket not yet reached passes its water on.",
    "Plants use nothing meanwhile.",
)


@dataclass(frozen=True, slots=True)
class Opening:
    """A place where water leaves the bed when it stands at `level` m: a rim, a hole, a vent."""

    name: str
    level: float


@dataclass(frozen=True, slots=True)
class Overflow:
    """What overflows first: its name, seconds from now, and m3 taken from the reservoir by then.

    `name` and `seconds` are None where the reservoir is down to the pump first; `room` is the water
    that the drain and the buckets can take before anything overflows, m3, `supply` what the
    reservoir can give.
    """

    name: str | None
    seconds: float | None
    room: float
    supply: float


def blocked_drain(
    buckets: Sequence[Bucket],
    running_levels: Sequence[float],
    feed: float,
    supply: float,
    *,
    free_in_drain: float = 0.0,
    other_openings: Sequence[Opening] = (),
) -> Overflow:
    """Which rim overflows first, and when, once the drain is blocked at its outlet.

    `running_levels`: each bucket's water level, m. `feed`: flow of all buckets together, m3/s.
    `supply`: water in m3 the pump can still take from the reservoir. `free_in_drain`: air in the
    drain pipe now, m3; it fills first. `other_openings`: holes and vents of the drain that stand
    open. Of two places at one level the first named counts. See ASSUMPTIONS.
    """
    places = [Opening(b.name, b.rim_level) for b in buckets] + list(other_openings)
    if not places:
        raise ValueError("there is nothing that can overflow")
    first = min(places, key=lambda place: place.level)
    room = free_in_drain + fsum(
        bucket.water_between(max(level, bucket.invert_level), first.level)
        for bucket, level in zip(buckets, running_levels, strict=True)
    )
    return _outcome(first.name, room, feed, supply)


def blocked_outlet(bucket: Bucket, running_level: float, feed: float, supply: float) -> Overflow:
    """When one bucket overflows whose own outlet is blocked, the others draining as usual.

    `feed`: that bucket's flow, m3/s. `supply`: water in m3 that the reservoir can lose to it.
    """
    return _outcome(
        bucket.name, bucket.water_between(running_level, bucket.rim_level), feed, supply
    )


def level_after(
    buckets: Sequence[Bucket], running_levels: Sequence[float], added: float
) -> list[float]:
    """Level of each bucket once `added` m3 have backed up behind a blocked drain already full.

    One level throughout, except buckets whose own level is still above it. Held at the lowest rim.
    """
    lowest_rim = min(bucket.rim_level for bucket in buckets)

    def taken(level: float) -> float:
        return fsum(
            bucket.water_between(max(own, bucket.invert_level), level)
            for bucket, own in zip(buckets, running_levels, strict=True)
        )

    low, high = min(bucket.invert_level for bucket in buckets), lowest_rim
    if taken(high) <= added:
        low = high
    for _ in range(_MOST_HALVINGS):
        middle = (low + high) / 2
        if not low < middle < high:
            break
        low, high = (middle, high) if taken(middle) <= added else (low, middle)
    return [max(own, low) for own in running_levels]


def _outcome(name: str, room: float, feed: float, supply: float) -> Overflow:
    seconds = room / feed if feed > 0 else inf
    if seconds == inf or supply < room:
        return Overflow(None, None, room, supply)
    return Overflow(name, seconds, room, supply)
