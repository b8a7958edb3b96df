"""Rules of the feed: lift, the pump's range, every bucket, uniformity, velocity."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial
from typing import Any

from designer.checks.finding import Case, Finding, Remedy
from designer.checks.situation import judged
from designer.checks.water.situation import WaterSituation
from designer.model import edits
from designer.model.design import Design
from designer.model.parts import PumpPart, TubePart
from designer.water.bed.feed import LITRES_PER_HOUR, BedFeed, node_name, solve_feed
from designer.water.network import Status
from designer.water.properties import water_at

Trial = Callable[[BedFeed], bool]


def pump_lifts(s: WaterSituation) -> Iterator[Finding]:
    """The pump lifts to the lowest outlet, at low water too."""
    feed = s.water.feed
    settled = Status.NOT_SETTLED not in (feed.result.status, feed.low.status)
    shut = not feed.open_flows
    lift = s.head(max(feed.low.static_head, 0.0))
    measured = f"lifts {s.head(feed.curve.shut_off_head)} at most"
    needed = f"more than the {lift} to the buckets at low water"
    if feed.lifts:
        measured += f"; gives {s.flow(feed.flow)} at {s.head(feed.head)}"
    elif shut:
        measured, needed = "the feed of every bucket is shut", "one that is open"
    elif not settled:
        measured = "no answer was found for this feed"
    elif s.water.layout.reservoir.bypass > 0:
        measured += ", and some of the water runs back by the bypass"
    yield Finding(
        "pump-lifts",
        "The pump lifts to the buckets",
        "good" if feed.lifts else "must_fix",
        ("reservoir",),
        measured,
        needed,
        "A pump gives no water above the greatest head on its label.",
        f"energy balance of the feed; {s.evidence(s.water.layout.pump.id, 'head_at_no_flow')}",
        () if feed.lifts else _to_lift(s),
    )


def _to_lift(s: WaterSituation) -> tuple[Remedy, ...]:
    if s.water.feed.open_flows:
        return tuple(_feed_remedies(s, lambda trial: trial.lifts))
    ids = list(s.water.buckets)
    edit = partial(edits.change_buckets, bucket_ids=ids, change=partial(replace, feed=None))
    return (Remedy("Open the feed of every bucket", edit),)


def pump_range(s: WaterSituation) -> Iterator[Finding]:
    """The pump works in the useful range of its curve."""
    feed = s.water.feed
    if not feed.running:
        return
    best = feed.curve.best_flow / LITRES_PER_HOUR
    low, high = s.catalogue.limit("pump_share_low"), s.catalogue.limit("pump_share_high")
    inside = low <= feed.flow / best <= high
    yield judged(
        "pump-range",
        "The pump works in the useful range of its curve",
        "look_again",
        "reservoir",
        []
        if inside
        else [
            Case(
                ("reservoir",),
                f"{s.flow(feed.flow)}, {feed.flow / best:.0%} of its best flow",
                f"{low:.0%} to {high:.0%} of {s.flow(best)}",
            )
        ],
        f"{s.flow(feed.flow)}, {feed.flow / best:.0%} of its best flow",
        f"{low:.0%} to {high:.0%} of {s.flow(best)}",
        s.catalogue.limits["pump_share_low"].why,
        s.catalogue.source("pump_share_low"),
        () if inside else _into_range(s, low, high),
    )


def _into_range(s: WaterSituation, low: float, high: float) -> list[Remedy]:
    """Another pump that works within its range here; else valves that hold this one back, or a
    bypass where it is held back too far."""

    def within(trial: BedFeed) -> bool:
        return low <= trial.flow * LITRES_PER_HOUR / trial.curve.best_flow <= high

    remedies = [*_open_tubes(s, within), *_other_pumps(s, within)]
    if remedies:
        return remedies
    held_back = s.water.feed.flow * LITRES_PER_HOUR < low * s.water.feed.curve.best_flow
    if not held_back:
        return close_valves(s, within)
    return _open_bypass(s, within) or _pump_with_bypass(s, within)


def _pump_with_bypass(s: WaterSituation, works: Trial) -> list[Remedy]:
    """A stronger pump that lets some of its water straight back, where no pump alone suits."""
    for pump in _pumps(s):
        for percent in (5, 15, 30, 60, 100):
            edit = partial(edits.set_reservoir, pump=pump.id, bypass=percent / 100)
            if _works(s, edit, works):
                label = f"Use {_pump_name(s, pump)} and open a bypass to {percent} %"
                return [Remedy(label, edit)]
    return []


def _open_bypass(s: WaterSituation, works: Trial) -> list[Remedy]:
    """Let some of the water straight back, no more than needed."""
    for percent in (5, 10, 15, 20, 30, 45, 60, 80, 100):
        edit = partial(edits.set_reservoir, bypass=percent / 100)
        if _works(s, edit, works):
            return [Remedy(f"Open a bypass at the pump to {percent} %", edit)]
    return []


def close_valves(s: WaterSituation, works: Trial) -> list[Remedy]:
    """Hold the water back at the head of the runs, no more than needed."""
    runs = [layout.run.id for layout in s.water.runs]
    for percent in (80, 60, 45, 35, 25, 20, 15, 12, 10, 8, 6, 5, 4, 3, 2):
        edit = partial(_with_manifolds, runs=runs, valve=percent / 100)
        if _works(s, edit, works):
            return [Remedy(f"Close the valves of the runs to {percent} %", edit)]
    return []


def every_bucket(s: WaterSituation) -> Iterator[Finding]:
    """No open bucket without flow, at low water either."""
    feed = s.water.feed
    if not feed.lifts:
        return
    least = s.catalogue.limit("bucket_flow_low")
    flows = {
        place.bucket.id: feed.low_flows[place.bucket.id]
        for layout in s.water.runs
        for place in layout.places
        if place.bucket.feed is None
    }
    cases = [
        Case((bucket_id,), f"{s.flow(flow)} at low water", f"at least {s.flow(least)}")
        for bucket_id, flow in flows.items()
        if flow < least
    ]
    smallest = min(flows.values())
    yield judged(
        "every-bucket-fed",
        "Every bucket gets water",
        "must_fix",
        s.water.runs[0].run.id,
        cases,
        f"{len(cases)} buckets with hardly any water"
        if cases
        else f"at least {s.flow(smallest)} to a bucket at low water",
        f"at least {s.flow(least)} to each",
        s.catalogue.limits["bucket_flow_low"].why,
        s.catalogue.source("bucket_flow_low"),
        _feed_remedies(s, lambda t: t.lifts) if cases else (),
    )


def uniformity(s: WaterSituation) -> Iterator[Finding]:
    """The buckets' flows as even as the person wants."""
    feed = s.water.feed
    if not feed.running or len(feed.open_flows) < 2:
        return
    target = s.design.water.target_uniformity
    even = feed.emission_uniformity
    text = (
        f"{even:.0f} % emission uniformity, {s.flow(min(feed.open_flows))} to "
        f"{s.flow(max(feed.open_flows))}"
    )
    poor = even < target - 1e-9
    yield judged(
        "uniformity",
        "Every bucket gets its share",
        "look_again",
        "reservoir",
        [Case(("reservoir",), text, f"at least {target:g} %")] if poor else [],
        text,
        f"at least {target:g} %, as chosen",
        "Buckets near the pump flood while the last ones go dry.",
        "EU = 100 qmin / qavg (second-hand); Keller and Karmeli 1974, from memory",
        _feed_remedies(s, lambda t: t.running and t.emission_uniformity >= target) if poor else (),
    )


