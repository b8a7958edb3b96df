"""The reservoir of a bed: what runs back, how long it lasts, and its level over a day."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from designer.layout.run import RunLayout
from designer.layout.site import ReservoirLayout
from designer.layout.vessel import reservoir_vessel
from designer.model.design import Design
from designer.water.bed.buckets import BucketWater, bucket_outlet, shortest_reserve
from designer.water.bed.drains import RunDrain, hole_rim
from designer.water.bed.feed import (
    LITRES_PER_HOUR,
    MM,
    bore_of,
    feed_end_level,
    manifold_level,
    riser_length,
    working_depths,
)
from designer.water.blockage import Opening, blocked_drain
from designer.water.cycle import Cycle, CycleBucket, simulate
from designer.water.demand import PumpEnergy, hourly_shares, pump_energy, top_up_interval
from designer.water.drain_back import DrainBack, FeedPipe, Settled, after_stop, drain_back
from designer.water.outlet import Outlet
from designer.water.schedule import Schedule
from designer.water.storage import outlet_curve
from designer.water.vessel import Bucket, Reservoir

LITRES = 1e3


@dataclass(frozen=True)
class ReservoirWater:
    """What the reservoir has to do. Volumes in L, levels in mm, times as named."""

    returning: DrainBack
    settled: Settled
    daily_use: float
    top_up_days: float | None
    hours_without_pump: float | None
    energy: PumpEnergy
    working: float

    @property
    def drain_back(self) -> float:
        """What runs back when the pump stops, L."""
        return self.returning.total * LITRES

    @property
    def freeboard(self) -> float:
        """From the level after everything ran back, filled to the full line before, to the rim."""
        return self.settled.freeboard / MM

    @property
    def overflow(self) -> float:
        """What goes over the rim when everything runs back, L."""
        return self.settled.overflow * LITRES


def placed_reservoir(layout: ReservoirLayout) -> Reservoir:
    """The reservoir as a vessel in m; lines that are out of order are held in order."""
    floor = layout.floor_level * MM
    low, full = working_depths(layout)
    return Reservoir(
        vessel=reservoir_vessel(layout.part),
        floor_level=floor,
        pump_level=floor + min(layout.pump.cover, low) * MM,
        low_water_level=floor + low * MM,
        full_level=floor + full * MM,
    )


def solve_reservoir(
    design: Design,
    runs: Sequence[RunLayout],
    layout: ReservoirLayout,
    drains: Mapping[str, RunDrain],
    buckets: Sequence[BucketWater],
) -> ReservoirWater:
    """What runs back, and how long the water and the plants last."""
    vessel = placed_reservoir(layout)
    returning = drain_back(
        feed_pipes(runs, layout),
        vessel.full_level,
        sum(drain.profile.volume for drain in drains.values()),
        [b.vessel.water_between(b.vessel.invert_level, _running(b)) for b in buckets],
    )
    use = sum(bucket.daily_use for bucket in buckets)
    schedule = pump_schedule(design)
    return ReservoirWater(
        returning=returning,
        settled=after_stop(vessel, vessel.full_level, returning),
        daily_use=use,
        top_up_days=top_up_interval(vessel.working_volume * LITRES, use),
        hours_without_pump=shortest_reserve(buckets),
        energy=pump_energy(layout.pump.watts, schedule.hours_on, design.water.energy_price),
        working=vessel.working_volume * LITRES,
    )


def _running(bucket: BucketWater) -> float:
    level = bucket.vessel.invert_level + max(bucket.band.high, 0.0)
    return min(level, bucket.vessel.rim_level)


def feed_pipes(runs: Sequence[RunLayout], layout: ReservoirLayout) -> list[FeedPipe]:
    """The feed as straight pipes: risers, manifolds and feed tubes, in m."""
    pipes = []
    for run in runs:
        if not run.places:
            continue
        bore = bore_of(run.parts.manifold.inside_diameter)
        # The manifold goes on past its last barb: its plug lies at the capped end.
        whole = run.run.length
        start, end = manifold_level(run, 0.0), manifold_level(run, whole)
        riser = riser_length(run, layout)
        pipes.append(
            FeedPipe(
                bore=bore,
                length=riser * MM,
                start_level=layout.floor_level * MM,
                end_level=start * MM,
            )
        )
        pipes.append(
            FeedPipe(bore=bore, length=whole * MM, start_level=start * MM, end_level=end * MM)
        )
        tube = bore_of(run.parts.feed_tube.inside_diameter)
        pipes += [
            FeedPipe(
                bore=tube,
                length=run.run.manifold.feed_length * MM,
                start_level=manifold_level(run, max(place.station, 0.0)) * MM,
                end_level=feed_end_level(place, run) * MM,
            )
            for place in run.places
        ]
    return pipes


def pump_schedule(design: Design) -> Schedule:
    """The pump's times over a day."""
    water = design.water
    return Schedule(on=water.on_minutes * 60, off=water.off_minutes * 60)


