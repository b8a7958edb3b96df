"""The rule of tail windows: does every tail reach into its hole without touching bottom."""

from collections.abc import Iterator
from functools import partial

from designer.checks.finding import Case, Finding, Remedy
from designer.checks.refit import lift_outlets, refitted
from designer.checks.situation import RunSituation, judged
from designer.layout.outlet import cut_tail_shortest
from designer.layout.tails import TailWindow, rounded_within
from designer.model import edits


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
            measured = f"a tail of {s.say(length)} stops {s.say(window.shortest - length)} too high"
        elif length > window.longest:
            measured = f"a tail of {s.say(length)} hangs {s.say(length - window.longest)} too low"
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
    return f"{s.say(s.up(low))} to {s.say(s.down(window.longest))}"


def _needed(s: RunSituation, common: TailWindow, shortest: float) -> str:
    low = max(common.shortest, shortest)
    if low <= common.longest:
        return f"one length of {s.say(s.up(low))} to {s.say(s.down(common.longest))} serves all"
    if s.layout.run.tails.cut == "graded":
        return "each tail within its own window"
    return "no single length serves all: grade the tails, or make the fall smaller"


def _remedies(s: RunSituation, common: TailWindow, shortest: float) -> list[Remedy]:
    layout, run = s.layout, s.layout.run
    windows = [place.window for place in layout.places]
    remedies = []
    usable = TailWindow(max(common.shortest, shortest), common.longest)
    if usable.open:
        length = rounded_within(usable, s.grain)
        remedies.append(
            Remedy(
                f"Cut all tails to {s.say(length)}",
                partial(edits.set_tails, run_id=run.id, cut="common", length=length),
            )
        )
        return remedies
    if all(w.open and w.longest >= shortest for w in windows) and all(
        rounded_within(w, s.grain) >= shortest for w in windows
    ):
        remedies.append(
            Remedy(
                "Grade the tails: cut each to its own window",
                partial(edits.set_tails, run_id=run.id, cut="graded"),
            )
        )
    too_short = max(shortest + 2 * s.grain - w.longest for w in windows)
    if too_short > 0 and common.open:
        return [*remedies, *lift_outlets(s, s.up(too_short))]
    if not run.stand.follow_fall and windows[0].open:
        remedies += _less_fall(s)
        remedies.append(
            Remedy(
                "Let the rails follow the fall",
                refitted(s, edits.set_run_part, group="stand", follow_fall=True),
            )
        )
    drain = layout.parts.drain
    shift = max(w.shortest for w in windows) - min(w.longest for w in windows)
    pipe = s.catalogue.wider_pipe(drain, bore=drain.bore + max(shift, 0.0))
    if pipe is not None:
        remedies.append(
            Remedy(
                f"Use {pipe.name} for the drain",
                refitted(s, edits.set_run_part, group="drain", pipe=pipe.id),
            )
        )
    return remedies


def _less_fall(s: RunSituation) -> list[Remedy]:
    """Lower the capped end until one tail length serves all, if a useful fall is left."""
    layout, run = s.layout, s.layout.run
    stations = [p.station for p in layout.places]
    stretch = max(stations) - min(stations)
    room = layout.places[0].window.longest - layout.places[0].window.shortest
    if stretch <= 0:
        return []
    fall = s.down((room - 2 * s.grain) * run.length / stretch)
    if not s.catalogue.limit("fall_total") <= fall < run.drain.fall:
        return []
    return [
        Remedy(
            f"Lower the capped end {s.say(run.drain.fall - fall)}",
            refitted(s, edits.set_fall, fall=fall),
        )
    ]
