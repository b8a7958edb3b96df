"""A first bed from a few answers, and single things with sensible starting values."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from itertools import pairwise
from math import ceil
from typing import Any, Literal

from designer.analysis import analyse_fully
from designer.checks.refit import refit_tails
from designer.layout.outlet import outlet_assembly
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
    Paper,
    Point,
    Reservoir,
    Run,
    Stand,
    Tails,
)
from designer.model.parts import (
    BlockPart,
    BoardPart,
    BucketPart,
    ElbowPart,
    GrommetPart,
    HoleSawPart,
    PumpPart,
    ReservoirPart,
)
from designer.resources import resource_path
from designer.units import UnitSystem, format_length, style_for

LITRES_PER_BUCKET = 14.0
"""Reservoir water for each bucket, L: twice a large tomato plant's hot day, from memory."""
FLOW_PER_BUCKET = 30.0
"""Pump flow for each bucket, L/h, at the lower end of a hobby article's 30 to 76 L/h."""
MOST_RETURN_FALL = 2000.0
"""What a design can hold, mm; a far reservoir by a steep run would ask for more."""
MOST_ROUNDS = 12
MOST_ON_A_RUN = 30
LONGEST_RUN = 15_000.0
"""A longer bed becomes several runs: beyond this, mm, the fall is too slight to pack evenly."""


class SketchError(ValueError):
    """Answers that no bed fits, in one sentence with the remedy."""


@dataclass(frozen=True, kw_only=True)
class Answers:
    """What the start page asks. Either `buckets` or `space_length` (mm) is given.

    `bucket` is a catalogue id or a bucket that the person measured; `pitch` in mm, None for the
    least that suits crop and bucket; `reservoir` stands beyond the outlet end or beside it.
    """

    title: str = "My bucket bed"
    buckets: int | None = None
    space_length: float | None = None
    pitch: float | None = None
    crop: str = "tomato"
    bucket: str | BucketPart | None = None
    units: UnitSystem = "metric"
    paper: Paper | None = None
    reservoir: Literal["end", "beside"] = "end"


@cache
def _starts() -> Mapping[str, Mapping[str, Any]]:
    return tomllib.loads(resource_path("starts.toml").read_text("utf-8"))


