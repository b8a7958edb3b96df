"""Rules of hole sizes: saw against grommet and pipe, drain hole against tail and bore."""

from collections.abc import Iterator
from functools import partial

from designer.checks.finding import PRACTICE, Case, Finding, Remedy
from designer.checks.refit import refitted
from designer.checks.situation import RunSituation, judged
from designer.model import edits
from designer.model.parts import ElbowPart, GrommetPart, HoleSawPart, Part, PipePart

PIPE_FIT = 0.6
"""Parts for pipe whose diameter differs by no more than this go together, mm; from memory."""


def outlet_hole(s: RunSituation) -> Iterator[Finding]:
    """The hole saw cuts the hole that the grommet was made for."""
    parts, limit = s.layout.parts, s.catalogue.limit("saw_fit")
    off = parts.outlet_saw.diameter - parts.grommet.hole_diameter
    better = _nearest_saw(s, parts.grommet.hole_diameter)
    bad = abs(off) > limit
    yield judged(
        "saw-fits-grommet",
        "Hole saw fits the grommet",
        "must_fix",
        s.id,
        [
            Case(
                (s.id,),
                f"{parts.outlet_saw.name} for a {s.fine(parts.grommet.hole_diameter)} hole",
                f"within {s.fine(limit)} of {s.fine(parts.grommet.hole_diameter)}",
            )
        ]
        if bad
        else [],
        f"{parts.outlet_saw.name} ({s.fine(parts.outlet_saw.diameter)})",
        f"{s.fine(parts.grommet.hole_diameter)} for {parts.grommet.name.lower()}",
        s.catalogue.limits["saw_fit"].why,
        str(s.catalogue.evidence_of(parts.grommet.id, "hole_diameter")),
        [
            Remedy(
                f"Use the {better.name} for the outlets",
                partial(edits.set_run_part, run_id=s.id, group="outlet", saw=better.id),
            )
        ]
        if bad and abs(better.diameter - parts.grommet.hole_diameter) <= limit
        else (),
    )


def grommet_pipe(s: RunSituation) -> Iterator[Finding]:
    """Grommet and elbow made for the nipple's pipe."""
    parts = s.layout.parts
    pipe = parts.outlet_pipe.outside_diameter
    cases = [
        Case((s.id,), f"{part.name} on {parts.outlet_pipe.name}", f"made for {s.fine(pipe)}")
        for part in (parts.grommet, parts.elbow)
        if not _made_for(part, parts.outlet_pipe)
    ]
    yield judged(
        "outlet-parts-fit",
        "Nipple, grommet and elbows are one size",
        "must_fix",
        s.id,
        cases,
        f"all for {parts.outlet_pipe.name}" if not cases else "parts of different sizes",
        f"made for pipe of {s.fine(pipe)}",
        "A grommet or socket of another size leaks or does not go on.",
        PRACTICE,
        _one_size(s) if cases else (),
    )


def _one_size(s: RunSituation) -> list[Remedy]:
    """Parts of one size: for the nipple's own pipe, or for the nearest pipe that has them all."""
    own = s.layout.parts.outlet_pipe
    pipes = [p for p in s.catalogue.of_kind("pipe") if isinstance(p, PipePart)]
    for pipe in sorted(pipes, key=lambda p: (p is not own, _apart(p, own))):
        grommet = next((g for g in s.catalogue.of_kind("grommet") if _made_for(g, pipe)), None)
        elbow = next((e for e in s.catalogue.of_kind("elbow") if _made_for(e, pipe)), None)
        if not isinstance(grommet, GrommetPart) or elbow is None:
            continue
        parts = {
            "pipe": pipe.id,
            "grommet": grommet.id,
            "elbow": elbow.id,
            "saw": _nearest_saw(s, grommet.hole_diameter).id,
        }
        names = f"{grommet.name[:1].lower()}{grommet.name[1:]} and {elbow.name}"
        lead = "" if pipe is own else f"{pipe.name}, "
        edit = refitted(s, edits.set_run_part, group="outlet", **parts)
        return [Remedy(f"Use {lead}{names}", edit)]
    return []


