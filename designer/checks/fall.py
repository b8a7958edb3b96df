"""Rules of the drain's fall: total, slope, no sag, and where its holes may be."""

import itertools
from collections.abc import Iterator
from functools import partial

from designer.checks.finding import Case, Finding, Remedy
from designer.checks.refit import refitted
from designer.checks.situation import RunSituation, judged
from designer.layout.levels import shim_schedule
from designer.model import edits
from designer.units import format_slope

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
                f"capped end {s.say(fall)} above the outlet end"
                if fall > 0
                else "the drain lies level or falls the wrong way",
                f"at least {s.say(needed)}",
            )
        ]
        if short
        else [],
        f"capped end {s.say(fall)} above the outlet end",
        f"at least {s.say(needed)}",
        s.catalogue.limits["fall_total"].why,
        s.catalogue.source("fall_total"),
        [
            Remedy(
                f"Raise the capped end {s.say(target - fall)}",
                refitted(s, edits.set_fall, fall=target),
            )
        ],
    )


def slope(s: RunSituation) -> Iterator[Finding]:
    """The slope beside the plumbing code's least for the bore: a note, never a fault."""
    run = s.layout.run
    name = "fall_slope_small" if s.layout.parts.drain.bore <= SMALL_BORE else "fall_slope_large"
    code = s.catalogue.limit(name)
    actual = run.drain.fall / run.length
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
        Case((s.id,), f"{s.say(gap)} without support from {s.say(start)} on", f"{s.say(limit)}")
        for gap, start in gaps
        if gap > limit + 1
    ]
    if len(supports) < 2:
        cases = [Case((s.id,), f"{len(supports)} support", "at least two")]
    yield judged(
        "drain-supported",
        "The drain does not sag between supports",
        "must_fix",
        s.id,
        cases,
        f"longest stretch between supports {s.say(max(gap for gap, _ in gaps))}",
        f"at most {s.say(limit)}",
        s.catalogue.limits["support_spacing"].why,
        s.catalogue.source("support_spacing"),
        [remedy],
    )
    built = shim_schedule(run, s.layout.levels, s.grain)
    flat = [
        Case(
            (s.id,),
            f"packing {s.say(t1)} at {s.say(a)} and {s.say(t2)} at {s.say(b)}",
            "packing that grows towards the capped end",
        )
        for (a, t1), (b, t2) in itertools.pairwise(built)
        if t2 <= t1 and run.drain.fall > 0
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
        "common practice, no source",
        _steeper(s, len(built)),
    )


def _steeper(s: RunSituation, supports: int) -> list[Remedy]:
    needed = s.up(s.grain * 1.5 * max(supports - 1, 1))
    if needed <= s.layout.run.drain.fall:
        return []
    return [
        Remedy(
            f"Raise the capped end {s.say(needed - s.layout.run.drain.fall)}",
            refitted(s, edits.set_fall, fall=needed),
        )
    ]


def ends(s: RunSituation) -> Iterator[Finding]:
    """The first hole's distance from the cap, and every hole on the pipe."""
    layout = s.layout
    if not layout.places:
        return
    run = layout.run
    cap, end = s.catalogue.limit("cap_distance"), s.catalogue.limit("end_distance")
    remedies: list[Remedy] = []
    if edits.fits(run, len(run.buckets), run.pitch):
        remedies.append(
            Remedy(
                f"Stagger the buckets evenly every {s.say(run.pitch)} from the cap",
                partial(edits.restagger, run_id=run.id, pitch=run.pitch),
            )
        )
    near = layout.from_cap[0]
    needed_length = max(run.length - near.station, 0.0)
    if needed_length < cap:
        longer = s.up(run.length + cap - needed_length)
        remedies.append(
            Remedy(
                f"Make the run {s.say(longer - run.length)} longer at the capped end",
                partial(edits.set_run_length, run_id=run.id, length=longer),
            )
        )
    cases = []
    for place in layout.places:
        from_cap = run.length - place.station
        if from_cap < cap - 1e-6:
            measured = (
                f"hole {s.say(from_cap)} from the capped end"
                if from_cap >= 0
                else f"hole {s.say(-from_cap)} beyond the capped end"
            )
            cases.append(Case((place.bucket.id,), measured, f"at least {s.say(cap)}"))
        elif place.station < end - 1e-6:
            measured = (
                f"hole {s.say(place.station)} from the outlet end"
                if place.station >= 0
                else f"hole {s.say(-place.station)} beyond the outlet end"
            )
            cases.append(Case((place.bucket.id,), measured, f"at least {s.say(end)}"))
    yield judged(
        "holes-on-pipe",
        "Every hole on the pipe and clear of the cap",
        "must_fix",
        s.id,
        cases,
        f"first hole {s.say(run.length - near.station)} from the capped end"
        if not cases
        else f"{len(cases)} holes too near an end of the pipe",
        f"{s.say(cap)} from the capped end, {s.say(end)} from the outlet end",
        s.catalogue.limits["cap_distance"].why,
        s.catalogue.source("cap_distance"),
        remedies if cases else (),
    )