def sketch(answers: Answers) -> Design:
    """A design in which every check reads Good, ready to drag.

    Raises SketchError when the answers leave no room for a bucket.
    """
    own = (answers.bucket,) if isinstance(answers.bucket, BucketPart) else ()
    paper: Paper = answers.paper or ("a4" if answers.units == "metric" else "letter")
    design = Design(title=answers.title, units=answers.units, paper=paper, own_parts=own)
    catalogue = load_catalogue().with_own(own)
    bucket_id = own[0].id if own else (answers.bucket or _starts()[answers.units]["bucket"])
    bucket = catalogue.part(str(bucket_id), BucketPart)
    pitch = answers.pitch
    if pitch is None:
        pitch = best_pitch(bucket, answers.crop, answers.units, catalogue)
    count = _count(answers, pitch)
    most = max(1, min(MOST_ON_A_RUN, int(LONGEST_RUN / pitch) - 1))
    runs = ceil(count / most)
    shares = [count // runs + (1 if i < count % runs else 0) for i in range(runs)]
    reservoir = _reservoir_for(count, answers.units, catalogue, Point(0.0, 0.0))
    part = catalogue.part(reservoir.part, ReservoirPart)
    spacing = _run_spacing(bucket, answers.units, catalogue)
    for i, share in enumerate(shares):
        across = spacing * (i - (runs - 1) / 2)
        run = fresh_run(design, Point(0.0, across), 0.0)
        length = max(pitch * (share + 1), 2 * catalogue.limit("cap_distance"))
        run = replace(run, name=f"Run {i + 1}", bucket=bucket.id, crop=answers.crop, pitch=pitch)
        run = _filled(run, bucket, answers.units, catalogue)
        design = edits.add_run(design, run)
        design = edits.set_run_length(design, run.id, length)
        design = edits.repeat_stagger(design, run.id, share)
    design = replace(design, reservoir=_placed(design, reservoir, part, answers))
    for run in design.runs:
        design = lead_to_reservoir(design, run, catalogue)
        design = refit_tails(design, run.id, catalogue)
    return _mended(design)


def _mended(design: Design) -> Design:
    """Apply the first remedy to each thing that is not Good, over and over until all are: the
    pump, the tubes and the levels that suit this bed."""
    for _ in range(MOST_ROUNDS):
        mended: set[str] = set()
        for found in analyse_fully(design).findings:
            if found.state != "good" and found.remedies and mended.isdisjoint(found.subjects):
                mended.update(found.subjects)
                design = found.remedies[0].apply(design)
        if not mended:
            break
    return design


def best_pitch(bucket: BucketPart, crop_id: str, units: UnitSystem, catalogue: Catalogue) -> float:
    """The least pitch at which staggered rims and canopies stay clear, mm, in whole steps."""
    start = _starts()[units]
    step = 50.0 if units == "metric" else 50.8
    spread = catalogue.crops[crop_id].canopy_spread
    across = 2 * _axis_distance(bucket, units, catalogue)
    rims = bucket.rim_diameter + catalogue.limit("rim_gap")
    pitch = float(start["pitch"])
    # the next bucket stands across the drain, the one after that on the same side
    needed = max(
        max(rims, spread) / 2,
        max(spread**2 - across**2, 0.0) ** 0.5,
        max(rims**2 - across**2, 0.0) ** 0.5,
    )
    return float(max(pitch, ceil(needed / step - 1e-9) * step))


def _count(answers: Answers, pitch: float) -> int:
    if not 0 < pitch <= LONGEST_RUN:
        longest = format_length(LONGEST_RUN, style_for(answers.units))
        raise SketchError(f"Say a pitch above zero and up to {longest}.")
    if answers.buckets is not None:
        if not 1 <= answers.buckets <= 1000:
            raise SketchError("Say a number of buckets from 1 to 1000.")
        return answers.buckets
    if answers.space_length is None:
        raise SketchError("Say how many buckets, or how long the space is.")
    count = int(answers.space_length / pitch - 1 + 1e-9)
    if count < 1:
        space, step, needed = (
            format_length(mm, style_for(answers.units))
            for mm in (answers.space_length, pitch, 2 * pitch)
        )
        raise SketchError(
            f"A space of {space} is too short for one bucket at a pitch of {step}; it needs at "
            f"least {needed}."
        )
    return min(count, 1000)


def _axis_distance(bucket: BucketPart, units: UnitSystem, catalogue: Catalogue) -> float:
    start = _starts()[units]
    return outlet_assembly(
        bucket,
        start["outlet_height"],
        start["nipple_length"],
        catalogue.part(start["grommet"], GrommetPart),
        catalogue.part(start["elbow"], ElbowPart),
    ).bucket_axis


def _run_spacing(bucket: BucketPart, units: UnitSystem, catalogue: Catalogue) -> float:
    """Distance between parallel runs: two half beds and a path between them."""
    half = _axis_distance(bucket, units, catalogue) + bucket.rim_diameter / 2
    path = catalogue.limit("path_width") + 100
    return ceil((2 * half + path) / 100) * 100


def _filled(run: Run, bucket: BucketPart, units: UnitSystem, catalogue: Catalogue) -> Run:
    """The run with outlet and medium suited to its bucket's height."""
    grain = GRAIN[units]
    saw = catalogue.part(run.outlet.saw, HoleSawPart).diameter
    depth = bucket.height - max(catalogue.limit("bucket_freeboard") + 10, bucket.height * 0.1)
    depth = depth // grain * grain
    share = catalogue.limit("sump_share") * depth
    height = min(run.outlet.height, (share + saw / 4) // grain * grain)
    height = min(height, (depth - catalogue.limit("medium_cover") - saw / 2) // grain * grain)
    return replace(run, medium_depth=depth, outlet=replace(run.outlet, height=height))


def _reservoir_for(count: int, units: UnitSystem, catalogue: Catalogue, at: Point) -> Reservoir:

    start = _starts()[units]
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


def _placed(
    design: Design, reservoir: Reservoir, part: ReservoirPart, answers: Answers
) -> Reservoir:
    """Put the reservoir beyond the outlet end, or beside it."""
    if answers.reservoir == "end":
        x = -(part.rim_length / 2 + 150.0)
        return replace(reservoir, place=Point(x, 0.0))
    outer = min(run.start.y for run in design.runs)
    return replace(
        reservoir, place=Point(-(part.rim_length / 2 + 50.0), outer - part.rim_width / 2 - 500.0)
    )


def lead_to_reservoir(design: Design, run: Run, catalogue: Catalogue) -> Design:
    """Lead a run's drain to the reservoir with the run's own slope, and lift it over the rim."""
    reservoir = design.reservoir
    if reservoir is None:
        return design
    part = catalogue.part(reservoir.part, ReservoirPart)
    inset = part.rim_length / 2 - 120.0
    side = max(
        min(run.start.y - reservoir.place.y, part.rim_width / 2 - 100), 100 - part.rim_width / 2
    )
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


def fresh_run(design: Design, start: Point, heading: float = 0.0) -> Run:
    """A new run of eight pitches without buckets, in the design's units, with an unused id."""
    s = _starts()[design.units]
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
    return _reservoir_for(count, design.units, catalogue, place)


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
    width, depth = _starts()[design.units]["obstacles"][kind]
    same = sum(o.kind == kind for o in design.obstacles)
    return Obstacle(
        id=obstacle_id,
        kind=kind,
        name=f"{OBSTACLE_NAMES[kind]} {same + 1}" if same else OBSTACLE_NAMES[kind],
        place=place,
        width=float(width),
        depth=float(depth),
    )
