"""First designs: whatever is answered, every check reads Good, and too little space is said."""

import re
from dataclasses import replace
from itertools import pairwise
from typing import Literal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from designer.analysis import analyse, analyse_fully
from designer.layout.site import bed_footprint
from designer.model.catalogue import load_catalogue
from designer.model.design import Design, Point
from designer.model.file import format_design, parse_design
from designer.model.parts import BucketPart
from designer.sketch import (
    OBSTACLE_NAMES,
    Answers,
    SketchError,
    fresh_obstacle,
    fresh_reservoir,
    fresh_run,
    sketch,
)
from designer.stand.lifting import LOAD_CONSTANT
from designer.units import UnitSystem, parse_length
from tests.beds import not_good
from tests.strategies import crop_ids, own_buckets, part_ids

CATALOGUE = load_catalogue()
BUCKETS = [part.id for part in CATALOGUE.of_kind("bucket")]


@pytest.mark.parametrize("units", ["metric", "imperial"])
@pytest.mark.parametrize("crop", CATALOGUE.crops)
@pytest.mark.parametrize("bucket", BUCKETS)
def test_every_crop_in_every_bucket_makes_a_good_bed(
    units: UnitSystem, crop: str, bucket: str
) -> None:
    for count, reservoir in ((1, "end"), (7, "beside")):
        design = sketch(
            Answers(buckets=count, crop=crop, bucket=bucket, units=units, reservoir=reservoir)  # type: ignore[arg-type]
        )
        assert not_good(analyse_fully(design)) == []
        assert sum(len(run.buckets) for run in design.runs) == count


SMALL = st.builds(
    Answers,
    buckets=st.integers(1, 25),
    crop=crop_ids(),
    bucket=part_ids("bucket"),
    units=st.sampled_from(["metric", "imperial"]),
    paper=st.sampled_from([None, "a4", "letter"]),
    reservoir=st.sampled_from(["end", "beside"]),
)


@settings(max_examples=20)
@given(SMALL)
def test_any_answers_make_a_good_bed_that_can_be_saved(answers: Answers) -> None:
    design = sketch(answers)
    assert not_good(analyse_fully(design)) == []
    text = format_design(design)
    assert format_design(parse_design(text)) == text
    assert design.units == answers.units
    assert design.paper == (answers.paper or ("a4" if answers.units == "metric" else "letter"))


@pytest.mark.parametrize("count", [31, 77, 200])
@pytest.mark.parametrize("crop", ["tomato", "squash"])
@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_large_beds_are_good_as_well(count: int, crop: str, units: UnitSystem) -> None:
    design = sketch(Answers(buckets=count, crop=crop, units=units))
    assert not_good(analyse_fully(design)) == []
    assert sum(len(run.buckets) for run in design.runs) == count


@settings(max_examples=20)
@given(part=own_buckets("own-1"), count=st.integers(1, 20))
def test_a_measured_bucket_is_used_and_kept_with_the_design(part: BucketPart, count: int) -> None:
    """A small one may hold too little water for its plants, and one that weighs more than 23 kg
    wet cannot be lifted alone, which is said; all else is good."""
    design = sketch(Answers(buckets=count, bucket=part))
    assert design.own_parts == (part,)
    assert design.runs[0].bucket == part.id
    analysis = analyse_fully(design)
    lift = analysis.stands["r1"].lift
    assert lift is not None
    heavy = {"bucket-lifting"} if lift.mass > LOAD_CONSTANT else set()
    assert set(not_good(analysis)) - {"reserve"} == heavy
    assert analysis.counts["must_fix"] == 0


@settings(max_examples=20)
@given(
    space=st.floats(300, 20_000),
    units=st.sampled_from(["metric", "imperial"]),
    crop=crop_ids(),
    reservoir=st.sampled_from(["end", "beside"]),
)
def test_a_bed_asked_for_by_its_space_fits_in_it_with_its_reservoir(
    space: float, units: UnitSystem, crop: str, reservoir: Literal["end", "beside"]
) -> None:
    answers = Answers(space_length=space, crop=crop, units=units, reservoir=reservoir)
    try:
        design = sketch(answers)
    except SketchError as error:
        said = re.search("too short .* at least (.*)\\.$", str(error))
        needed = parse_length(said[1], units)  # type: ignore[index]
        assert needed > space
        assert len(sketch(replace(answers, space_length=needed)).runs[0].buckets) == 1
        return
    assert length_along_the_bed(design) <= space + 1e-6
    assert not_good(analyse_fully(design)) == []


def length_along_the_bed(design: Design) -> float:
    """From the reservoir's outer wall, or the first block, to the last block, mm."""
    analysis = analyse(design)
    assert analysis.reservoir
    rim, wall = analysis.reservoir.rim.bounds, analysis.reservoir.part.wall
    ends = [rim[0] - wall, rim[2] + wall]
    for layout in analysis.runs:
        half = layout.parts.block.width / 2  # the end blocks stand half beyond the rails
        ends += [layout.run.start.x - half, layout.run.start.x + layout.run.length + half]
        for place in layout.places:
            ends += [place.x - place.part.rim_diameter / 2, place.x + place.part.rim_diameter / 2]
    return max(ends) - min(ends)


