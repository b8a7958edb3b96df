"""Whatever is designed, the checks answer with numbers, a reason, a source and working remedies."""

import re
from collections import Counter
from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from designer.analysis import Analysis, analyse
from designer.checks.finding import Finding
from designer.model import edits
from designer.model.design import Design, Obstacle, Point
from designer.model.file import format_design, parse_design
from designer.model.parts import BucketPart
from designer.sketch import Answers, fresh_run, sketch
from tests.beds import bed, texts
from tests.strategies import designs, own_buckets

NO_NUMBER = re.compile(r"\b(nan|inf|infinity)\b", re.IGNORECASE)


def check(design: Design) -> Analysis:
    """Analyse and look at every text; the names given by the person are no numbers of ours."""
    analysis = analyse(design)
    for found in analysis.findings:
        assert found.title
        assert found.subjects
        if found.state != "good":
            for text in (found.measured, found.needed, found.why, found.source):
                assert text
            for case in found.cases:
                assert case.measured
                assert case.needed
                assert set(case.subjects) <= set(found.subjects)
        else:
            assert not found.remedies
    for run in design.runs:
        design = edits.set_run(design, run.id, name="Bed")
    plain = replace(design, obstacles=tuple(replace(o, name="Thing") for o in design.obstacles))
    for text in texts(analyse(plain).findings):
        assert not NO_NUMBER.search(text), text
    return analysis


def owners(design: Design, found: Finding) -> frozenset[str]:
    """The runs that a finding speaks of, or its subjects when it speaks of none."""
    runs = {run.id for run in design.runs if run.id in found.subjects}
    runs |= {r.id for r in design.runs if any(b.id in found.subjects for b in r.buckets)}
    return frozenset(runs) or frozenset(found.subjects)


def try_remedies(design: Design, analysis: Analysis, tally: Counter[tuple[str, bool]]) -> None:
    """Apply every remedy; each gives a design that can be saved, and mends its rule as a rule."""
    for found in analysis.findings:
        whose = owners(design, found)
        for remedy in found.remedies:
            after = remedy.apply(design)
            assert after != design, remedy.label
            written = format_design(after)
            assert format_design(parse_design(written)) == written
            still = [
                other
                for other in analyse(after).findings
                if other.rule == found.rule and other.state != "good"
                and owners(after, other) & whose
            ]  # fmt: skip
            tally[found.rule, not still] += 1


def most_work(tally: Counter[tuple[str, bool]]) -> None:
    """Nineteen of twenty remedies leave nothing of their rule."""
    worked = sum(n for (_, works), n in tally.items() if works)
    failed = {rule: n for (rule, works), n in tally.items() if not works}
    assert worked >= 19 * sum(failed.values()), failed


