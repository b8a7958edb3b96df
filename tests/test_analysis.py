"""The analysis of a design: the same whatever came before, and kept where nothing changed."""

import random
from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from designer.analysis import Analysis, analyse
from designer.checks.finding import STATES
from designer.model import edits
from designer.model.design import Design, Point
from designer.sketch import Answers, fresh_obstacle, sketch
from tests.beds import bed
from tests.model.random_edits import random_edit
from tests.strategies import designs


def plain(analysis: Analysis) -> list[tuple[object, ...]]:
    """Findings without their remedies' functions, which are new each time."""
    return [
        (f.rule, f.title, f.state, f.subjects, f.measured, f.needed, f.why, f.source, f.cases,
         f.accepted, tuple(r.label for r in f.remedies))
        for f in analysis.findings
    ]  # fmt: skip


def same(a: Analysis, b: Analysis) -> None:
    assert plain(a) == plain(b)
    assert a.counts == b.counts
    assert a.marks == b.marks
    assert {k: p for k, (_, p) in a.places.items()} == {k: p for k, (_, p) in b.places.items()}
    assert [r.shims for r in a.runs] == [r.shims for r in b.runs]


@settings(max_examples=12)
@given(seed=st.integers(0, 10_000), start=designs(max_runs=2, max_buckets=6))
def test_what_came_before_makes_no_difference(seed: int, start: Design) -> None:
    draw = random.Random(seed)
    analysis = analyse(start)
    for _ in range(12):
        design = random_edit(analysis.design, draw)
        analysis = analyse(design, analysis)
        same(analysis, analyse(design))


def test_nothing_changed_keeps_layouts_and_findings() -> None:
    first = analyse(bed(8))
    again = analyse(edits.set_design(first.design, title="Another name"), first)
    assert again.runs[0] is first.runs[0]
    assert again.site is first.site
    assert again.reservoir is first.reservoir
    run = first.findings_by_run["r1"][1]
    assert again.findings_by_run["r1"][1] is run


def test_a_moved_bucket_keeps_the_other_places_and_the_other_run() -> None:
    design = sketch(Answers(buckets=40, units="metric"))
    assert len(design.runs) == 2
    first = analyse(design)
    moved = edits.move_buckets(design, ["b3"], 17.0)
    after = analyse(moved, first)
    assert after.runs[1] is first.runs[1]
    assert after.findings_by_run["r2"] is first.findings_by_run["r2"]
    kept = [k for k in first.places if after.places[k][1] is first.places[k][1]]
    assert sorted(set(first.places) - set(kept)) == ["b3"]
    assert after.places["b3"][1].station == first.places["b3"][1].station + 17.0


def test_another_part_measured_by_the_grower_is_looked_at_again() -> None:
    design = bed(4)
    first = analyse(design)
    part = first.runs[0].parts.bucket
    measured = edits.keep_own_part(design, replace(part, rim_diameter=600.0))
    after = analyse(measured, first)
    assert after.runs[0].parts.bucket.rim_diameter == 600.0
    assert "rims-clear" in [f.rule for f in after.findings if f.state != "good"]


def test_units_change_what_is_said_not_where_things_are() -> None:
    first = analyse(bed(4))
    after = analyse(edits.set_design(first.design, units="imperial"), first)
    assert [(p.x, p.y) for p in after.runs[0].places] == [(p.x, p.y) for p in first.runs[0].places]
    assert '"' in "".join(f.measured for f in after.findings)
    said = {f.rule: f"{f.measured} {f.needed}" for f in after.findings}
    for rule in ("rims-clear", "holes-on-pipe", "fall-total", "tails-reach", "reach", "sump"):
        assert " mm" not in said[rule]


def test_worst_findings_come_first_and_are_counted() -> None:
    design = edits.set_fall(edits.set_run(bed(4), "r1", crop="squash"), "r1", -5.0)
    analysis = analyse(design)
    states = [STATES.index(f.state) for f in analysis.findings]
    assert states == sorted(states)
    assert sum(analysis.counts.values()) == len(analysis.findings)
    assert analysis.marks["r1"] == "must_fix"


def test_an_accepted_look_again_leaves_no_mark() -> None:
    design = edits.set_run(bed(2), "r1", crop="squash")
    analysis = analyse(design)
    assert analysis.marks["b1"] == "look_again"
    (found,) = [f for f in analysis.findings if f.rule == "canopy-room"]
    assert "b1" not in analyse(edits.accept(design, *found.key, "Trained up")).marks


def test_names_are_what_a_person_says() -> None:
    design = edits.add_obstacle(bed(3), fresh_obstacle(bed(3), "post", Point(0, 3000)))
    analysis = analyse(design)
    assert analysis.subject_name("b2") == "Bucket B"
    assert analysis.subject_name("reservoir") == "Reservoir"
    assert analysis.subject_name("r1") == "Run 1"
    assert analysis.subject_name("o1") == "Post"
    two = analyse(sketch(Answers(buckets=40)))
    assert two.bucket_label("b1") == "1A"
    assert two.subject_name("b21") == "Bucket 2A"
