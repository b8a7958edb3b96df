"""All of a bed's water in one value, computed in order from its layouts."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from designer.layout.run import RunLayout
from designer.layout.site import ReservoirLayout
from designer.model.catalogue import Catalogue
from designer.model.design import Design
from designer.water.bed.buckets import BucketWater, solve_buckets
from designer.water.bed.drains import RunDrain, solve_drain
from designer.water.bed.feed import LITRES_PER_HOUR, BedFeed, solve_feed
from designer.water.bed.moment import Moment, moment_of
from designer.water.bed.reservoir import (
    BlockedDrain,
    ReservoirWater,
    day_of_cycles,
    overflow_when_blocked,
    solve_reservoir,
)
from designer.water.cycle import Cycle
from designer.water.properties import water_at
from designer.water.solve import system_curve

_SYSTEM_POINTS = 24


@dataclass(frozen=True)
class BedWater:
    """The water of a design that has a reservoir and buckets."""

    design: Design
    runs: Sequence[RunLayout]
    layout: ReservoirLayout
    feed: BedFeed
    drains: Mapping[str, RunDrain]
    buckets: Mapping[str, BucketWater]
    reservoir: ReservoirWater

    @cached_property
    def day(self) -> Cycle:
        """The water over a day of pump cycles, the reservoir full at midnight."""
        return day_of_cycles(self.design, self.runs, self.layout, self.drains, self.buckets)

    def at(self, seconds: float) -> Moment:
        """The water at a time of the day, s from midnight."""
        return moment_of(self.day, self.runs, self.drains, seconds)

    @cached_property
    def system(self) -> tuple[tuple[float, float], ...]:
        """The head in m that the bed needs for each flow in L/h: (flow, head), the duty point
        among them, from no flow up to the pump's greatest head or somewhat above the lift."""
        feed = self.feed
        lift = max(feed.result.static_head, 0.0)
        top = max(feed.curve.shut_off_head, 1.3 * lift)
        shares = [(i / _SYSTEM_POINTS) ** 2 for i in range(_SYSTEM_POINTS + 1)]
        heads = {lift + (top - lift) * share for share in shares}
        if feed.running:
            heads.add(feed.head)
        points = system_curve(feed.network, water_at(self.design.water.temperature), sorted(heads))
        return tuple((flow / LITRES_PER_HOUR, head) for flow, head in points)

    def label(self, bucket_id: str) -> str:
        """A bucket's letter, with the run's number before it when there are several runs."""
        for layout in self.runs:
            if bucket_id in layout.letters:
                runs = self.design.runs
                number = str(runs.index(layout.run) + 1) if len(runs) > 1 else ""
                return number + layout.letters[bucket_id]
        raise KeyError(bucket_id)

    def blocked(self, run_id: str) -> BlockedDrain | None:
        """What overflows first when a run's drain is blocked."""
        drain = self.drains[run_id]
        own = [self.buckets[place.bucket.id] for place in drain.layout.places]
        return overflow_when_blocked(self.layout, drain, own)


def solve_bed(
    design: Design,
    runs: Sequence[RunLayout],
    reservoir: ReservoirLayout | None,
    catalogue: Catalogue,
) -> BedWater | None:
    """The water of a bed; None without a reservoir or without a bucket."""
    if reservoir is None:
        return None
    water = water_at(design.water.temperature)
    feed = solve_feed(design, runs, reservoir, catalogue, water)
    if feed is None:
        return None
    fed = [layout for layout in runs if layout.places]
    flows = dict(feed.flows)
    roughness = catalogue.limit("tube_roughness")
    drains = {
        layout.run.id: solve_drain(design, layout, reservoir, flows, water, roughness)
        for layout in fed
    }
    buckets = {
        bucket.bucket_id: bucket
        for layout in fed
        for bucket in solve_buckets(design, layout, flows)
    }
    return BedWater(
        design,
        fed,
        reservoir,
        feed,
        drains,
        buckets,
        solve_reservoir(design, fed, reservoir, drains, list(buckets.values())),
    )
