"""Rules of the reservoir and the reserve: what runs back, cover, top-up, siphon, power cut."""

from collections.abc import Iterator
from dataclasses import replace
from functools import partial

from designer.checks.finding import PRACTICE, Case, Finding, Remedy
from designer.checks.situation import judged
from designer.checks.water.situation import WaterSituation
from designer.model import edits
from designer.model.design import Design
from designer.model.parts import MediumPart, ReservoirPart
from designer.water.bed.buckets import shortest_reserve, solve_buckets
from designer.water.bed.feed import MM, feed_end_level, working_levels
from designer.water.bed.reservoir import feed_pipes, placed_reservoir
from designer.water.drain_back import running_level


def drain_back(s: WaterSituation) -> Iterator[Finding]:
    """What runs back when the pump stops stays in the reservoir."""
    store = s.water.reservoir
    needed, source = s.catalogue.limit("settled_freeboard"), s.catalogue.source("settled_freeboard")
    left = s.say(s.down(max(store.freeboard, 0.0)))
    text = f"{s.volume(store.drain_back)} run back, leaving {left} below the rim"
    if store.overflow > 0:
        text = f"{s.volume(store.drain_back)} run back, {s.volume(store.overflow)} over the rim"
    short = store.freeboard < needed - 1e-6
    lower = s.up(_freeboard_for(s, needed) + s.grain) if short else 0.0
    room = s.water.layout.part.height - s.water.layout.reservoir.low_water
    yield judged(
        "drain-back",
        "The reservoir takes what runs back",
        "must_fix" if store.overflow > 0 else "look_again",
        "reservoir",
        [Case(("reservoir",), text, f"{s.at_least(needed)} below the rim")] if short else [],
        text,
        f"{s.at_least(needed)} below the rim",
        s.catalogue.limits["settled_freeboard"].why,
        f"geometry of tubes, drain and buckets; room to keep: {source}",
        [
            Remedy(
                f"Fill only to {s.say(lower)} below the rim",
                partial(edits.set_reservoir, freeboard=lower),
            )
        ]
        if short and lower < room
        else (),
    )


def _freeboard_for(s: WaterSituation, settled: float) -> float:
    """How far below the rim to fill, mm, so that `settled` mm are left once all has run back.

    The lower the level, the more of the feed stands above it: tried again until that is in it too.
    """
    vessel = placed_reservoir(s.water.layout)
    pipes = feed_pipes(s.water.runs, s.water.layout)
    back = s.water.reservoir.returning
    most = vessel.volume(vessel.rim_level - settled * MM) - back.drain - back.buckets
    level = vessel.full_level
    for _ in range(50):
        feed = sum(pipe.content_above(level) for pipe in pipes)
        before, level = level, vessel.level(max(most - feed, 0.0))
        if before - level < 0.1 * MM:
            break
    return (vessel.rim_level - level) / MM


def pump_covered(s: WaterSituation) -> Iterator[Finding]:
    """At low water, with the bed filled, the pump is still covered."""
    vessel = placed_reservoir(s.water.layout)
    level = running_level(vessel, vessel.low_water_level, s.water.reservoir.returning)
    cover = (level - vessel.floor_level) / MM
    needed = s.water.layout.pump.cover
    short = cover < needed - 1e-6
    layout = s.water.layout
    text = (
        f"{s.say(s.down(cover))} of water over the floor at low water with "
        f"{s.volume(s.water.reservoir.drain_back)} on their way"
    )
    covered = vessel.volume(vessel.floor_level + needed * MM)
    lift = vessel.level(covered + s.water.reservoir.returning.total)
    low = s.up((lift - vessel.floor_level) / MM + s.grain)
    possible = low < layout.part.height - layout.reservoir.freeboard
    yield judged(
        "pump-covered",
        "The pump stays covered while it runs",
        "must_fix",
        "reservoir",
        [
            Case(
                ("reservoir",),
                text,
                s.at_least(needed),
            )
        ]
        if short
        else [],
        text,
        s.at_least(needed),
        "A pump that draws air runs dry and burns out.",
        f"mass balance; cover: {s.evidence(layout.pump.id, 'cover')}",
        [
            Remedy(
                f"Set low water {s.say(low)} above the floor",
                partial(edits.set_reservoir, low_water=low),
            )
        ]
        if short and possible
        else (),
    )


def top_up(s: WaterSituation) -> Iterator[Finding]:
    """The water lasts as many days as the person chose."""
    store, wanted = s.water.reservoir, s.design.water.top_up_days
    if store.top_up_days is None:
        return
    short = store.top_up_days < wanted - 1e-9
    text = (
        f"{s.volume(store.working)} last {store.top_up_days:.1f} days at "
        f"{s.volume(store.daily_use)} a day"
    )
    yield judged(
        "top-up",
        "Days between top-ups",
        "look_again",
        "reservoir",
        [Case(("reservoir",), text, f"at least {wanted:g} days")] if short else [],
        text,
        f"at least {wanted:g} days, as chosen",
        "On a hot day a reservoir that is too small runs down to the pump.",
        _source_of_use(s),
        _larger(s, store.daily_use * wanted) if short else (),
    )


