"""Rules of spacing: rims, outlet assemblies, holes in the drain, canopies."""

from collections.abc import Iterator
from functools import partial
from math import sqrt

import numpy as np
from numpy.typing import NDArray

from designer.checks.finding import Case, Finding, Remedy
from designer.checks.situation import RunSituation, judged
from designer.layout.run import Place
from designer.model import edits
from designer.model.design import Design

LONGEST = 30_000.0
"""No remedy makes a run longer than this, mm."""

Pairs = tuple[NDArray[np.intp], NDArray[np.intp], NDArray[np.float64]]


def near_pairs(s: RunSituation, reach: float) -> Pairs:
    """Index pairs of buckets whose stations lie within `reach`, and their distance between
    centres, mm. Works outward along the sorted stations, so the cost grows with the neighbours."""
    layout = s.layout
    order = layout.order
    stations = layout.stations[order]
    first: list[NDArray[np.intp]] = []
    second: list[NDArray[np.intp]] = []
    for step in range(1, len(order)):
        (close,) = np.nonzero(stations[step:] - stations[:-step] < reach)
        if not len(close):
            break
        first.append(order[close])
        second.append(order[close + step])
    if not first:
        none = np.empty(0, dtype=np.intp)
        return none, none, np.empty(0)
    a, b = np.concatenate(first), np.concatenate(second)
    gap = layout.centres[a] - layout.centres[b]
    return a, b, np.hypot(gap[:, 0], gap[:, 1])


def rims(s: RunSituation) -> Iterator[Finding]:
    """Rims of one run clear of each other."""
    layout = s.layout
    if len(layout.places) < 2:
        return
    needed = s.catalogue.limit("rim_gap")
    radii = layout.rim_radii
    a, b, distance = near_pairs(s, 2 * float(radii.max()) + needed)
    gaps = distance - radii[a] - radii[b]
    cases = [
        Case(
            (layout.places[i].bucket.id, layout.places[j].bucket.id),
            f"{s.say(s.down(gap))} between rims"
            if gap >= 0
            else f"rims overlap by {s.say(s.up(-gap))}",
            s.at_least(needed),
        )
        for i, j, gap in _below(a, b, gaps, needed)
    ]
    worst = float(gaps.min(initial=needed))
    if cases:
        measured = f"{len(cases)} pairs of buckets too close"
    elif len(gaps):
        measured = f"closest rims {s.say(float(gaps.min()))} apart"
    else:
        measured = "no rims near each other"
    yield judged(
        "rims-clear",
        "Rims clear of each other",
        "must_fix" if worst < 0 else "look_again",
        s.id,
        cases,
        measured,
        f"{s.at_least(needed)} between rims",
        s.catalogue.limits["rim_gap"].why,
        s.catalogue.source("rim_gap"),
        even_stagger(s, max(least_pitches(s))) if cases else (),
    )


def outlets(s: RunSituation) -> Iterator[Finding]:
    """Outlet elbows and holes of neighbouring stations clear of each other on the drain."""
    layout = s.layout
    if len(layout.places) < 2:
        return
    order = layout.order
    steps = np.diff(layout.stations[order])
    elbows, holes = _least_steps(s)
    for rule, title, needed, limit in (
        (
            "outlets-clear",
            "Outlet elbows and tails clear of each other",
            elbows,
            "elbow_gap",
        ),
        (
            "holes-apart",
            "Holes in the drain far enough apart",
            holes,
            "hole_web",
        ),
    ):
        cases = [
            Case(
                (layout.places[i].bucket.id, layout.places[j].bucket.id),
                f"stations {s.say(s.down(step))} apart",
                s.at_least(needed),
            )
            for i, j, step in _below(order[:-1], order[1:], steps, needed)
        ]
        closest = float(steps.min())
        yield judged(
            rule,
            title,
            "must_fix",
            s.id,
            cases,
            f"closest stations {s.say(closest)} apart",
            f"{s.at_least(needed)} between stations",
            s.catalogue.limits[limit].why,
            s.catalogue.source(limit),
            even_stagger(s, max(least_pitches(s))) if cases else (),
        )


