"""Rules inside and beside the bucket: medium over the outlet, sump, freeboard, clearance."""

from collections.abc import Iterator
from functools import partial

from designer.checks.finding import Case, Finding, Remedy, State
from designer.checks.refit import refitted
from designer.checks.situation import RunSituation, judged
from designer.layout.run import Place
from designer.layout.volume import bucket_litres
from designer.model import edits
from designer.units import format_volume


def _kinds(s: RunSituation) -> dict[str, tuple[Place, tuple[str, ...]]]:
    """One place of each bucket part in use, with the ids of all its buckets."""
    kinds: dict[str, tuple[Place, list[str]]] = {}
    for place in s.layout.places:
        kinds.setdefault(place.part.id, (place, []))[1].append(place.bucket.id)
    return {part: (place, tuple(ids)) for part, (place, ids) in kinds.items()}


def _depth_remedy(s: RunSituation, depth: float) -> list[Remedy]:
    return [
        Remedy(
            f"Fill with medium to {s.say(depth)}",
            partial(edits.set_run, run_id=s.id, medium_depth=depth),
        )
    ]


def medium(s: RunSituation) -> Iterator[Finding]:
    """Outlet hole well under the medium, and freeboard above it."""
    run = s.layout.run
    kinds = _kinds(s)
    if not kinds:
        return
    cover, freeboard = s.catalogue.limit("medium_cover"), s.catalogue.limit("bucket_freeboard")
    top = run.outlet.height + s.layout.parts.outlet_saw.diameter / 2
    lowest = s.up(top + cover)
    under = run.medium_depth - top
    yield judged(
        "outlet-under-medium",
        "Outlet hole under the medium",
        "must_fix",
        s.id,
        [Case((s.id,), f"{s.say(under)} of medium over the hole", f"at least {s.say(cover)}")]
        if under < cover - 1e-6
        else [],
        f"{s.say(under)} of medium over the hole",
        f"at least {s.say(cover)}",
        s.catalogue.limits["medium_cover"].why,
        s.catalogue.source("medium_cover"),
        _depth_remedy(s, lowest) if under < cover - 1e-6 else (),
    )
    least = min(place.part.height for place, _ in kinds.values())
    cases = [
        Case(
            ids,
            f"medium {s.say(place.part.height - run.medium_depth)} below the rim"
            if place.part.height >= run.medium_depth
            else f"medium {s.say(run.medium_depth - place.part.height)} over the rim",
            f"at least {s.say(freeboard)}",
        )
        for place, ids in kinds.values()
        if place.part.height - run.medium_depth < freeboard - 1e-6
    ]
    fits = s.down(least - freeboard)
    yield judged(
        "bucket-freeboard",
        "Room left below the rim",
        "must_fix" if least < run.medium_depth else "look_again",
        s.id,
        cases,
        f"medium {s.say(least - run.medium_depth)} below the rim",
        f"at least {s.say(freeboard)}",
        s.catalogue.limits["bucket_freeboard"].why,
        s.catalogue.source("bucket_freeboard"),
        _depth_remedy(s, fits) if cases and fits >= lowest else (),
    )


def sump(s: RunSituation) -> Iterator[Finding]:
    """The sump under the outlet: enough to bridge a stop, not so much that roots drown."""
    run = s.layout.run
    kinds = _kinds(s)
    if not kinds:
        return
    low, share = s.catalogue.limit("sump_low"), s.catalogue.limit("sump_share")
    water = run.outlet.height - s.layout.parts.outlet_pipe.outside_diameter / 2
    state: State = "look_again"
    place = next(iter(kinds.values()))[0]
    gross = bucket_litres(place.part, max(water, 0.0))
    text = (
        f"sump {s.say(water)} deep, {format_volume(gross, s.layout.units)} before the medium "
        "takes its room"
    )
    cases = []
    if water < low - 1e-6:
        cases.append(Case((s.id,), text, f"at least {s.say(low)} deep"))
    elif water > share * run.medium_depth + 1e-6:
        cases.append(Case((s.id,), text, f"at most {s.say(share * run.medium_depth)} deep"))
    half = s.layout.parts.outlet_pipe.outside_diameter / 2
    target = s.up(low + half) if water < low else s.down(share * run.medium_depth + half)
    possible = target >= s.layout.parts.outlet_saw.diameter / 2 + 5
    yield judged(
        "sump",
        "The sump bridges a stop and leaves air for roots",
        state,
        s.id,
        cases,
        text,
        f"{s.say(low)} to {s.say(share * run.medium_depth)} deep",
        s.catalogue.limits["sump_low" if water < low else "sump_share"].why,
        s.catalogue.source("sump_low"),
        [
            Remedy(
                f"Drill the outlet {s.say(target)} above the base",
                refitted(s, edits.set_run_part, group="outlet", height=target),
            )
        ]
        if cases and possible
        else (),
    )


def beside_drain(s: RunSituation) -> Iterator[Finding]:
    """Buckets stand clear of the drain, and the nipple is long enough for its two sockets."""
    limit = s.catalogue.limit("rim_to_pipe")
    parts, run = s.layout.parts, s.layout.run
    cases: list[Case] = []
    needed = 0.0
    closest = float("inf")
    for place, ids in _kinds(s).values():
        pipe = parts.drain.outside_diameter / 2
        rim = abs(place.offset) - place.part.rim_diameter / 2 - pipe
        wall = place.assembly.wall - parts.elbow.centre_to_socket_bottom - parts.elbow.socket_depth
        gap = min(rim, wall + limit)
        closest = min(closest, rim)
        if gap < limit - 1e-6:
            needed = max(needed, limit - gap)
            cases.append(Case(ids, f"rim {s.say(rim)} from the drain", f"at least {s.say(limit)}"))
    if closest == float("inf"):
        return
    length = s.up(run.outlet.nipple_length + needed)
    yield judged(
        "bucket-beside-drain",
        "Buckets stand clear of the drain",
        "must_fix",
        s.id,
        cases,
        f"rims {s.say(closest)} beside the drain",
        f"at least {s.say(limit)}",
        s.catalogue.limits["rim_to_pipe"].why,
        s.catalogue.source("rim_to_pipe"),
        [
            Remedy(
                f"Cut the nipples {s.say(length)} long",
                partial(edits.set_run_part, run_id=s.id, group="outlet", nipple_length=length),
            )
        ]
        if cases
        else (),
    )
