"""The rule of tail windows: does every tail reach into its hole without touching bottom."""

from collections.abc import Iterator
from dataclasses import replace
from functools import partial

from designer.checks.finding import Case, Finding, Remedy
from designer.checks.refit import lift_outlets, refitted
from designer.checks.situation import RunSituation, judged
from designer.layout.outlet import cut_tail_shortest
from designer.layout.run import lay_out_run
from designer.layout.tails import TailWindow, rounded_within
from designer.model import edits
from designer.model.design import Design
from designer.model.parts import PipePart


def tails(s: RunSituation) -> Iterator[Finding]:
    """Every tail inside its window. Remedies: one common length, graded lengths, or the change of
    fall, stand or rails that opens the windows."""
    layout = s.layout
    common = layout.common_tail
    if common is None:
        return
    run, limits = layout.run, layout.tail_limits
    shortest = cut_tail_shortest(layout.parts.elbow, layout.parts.outlet_pipe)
    cases = []
    for place in layout.places:
        length = layout.tail_length(place)
        window = place.window
        if window.holds(length) and length >= shortest:
            continue
        if not window.open:
            measured = "no tail length fits"
        elif length < window.shortest:
            measured = (
                f"a tail of {s.say(length)} stops {s.say(s.up(window.shortest - length))} too high"
            )
        elif length > window.longest:
            measured = (
                f"a tail of {s.say(length)} hangs {s.say(s.up(length - window.longest))} too low"
            )
        else:
            measured = f"a tail of {s.say(length)} is too short to push into its elbow"
        cases.append(Case((place.bucket.id,), measured, _range(s, window, shortest)))
    spread = layout.levels.fall if not run.stand.follow_fall else 0.0
    kind = f"all tails {s.say(run.tails.length)}" if run.tails.cut == "common" else "graded tails"
    lengths = [layout.tail_length(place) for place in layout.places]
    reach = [
        layout.levels.crown(p.station) - (p.socket - length)
        for p, length in zip(layout.places, lengths, strict=True)
    ]
    yield judged(
        "tails-reach",
        "Tails reach into the drain and clear its bottom",
        "must_fix",
        s.id,
        cases,
        f"{kind}, reaching {s.say(min(reach))} to {s.say(max(reach))} below the crown"
        if not cases
        else f"{len(cases)} tails do not fit",
        _needed(s, common, shortest),
        f"A tip must stand {s.say(limits.reach)} below the crown so that it drips inside, and "
        f"{s.say(limits.floor)} above the invert so that it never blocks. The windows shift by "
        f"the fall over the run, here {s.say(spread)}: that limits the fall from above.",
        s.catalogue.source("tail_reach"),
        _remedies(s, common, shortest) if cases else (),
    )


def _range(s: RunSituation, window: TailWindow, shortest: float) -> str:
    low = max(window.shortest, shortest)
    if low > window.longest:
        return "no length fits here"
    return _between(s, low, window.longest)


def _between(s: RunSituation, low: float, high: float) -> str:
    """A range rounded inward; a range narrower than a step is its middle."""
    if s.up(low) > s.down(high):
        return f"about {s.say((low + high) / 2)}"
    return f"{s.say(s.up(low))} to {s.say(s.down(high))}"


def _needed(s: RunSituation, common: TailWindow, shortest: float) -> str:
    low = max(common.shortest, shortest)
    if low <= common.longest:
        return f"one length of {_between(s, low, common.longest)} serves all"
    if s.layout.run.tails.cut == "graded":
        return "each tail within its own window"
    return "no single length serves all: grade the tails, or make the fall smaller"


def _remedies(s: RunSituation, common: TailWindow, shortest: float) -> list[Remedy]:
    """Another length first, then what opens the windows; each one is tried before it is offered."""
    layout, run = s.layout, s.layout.run
    usable = TailWindow(max(common.shortest, shortest), common.longest)
    if usable.open:
        length = rounded_within(usable, s.grain)
        edit = partial(edits.set_tails, run_id=run.id, cut="common", length=length)
        return [Remedy(f"Cut all tails to {s.say(length)}", edit)]
    ways = [
        Remedy(
            "Grade the tails: cut each to its own window",
            partial(edits.set_tails, run_id=run.id, cut="graded"),
        )
    ]
    too_short = max(shortest + 2 * s.grain - place.window.longest for place in layout.places)
    if too_short > 0:
        ways += lift_outlets(s, s.up(too_short))
    if not run.stand.follow_fall:
        ways += _less_fall(s)
        ways.append(
            Remedy(
                "Let the rails follow the fall",
                refitted(s, edits.set_run_part, group="stand", follow_fall=True),
            )
        )
    ways = [way for way in ways if _all_fit(s, way)]
    return ways or _wider_drain(s, shortest)


def _wider_drain(s: RunSituation, shortest: float) -> list[Remedy]:
    """The next wider drain that gives the tails room, with the outlets lifted over it."""
    pipe = s.catalogue.wider_pipe(s.layout.parts.drain)
    while pipe is not None:
        crown = pipe.outside_diameter - s.layout.parts.drain.outside_diameter
        lowest = min(place.window.longest for place in s.layout.places)
        for by in (0.0, s.up(max(shortest - lowest, 0.0) + crown)):
            way = _use_drain(s, pipe, by)
            if _all_fit(s, way):
                return [way]
        pipe = s.catalogue.wider_pipe(pipe)
    return []


def _use_drain(s: RunSituation, pipe: PipePart, by: float) -> Remedy:
    height = s.layout.run.outlet.height + by

    def change(design: Design, run_id: str) -> Design:
        design = edits.set_run_part(design, run_id, "drain", pipe=pipe.id)
        return edits.set_run_part(design, run_id, "outlet", height=height)

    drilled = f", and drill the outlets {s.say(by)} higher" if by else ""
    return Remedy(f"Use {pipe.name} for the drain{drilled}", refitted(s, change))


def _all_fit(s: RunSituation, way: Remedy) -> bool:
    """Whether all tails fit after a remedy. Windows change evenly along a run, so the buckets
    nearest to its ends speak for all."""
    ends = (s.layout.from_cap[0].bucket, s.layout.from_cap[-1].bucket)
    run = replace(s.layout.run, buckets=ends[: len(s.layout.places)])
    after = way.apply(Design(title="", units=s.units, runs=(run,)))
    layout = lay_out_run(after.runs[0], s.units, s.catalogue)
    shortest = cut_tail_shortest(layout.parts.elbow, layout.parts.outlet_pipe)
    lengths = [layout.tail_length(place) for place in layout.places]
    return all(
        place.window.holds(length) and length >= shortest
        for place, length in zip(layout.places, lengths, strict=True)
    )


def _less_fall(s: RunSituation) -> list[Remedy]:
    """Lower the capped end until one tail length serves all, if a useful fall is left."""
    layout, run = s.layout, s.layout.run
    stretch = layout.from_cap[0].station - layout.from_cap[-1].station
    room = layout.places[0].window.longest - layout.places[0].window.shortest
    if stretch <= 0:
        return []
    fall = s.down((room - 2 * s.grain) * run.length / stretch)
    if not s.catalogue.limit("fall_total") <= fall < run.drain.fall:
        return []
    edit = refitted(s, edits.set_fall, fall=fall)
    return [Remedy(f"Lower the capped end {s.say(run.drain.fall - fall)}", edit)]
