"""What the drawings and charts of a sheet show, in words, for people who do not see them."""

from collections.abc import Sequence
from dataclasses import dataclass

from designer.analysis import Analysis
from designer.checks.water.situation import WaterSituation
from designer.drawing.section_plane import section_of
from designer.layout.run import RunLayout
from designer.sheet.words import count_of, in_words, length
from designer.units import format_slope


def run_view_in_words(analysis: Analysis, layout: RunLayout, view: str) -> str:
    """One view of a run: "Plan of Run 1: 12 buckets, A at the capped end ..."."""
    told = f"{view} of {layout.run.name}"
    if view.startswith("Plan"):
        return f"{told}: {_buckets(analysis, layout)}. The hole schedule has every station."
    if view.startswith("Elevation"):
        return (
            f"{told}: {_levels(layout)}. The hole and shim schedules have every length and level."
        )
    return told


def _buckets(analysis: Analysis, layout: RunLayout) -> str:
    places, long = layout.from_cap, length(layout.run.length, layout.units)
    if not places:
        return f"no buckets along {long}"
    left = sum(place.bucket.side == "left" for place in places)
    first, last = (analysis.bucket_label(place.bucket.id) for place in (places[0], places[-1]))
    if len(places) == 1:
        return f"bucket {first} on a run {long} long"
    return (
        f"{len(places)} buckets along {long}, from {first} at the capped end to {last} at the "
        f"outlet end, {left} on the left and {len(places) - left} on the right of the drain"
    )


def _levels(layout: RunLayout) -> str:
    run, units = layout.run, layout.units
    fall = f"{length(run.drain.fall, units)}, {format_slope(layout.levels.slope, units)}"
    return (
        f"the drain falls {fall}, to the outlet end, on {count_of(len(layout.shims), 'support')}; "
        f"the rails' tops stand {length(run.stand.height, units)} high there"
    )


def section_in_words(analysis: Analysis, layouts: Sequence[RunLayout], view: str) -> str:
    """A section, return end or detail of runs that are alike."""
    told = f"{view} of {in_words([layout.run.name for layout in layouts])}"
    layout, tank = layouts[0], analysis.reservoir
    units = layout.units
    section = section_of(analysis, layout.run.id)
    if view.startswith("Section") and section is not None:
        return (
            f"{told}: a bucket on rails {length(layout.run.stand.height, units)} high, its middle "
            f"{length(section.place.assembly.bucket_axis, units)} beside the drain's, its outlet "
            f"{length(layout.run.outlet.height, units)} above its base"
        )
    if view.startswith("Return") and tank is not None:
        gap = length(layout.outfall_invert - tank.full_level, units)
        return f"{told}: the drain lets go {gap} above the full level of the reservoir"
    return f"{told}: a tail in its hole in the drain, with its levels"


def site_in_words(analysis: Analysis) -> str:
    """The plan of the whole site."""
    runs = [
        f"{layout.run.name} with {count_of(len(layout.places), 'bucket')}"
        for layout in analysis.runs
    ]
    things = [f"the reservoir, {analysis.reservoir.part.name}"] if analysis.reservoir else []
    things += [f"{obstacle.name} ({obstacle.kind})" for obstacle in analysis.design.obstacles]
    if analysis.design.outline is not None:
        things.append("the outline of the ground")
    also = f"; also {in_words(things)}" if things else ""
    return f"Site plan: {in_words(runs)}{also}"


def cover_picture_in_words(analysis: Analysis) -> str:
    """The small drawing on the cover."""
    if len(analysis.runs) == 1:
        return "Small drawing of the bed, plan and elevation"
    return f"Small drawing, plan of all runs and elevation of {analysis.runs[0].run.name}"


@dataclass(frozen=True)
class ChartWords:
    """What each chart of the water shows."""

    pump: str
    pressure: str
    flows: str
    drain: str
    day: str


def charts_in_words(s: WaterSituation, run_id: str) -> ChartWords:
    """The charts of the bed's water, and of one run's pressure and drain."""
    water = s.water
    feed, drain = water.feed, water.drains[run_id]
    name = drain.layout.run.name
    meet = "the pump's curve stays below what the bed needs, so no water comes"
    if feed.running:
        meet = f"the two curves meet at {s.flow(feed.flow)} and {s.head(feed.head)}"
    flows = list(feed.flows.values())
    station, fill = drain.fullest
    most = f"it is {100 * fill:.0f} % full at most, {length(station, s.units)} from the outlet end"
    return ChartWords(
        f"Chart, the pump's head against its flow: {meet}",
        f"Chart, the head of water along the manifold of {name}",
        f"Bar chart, the flow of each bucket: {s.flow(min(flows))} to {s.flow(max(flows))}",
        f"Chart, the water along the drain of {name}: {most}",
        "Chart, the level of the reservoir and the water in the buckets over a day of pump cycles",
    )
