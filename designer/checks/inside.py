"""Rules inside and beside the bucket: medium over the outlet, sump, freeboard, clearance."""

from collections.abc import Iterator
from functools import partial

from designer.checks.finding import Case, Finding, Remedy, State
from designer.checks.refit import refit_tails, refitted
from designer.checks.situation import RunSituation, judged
from designer.layout.run import Place
from designer.layout.volume import bucket_litres
from designer.model import edits
from designer.model.design import Design
from designer.units import format_volume

BASE_CLEAR = 5.0
"""Bucket wall left between the outlet hole and the base, mm, from memory."""


def _kinds(s: RunSituation) -> dict[str, tuple[Place, tuple[str, ...]]]:
    """One place of each bucket part in use, with the ids of all its buckets."""
    kinds: dict[str, tuple[Place, list[str]]] = {}
    for place in s.layout.places:
        kinds.setdefault(place.part.id, (place, []))[1].append(place.bucket.id)
    return {part: (place, tuple(ids)) for part, (place, ids) in kinds.items()}


def _fill_or_drill(s: RunSituation, depth: float, most: float, covered: float) -> list[Remedy]:
    """Fill to `depth`, if the buckets take it: at most to `most`. Where the outlet is then not
    under the medium, which would have to stand at `covered`, drill it lower as well."""
    run = s.layout.run
    depth = min(depth, most)
    height = s.down(run.outlet.height - max(covered - depth, 0.0))
    if depth <= 0 or height < _lowest_outlet(s):
        return []
    if depth >= covered - 1e-6:
        edit = partial(edits.set_run, run_id=s.id, medium_depth=depth)
        return [Remedy(f"Fill with medium to {s.say(depth)}", edit)]

    def apply(design: Design) -> Design:
        design = edits.set_run(design, s.id, medium_depth=depth)
        design = edits.set_run_part(design, s.id, "outlet", height=height)
        return refit_tails(design, s.id, s.catalogue)

    label = (
        f"Fill with medium to {s.say(depth)} and drill the outlet {s.say(height)} above the base"
    )
    return [Remedy(label, apply)]


def _lowest_outlet(s: RunSituation) -> float:
    """The hole's centre stands no lower than this: the saw must clear the bucket's base, mm."""
    return s.layout.parts.outlet_saw.diameter / 2 + BASE_CLEAR


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
    least = min(place.part.height for place, _ in kinds.values())
    fits = s.down(least - freeboard)
    buried = under >= cover - 1e-6
    yield judged(
        "outlet-under-medium",
        "Outlet hole under the medium",
        "must_fix",
        s.id,
        []
        if buried
        else [
            Case(
                (s.id,),
                f"{s.say(s.down(under))} of medium over the hole"
                if under >= 0
                else f"top of the hole {s.say(s.up(-under))} above the medium",
                s.at_least(cover),
            )
        ],
        f"{s.say(under)} of medium over the hole",
        s.at_least(cover),
        s.catalogue.limits["medium_cover"].why,
        s.catalogue.source("medium_cover"),
        _fill_or_drill(s, lowest, fits, top + cover) if not buried else (),
    )
    cases = [
        Case(
            ids,
            f"medium {s.say(s.down(place.part.height - run.medium_depth))} below the rim"
            if place.part.height >= run.medium_depth
            else f"medium {s.say(s.up(run.medium_depth - place.part.height))} over the rim",
            s.at_least(freeboard),
        )
        for place, ids in kinds.values()
        if place.part.height - run.medium_depth < freeboard - 1e-6
    ]
    yield judged(
        "bucket-freeboard",
        "Room left below the rim",
        "must_fix" if least < run.medium_depth else "look_again",
        s.id,
        cases,
        f"medium {s.say(least - run.medium_depth)} below the rim"
        if not cases
        else "medium too near the rim in buckets of different heights",
        s.at_least(freeboard),
        s.catalogue.limits["bucket_freeboard"].why,
        s.catalogue.source("bucket_freeboard"),
        _fill_or_drill(s, fits, fits, top + cover) if cases else (),
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
    volume = format_volume(gross, s.units)
    text = "no sump: the outlet stands at the base"
    if water > 0:
        text = f"sump {s.say(water)} deep, {volume} before the medium takes its room"
    cases = []
    if water < low - 1e-6:
        cases.append(Case((s.id,), text, f"{s.at_least(low)} deep"))
    elif water > share * run.medium_depth + 1e-6:
        cases.append(Case((s.id,), text, f"{s.at_most(share * run.medium_depth)} deep"))
    half = s.layout.parts.outlet_pipe.outside_diameter / 2
    target = s.up(low + half) if water < low else s.down(share * run.medium_depth + half)
    lowest, highest = max(low + half, _lowest_outlet(s)), share * run.medium_depth + half
    possible = lowest - 1e-6 <= target <= highest + 1e-6
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
    kinds = _kinds(s).values()
    if not kinds:
        return
    cases: list[Case] = []
    needed = 0.0
    closest = float("inf")
    for place, ids in kinds:
        pipe = parts.drain.outside_diameter / 2
        rim = abs(place.offset) - place.part.rim_diameter / 2 - pipe
        # between the two sockets the nipple passes the flange and the wall
        wall = place.assembly.wall - parts.elbow.centre_to_socket_bottom - parts.elbow.socket_depth
        needed = max(needed, limit - rim, -wall)
        closest = min(closest, rim)
        if rim < limit - 1e-6:
            measured = (
                f"rim {s.say(s.down(rim))} from the drain"
                if rim >= 0
                else f"rim {s.say(s.up(-rim))} over the drain"
            )
            cases.append(Case(ids, measured, s.at_least(limit)))
        elif wall < -1e-6:
            measured = f"nipple of {s.say(run.outlet.nipple_length)} does not fill both sockets"
            least = run.outlet.nipple_length - wall
            cases.append(Case(ids, measured, f"{s.at_least(least)} long"))
    length = s.up(run.outlet.nipple_length + needed)
    yield judged(
        "bucket-beside-drain",
        "Buckets stand clear of the drain",
        "must_fix",
        s.id,
        cases,
        f"rims {s.say(closest)} beside the drain"
        if not cases
        else f"nipples of {s.say(run.outlet.nipple_length)} are too short",
        s.at_least(limit),
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