def velocity(s: WaterSituation) -> Iterator[Finding]:
    """No stretch of the feed too fast."""
    feed = s.water.feed
    if not feed.running:
        return
    limit = s.catalogue.limit("feed_velocity")
    # All of a run's manifold is of one tube, and the riser carries the most.
    fastest = {
        layout.run.id: feed.result.stretch_velocities[node_name(layout.run.id)]
        for layout in s.water.runs
    }
    cases = [
        Case((run,), f"{s.speed(v)} in the manifold", f"at most {s.speed(limit)}")
        for run, v in fastest.items()
        if v > limit
    ]
    yield judged(
        "feed-velocity",
        "Water in the manifold is not too fast",
        "look_again",
        s.water.runs[0].run.id,
        cases,
        f"at most {s.speed(max(fastest.values()))}",
        f"at most {s.speed(limit)}",
        s.catalogue.limits["feed_velocity"].why,
        s.catalogue.source("feed_velocity"),
        _wider_tubes(s, lambda t: max(t.result.stretch_velocities.values()) <= limit)
        if cases
        else (),
    )


def _feed_remedies(s: WaterSituation, works: Trial) -> list[Remedy]:
    """No bypass, no emitters, the smallest wider manifold and the smallest pump, each where it
    works; else manifold and pump together."""
    ways = (_no_bypass, _open_tubes, _wider_tubes, _other_pumps)
    remedies = [remedy for way in ways for remedy in way(s, works)]
    if remedies:
        return remedies
    for tube in reversed(_tubes(s)):
        for pump in _pumps(s):
            edit = _both(tube, pump, s)
            if _works(s, edit, works):
                label = f"Use {tube.name} for the manifold and {_pump_name(s, pump)}"
                return [Remedy(label, edit)]
    return []


