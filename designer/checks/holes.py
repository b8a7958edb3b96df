"""Rules of hole sizes: saw against grommet and pipe, drain hole against tail and bore."""

from collections.abc import Iterator
from functools import partial

from designer.checks.finding import Case, Finding, Remedy
from designer.checks.refit import refitted
from designer.checks.situation import RunSituation, judged
from designer.model import edits
from designer.model.parts import ElbowPart, GrommetPart, HoleSawPart


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
        if abs(part.pipe_outside_diameter - pipe) > 0.6
    ]
    fit = next(
        (
            part
            for part in s.catalogue.of_kind("grommet")
            if isinstance(part, GrommetPart) and abs(part.pipe_outside_diameter - pipe) <= 0.6
        ),
        None,
    )
    elbow = next(
        (
            part
            for part in s.catalogue.of_kind("elbow")
            if isinstance(part, ElbowPart) and abs(part.pipe_outside_diameter - pipe) <= 0.6
        ),
        None,
    )
    yield judged(
        "outlet-parts-fit",
        "Nipple, grommet and elbows are one size",
        "must_fix",
        s.id,
        cases,
        f"all for {parts.outlet_pipe.name}" if not cases else "parts of different sizes",
        f"made for pipe of {s.fine(pipe)}",
        "A grommet or socket of another size leaks or does not go on.",
        "common practice, no source",
        [
            Remedy(
                f"Use {fit.name.lower()} and {elbow.name}",
                refitted(
                    s,
                    edits.set_run_part,
                    group="outlet",
                    grommet=fit.id,
                    elbow=elbow.id,
                    saw=_nearest_saw(s, fit.hole_diameter).id,
                ),
            )
        ]
        if cases and fit is not None and elbow is not None
        else (),
    )


def drain_hole(s: RunSituation) -> Iterator[Finding]:
    """The drain's holes: room for the tail, not much more, and not too wide for the pipe."""
    parts = s.layout.parts
    tail = parts.outlet_pipe.outside_diameter
    least = tail + s.catalogue.limit("tail_play")
    most = tail + s.catalogue.limit("tail_play_most")
    widest = parts.drain.outside_diameter * s.catalogue.limit("hole_of_pipe")
    hole = parts.drain_saw.diameter
    saws = [
        saw
        for saw in s.catalogue.of_kind("hole_saw")
        if isinstance(saw, HoleSawPart) and least <= saw.diameter <= min(most, widest)
    ]
    middle = (least + min(most, widest)) / 2
    best = min(saws, key=lambda saw: abs(saw.diameter - middle), default=None)
    remedies = []
    if best is not None:
        remedies.append(
            Remedy(
                f"Use the {best.name} for the drain",
                partial(edits.set_run_part, run_id=s.id, group="drain", saw=best.id),
            )
        )
    wider = s.catalogue.wider_pipe(
        parts.drain, outside_diameter=least / s.catalogue.limit("hole_of_pipe")
    )
    if best is None and wider is not None:
        remedies.append(
            Remedy(
                f"Use {wider.name} for the drain",
                refitted(s, edits.set_run_part, group="drain", pipe=wider.id),
            )
        )
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


def _nearest_saw(s: RunSituation, diameter: float) -> HoleSawPart:
    saws = [saw for saw in s.catalogue.of_kind("hole_saw") if isinstance(saw, HoleSawPart)]
    return min(saws, key=lambda saw: abs(saw.diameter - diameter))
