"""Beds of a given size for the benchmarks."""

from dataclasses import replace
from math import ceil

from designer.analysis import Analysis, analyse
from designer.model import edits
from designer.model.design import Design, Point
from designer.sketch import Answers, sketch


def bed(buckets: int, on_a_run: int = 30) -> Design:
    """A metric bed with at most `on_a_run` buckets on each of its runs."""
    design = sketch(Answers(buckets=1))
    run = design.runs[0]
    count = min(buckets, on_a_run)
    design = edits.set_run_length(design, run.id, run.pitch * (count + 1))
    design = edits.repeat_stagger(design, run.id, count)
    run = design.runs[0]
    left = buckets - len(run.buckets)
    for i in range(1, ceil(buckets / on_a_run)):
        count = min(left, on_a_run)
        left -= count
        (run_id,) = edits.new_ids(design, "r")
        start = Point(run.start.x, run.start.y + 1600.0 * i)
        copy = replace(run, id=run_id, name=f"Run {i + 1}", start=start, buckets=())
        design = edits.add_run(design, copy)
        design = edits.repeat_stagger(design, run_id, count)
    return design


def analysed(buckets: int, on_a_run: int = 30) -> Analysis:
    """The same bed, analysed."""
    return analyse(bed(buckets, on_a_run))
