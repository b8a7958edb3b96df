"""The fields of a run, section by section."""

from typing import Any

from designer.analysis import Analysis
from designer.model import edits
from designer.model.design import Design, Run
from designer.window import facts
from designer.window.bounds import Bounds
from designer.window.entries import Entry, Ids, Section, place_entries, run_entry
from designer.window.quantity_fields import DIAMETER, SHARE
from designer.window.stand_fields import STAND_SECTION


def _set_length(design: Design, ids: Ids, length: float) -> Design:
    for run_id in ids:
        design = edits.set_run_length(design, run_id, length)
    return design


def _set_pitch(design: Design, ids: Ids, pitch: float) -> Design:
    for run_id in ids:
        run = design.run(run_id)
        # Buckets that stand at the pitch follow it; those set by hand stay where they are.
        design = (
            edits.restagger(design, run_id, pitch)
            if _at_pitch(run)
            else edits.set_run(design, run_id, pitch=pitch)
        )
    return design


def _at_pitch(run: Run) -> bool:
    in_order = sorted(run.buckets, key=lambda bucket: -bucket.station)
    regular = edits.staggered([bucket.id for bucket in in_order], run.length, run.pitch)
    return all(
        abs(a.station - b.station) < 0.5 and a.side == b.side
        for a, b in zip(in_order, regular, strict=True)
    )


def _set_count(design: Design, ids: Ids, count: int) -> Design:
    for run_id in ids:
        design = edits.repeat_stagger(design, run_id, count)
    return design


def _graded(analysis: Analysis, run_id: str) -> bool:
    return analysis.run(run_id).run.tails.cut == "graded"


def _part(path: str, label: str, parts: str, why: str, **more: Any) -> Entry:
    return run_entry(path, label, why, "part", parts=parts, **more)


_LENGTH = run_entry(
    "length",
    "Length",
    "From the outlet end to the capped end of the drain. The supports are spread over it anew.",
    write=_set_length,
    step="Set the run's length",
)
_PITCH = run_entry(
    "pitch",
    "Pitch",
    "From one bucket to the next along the run. Buckets that stand at the pitch follow it; "
    "buckets that you set by hand stay.",
    write=_set_pitch,
)
_COUNT = run_entry(
    "buckets",
    "Number of buckets",
    "Sets all buckets of the run anew, left and right in turn, the first one pitch from the "
    "capped end.",
    "whole",
    read=lambda a, i: len(a.run(i).run.buckets),
    write=_set_count,
    bounds=Bounds(at_least=0, at_most=edits.MAX_BUCKETS_IN_RUN),
)

RUN_SECTIONS: tuple[Section, ...] = (
    Section(
        "Run",
        (
            run_entry("name", "Name", "What the drawings and lists call it.", "text"),
            _LENGTH,
            _PITCH,
            _COUNT,
            _part(
                "bucket", "Bucket", "bucket", "The bucket all over this run, where none is its own."
            ),
            run_entry("crop", "Crop", "What grows in it; sets the room it needs.", "crop"),
            _part("medium", "Medium", "medium", "What fills the buckets."),
            run_entry("medium_depth", "Medium's depth", "How high each bucket is filled."),
            facts.MEDIUM,
            run_entry(
                "plant_hole",
                "Hole in the lid",
                "For each plant, where the buckets have lids; by the net pot or collar that you "
                "set. It stands on the lid's drill template.",
                "quantity",
                measure=DIAMETER,
                blank="by the crop",
            ),
        ),
    ),
    Section(
        "Drain",
        (
            run_entry(
                "drain.fall",
                "Fall",
                "How much higher the capped end lies than the outlet end.",
            ),
            facts.SLOPE,
            run_entry(
                "drain.packing",
                "Packing at the outlet end",
                "What lies under the drain there; the shims grow from it towards the capped end.",
            ),
            facts.OUTLET_LEVEL,
            run_entry("return_fall", "Fall to the reservoir", "The drop over the return path."),
            facts.RETURN_LENGTH,
            facts.RETURN_SLOPE,
            facts.OUTFALL_LEVEL,
            _part("drain.pipe", "Drain pipe", "pipe", "The pipe that carries the water back."),
            _part(
                "drain.saw", "Hole saw for the drain", "hole_saw", "Cuts the holes for the tails."
            ),
            _part("drain.cap", "End cap", "cap", "Closes the high end of the drain."),
        ),
    ),
    Section(
        "Tails",
        (
            run_entry(
                "tails.cut",
                "Cut tails",
                "One length for all is quicker; each to its own serves a steeper fall.",
                "choice",
                options=(("common", "all to one length"), ("graded", "each to its own length")),
                step="Change how the tails are cut",
            ),
            run_entry(
                "tails.length",
                "Length of a tail",
                "The pipe from the outer elbow down into the drain, with the part in the elbow.",
                shown_if=lambda a, i: not _graded(a, i),
            ),
            facts.COMMON_WINDOW,
        ),
    ),
    STAND_SECTION,
    Section(
        "Outlet of each bucket",
        (
            run_entry(
                "outlet.height",
                "Hole above the base",
                "Centre of the outlet hole; below it the bucket keeps a sump of water.",
                step="Set the outlet's height",
            ),
            facts.DISTANCE,
            run_entry(
                "outlet.nipple_length",
                "Length of the nipple",
                "The short pipe through the wall, from socket stop to socket stop.",
            ),
            _part("outlet.pipe", "Nipple and tail pipe", "pipe", "The small pipe of the outlet."),
            _part("outlet.elbow", "Elbow", "elbow", "One inside the bucket and one outside."),
            _part("outlet.grommet", "Grommet", "grommet", "Seals the nipple in the wall."),
            _part("outlet.saw", "Hole saw for the buckets", "hole_saw", "Cuts the grommet's hole."),
        ),
        open=False,
    ),
    Section(
        "Manifold",
        (
            _part("manifold.tube", "Manifold tube", "tube", "Carries the feed along the run."),
            _part("manifold.feed_tube", "Feed tube", "tube", "From the manifold to each bucket."),
            _part("manifold.barb", "Barb", "barb", "Joins a feed tube to the manifold."),
            _part("manifold.plug", "End plug", "plug", "Closes the far end of the manifold."),
            run_entry(
                "manifold.offset",
                "Left of the drain",
                "Looking up the run; less than 0 is right of it.",
                step="Move the manifold",
            ),
            run_entry("manifold.height", "Above the rails", "", step="Raise the manifold"),
            run_entry(
                "manifold.feed_length",
                "Length of a feed tube",
                "From the manifold to each bucket; a longer one holds more back.",
            ),
            _part(
                "manifold.emitter",
                "End of a feed tube",
                "emitter",
                "An open tube, or a dripper that evens out the flows.",
                blank="open tube",
                step="Change the end of the feed tubes",
            ),
            run_entry(
                "manifold.valve",
                "Valve at the head of the run",
                "How far it is open; 100 % where there is none. Closing it holds this run back.",
                "quantity",
                measure=SHARE,
                bounds=Bounds(at_least=0.01, at_most=1),
                step="Turn the valve",
            ),
        ),
        open=False,
    ),
    Section(
        "Place of the run",
        (
            *place_entries(lambda design, i: design.run(i).start, "the outlet end of the run"),
            run_entry(
                "heading",
                "Heading",
                "The way from the outlet end to the capped end: 0 is right, 90 is up the plan.",
                "degrees",
                step="Turn the run",
            ),
        ),
        open=False,
    ),
)
