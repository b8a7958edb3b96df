"""Rules of height: drain over reservoir, bucket outlets over drain."""

from collections.abc import Iterator
from functools import partial

import shapely
from shapely.geometry import LineString, Point

from designer.checks.finding import PRACTICE, Case, Finding, Remedy
from designer.checks.refit import lift_outlets
from designer.checks.situation import RunSituation, judged
from designer.layout.site import ReservoirLayout
from designer.model import edits


def outfall_level(s: RunSituation) -> Iterator[Finding]:
    """The drain's outfall above the reservoir's full level."""
    if s.reservoir is None:
        return
    needed = s.catalogue.limit("outfall_drop")
    drop = s.layout.outfall_invert - s.reservoir.full_level
    short = s.short(needed, drop) if drop < needed - 1e-6 else 0.0
    yield judged(
        "outfall-above-water",
        "The drain lets go above the full reservoir",
        "must_fix",
        s.id,
        [
            Case(
                (s.id, "reservoir"),
                f"outfall {s.say(s.down(drop))} above the full level"
                if drop >= 0
                else f"outfall {s.say(s.up(-drop))} under water when the reservoir is full",
                s.at_least(needed),
            )
        ]
        if short
        else [],
        f"outfall {s.say(drop)} above the full level",
        s.at_least(needed),
        s.catalogue.limits["outfall_drop"].why,
        s.catalogue.source("outfall_drop"),
        _lift(s, s.reservoir, short) if short else (),
    )


def over_the_rim(s: RunSituation) -> Iterator[Finding]:
    """Where the return path crosses the reservoir's wall it must pass above the rim."""
    if s.reservoir is None:
        return
    rim = s.reservoir.rim
    path = s.layout.return_points
    inside = rim.contains(Point(s.layout.outfall))
    if not inside:
        return  # told by `outfall_inside`
    crossing = 0.0
    if len(path) > 1:
        # where the path meets the rim for the last time the drain lies lowest over it
        line = LineString(path)
        cut = shapely.get_coordinates(shapely.intersection(line, rim.exterior))
        crossing = max((line.project(Point(p)) for p in cut), default=0.0)
    length = s.layout.return_length
    dropped = s.layout.run.return_fall * crossing / length if length else 0.0
    underside = s.layout.levels.underside(0.0) - dropped
    gap = underside - s.reservoir.rim_level
    short = s.up(-gap) if gap < -1e-6 else 0.0
    yield judged(
        "drain-over-rim",
        "The drain passes over the reservoir's rim",
        "must_fix",
        s.id,
        [
            Case(
                (s.id, "reservoir"),
                f"underside of the drain {s.say(s.up(-gap))} below the rim",
                "at or above the rim",
            )
        ]
        if short
        else [],
        f"underside of the drain {s.say(gap)} above the rim",
        "at or above the rim over the whole return path",
        "A drain below the rim needs a hole in the reservoir's wall, and that hole leaks.",
        PRACTICE,
        _lift(s, s.reservoir, short) if short else (),
    )


def outfall_inside(s: RunSituation) -> Iterator[Finding]:
    """The outfall inside the reservoir's rim in plan, with room to spare."""
    if s.reservoir is None:
        return
    needed = s.catalogue.limit("rim_inside") + s.layout.parts.drain.outside_diameter / 2
    rim, outfall = s.reservoir.rim, Point(s.layout.outfall)
    inside = rim.contains(outfall)
    room = rim.exterior.distance(outfall) * (1 if inside else -1)
    short = room < needed - 1e-6
    yield judged(
        "outfall-inside-rim",
        "The water falls inside the reservoir",
        "must_fix",
        s.id,
        [
            Case(
                (s.id, "reservoir"),
                f"outfall {s.say(s.up(-room))} outside the rim"
                if room < 0
                else f"outfall {s.say(s.down(room))} inside the rim",
                f"{s.at_least(needed)} inside",
            )
        ]
        if short
        else [],
        f"outfall {s.say(room)} inside the rim",
        f"{s.at_least(needed)} inside",
        s.catalogue.limits["rim_inside"].why,
        s.catalogue.source("rim_inside"),
        [
            Remedy(
                "Lead the return to the middle of the reservoir",
                partial(edits.lead_return_to_reservoir, run_id=s.id),
            )
        ]
        if short and s.reservoir.narrowest / 2 >= needed
        else (),
    )


def outlets_above_drain(s: RunSituation) -> Iterator[Finding]:
    """Every bucket's outlet above the drain's crown, so that water runs out on its own."""
    layout = s.layout
    if not layout.places:
        return
    spare = layout.parts.elbow.body_diameter / 2
    gaps = [p.outlet - layout.levels.crown(p.station) - spare for p in layout.places]
    cases = [
        Case((p.bucket.id,), f"elbow {s.say(s.up(-gap))} too low over the crown", "above the crown")
        for p, gap in zip(layout.places, gaps, strict=True)
        if gap < -1e-6
    ]
    raise_by = s.up(-min(gaps)) if cases else 0.0
    yield judged(
        "outlets-above-drain",
        "Bucket outlets above the drain",
        "must_fix",
        s.id,
        cases,
        f"lowest outlet elbow {s.say(min(gaps))} above the crown"
        if not cases
        else f"{len(cases)} outlets too low",
        "every outlet elbow above the drain's crown",
        "Water leaves a bucket by its own weight only.",
        PRACTICE,
        lift_outlets(s, raise_by) if cases else (),
    )


def drain_on_blocks(s: RunSituation) -> Iterator[Finding]:
    """The stand high enough that its rails and drain lie above the ground."""
    top = s.layout.levels.block_top
    yield judged(
        "stand-on-ground",
        "The stand has room for its blocks",
        "must_fix",
        s.id,
        [Case((s.id,), f"rails end {s.say(-top)} under the ground", "above the ground")]
        if top < 0
        else [],
        f"top of the blocks {s.say(top)} above the ground",
        "above the ground",
        "Rails and drain lie on blocks that stand on the ground.",
        PRACTICE,
        [
            Remedy(
                f"Raise the stand {s.say(s.up(-top))}",
                partial(
                    edits.set_stand_height,
                    run_id=s.id,
                    height=s.layout.run.stand.height + s.up(-top),
                ),
            )
        ]
        if top < 0
        else (),
    )


def _lift(s: RunSituation, reservoir: ReservoirLayout, by: float) -> list[Remedy]:
    deeper = reservoir.reservoir.sunk + by
    height = s.layout.run.stand.height + by
    remedies = []
    if deeper <= reservoir.part.height:
        remedies.append(
            Remedy(
                f"Sink the reservoir {s.say(by)} deeper",
                partial(edits.set_reservoir, sunk=deeper),
            )
        )
    remedies.append(
        Remedy(
            f"Raise the stand {s.say(by)}",
            partial(edits.set_stand_height, run_id=s.id, height=height),
        )
    )
    return remedies
