"""Single things with sensible starting values: a run, a reservoir, an obstacle."""

import tomllib
from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from itertools import pairwise
from math import ceil
from typing import Any

from designer.checks.refit import refit_tails
from designer.layout.run import GRAIN
from designer.layout.volume import reservoir_litres
from designer.model import edits
from designer.model.catalogue import Catalogue, load_catalogue
from designer.model.design import (
    Bucket,
    Design,
    Drain,
    Manifold,
    Obstacle,
    ObstacleKind,
    Outlet,
    Point,
    Reservoir,
    Run,
    Stand,
    Tails,
)
from designer.model.parts import BlockPart, BoardPart, BucketPart, PumpPart, ReservoirPart
from designer.resources import resource_path
from designer.units import UnitSystem

LITRES_PER_BUCKET = 14.0
"""Reservoir water for each bucket, L: twice a large tomato plant's hot day, from memory."""
FLOW_PER_BUCKET = 30.0
"""Pump flow for each bucket, L/h, at the lower end of a hobby article's 30 to 76 L/h."""
MOST_RETURN_FALL = 2000.0
"""What a design can hold, mm; a far reservoir by a steep run would ask for more."""
INSIDE = 120.0
"""The drain lets go this far inside the reservoir's rim, mm."""


@cache
def starts() -> Mapping[str, Mapping[str, Any]]:
    """What things start from, by unit system: parts by id, lengths in mm."""
    return tomllib.loads(resource_path("starts.toml").read_text("utf-8"))


def fresh_run(design: Design, start: Point, heading: float = 0.0) -> Run:
    """A new run of eight pitches without buckets, in the design's units, with an unused id."""
    s = starts()[design.units]
    catalogue = load_catalogue().with_own(design.own_parts)
    (run_id,) = edits.new_ids(design, "r")
    number = run_id.removeprefix("r")
    pitch = float(s["pitch"])
    length = pitch * 8
    board = catalogue.part(s["rail"], BoardPart)
    block = catalogue.part(s["block"], BlockPart)
    bucket = catalogue.part(s["bucket"], BucketPart)
    grain = GRAIN[design.units]
    run = Run(
        id=run_id,
        name=f"Run {number}",
        start=start,
        heading=heading,
        length=length,
        pitch=pitch,
        bucket=s["bucket"],
        crop=s["crop"],
        medium=s["medium"],
        medium_depth=bucket.height * 0.9 // grain * grain,
        outlet=Outlet(
            height=s["outlet_height"],
            saw=s["outlet_saw"],
            grommet=s["grommet"],
            elbow=s["elbow"],
            pipe=s["outlet_pipe"],
            nipple_length=s["nipple_length"],
        ),
        tails=Tails(length=s["tail"]),
        drain=Drain(pipe=s["drain"], saw=s["drain_saw"], cap=s["cap"], fall=s["fall"]),
        manifold=Manifold(
            tube=s["manifold"],
            feed_tube=s["feed_tube"],
            barb=s["barb"],
            plug=s["plug"],
            offset=60.0,
            height=s["outlet_height"] + 25.0,
        ),
        stand=Stand(
            height=round((block.height + board.width) / grain) * grain,
            rail=s["rail"],
            block=s["block"],
            supports=edits.even_supports(length, edits.supports_needed(length)),
        ),
    )
    # a tail that serves the whole run, found with buckets at both ends of it
    ends = (pitch, length - pitch)
    probe = replace(
        run,
        buckets=tuple(Bucket(id=f"probe{at}", station=at, side="left") for at in ends),
    )
    fitted = refit_tails(replace(design, runs=(probe,)), run_id, catalogue).run(run_id)
    return replace(run, tails=fitted.tails)


def fresh_reservoir(design: Design, place: Point) -> Reservoir:
    """A reservoir for the buckets the design has, or for eight, sunk to its rim."""
    count = sum(len(run.buckets) for run in design.runs) or 8
    catalogue = load_catalogue().with_own(design.own_parts)
    return reservoir_for(count, design.units, catalogue, place)