@settings(suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
@given(designs())
def test_any_design_is_answered_in_full(design: Design) -> None:
    check(design)


def test_remedies_of_any_design_work() -> None:
    tally: Counter[tuple[str, bool]] = Counter()

    @settings(max_examples=60, suppress_health_check=list(HealthCheck))
    @given(designs(max_runs=2, max_buckets=8))
    def each(design: Design) -> None:
        try_remedies(design, analyse(design), tally)

    each()
    most_work(tally)


@st.composite
def disturbed(draw: st.DrawFn) -> Design:
    """A sketched bed after a few things were dragged or typed."""
    design = bed(draw(st.integers(1, 9)), draw(st.sampled_from(["metric", "imperial"])))
    run = design.runs[0]
    number = st.floats(-400, 400)
    for bucket in run.buckets:
        if draw(st.booleans()):
            design = edits.move_buckets(design, [bucket.id], draw(number))
        if draw(st.integers(0, 3)) == 0:
            design = edits.flip_buckets(design, [bucket.id])
    parts = {
        "drain": {"fall": st.floats(-30, 200), "packing": st.floats(0, 80),
                  "saw": st.sampled_from(["saw-20-mm", "saw-30-mm", "saw-1-1-2-in"]),
                  "pipe": st.sampled_from(["pvc-50-mm", "pvc-110-mm", "pvc-2-in", "pvc-1-1-2-in"])},
        "outlet": {"height": st.floats(5, 200), "nipple_length": st.floats(40, 250),
                   "pipe": st.sampled_from(["pvc-25-mm", "pvc-1-2-in", "pvc-50-mm"])},
        "tails": {"length": st.floats(10, 300), "cut": st.sampled_from(["common", "graded"])},
        "stand": {"height": st.floats(30, 800), "follow_fall": st.booleans(),
                  "rail": st.sampled_from(["board-1x3", "timber-45x120"]),
                  "supports": st.lists(st.floats(-100, 5000), max_size=5).map(tuple)},
    }  # fmt: skip
    for group, values in parts.items():
        for name, strategy in values.items():
            if draw(st.integers(0, 4)) == 0:
                design = edits.set_run_part(design, run.id, group, **{name: draw(strategy)})
    if draw(st.booleans()):
        design = edits.move_reservoir(design, draw(number) * 3, draw(number) * 3)
        design = edits.set_reservoir(
            design, sunk=draw(st.floats(0, 600)), freeboard=draw(st.floats(0, 300)),
            low_water=draw(st.floats(0, 300)),
        )  # fmt: skip
    if draw(st.booleans()):
        design = edits.move_run(design, run.id, draw(number), draw(number))
    if draw(st.booleans()):
        design = edits.set_run(design, run.id, medium_depth=draw(st.floats(40, 400)))
    if draw(st.booleans()):
        place = Point(draw(st.floats(-1500, 3000)), draw(st.floats(-900, 900)))
        kind = draw(st.sampled_from(["wall", "post", "door", "path"]))
        design = edits.add_obstacle(
            design,
            Obstacle(id="o1", kind=kind, name="Thing", place=place, width=400.0, depth=150.0,
                     turn=draw(st.floats(-180, 180))),
        )  # fmt: skip
    return design


def test_remedies_of_a_disturbed_sketch_work() -> None:
    tally: Counter[tuple[str, bool]] = Counter()

    @settings(max_examples=80, suppress_health_check=list(HealthCheck))
    @given(disturbed())
    def each(design: Design) -> None:
        try_remedies(design, check(design), tally)

    each()
    most_work(tally)


@settings(max_examples=25, suppress_health_check=[HealthCheck.too_slow])
@given(disturbed())
def test_remedies_one_after_another_leave_little_to_fix(design: Design) -> None:
    """Taking the first remedy of the worst finding over and over comes to an end."""
    for _ in range(40):
        open_faults = [f for f in analyse(design).findings if f.state == "must_fix" and f.remedies]
        if not open_faults:
            break
        design = open_faults[0].remedies[0].apply(design)
    left = [f for f in analyse(design).findings if f.state == "must_fix" and f.remedies]
    assert not left, [(f.rule, f.measured, f.remedies[0].label) for f in left]


def spoiled(group: str, **values: object) -> Callable[[Design], Design]:
    return lambda design: edits.set_run_part(design, "r1", group, **values)


TINY = BucketPart(id="own-tiny", name="Beaker", rim_diameter=12.0, top_diameter=11.0,
                  base_diameter=10.0, height=15.0, wall=1.0)  # fmt: skip

ODD: dict[str, Callable[[Design], Design]] = {
    "nothing at all": lambda d: Design(title=""),
    "no runs": lambda d: edits.delete(d, ["r1"]),
    "a run without buckets": lambda d: edits.repeat_stagger(d, "r1", 0),
    "no reservoir": lambda d: edits.delete(d, ["reservoir"]),
    "only an empty run": lambda d: edits.add_run(Design(title=""), fresh_run(d, Point(0, 0))),
    "all buckets at one station": lambda d: edits.change_buckets(
        d, [b.id for b in d.runs[0].buckets], lambda b: replace(b, station=900.0)),
    "stations below zero": lambda d: edits.move_buckets(d, ["b1", "b2"], -9000.0),
    "stations beyond the cap": lambda d: edits.move_buckets(d, ["b1", "b2"], 900_000.0),
    "a huge fall": spoiled("drain", fall=2000.0),
    "a huge fall the wrong way": spoiled("drain", fall=-2000.0),
    "a huge return fall": lambda d: edits.set_run(d, "r1", return_fall=2000.0),
    "a run of a millimetre": lambda d: edits.set_run(d, "r1", length=1.0),
    "a run of a hundred metres": lambda d: edits.set_run_length(d, "r1", 100_000.0),
    "a pitch of next to nothing": lambda d: edits.set_run(d, "r1", pitch=1e-3),
    "a pitch of next to nothing and no buckets": lambda d: edits.repeat_stagger(
        edits.set_run(d, "r1", pitch=1e-3), "r1", 0),
    "no supports": spoiled("stand", supports=()),
    "one support": spoiled("stand", supports=(100.0,)),
    "supports off the run": spoiled("stand", supports=(-500.0, -500.0, 99_000.0)),
    "tiny buckets": lambda d: edits.set_run(
        edits.keep_own_part(d, TINY), "r1", bucket="own-tiny"),
    "tails of a millimetre": spoiled("tails", length=1.0),
    "a nipple of a millimetre": spoiled("outlet", nipple_length=1.0),
    "an outlet above the rim": spoiled("outlet", height=5000.0),
    "outlet of the widest pipe": spoiled("outlet", pipe="pvc-110-mm"),
    "drain of the narrowest pipe": spoiled("drain", pipe="pvc-20-mm"),
    "a stand in the sky": spoiled("stand", height=90_000.0),
    "a reservoir sunk out of sight": lambda d: edits.set_reservoir(d, sunk=90_000.0),
    "a reservoir without working water": lambda d: edits.set_reservoir(
        d, freeboard=400.0, low_water=400.0),
    "no return path": lambda d: edits.set_run(d, "r1", return_path=()),
    "a return path on one point": lambda d: edits.set_run(d, "r1", return_path=(Point(0, 0),) * 3),
    "an outline that crosses itself": lambda d: edits.set_outline(
        d, [Point(-2e3, -2e3), Point(4e3, 2e3), Point(4e3, -2e3), Point(-2e3, 2e3)]),
    "an outline of two points": lambda d: edits.set_outline(d, [Point(0, 0), Point(1, 1)]),
    "an outline on one line": lambda d: edits.set_outline(
        d, [Point(0, 0), Point(1e3, 0), Point(2e3, 0)]),
    "an obstacle over everything": lambda d: edits.add_obstacle(d, Obstacle(
        id="o1", kind="wall", name="Hall", place=Point(0, 0), width=90_000.0, depth=90_000.0)),
    "kept-free ground over everything": lambda d: edits.add_obstacle(d, Obstacle(
        id="o1", kind="keep_free", name="Lawn", place=Point(0, 0), width=90_000.0,
        depth=90_000.0)),
    "a post in the middle of a bucket": lambda d: edits.add_obstacle(d, Obstacle(
        id="o1", kind="post", name="Post", shape="round", width=50.0, depth=50.0,
        place=Point(*[float(v) for v in analyse(d).runs[0].centres[0]]))),
    "two runs in one place": lambda d: edits.add_run(d, replace(
        d.runs[0], id="r2", buckets=tuple(replace(b, id=b.id + "x") for b in d.runs[0].buckets))),
}  # fmt: skip


@pytest.mark.parametrize("name", ODD)
@pytest.mark.parametrize("units", ["metric", "imperial"])
@pytest.mark.parametrize("count", [1, 5])
def test_odd_designs_are_answered_too(name: str, units: str, count: int) -> None:
    design = bed(count, units)  # type: ignore[arg-type]
    if count == 1 and "b2" in name:
        return
    design = ODD[name](design)
    tally: Counter[tuple[str, bool]] = Counter()
    try_remedies(design, check(design), tally)


@given(own_buckets("own-1"), st.integers(1, 12))
def test_a_bucket_the_grower_measured_makes_a_good_bed(part: BucketPart, count: int) -> None:
    design = sketch(Answers(buckets=count, bucket=part))
    analysis = check(design)
    assert [f.rule for f in analysis.findings if f.state == "must_fix"] == []
