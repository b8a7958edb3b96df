"""Rules of spacing: rims, outlet assemblies, holes in the drain, canopies."""

from collections.abc import Iterator
from functools import partial

import numpy as np
from numpy.typing import NDArray

from designer.checks.finding import Case, Finding, Remedy
from designer.checks.situation import RunSituation, judged
from designer.layout.run import Place
from designer.model import edits
from designer.model.design import Design

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
            f"{s.say(gap)} between rims" if gap > 0 else f"rims overlap by {s.say(-gap)}",
            f"at least {s.say(needed)}",
        )
        for i, j, gap in _below(a, b, gaps, needed)
    ]
    worst = float(gaps.min()) if len(gaps) else needed
    yield judged(
        "rims-clear",
        "Rims clear of each other",
        "must_fix" if worst < 0 else "look_again",
        s.id,
        cases,
        f"closest rims {s.say(worst)} apart"
        if worst >= 0
        else f"{len(cases)} pairs of buckets too close",
        f"at least {s.say(needed)} between rims",
        s.catalogue.limits["rim_gap"].why,
        s.catalogue.source("rim_gap"),
        _wider(s, _same_side_stations(s), needed + 2 * float(radii.max())) if cases else (),
    )


def outlets(s: RunSituation) -> Iterator[Finding]:
    """Outlet elbows and holes of neighbouring stations clear of each other on the drain."""
    layout = s.layout
    if len(layout.places) < 2:
        return
    order = layout.order
    steps = np.diff(layout.stations[order])
    body = layout.parts.elbow.body_diameter
    hole = layout.parts.drain_saw.diameter
    for rule, title, needed, limit in (
        (
            "outlets-clear",
            "Outlet elbows and tails clear of each other",
            body + s.catalogue.limit("elbow_gap"),
            "elbow_gap",
        ),
        (
            "holes-apart",
            "Holes in the drain far enough apart",
            hole * (1 + s.catalogue.limit("hole_web")),
            "hole_web",
        ),
    ):
        cases = [
            Case(
                (layout.places[i].bucket.id, layout.places[j].bucket.id),
                f"stations {s.say(step)} apart",
                f"at least {s.say(s.up(needed))}",
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
            f"at least {s.say(s.up(needed))} between stations",
            s.catalogue.limits[limit].why,
            s.catalogue.source(limit),
            _wider(s, 1, needed) if cases else (),
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
            f"plants {s.say((spread[i] + spread[j]) / 2 + gap)} apart",
            f"{s.say((spread[i] + spread[j]) / 2)} for {_both(layout.places[i], layout.places[j])}",
        )
        for i, j, gap in _below(a, b, short, -0.5)
    ]
    across = 2 * abs(layout.places[0].offset)
    widest = max((place.crop for place in layout.places), key=lambda crop: crop.canopy_spread)
    wanted = widest.canopy_spread
    stagger = (max(wanted**2 - across**2, 0.0)) ** 0.5
    yield judged(
        "canopy-room",
        "Room for the crop's canopy",
        "look_again",
        s.id,
        cases,
        f"closest plants {s.say(float(distance.min()))} apart"
        if len(distance)
        else f"plants at least {s.say(wanted)} apart",
        f"{s.say(wanted)} between plants of {widest.name.lower()}",
        "Canopies that grow into each other shade and mildew.",
        str(s.catalogue.evidence_of(widest.id, "canopy_spread")),
        _wider(s, 1, max(stagger, wanted / 2)) if cases else (),
    )


def _both(a: Place, b: Place) -> str:
    names = dict.fromkeys(place.crop.name.lower() for place in (a, b))
    return " beside ".join(names)


def _below(
    a: NDArray[np.intp], b: NDArray[np.intp], values: NDArray[np.float64], needed: float
) -> list[tuple[int, int, float]]:
    (bad,) = np.nonzero(values < needed - 1e-6)
    return [(int(a[k]), int(b[k]), float(values[k])) for k in bad]


def _same_side_stations(s: RunSituation) -> int:
    """How many stations on the next bucket of the same side usually stands."""
    sides = [place.bucket.side for place in s.layout.from_cap]
    return 2 if len(set(sides[:2])) == 2 else 1


def _wider(s: RunSituation, stations: int, distance: float) -> tuple[Remedy, ...]:
    """Stagger all buckets anew at a pitch at which `stations` pitches make `distance`."""
    run = s.layout.run
    pitch = s.up(max(distance / stations, run.pitch))
    remedies = []
    if edits.fits(run, len(run.buckets), run.pitch) and _staggers_at(s, run.pitch, distance):
        remedies.append(
            Remedy(
                f"Stagger the buckets evenly every {s.say(run.pitch)}",
                partial(edits.restagger, run_id=run.id, pitch=run.pitch),
            )
        )
    if pitch > run.pitch and edits.fits(run, len(run.buckets), pitch):
        remedies.append(
            Remedy(
                f"Stagger the buckets every {s.say(pitch)}",
                partial(edits.restagger, run_id=run.id, pitch=pitch),
            )
        )
    elif pitch > run.pitch:
        length = pitch * (len(run.buckets) + 1)
        if length <= 30_000:
            remedies.append(
                Remedy(
                    f"Stagger the buckets every {s.say(pitch)} on a run of {s.say(length)}",
                    partial(_longer, run_id=run.id, pitch=pitch, length=length),
                )
            )
    return tuple(remedies)


def _staggers_at(s: RunSituation, pitch: float, distance: float) -> bool:
    """Whether an even stagger at this pitch keeps the distance, on either side and across."""
    across = 2 * abs(s.layout.places[0].offset)
    return min(2 * pitch, float(np.hypot(pitch, across))) >= distance


def _longer(design: Design, run_id: str, pitch: float, length: float) -> Design:
    return edits.restagger(edits.set_run_length(design, run_id, length), run_id, pitch)
