"""Rules of the drain's fall: total, slope, no sag, and where its holes may be."""

import itertools
from collections.abc import Iterator
from functools import partial

from designer.checks.finding import PRACTICE, Case, Finding, Remedy
from designer.checks.refit import refitted
from designer.checks.situation import RunSituation, judged
from designer.checks.spacing import LONGEST, even_stagger, least_pitches
from designer.layout.levels import shim_schedule
from designer.model import edits
from designer.units import format_slope

MOST_FALL = 300.0
"""No remedy raises the capped end higher than this, mm."""
SMALL_BORE = 63.5
"""Plumbing codes change their least slope above 2 1/2 in of nominal size, mm."""


def total(s: RunSituation) -> Iterator[Finding]:
    """The capped end at least an inch above the outlet end."""
    fall = s.layout.run.drain.fall
    needed = s.catalogue.limit("fall_total")
    short = fall < needed - 1e-6
    state = "must_fix" if fall <= 0 else "look_again"
    target = s.up(needed)
    yield judged(
        "fall-total",
        "The drain falls to its outlet",
        state,  # type: ignore[arg-type]
        s.id,
        [
            Case(
                (s.id,),
                f"capped end {s.say(s.down(fall))} above the outlet end"
                if fall > 0
                else f"capped end {s.say(s.up(-fall))} below the outlet end"
                if fall < 0
                else "the drain lies level",
                s.at_least(needed),
            )
        ]
        if short
        else [],
        f"capped end {s.say(fall)} above the outlet end",
        s.at_least(needed),
        s.catalogue.limits["fall_total"].why,
        s.catalogue.source("fall_total"),
        [
            Remedy(
                f"Raise the capped end {s.say(s.short(needed, fall))}",
                refitted(s, edits.set_fall, fall=target),
            )
        ],
    )


def slope(s: RunSituation) -> Iterator[Finding]:
    """The slope beside the plumbing code's least for the bore: a note, never a fault."""
    name = "fall_slope_small" if s.layout.parts.drain.bore <= SMALL_BORE else "fall_slope_large"
    code = s.catalogue.limit(name)
    actual = s.layout.levels.slope
    units = s.layout.units
    note = "" if actual >= code else "; less than the code for sewage, usual for clear water"
    yield Finding(
        "fall-slope",
        "Slope beside the plumbing code",
        "good",
        (s.id,),
        f"slope {format_slope(actual, units)}{note}",
        f"for comparison {format_slope(code, units)}",
        s.catalogue.limits[name].why,
        s.catalogue.source(name),
    )


def return_path(s: RunSituation) -> Iterator[Finding]:
    """The pipe from the outlet end to the reservoir does not climb."""
    run, length = s.layout.run, s.layout.return_length
    if not length:
        return
    climbs = run.return_fall < 0
    target = s.up(max(run.drain.fall, 0.0) / run.length * length)
    yield judged(
        "return-falls",
        "The return path falls to the reservoir",
        "must_fix",
        s.id,
        [Case((s.id,), f"climbs {s.say(s.up(-run.return_fall))}", "level or falling")]
        if climbs
        else [],
        f"falls {s.say(run.return_fall)} over {s.say(length)}",
        "level or falling",
        "Water does not run uphill: the drain fills and spills out of its holes.",
        PRACTICE,
        [
            Remedy(
                f"Let the return path fall {s.say(target)}",
                partial(edits.set_run, run_id=run.id, return_fall=target),
            )
        ]
        if target <= MOST_FALL
        else (),
    )


