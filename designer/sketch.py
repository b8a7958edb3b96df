"""A first bed from a few answers."""

from dataclasses import dataclass, replace
from math import ceil
from typing import Literal

import shapely

from designer.analysis import analyse, analyse_fully
from designer.checks.refit import refit_tails
from designer.checks.situation import drain_leg
from designer.fresh import (
    INSIDE,
    OBSTACLE_NAMES,
    fresh_obstacle,
    fresh_reservoir,
    fresh_run,
    lead_to_reservoir,
    reservoir_for,
    starts,
)
from designer.layout.outlet import outlet_assembly
from designer.layout.run import GRAIN
from designer.layout.site import bed_footprint
from designer.model import edits
from designer.model.catalogue import Catalogue, load_catalogue
from designer.model.design import (
    Design,
    Paper,
    Point,
    Reservoir,
    Run,
)
from designer.model.parts import (
    BlockPart,
    BucketPart,
    ElbowPart,
    GrommetPart,
    HoleSawPart,
    ReservoirPart,
)
from designer.units import UnitSystem, format_length, style_for

__all__ = [
    "OBSTACLE_NAMES",
    "Answers",
    "SketchError",
    "best_pitch",
    "fresh_obstacle",
    "fresh_reservoir",
    "fresh_run",
    "lead_to_reservoir",
    "sketch",
]

END_GAP = 150.0
"""From the outlet ends to the rim of a reservoir beyond them, mm."""
SIDE_LEG = 60.0
"""The drain turns off to a reservoir beside the bed this far beyond its outlet end, mm."""
MOST_ROUNDS = 12
MOST_ON_A_RUN = 30
LONGEST_RUN = 15_000.0
"""A longer bed becomes several runs: beyond this, mm, the fall is too slight to pack evenly."""


class SketchError(ValueError):
    """Answers that no bed fits, in one sentence with the remedy."""


