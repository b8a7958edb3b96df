"""The steps speak of every bucket once, and of nothing that is not there."""

from collections import Counter
from dataclasses import replace
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from designer.analysis import Analysis, analyse, analyse_fully
from designer.model import edits
from designer.model.design import Design
from designer.sheet.cautions import caution
from designer.sheet.steps.build import build_steps
from designer.sheet.steps.step import Step, StepTable
from designer.sketch import Answers, sketch
from designer.takeoff.ranges import bucket_ranges
from tests.sheet.test_build_sheet import troubled
from tests.strategies import designs

TITLES = ["Drilling", "Stand and shims", "Drain", "Buckets", "Feed", "Leak test", "Fill and plant"]


@cache
def bed(buckets: int, units: str = "metric") -> Analysis:
    return analyse_fully(sketch(Answers(buckets=buckets, units=units)))  # type: ignore[arg-type]


def about_buckets(step: Step) -> dict[str, list[StepTable]]:
    """The tables that speak of buckets, those of one kind (one for each run) together."""
    found: dict[str, list[StepTable]] = {}
    for table in step.tables:
        if any(row.buckets for row in table.rows):
            found.setdefault(table.heads[0] + table.heads[1], []).append(table)
    return found


def values(step: Step, bucket_id: str) -> list[tuple[str, ...]]:
    """What a step says of one bucket, without its letter and the distance from its neighbour."""
    said = []
    for tables in about_buckets(step).values():
        for table in tables:
            kept = [
                i
                for i, head in enumerate(table.heads)
                if head not in ("Hole", "Letters", "From the hole before")
            ]
            for row in table.rows:
                if bucket_id in row.buckets:
                    said.append(tuple(row.cells[i] for i in kept))
    return said


@pytest.mark.parametrize("units", ["metric", "imperial"])
@pytest.mark.parametrize("buckets", [2, 12, 60])
def test_a_bed_is_built_in_seven_steps_in_this_order(buckets: int, units: str) -> None:
    assert [step.title for step in build_steps(bed(buckets, units))] == TITLES


def test_an_empty_sheet_has_no_steps_and_a_run_without_buckets_only_stand_and_drain() -> None:
    assert build_steps(analyse(Design(title=""))) == ()
    design = sketch(Answers(buckets=4))
    bare = edits.set_run(design, "r1", buckets=())
    assert [s.title for s in build_steps(analyse(bare))] == ["Stand and shims", "Drain"]
    dry = replace(design, reservoir=None)
    assert "Leak test" not in [s.title for s in build_steps(analyse(dry))]


@settings(max_examples=60, deadline=None)
@given(designs())
def test_each_bucket_is_on_one_line_of_each_list_of_each_step(design: Design) -> None:
    analysis = analyse(design)
    for step in build_steps(analysis):
        for tables in about_buckets(step).values():
            counted = Counter(
                bucket for table in tables for row in table.rows for bucket in row.buckets
            )
            assert counted == Counter(dict.fromkeys(analysis.places, 1)), step.title
            for table in tables:
                for row in table.rows:
                    if "Letters" in table.heads:
                        assert row.cells[-1] == bucket_ranges(analysis, row.buckets)
                    else:
                        assert row.cells[0] == analysis.bucket_label(row.buckets[0])


@settings(max_examples=40, deadline=None)
@given(designs(), st.data())
def test_a_deleted_bucket_takes_its_own_lines_and_no_others(
    design: Design, data: st.DataObject
) -> None:
    analysis = analyse(design)
    if not analysis.places:
        return
    gone = data.draw(st.sampled_from(sorted(analysis.places)))
    run = design.run_of(gone)
    kept = tuple(bucket for bucket in run.buckets if bucket.id != gone)
    after = analyse(edits.set_run(design, run.id, buckets=kept))
    before_steps = {step.title: step for step in build_steps(analysis)}
    for step in build_steps(after):
        assert values(step, gone) == []
        for bucket_id in after.places:
            assert values(step, bucket_id) == values(before_steps[step.title], bucket_id)


@settings(max_examples=40, deadline=None)
@given(designs())
def test_any_design_has_steps_with_whole_tables_and_cautions_that_exist(design: Design) -> None:
    for step in build_steps(analyse(design)):
        assert step.lead
        assert list(step.actions)
        for one in step.cautions:
            assert caution(one).brief
        for table in step.tables:
            assert len(table.heads) == len(table.widths)
            assert sum(table.widths) <= 180
            assert all(len(row.cells) == len(table.heads) for row in table.rows)
        for action in step.actions:
            assert action.text.endswith((".", ":"))


def test_work_that_can_hurt_carries_its_caution() -> None:
    wanted = {
        "Drilling": {"drilling"},
        "Stand and shims": {"lifting", "stand"},
        "Drain": {"cement"},
        "Feed": {"electricity"},
        "Leak test": {"electricity", "leaks"},
        "Fill and plant": {"dust", "lifting"},
    }
    for step in build_steps(bed(12)):
        assert wanted.get(step.title, set()) <= set(step.cautions)


def test_equal_values_of_sixty_buckets_stand_on_few_lines() -> None:
    for step in build_steps(bed(60)):
        for tables in about_buckets(step).values():
            if tables[0].heads[0] != "Hole":
                assert sum(len(table.rows) for table in tables) <= 24, step.title


def test_a_bed_that_must_be_mended_is_not_to_be_drilled() -> None:
    analysis = analyse(troubled())
    assert analysis.counts["must_fix"]
    drilling = build_steps(analysis)[0]
    assert next(drilling.actions).text.startswith("Do not drill yet: ")
    assert "Do not drill" not in next(build_steps(bed(6))[0].actions).text