def canopies(s: RunSituation) -> Iterator[Finding]:
    """Room between plants for the crop's canopy as trained."""
    layout = s.layout
    if len(layout.places) < 2:
        return
    spread = np.array([place.crop.canopy_spread for place in layout.places])
    a, b, distance = near_pairs(s, float(spread.max()))
    short = distance - (spread[a] + spread[b]) / 2
    cases = [
        Case(
            (layout.places[i].bucket.id, layout.places[j].bucket.id),
            f"plants {s.say(s.down((spread[i] + spread[j]) / 2 + gap))} apart",
            f"{s.say(s.up((spread[i] + spread[j]) / 2))} for "
            f"{_both(layout.places[i], layout.places[j])}",
        )
        for i, j, gap in _below(a, b, short, -0.5)
    ]
    widest = max((place.crop for place in layout.places), key=lambda crop: crop.canopy_spread)
    wanted = widest.canopy_spread
    yield judged(
        "canopy-room",
        "Room for the crop's canopy",
        "look_again",
        s.id,
        cases,
        f"closest plants {s.say(float(distance.min()))} apart"
        if len(distance)
        else "no plants near each other",
        f"{s.say(s.up(wanted))} between plants of {widest.name.lower()}",
        "Canopies that grow into each other shade and mildew.",
        str(s.catalogue.evidence_of(widest.id, "canopy_spread")),
        even_stagger(s, max(_least_pitch(s, wanted), *least_pitches(s))) if cases else (),
    )


def _both(a: Place, b: Place) -> str:
    names = dict.fromkeys(place.crop.name.lower() for place in (a, b))
    return " beside ".join(names)


def _below(
    a: NDArray[np.intp], b: NDArray[np.intp], values: NDArray[np.float64], needed: float
) -> list[tuple[int, int, float]]:
    (bad,) = np.nonzero(values < needed - 1e-6)
    return [(int(a[k]), int(b[k]), float(values[k])) for k in bad]


def _least_pitch(s: RunSituation, distance: float) -> float:
    """The least pitch at which an even stagger keeps all centres `distance` apart, mm: the next
    bucket stands across the drain, the one after that on the same side."""
    across = 2 * min(abs(place.offset) for place in s.layout.places)
    return max(distance / 2, sqrt(max(distance**2 - across**2, 0.0)))


def _least_steps(s: RunSituation) -> tuple[float, float]:
    """From station to station at least, mm: room for the elbows, and for the drain's holes."""
    parts = s.layout.parts
    return (
        parts.elbow.body_diameter + s.catalogue.limit("elbow_gap"),
        parts.drain_saw.diameter * (1 + s.catalogue.limit("hole_web")),
    )


def least_pitches(s: RunSituation) -> tuple[float, ...]:
    """The least pitches at which rims, elbows and holes are clear of each other, mm."""
    rims = 2 * float(s.layout.rim_radii.max()) + s.catalogue.limit("rim_gap")
    return _least_pitch(s, rims), *_least_steps(s)


def even_stagger(s: RunSituation, least: float) -> list[Remedy]:
    """Stagger all buckets evenly at a pitch of at least `least`: at the run's own pitch if it will
    do, else at the next one that can be made; on a longer run if they would not fit on this one."""
    run, count = s.layout.run, len(s.layout.places)
    least = s.up(max(least, s.catalogue.limit("cap_distance")))
    widest = s.down((run.length - s.catalogue.limit("end_distance")) / count)
    pitch = max(run.pitch, least)
    if pitch > widest >= least:
        pitch = widest
    if pitch <= widest:
        return [
            Remedy(
                f"Stagger the buckets evenly every {s.say(pitch)}",
                partial(edits.restagger, run_id=run.id, pitch=pitch),
            )
        ]
    length = pitch * (count + 1)
    if length > LONGEST:
        return []
    return [
        Remedy(
            f"Stagger the buckets evenly every {s.say(pitch)} on a run of {s.say(length)}",
            partial(_longer, run_id=run.id, pitch=pitch, length=length),
        )
    ]


def _longer(design: Design, run_id: str, pitch: float, length: float) -> Design:
    return edits.restagger(edits.set_run_length(design, run_id, length), run_id, pitch)
