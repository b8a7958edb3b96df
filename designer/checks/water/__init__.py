"""Rules of the water: feed, drain, bucket outlets, reservoir, reserve."""

from collections.abc import Callable, Iterator

from designer.checks.finding import Finding
from designer.checks.water import feed, flow, store
from designer.checks.water.situation import WaterSituation
from designer.model.catalogue import Catalogue
from designer.water.bed.solution import BedWater

WATER_RULES: tuple[Callable[[WaterSituation], Iterator[Finding]], ...] = (
    feed.pump_lifts,
    feed.pump_range,
    feed.every_bucket,
    feed.uniformity,
    feed.velocity,
    flow.drain_room,
    flow.outlets_pass,
    store.drain_back,
    store.pump_covered,
    store.top_up,
    store.siphon,
    store.reserve,
)


def water_findings(water: BedWater, catalogue: Catalogue) -> list[Finding]:
    """All findings about a bed's water."""
    situation = WaterSituation(water, catalogue)
    return [finding for rule in WATER_RULES for finding in rule(situation)]