def no_sag(s: RunSituation) -> Iterator[Finding]:
    """Constant fall: supports close enough, at both ends, and shims that rise at each one."""
    run, limit = s.layout.run, s.catalogue.limit("support_spacing")
    supports = sorted(run.stand.supports)
    count = edits.supports_needed(run.length, limit)
    remedy = Remedy(
        f"Set {count} supports evenly",
        partial(
            edits.set_run_part,
            run_id=s.id,
            group="stand",
            supports=edits.even_supports(run.length, count),
        ),
    )
    edges = [0.0, *supports, run.length]
    gaps = [(b - a, a) for a, b in itertools.pairwise(edges)]
    cases = [
        Case((s.id,), f"{s.say(gap)} without support from {s.say(start)} on", s.at_most(limit))
        for gap, start in gaps
        if gap > limit + 1
    ]
    if len(supports) < 2:
        word = "one support" if supports else "no support"
        cases = [Case((s.id,), word, "at least two")]
    yield judged(
        "drain-supported",
        "The drain does not sag between supports",
        "must_fix",
        s.id,
        cases,
        f"longest stretch between supports {s.say(max(gap for gap, _ in gaps))}",
        s.at_most(limit),
        s.catalogue.limits["support_spacing"].why,
        s.catalogue.source("support_spacing"),
        [remedy],
    )
    if run.drain.fall <= 0:
        return  # told by `total`
    built = shim_schedule(run, s.layout.levels, s.grain)
    flat = [
        Case(
            (s.id,),
            f"packing {s.say(t1)} at {s.say(a)} and {s.say(t2)} at {s.say(b)}",
            "packing that grows towards the capped end",
        )
        for (a, t1), (b, t2) in itertools.pairwise(built)
        if t2 <= t1
    ]
    yield judged(
        "fall-steady",
        "The fall is steady from support to support",
        "look_again",
        s.id,
        flat,
        "packing grows at every support" if not flat else f"{len(flat)} stretches without fall",
        f"a rise of at least {s.say(s.grain)} from support to support",
        "Water stands where the pipe lies level or dips.",
        PRACTICE,
        _steadier(s, remedy, count) if flat else (),
    )


def _steadier(s: RunSituation, even: Remedy, count: int) -> list[Remedy]:
    """Even supports if the fall then shows at each of them, or more fall between the nearest."""
    run = s.layout.run
    supports = sorted(run.stand.supports)
    remedies = []
    if count > 1 and run.drain.fall / (count - 1) >= s.grain:
        remedies.append(even)
    nearest = min(b - a for a, b in itertools.pairwise(supports))
    if nearest > 0 and supports[0] >= 0:
        # one and a half steps from support to support always round to one step or more
        needed = s.up(1.5 * s.grain * run.length / nearest)
        if run.drain.fall < needed <= MOST_FALL:
            remedies.append(
                Remedy(
                    f"Raise the capped end {s.say(needed - run.drain.fall)}",
                    refitted(s, edits.set_fall, fall=needed),
                )
            )
    return remedies


def ends(s: RunSituation) -> Iterator[Finding]:
    """The first hole's distance from the cap, and every hole on the pipe."""
    layout = s.layout
    if not layout.places:
        return
    run = layout.run
    cap, end = s.catalogue.limit("cap_distance"), s.catalogue.limit("end_distance")
    cases = []
    for place in layout.places:
        from_cap = run.length - place.station
        if from_cap < cap - 1e-6:
            measured = (
                f"hole {s.say(s.down(from_cap))} from the capped end"
                if from_cap >= 0
                else f"hole {s.say(s.up(-from_cap))} beyond the capped end"
            )
            cases.append(Case((place.bucket.id,), measured, s.at_least(cap)))
        elif place.station < end - 1e-6:
            measured = (
                f"hole {s.say(s.down(place.station))} from the outlet end"
                if place.station >= 0
                else f"hole {s.say(s.up(-place.station))} beyond the outlet end"
            )
            cases.append(Case((place.bucket.id,), measured, s.at_least(end)))
    yield judged(
        "holes-on-pipe",
        "Every hole on the pipe and clear of the cap",
        "must_fix",
        s.id,
        cases,
        f"first hole {s.say(run.length - layout.from_cap[0].station)} from the capped end"
        if not cases
        else f"{len(cases)} holes too near an end of the pipe",
        f"{s.at_least(cap)} from the capped end, {s.say(s.up(end))} from the outlet end",
        s.catalogue.limits["cap_distance"].why,
        s.catalogue.source("cap_distance"),
        _back_on_the_pipe(s, cap, end) if cases else (),
    )


def _back_on_the_pipe(s: RunSituation, cap: float, end: float) -> list[Remedy]:
    """Even spacing on the run as it is, or a longer run where only the capped end is too near."""
    layout, run = s.layout, s.layout.run
    remedies = even_stagger(s, max(least_pitches(s)))
    short = s.short(cap, run.length - layout.from_cap[0].station)
    longer = run.length + short
    if short > 0 and layout.from_cap[-1].station >= end - 1e-6 and longer <= LONGEST:
        remedies.append(
            Remedy(
                f"Make the run {s.say(short)} longer at the capped end",
                partial(edits.set_run_length, run_id=run.id, length=longer),
            )
        )
    return remedies
