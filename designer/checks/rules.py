"""The list of rules. A rule is a function from a situation to findings; add yours to a list."""

from collections.abc import Callable, Iterator, Sequence

from designer.checks import (
    fall,
    feed_tubes,
    ground,
    holes,
    inside,
    levels,
    obstacles,
    presence,
    return_leg,
    spacing,
    tails,
)
from designer.checks.finding import Finding
from designer.checks.situation import RunSituation, SiteSituation
from designer.layout.run import RunLayout
from designer.layout.site import ReservoirLayout, SiteLayout
from designer.model.catalogue import Catalogue
from designer.model.design import Design

__all__ = ["RunSituation", "SiteSituation", "design_findings", "run_findings"]

RUN_RULES: tuple[Callable[[RunSituation], Iterator[Finding]], ...] = (
    presence.buckets,
    spacing.rims,
    spacing.outlets,
    fall.ends,
    spacing.canopies,
    inside.beside_drain,
    fall.total,
    fall.slope,
    fall.return_path,
    fall.no_sag,
    levels.outlets_above_drain,
    tails.tails,
    levels.drain_on_blocks,
    levels.outfall_level,
    levels.over_the_rim,
    levels.outfall_inside,
    holes.outlet_hole,
    holes.grommet_pipe,
    holes.drain_hole,
    inside.medium,
    inside.sump,
    feed_tubes.feed_tubes,
)
SITE_RULES: tuple[Callable[[SiteSituation], Iterator[Finding]], ...] = (
    ground.neighbours,
    obstacles.obstacles,
    return_leg.return_leg,
    ground.reservoir,
    ground.outline,
    ground.reach,
)


def run_findings(situation: RunSituation) -> tuple[Finding, ...]:
    """All findings about one run."""
    return tuple(finding for rule in RUN_RULES for finding in rule(situation))


def design_findings(
    design: Design,
    runs: Sequence[RunLayout],
    reservoir: ReservoirLayout | None,
    site: SiteLayout,
    catalogue: Catalogue,
) -> list[Finding]:
    """All findings about the runs together, the reservoir and the site."""
    found = list(presence.design(design, reservoir))
    if reservoir is not None:
        found += presence.reservoir_levels(design, reservoir, catalogue)
    if any(layout.places for layout in runs):
        situation = SiteSituation(design, runs, reservoir, site, catalogue)
        found += [finding for rule in SITE_RULES for finding in rule(situation)]
    return found