def _apart(a: PipePart, b: PipePart) -> float:
    return abs(a.outside_diameter - b.outside_diameter)


def _made_for(part: Part, pipe: PipePart) -> bool:
    if not isinstance(part, GrommetPart | ElbowPart):
        return False
    return abs(part.pipe_outside_diameter - pipe.outside_diameter) <= PIPE_FIT


def drain_hole(s: RunSituation) -> Iterator[Finding]:
    """The drain's holes: room for the tail, not much more, and not too wide for the pipe."""
    parts = s.layout.parts
    tail = parts.outlet_pipe.outside_diameter
    least = tail + s.catalogue.limit("tail_play")
    most = tail + s.catalogue.limit("tail_play_most")
    widest = parts.drain.outside_diameter * s.catalogue.limit("hole_of_pipe")
    hole = parts.drain_saw.diameter
    remedies = _drain_remedies(s, least, most)
    fit = [
        Case((s.id,), f"hole {s.fine(hole)} for a tail of {s.fine(tail)}", text)
        for bad, text in (
            (hole < least, f"at least {s.fine(least)}"),
            (hole > most, f"at most {s.fine(most)}"),
        )
        if bad
    ]
    yield judged(
        "tail-fits-hole",
        "Tails drop into their holes",
        "must_fix" if hole < least else "look_again",
        s.id,
        fit,
        f"hole {s.fine(hole)} for a tail of {s.fine(tail)}",
        f"{s.fine(least)} to {s.fine(most)}",
        s.catalogue.limits["tail_play" if hole < least else "tail_play_most"].why,
        s.catalogue.source("tail_play"),
        remedies if fit else (),
    )
    weak = hole > widest + 1e-6
    yield judged(
        "hole-of-pipe",
        "The drain is wide enough for its holes",
        "must_fix",
        s.id,
        [Case((s.id,), f"hole {s.fine(hole)} in {parts.drain.name}", f"at most {s.fine(widest)}")]
        if weak
        else [],
        f"hole {s.fine(hole)} in {parts.drain.name}",
        f"at most {s.fine(widest)}",
        s.catalogue.limits["hole_of_pipe"].why,
        s.catalogue.source("hole_of_pipe"),
        remedies if weak else (),
    )


def _drain_remedies(s: RunSituation, least: float, most: float) -> list[Remedy]:
    """A saw between the two diameters that this drain is wide enough for, or a wider drain."""
    drain, share = s.layout.parts.drain, s.catalogue.limit("hole_of_pipe")
    if saw := _saw_between(s, least, min(most, drain.outside_diameter * share)):
        only = partial(edits.set_run_part, run_id=s.id, group="drain", saw=saw.id)
        return [Remedy(f"Use the {saw.name} for the drain", only)]
    wider = s.catalogue.wider_pipe(drain, outside_diameter=least / share)
    while wider is not None:
        if saw := _saw_between(s, least, min(most, wider.outside_diameter * share)):
            values = {"pipe": wider.id, "saw": saw.id}
            edit = refitted(s, edits.set_run_part, group="drain", **values)
            return [Remedy(f"Use {wider.name} for the drain, and the {saw.name}", edit)]
        wider = s.catalogue.wider_pipe(wider)
    return []


def _saw_between(s: RunSituation, least: float, most: float) -> HoleSawPart | None:
    saws = [
        saw
        for saw in s.catalogue.of_kind("hole_saw")
        if isinstance(saw, HoleSawPart) and least <= saw.diameter <= most
    ]
    middle = (least + most) / 2
    return min(saws, key=lambda saw: abs(saw.diameter - middle), default=None)


def _nearest_saw(s: RunSituation, diameter: float) -> HoleSawPart:
    saws = [saw for saw in s.catalogue.of_kind("hole_saw") if isinstance(saw, HoleSawPart)]
    return min(saws, key=lambda saw: abs(saw.diameter - diameter))
