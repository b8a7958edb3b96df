"""Rules of the stand: rails, buckets on rails, stacks, soil, tipping, lifting."""

from collections.abc import Callable, Iterator, Sequence

from designer.checks.finding import Finding
from designer.checks.stand import ground, rails
from designer.checks.stand.situation import StandSituation
from designer.model.catalogue import Catalogue
from designer.model.design import Design
from designer.stand.bed.record import StandResult

STAND_RULES: tuple[Callable[[StandSituation], Iterator[Finding]], ...] = (
    rails.held,
    rails.graded,
    rails.bending,
    rails.shear,
    rails.bearing,
    rails.deflection,
    ground.base_on_rails,
    ground.stacks,
    ground.soil,
    ground.tips,
    ground.lifting,
)


def stand_findings(
    design: Design, stands: Sequence[StandResult], catalogue: Catalogue
) -> list[Finding]:
    """All findings about the stands of a design's runs."""
    found = []
    for stand in stands:
        situation = StandSituation(design, stand, catalogue)
        found += [finding for rule in STAND_RULES for finding in rule(situation)]
    return found