def day_of_cycles(
    design: Design,
    runs: Sequence[RunLayout],
    layout: ReservoirLayout,
    drains: Mapping[str, RunDrain],
    buckets: Mapping[str, BucketWater],
    hours: float = 24.0,
    longest_step: float = 120.0,
) -> Cycle:
    """The level over the first `hours` from midnight, the reservoir full at the start.

    Buckets of a run that are alike are taken together, so that the work does not grow with them.
    """
    vessel = placed_reservoir(layout)
    return simulate(
        vessel,
        [group for run in runs for group in _stand_ins(run, drains, buckets)],
        pump_schedule(design),
        hourly_shares(),
        hours * 3600,
        feed_line_volume=sum(p.content_above(vessel.full_level) for p in feed_pipes(runs, layout)),
        longest_step=longest_step,
    )


def alike(layout: RunLayout) -> tuple[tuple[str, ...], ...]:
    """Ids of a run's buckets in the sets that a day of cycles takes together, in its order: of
    one part and crop, and all fed or all shut."""
    sets: dict[tuple[str, str, bool], list[str]] = {}
    for place in layout.places:
        kind = (place.part.id, place.crop.id, place.bucket.feed is None)
        sets.setdefault(kind, []).append(place.bucket.id)
    return tuple(tuple(ids) for ids in sets.values())


def _stand_ins(
    layout: RunLayout,
    drains: Mapping[str, RunDrain],
    buckets: Mapping[str, BucketWater],
) -> list[CycleBucket]:
    """One stand-in for each set of alike buckets of a run, holding and passing what all do."""
    outlet = bucket_outlet(layout)
    drain = drains[layout.run.id]
    travel = _travel_time(drain)
    found = []
    for ids in alike(layout):
        members = [buckets[i] for i in ids]
        one, count = members[0], len(members)
        held = sum(m.power_cut.medium_water for m in members)
        found.append(
            CycleBucket(
                name=ids[0],
                curve=outlet_curve(
                    _together(one.vessel, count),
                    lambda level, count=count: count * _outflow(outlet, level),  # type: ignore[misc]
                    held,
                ),
                feed=sum(m.flow for m in members) * LITRES_PER_HOUR,
                daily_use=sum(m.daily_use for m in members) / LITRES,
                travel_time=travel,
            )
        )
    return found


def _together(bucket: Bucket, count: int) -> Bucket:
    """`count` alike buckets as one: the same heights, `count` times the section."""
    vessel = bucket.vessel
    return replace(
        bucket,
        vessel=replace(
            vessel,
            base_length=vessel.base_length * count,
            rim_length=vessel.rim_length * count,
        ),
    )


def _outflow(outlet: Outlet, level: float) -> float:
    """Flow in m3/s that an outlet passes with the water `level` m above its invert."""
    return outlet.flooding_flow(level)[1]


def _travel_time(drain: RunDrain) -> float:
    """Mean time of the water in the drain, s: what stands in it over what runs through it."""
    flow = drain.line.flow
    return drain.profile.volume / flow if flow > 0 else 0.0


@dataclass(frozen=True)
class BlockedDrain:
    """Where water comes out first once a run's drain is blocked at its outlet.

    `bucket_id` names the bucket whose hole in the drain (`by_hole`), or whose rim, it is, `seconds`
    from then; both None where the reservoir is down to the pump before.
    """

    bucket_id: str | None
    by_hole: bool
    seconds: float | None


def overflow_when_blocked(
    layout: ReservoirLayout, drain: RunDrain, buckets: Sequence[BucketWater]
) -> BlockedDrain | None:
    """What overflows first with a run's drain blocked; None without buckets.

    Water backs up to one level in the drain. A tail stands loose in its hole, so the lowest hole
    lets it out once the drain is full up to there, unless a rim is lower still.
    """
    if not buckets:
        return None
    vessel = placed_reservoir(layout)
    holes = [
        Opening(place.bucket.id, (drain.invert(place.station) + hole_rim(drain.layout)) * MM)
        for place in drain.layout.places
    ]
    first = min([hole.level for hole in holes] + [b.vessel.rim_level for b in buckets])
    found = blocked_drain(
        [b.vessel for b in buckets],
        [_running(b) for b in buckets],
        sum(b.flow for b in buckets) * LITRES_PER_HOUR,
        vessel.volume(vessel.full_level) - vessel.volume(vessel.pump_level),
        free_in_drain=max(drain.volume_below(first) - drain.profile.volume, 0.0),
        other_openings=holes,
    )
    by_hole = first in [hole.level for hole in holes]
    return BlockedDrain(found.name, by_hole, found.seconds)
