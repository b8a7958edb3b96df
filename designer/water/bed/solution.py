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
from designer.water.bed.feed import BedFeed, solve_feed
from designer.water.bed.reservoir import (
    ReservoirWater,
    day_of_cycles,
    overflow_when_blocked,
    solve_reservoir,
)
from designer.water.blockage import Overflow
from designer.water.cycle import Cycle
from designer.water.properties import water_at


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
        return day_of_cycles(
            self.design, self.runs, self.layout, self.feed, self.drains, self.buckets
        )

    def blocked(self, run_id: str) -> Overflow | None:
        """What overflows first when a run's drain is blocked."""
        drain = self.drains[run_id]
        own = [self.buckets[place.bucket.id] for place in drain.layout.places]
        return overflow_when_blocked(self.feed, self.layout, drain, own)


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
        solve_reservoir(design, fed, reservoir, feed, drains, list(buckets.values())),
    )