def test_a_reservoir_beyond_the_end_takes_its_length_off_the_bed() -> None:
    """A tote of 120 L is 760 mm long over its rim: with it there are three buckets fewer."""
    beyond = sketch(Answers(space_length=3000.0))
    beside = sketch(Answers(space_length=3000.0, reservoir="beside"))
    assert len(beyond.runs[0].buckets) == 5
    assert len(beside.runs[0].buckets) == 8


@pytest.mark.parametrize("count", [4, 20, 45])
def test_a_reservoir_beside_the_bed_leaves_a_path_and_its_drain_turns_square(count: int) -> None:
    analysis = analyse(sketch(Answers(buckets=count, reservoir="beside")))
    assert analysis.reservoir
    feet = [bed_footprint(layout) for layout in analysis.runs]
    gap = min(analysis.reservoir.rim.distance(foot) for foot in feet)
    assert gap >= analysis.catalogue.limit("path_width")
    for layout in analysis.runs:
        points = layout.return_points
        assert all(a[0] == b[0] or a[1] == b[1] for a, b in pairwise(points))


@pytest.mark.parametrize(("units", "pitch", "says"), [
    ("metric", 12.0, ("12 mm", "at least 250 mm")),
    ("metric", 249.0, ("249 mm", "at least 250 mm")),
    ("imperial", 9 * 25.4, ('9"', 'at least 9 7/8"')),
])  # fmt: skip
def test_a_pitch_too_small_for_the_bucket_is_refused_with_the_least_one(
    units: UnitSystem, pitch: float, says: tuple[str, str]
) -> None:
    with pytest.raises(SketchError) as told:
        sketch(Answers(buckets=6, pitch=pitch, units=units))
    assert all(words in str(told.value) for words in says), told.value
    least = parse_length(str(told.value).split("at least ")[1].rstrip("."), units)
    assert sketch(Answers(buckets=6, pitch=least, units=units)).runs[0].pitch == least


@pytest.mark.parametrize(("units", "says"), [("metric", "200 mm"), ("imperial", '7 7/8"')])
def test_too_short_a_space_is_said_in_one_sentence_with_what_is_needed(
    units: UnitSystem, says: str
) -> None:
    with pytest.raises(SketchError) as told:
        sketch(Answers(space_length=200.0, units=units))
    text = str(told.value)
    assert says in text
    assert "needs at least" in text
    assert text.endswith(".")
    assert text.count(". ") == 0


@pytest.mark.parametrize(
    "answers",
    [
        Answers(),
        Answers(buckets=0),
        Answers(buckets=-3),
        Answers(buckets=1001),
        Answers(buckets=3, pitch=0.0),
        Answers(buckets=3, pitch=-5.0),
        Answers(buckets=3, pitch=1e9),
    ],
)
def test_answers_that_make_no_bed_are_said_in_one_sentence(answers: Answers) -> None:
    with pytest.raises(SketchError, match=r"^[A-Z][^.]*\.$"):
        sketch(answers)


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_a_wider_pitch_is_kept(units: UnitSystem) -> None:
    design = sketch(Answers(buckets=5, pitch=600.0, units=units))
    stations = [bucket.station for bucket in design.runs[0].buckets]
    assert stations == [3000.0, 2400.0, 1800.0, 1200.0, 600.0]
    assert not_good(analyse_fully(design)) == []


def test_many_buckets_are_shared_among_runs_with_a_path_between() -> None:
    design = sketch(Answers(buckets=100))
    counts = [len(run.buckets) for run in design.runs]
    assert sum(counts) == 100
    assert max(counts) - min(counts) <= 1
    analysis = analyse(design)
    ys = sorted(run.start.y for run in design.runs)
    free = min(b - a for a, b in pairwise(ys)) - 2 * analysis.runs[0].half_width
    assert free >= analysis.catalogue.limit("path_width")


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_single_things_start_with_sensible_values(units: UnitSystem) -> None:
    design = Design(title="", units=units)
    run = fresh_run(design, Point(0.0, 0.0), 90.0)
    assert run.buckets == ()
    assert run.heading == 90.0
    with_run = replace(design, runs=(run,))
    reservoir = fresh_reservoir(with_run, Point(-900.0, 0.0))
    full = replace(with_run, reservoir=reservoir)
    text = format_design(full)
    assert format_design(parse_design(text)) == text
    assert {f.rule for f in analyse(full).findings if f.state == "must_fix"} <= {
        "outfall-inside-rim", "outfall-above-water", "drain-over-rim",
    }  # fmt: skip


@pytest.mark.parametrize("kind", OBSTACLE_NAMES)
def test_a_second_obstacle_of_a_kind_has_a_name_of_its_own(kind) -> None:  # type: ignore[no-untyped-def]
    design = Design(title="")
    first = fresh_obstacle(design, kind, Point(0, 0))
    second = fresh_obstacle(replace(design, obstacles=(first,)), kind, Point(0, 0))
    assert first.id != second.id
    assert first.name != second.name


@pytest.mark.parametrize("kind", OBSTACLE_NAMES)
@pytest.mark.parametrize(("units", "step"), [("metric", 50.0), ("imperial", 25.4)])
def test_a_new_obstacle_has_a_round_size_in_the_persons_units(kind, units, step) -> None:  # type: ignore[no-untyped-def]
    made = fresh_obstacle(Design(title="", units=units), kind, Point(0, 0))
    for size in (made.width, made.depth):
        assert size / step == pytest.approx(round(size / step))