def _source_of_use(s: WaterSituation) -> str:
    if s.design.water.plant_use is not None:
        return "use of a plant as you typed it"
    return "ETc = Kc x ETo, FAO Irrigation and Drainage Paper 56, Eq. 58; Kc second-hand"


def _larger(s: WaterSituation, litres: float) -> list[Remedy]:
    """The smallest catalogue reservoir that holds enough between full and low water."""
    reservoir, now = s.design.reservoir, s.water.layout.part
    if reservoir is None:
        return []
    lines = reservoir.freeboard + reservoir.low_water
    choices = [
        part
        for part in s.catalogue.of_kind("reservoir")
        if isinstance(part, ReservoirPart)
        and part.height > lines
        and _working(s, part) >= litres * 1e-3
    ]
    if not choices:
        return []
    part = min(choices, key=lambda p: p.rim_length * p.rim_width * p.height)
    return [
        Remedy(
            f"Use the {part.name}",
            partial(_change_reservoir, part=part.id, deeper=part.height - now.height),
        )
    ]


def _change_reservoir(design: Design, part: str, deeper: float) -> Design:
    reservoir = design.reservoir
    assert reservoir is not None
    return edits.set_reservoir(design, part=part, sunk=max(reservoir.sunk + deeper, 0.0))


def _working(s: WaterSituation, part: ReservoirPart) -> float:
    return placed_reservoir(replace(s.water.layout, part=part)).working_volume


def siphon(s: WaterSituation) -> Iterator[Finding]:
    """Nothing siphons out of the reservoir, or back out of a bucket, when the pump stops."""
    full = working_levels(s.water.layout)[1]
    lowest = min(
        ((feed_end_level(p, layout), p, layout) for layout in s.water.runs for p in layout.places),
        key=lambda entry: entry[0],
    )
    drop = lowest[0] - full
    broken = s.water.layout.reservoir.siphon_break
    bad = not broken and drop < 0
    yield judged(
        "siphon-break",
        "The feed cannot siphon when the pump stops",
        "must_fix",
        "reservoir",
        [
            Case(
                ("reservoir", lowest[1].bucket.id),
                f"a feed tube ends {s.say(-drop)} below the full reservoir, and the feed has no "
                "air hole",
                "an air hole above the full level, or every end above it",
            )
        ]
        if bad
        else [],
        "an air hole breaks the siphon"
        if broken
        else f"every feed tube ends {s.say(drop)} or more above the full reservoir",
        "an air hole above the full level, or every end above it",
        "A full feed tube goes on running by itself and empties the reservoir into a bucket.",
        PRACTICE,
        [Remedy("Drill an air hole in the feed", partial(edits.set_reservoir, siphon_break=True))]
        if bad
        else (),
    )


def reserve(s: WaterSituation) -> Iterator[Finding]:
    """How long the plants last when the pump stops on a hot day."""
    hours, wanted = s.water.reservoir.hours_without_pump, s.design.water.reserve_hours
    if hours is None:
        return
    cases = [
        Case((b.bucket_id,), f"{b.power_cut.hours:.1f} hours", f"at least {wanted:g} hours")
        for b in s.water.buckets.values()
        if b.power_cut.hours is not None and b.power_cut.hours < wanted - 1e-9
    ]
    yield judged(
        "reserve",
        "Hours without the pump",
        "look_again",
        s.water.runs[0].run.id,
        cases,
        f"{hours:.1f} hours in the hottest part of the day",
        f"at least {wanted:g} hours, as chosen",
        "When the power fails the plants live on the sump and the medium.",
        "water balance of sump and medium; no published hours, share of the hottest hour from "
        "memory",
        _other_medium(s, wanted) if cases else (),
    )


def _other_medium(s: WaterSituation, wanted: float) -> list[Remedy]:
    """The medium with the least more water within the roots' reach that lasts long enough."""
    media = [part for part in s.catalogue.of_kind("medium") if isinstance(part, MediumPart)]
    for medium in sorted(media, key=lambda part: part.available_percent):
        trials = [
            replace(layout, parts=replace(layout.parts, medium=medium)) for layout in s.water.runs
        ]
        hours = shortest_reserve(
            [b for layout in trials for b in solve_buckets(s.design, layout, s.water.feed.flows)]
        )
        if hours is None or hours >= wanted:
            edit = partial(_use_medium, runs=[t.run.id for t in trials], medium=medium.id)
            return [Remedy(f"Fill the buckets with {medium.name}", edit)]
    return []


def _use_medium(design: Design, runs: list[str], medium: str) -> Design:
    for run_id in runs:
        design = edits.set_run(design, run_id, medium=medium)
    return design