@dataclass(frozen=True, kw_only=True)
class Answers:
    """What the start page asks. Either `buckets` or `space_length` (mm) is given.

    `space_length` is the length of ground along the bed that everything has to fit in: the bed,
    the drain's way to the reservoir, and the reservoir itself, which takes a piece of that length
    beyond the outlet end and hardly any beside the bed. `bucket` is a catalogue id or a bucket
    that the person measured; `pitch` in mm, None for the least that suits crop and bucket.
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


def sketch(answers: Answers) -> Design:
    """A design in which every check reads Good, ready to drag.

    Raises SketchError when the answers leave no room for a bucket, or a pitch is given at which
    the buckets or their plants would be in each other's way.
    """
    own = (answers.bucket,) if isinstance(answers.bucket, BucketPart) else ()
    paper: Paper = answers.paper or ("a4" if answers.units == "metric" else "letter")
    blank = Design(title=answers.title, units=answers.units, paper=paper, own_parts=own)
    catalogue = load_catalogue().with_own(own)
    bucket_id = own[0].id if own else (answers.bucket or starts()[answers.units]["bucket"])
    bucket = catalogue.part(str(bucket_id), BucketPart)
    pitch = answers.pitch
    if pitch is None:
        pitch = best_pitch(bucket, answers.crop, answers.units, catalogue)
    count = _count(answers, pitch, catalogue)
    while True:
        design = _mended(_bed(blank, answers, bucket, pitch, count, catalogue))
        _refuse_raised_pitch(design, answers)
        if answers.space_length is None:
            return design
        excess = _length_taken(design) - answers.space_length
        if excess <= 1e-6:
            return design
        if count == 1:
            raise _too_short(answers, answers.space_length, answers.space_length + excess)
        count = max(1, count - ceil(excess / pitch))


def _bed(
    design: Design,
    answers: Answers,
    bucket: BucketPart,
    pitch: float,
    count: int,
    catalogue: Catalogue,
) -> Design:
    """The blank design with `count` buckets on one run or several, and the reservoir."""
    most = max(1, min(MOST_ON_A_RUN, int(LONGEST_RUN / pitch) - 1))
    runs = ceil(count / most)
    shares = [count // runs + (1 if i < count % runs else 0) for i in range(runs)]
    spacing = _run_spacing(bucket, answers.units, catalogue)
    for i, share in enumerate(shares):
        across = spacing * (i - (runs - 1) / 2)
        run = fresh_run(design, Point(0.0, across), 0.0)
        length = round(max(pitch * (share + 1), 2 * catalogue.limit("cap_distance")), 3)
        run = replace(run, name=f"Run {i + 1}", bucket=bucket.id, crop=answers.crop, pitch=pitch)
        run = _filled(run, bucket, answers.units, catalogue)
        design = edits.add_run(design, run)
        design = edits.set_run_length(design, run.id, length)
        design = edits.repeat_stagger(design, run.id, share)
    reservoir = _placed(design, bucket, count, answers, catalogue)
    design = replace(design, reservoir=reservoir)
    for run in design.runs:
        design = lead_to_reservoir(design, run, catalogue)
        if answers.reservoir == "beside":  # the feed tube goes past the outlet ends as well
            past = Point(run.start.x, reservoir.place.y)
            design = edits.set_run(design, run.id, feed_path=(past,))
        design = refit_tails(design, run.id, catalogue)
    return design


def _refuse_raised_pitch(design: Design, answers: Answers) -> None:
    """SketchError where the checks asked for a wider pitch than the person did."""
    least = max(run.pitch for run in design.runs)
    if answers.pitch is None or least <= answers.pitch + 1e-6:
        return
    style = style_for(answers.units)
    raise SketchError(
        f"A pitch of {format_length(answers.pitch, style)} is too small for this bucket and "
        f"crop; it must be at least {format_length(least, style)}."
    )


def _length_taken(design: Design) -> float:
    """Length of the ground that a sketched design takes along its runs, mm: rims, the blocks of
    the stand, which stick out beyond its rails, drains, and the reservoir with its walls."""
    analysis = analyse(design)
    shapes = [bed_footprint(layout) for layout in analysis.runs]
    shapes += [drain_leg(layout, layout.run) for layout in analysis.runs]
    for layout in analysis.runs:
        rails = (layout.frame.at(0.0, 0.0), layout.frame.at(layout.run.length, 0.0))
        shapes.append(shapely.LineString(rails).buffer(layout.parts.block.width / 2))
    if analysis.reservoir is not None:
        shapes.append(analysis.reservoir.rim.buffer(analysis.reservoir.part.wall, join_style=2))
    low, _, high, _ = shapely.union_all(shapes).bounds
    return float(high - low)


def _too_short(answers: Answers, space: float, needed: float) -> SketchError:
    style = style_for(answers.units)
    grain = GRAIN[answers.units]
    where = "beyond its end" if answers.reservoir == "end" else "beside it"
    return SketchError(
        f"A space of {format_length(space, style)} is too short for one bucket with the "
        f"reservoir {where}; it needs at least "
        f"{format_length(ceil(needed / grain - 1e-9) * grain, style)}."
    )


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
    start = starts()[units]
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


def _count(answers: Answers, pitch: float, catalogue: Catalogue) -> int:
    """How many buckets: what was asked for, or about what the space holds."""
    if not 0 < pitch <= LONGEST_RUN:
        longest = format_length(LONGEST_RUN, style_for(answers.units))
        raise SketchError(f"Say a pitch above zero and up to {longest}.")
    if answers.buckets is not None:
        if not 1 <= answers.buckets <= 1000:
            raise SketchError("Say a number of buckets from 1 to 1000.")
        return answers.buckets
    space = answers.space_length
    if space is None:
        raise SketchError("Say how many buckets, or how long the space is.")
    if not 0 < space < float("inf"):
        raise SketchError("Say a length above zero for the space.")
    block = catalogue.part(starts()[answers.units]["block"], BlockPart).width
    # a first guess: the reservoir needs room as well, the larger the more buckets it serves
    for count in range(min(1000, int(space / pitch - 1 + 1e-9)), 1, -1):
        part = catalogue.part(
            reservoir_for(count, answers.units, catalogue, Point(0.0, 0.0)).part, ReservoirPart
        )
        if pitch * (count + 1) + _beyond(part, answers) + part.wall + block / 2 <= space:
            return count
    return 1


def _beyond(part: ReservoirPart, answers: Answers) -> float:
    """How far the reservoir's rim reaches beyond the outlet ends, mm."""
    return part.rim_length + END_GAP if answers.reservoir == "end" else SIDE_LEG + INSIDE


def _axis_distance(bucket: BucketPart, units: UnitSystem, catalogue: Catalogue) -> float:
    start = starts()[units]
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


def _placed(
    design: Design, bucket: BucketPart, count: int, answers: Answers, catalogue: Catalogue
) -> Reservoir:
    """The reservoir beyond the outlet end, or beside the bed with a path between."""
    reservoir = reservoir_for(count, answers.units, catalogue, Point(0.0, 0.0))
    part = catalogue.part(reservoir.part, ReservoirPart)
    x = part.rim_length / 2 - _beyond(part, answers)
    if answers.reservoir == "end":
        return replace(reservoir, place=Point(x, 0.0))
    outer = min(run.start.y for run in design.runs)
    # as far off as a neighbouring run's rims would be
    half = _axis_distance(bucket, answers.units, catalogue) + bucket.rim_diameter / 2
    aside = _run_spacing(bucket, answers.units, catalogue) - half + part.rim_width / 2
    return replace(reservoir, place=Point(x, outer - aside))
