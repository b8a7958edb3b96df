"""The fields of a run's stand."""

from typing import Any

from designer.analysis import Analysis
from designer.model import edits
from designer.model.design import Design
from designer.model.stations import ground_at
from designer.stand.timber import load_timber
from designer.window import stand_facts as facts
from designer.window.bounds import Bounds
from designer.window.entries import Ids, Section, run_entry
from designer.window.quantity_fields import FORCE, MASS

MAX_SUPPORTS = 200
_FURTHEST = Bounds(at_least=-1_000_000, at_most=1_000_000)
_HIGHEST = Bounds(at_least=-5_000, at_most=5_000)


def _set_support_count(design: Design, ids: Ids, count: int) -> Design:
    for run_id in ids:
        even = edits.even_supports(design.run(run_id).length, count)
        design = edits.set_supports(design, run_id, even)
    return design


def _set_supports(design: Design, ids: Ids, stations: tuple[float, ...]) -> Design:
    for run_id in ids:
        design = edits.set_supports(design, run_id, stations)
    return design


def _ground(analysis: Analysis, run_id: str) -> tuple[float, ...]:
    stand = analysis.run(run_id).run.stand
    return ground_at(sorted(stand.supports), stand.supports, stand.ground)


def _set_ground(design: Design, ids: Ids, levels: tuple[float, ...]) -> Design:
    """Levels from the outlet end, one for each support."""
    for run_id in ids:
        supports = tuple(sorted(design.run(run_id).stand.supports))
        ground = levels if any(levels) else ()
        design = edits.set_run_part(design, run_id, "stand", supports=supports, ground=ground)
    return design


def _part(path: str, label: str, parts: str, why: str) -> Any:
    return run_entry(path, label, why, "part", parts=parts)


STAND_SECTION = Section(
    "Stand",
    (
        run_entry(
            "stand.height",
            "Height of the rails",
            "Top of the rails above the ground, at the outlet end.",
        ),
        run_entry(
            "stand.supports",
            "Number of supports",
            "Block stacks under the run, spread evenly. Too few and drain and rails sag.",
            "whole",
            read=lambda a, i: len(a.run(i).run.stand.supports),
            write=_set_support_count,
            bounds=Bounds(at_least=2, at_most=MAX_SUPPORTS),
        ),
        run_entry(
            "stand.supports",
            "Supports, from the outlet end",
            "Where each block stack stands, with semicolons between: 0; 1.2 m; 2.4 m.",
            "lengths",
            write=_set_supports,
            bounds=_FURTHEST,
            step="Move the supports",
        ),
        run_entry(
            "stand.ground",
            "Ground at each support",
            "How high the ground lies there, in the order of the supports, with semicolons "
            "between; less than 0 is lower. Measure down from a line drawn level. Blocks and "
            "shims follow it.",
            "levels",
            read=_ground,
            write=_set_ground,
            bounds=_HIGHEST,
            step="Set the ground at the supports",
        ),
        facts.SUPPORTS,
        facts.FALL_AS_BUILT,
        _part("stand.rail", "Rail", "board", "The boards that the buckets stand on."),
        run_entry(
            "stand.timber",
            "Timber of the rails",
            "The grade stamped on the board; it says how much the rails bear and sag. Inch boards "
            "go by NDS (American Wood Council), values second-hand; C16 and C24 by EN 338:2016 "
            "and EN 1995-1-1, second-hand and from memory.",
            "choice",
            options=(
                (None, "the usual one for your units"),
                *((grade.id, grade.name) for grade in load_timber().grades.values()),
            ),
            step="Change the timber of the rails",
        ),
        facts.GRADE,
        run_entry(
            "stand.on_edge",
            "Rails on edge",
            "Far stiffer than lying flat.",
            "yes_no",
            step="Turn the rails",
        ),
        run_entry(
            "stand.rails",
            "Rails",
            "Two on each side carry a bucket more steadily.",
            "choice",
            options=((2, "one on each side"), (4, "two on each side")),
            step="Set the number of rails",
        ),
        run_entry(
            "stand.follow_fall",
            "Rails follow the fall",
            "Then every tail is alike, and the buckets lean a little.",
            "yes_no",
            step="Change whether the rails follow the fall",
        ),
        facts.BENDING,
        facts.SAG,
        run_entry(
            "stand.bucket_weight",
            "Wet bucket as weighed",
            "Weigh one after the pump has run, with its plant. Left empty it is reckoned from "
            "bucket, medium, water and crop.",
            "quantity",
            measure=MASS,
            blank="reckoned",
        ),
        facts.WET_BUCKET,
        _part("stand.block", "Block", "block", "What the stacks are made of."),
        run_entry(
            "stand.soil",
            "Soil under the blocks",
            "How much the ground bears: clay least, gravel most (International Residential Code, "
            "table R401.4.1).",
            "choice",
            options=(
                ("unknown", "not known"),
                ("clay", "clay"),
                ("sand", "sand"),
                ("gravel", "gravel"),
            ),
            step="Change the soil under the blocks",
        ),
        facts.SOIL,
        run_entry(
            "stand.pull",
            "A person leaning on the rims",
            "A sideways pull that the stand must not tip from. Your own choice: no source states "
            "one for beds.",
            "quantity",
            measure=FORCE,
            step="Set the pull of a person",
        ),
        run_entry(
            "stand.wind",
            "Wind on the trellis",
            "What a gust presses against plants and trellis, taken half-way up. 0 indoors; "
            "outdoors ask for the wind load of your place.",
            "quantity",
            measure=FORCE,
            step="Set the wind on the trellis",
        ),
    ),
    open=False,
)