def _no_bypass(s: WaterSituation, works: Trial) -> list[Remedy]:
    edit = partial(edits.set_reservoir, bypass=0.0)
    if s.water.layout.reservoir.bypass > 0 and _works(s, edit, works):
        return [Remedy("Shut the bypass", edit)]
    return []


def _open_tubes(s: WaterSituation, works: Trial) -> list[Remedy]:
    runs = [layout.run.id for layout in s.water.runs if layout.run.manifold.emitter is not None]
    edit = partial(_with_manifolds, runs=runs, emitter=None)
    if runs and _works(s, edit, works):
        return [Remedy("Let the water run from open feed tubes, without emitters", edit)]
    return []


def _both(tube: TubePart, pump: PumpPart, s: WaterSituation) -> Callable[[Design], Design]:
    runs = [layout.run.id for layout in s.water.runs]

    def edit(design: Design) -> Design:
        return edits.set_reservoir(_with_manifolds(design, runs, tube=tube.id), pump=pump.id)

    return edit


def _wider_tubes(s: WaterSituation, works: Trial) -> list[Remedy]:
    runs = [layout.run.id for layout in s.water.runs]
    for tube in _tubes(s):
        edit = partial(_with_manifolds, runs=runs, tube=tube.id)
        if _works(s, edit, works):
            return [Remedy(f"Use {tube.name} for the manifold", edit)]
    return []


def _with_manifolds(design: Design, runs: list[str], **values: Any) -> Design:
    for run_id in runs:
        design = edits.set_run_part(design, run_id, "manifold", **values)
    return design


def _tubes(s: WaterSituation) -> list[TubePart]:
    """Tubes wider than the manifold's, of its own measure first, narrowest first."""
    now = s.water.runs[0].parts.manifold
    tubes = [
        part
        for part in s.catalogue.of_kind("tube")
        if isinstance(part, TubePart) and part.inside_diameter > now.inside_diameter
    ]
    same = [part for part in tubes if part.id[-3:] == now.id[-3:]]
    return sorted(same or tubes, key=lambda part: part.inside_diameter)


def _pumps(s: WaterSituation) -> list[PumpPart]:
    pumps = [part for part in s.catalogue.of_kind("pump") if isinstance(part, PumpPart)]
    return sorted(pumps, key=lambda pump: pump.flow_at_no_head)


def _other_pumps(s: WaterSituation, works: Trial) -> list[Remedy]:
    for pump in _pumps(s):
        edit = partial(edits.set_reservoir, pump=pump.id)
        if pump.id != s.water.layout.pump.id and _works(s, edit, works):
            return [Remedy(f"Use {_pump_name(s, pump)}", edit)]
    return []


def _pump_name(s: WaterSituation, pump: PumpPart) -> str:
    """A pump by the name in the parts list, with its flow in the person's units."""
    flow = f" ({s.flow(pump.flow_at_no_head)})" if s.units == "imperial" else ""
    return f"the pump '{pump.name}'{flow}"


def _works(s: WaterSituation, edit: Callable[[Design], Design], works: Trial) -> bool:
    """Whether the feed passes a trial after an edit of its pump or tubes, every bucket fed."""
    design = edit(s.design)
    reservoir = design.reservoir
    assert reservoir is not None
    layout = replace(
        s.water.layout,
        reservoir=reservoir,
        pump=s.catalogue.part(reservoir.pump, PumpPart),
    )
    runs = [
        replace(
            run,
            run=design.run(run.run.id),
            parts=replace(
                run.parts,
                manifold=s.catalogue.part(design.run(run.run.id).manifold.tube, TubePart),
            ),
        )
        for run in s.water.runs
    ]
    feed = solve_feed(design, runs, layout, s.catalogue, water_at(design.water.temperature))
    return (
        feed is not None
        and feed.lifts
        and all(
            feed.low_flows[place.bucket.id] >= s.catalogue.limit("bucket_flow_low")
            for run in runs
            for place in run.places
            if place.bucket.feed is None
        )
        and works(feed)
    )