OBSTACLE_NAMES: Mapping[ObstacleKind, str] = {
    "wall": "Wall",
    "post": "Post",
    "door": "Door",
    "path": "Path",
    "keep_free": "Kept-free ground",
}
"""What the first obstacle of each kind is called."""


def fresh_obstacle(design: Design, kind: ObstacleKind, place: Point) -> Obstacle:
    """A new obstacle with an unused id, of a round size in the design's units."""
    (obstacle_id,) = edits.new_ids(design, "o")
    width, depth = starts()[design.units]["obstacles"][kind]
    same = sum(o.kind == kind for o in design.obstacles)
    return Obstacle(
        id=obstacle_id,
        kind=kind,
        name=f"{OBSTACLE_NAMES[kind]} {same + 1}" if same else OBSTACLE_NAMES[kind],
        place=place,
        width=float(width),
        depth=float(depth),
    )


def reservoir_for(count: int, units: UnitSystem, catalogue: Catalogue, at: Point) -> Reservoir:
    """A reservoir that holds enough for `count` buckets, with a pump for them, sunk to its rim."""
    start = starts()[units]
    parts = [catalogue.part(i, ReservoirPart) for i in start["reservoirs"]]
    needed = LITRES_PER_BUCKET * count
    part = next((p for p in parts if reservoir_litres(p) >= needed), parts[-1])
    pumps = [catalogue.part(i, PumpPart) for i in start["pumps"]]
    pump = next((p for p in pumps if p.flow_at_no_head >= FLOW_PER_BUCKET * count), pumps[-1])
    return Reservoir(
        part=part.id,
        pump=pump.id,
        place=at,
        sunk=part.height - GRAIN[units] * 20,
        freeboard=start["freeboard"],
        low_water=start["low_water"],
    )


def lead_to_reservoir(design: Design, run: Run, catalogue: Catalogue) -> Design:
    """Lead a run's drain to the reservoir with the run's own slope, and lift it over the rim."""
    reservoir = design.reservoir
    if reservoir is None:
        return design
    part = catalogue.part(reservoir.part, ReservoirPart)
    inset = part.rim_length / 2 - INSIDE
    if reservoir.place.x + inset > run.start.x:
        inset = -inset  # beside the bed: down past the outlet end, not back under the buckets
    # over the rim at its nearest side; a round one is met at its middle
    across = part.rim_width / 2 - 100.0 if part.shape == "box" else 0.0
    side = max(-across, min(run.start.y - reservoir.place.y, across))
    outfall = Point(reservoir.place.x + inset, reservoir.place.y + side)
    path: tuple[Point, ...] = (outfall,)
    if abs(outfall.y - run.start.y) > 1.0:
        path = (Point(outfall.x, run.start.y), outfall)
    points = [run.start, *path]
    length = sum(abs(a.x - b.x) + abs(a.y - b.y) for a, b in pairwise(points))
    grain = GRAIN[design.units]
    fall = round(run.drain.fall / run.length * length / grain) * grain
    fall = max(-MOST_RETURN_FALL, min(fall, MOST_RETURN_FALL))
    design = edits.set_run(design, run.id, return_path=path, return_fall=fall)
    height = _stand_height(design, design.run(run.id), part, fall, catalogue)
    return edits.set_stand_height(design, run.id, height)


def _stand_height(
    design: Design, run: Run, part: ReservoirPart, return_fall: float, catalogue: Catalogue
) -> float:
    """Rails on whole courses of blocks, high enough for the drain to pass over the rim."""
    assert design.reservoir is not None
    grain = GRAIN[design.units]
    board = catalogue.part(run.stand.rail, BoardPart)
    block = catalogue.part(run.stand.block, BlockPart)
    rail = board.width if run.stand.on_edge else board.thickness
    rim = part.height - design.reservoir.sunk
    courses = max(1, ceil((rim + return_fall - run.drain.packing) / block.height - 1e-9))
    return round((courses * block.height + rail) / grain) * grain
