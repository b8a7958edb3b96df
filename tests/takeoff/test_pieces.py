"""The cut list: pieces from sticks, joints clear of holes and over supports."""

from dataclasses import replace
from itertools import accumulate

import pytest
from hypothesis import given
from hypothesis import strategies as st

from designer.analysis import Analysis, analyse
from designer.model import edits
from designer.model.design import Point
from designer.sketch import Answers, sketch
from designer.takeoff.pieces import cut_list, drain_line, rail_line, rail_pieces, stick_pieces
from designer.takeoff.ranges import bucket_ranges


def bed(**answers: object) -> Analysis:
    return analyse(sketch(Answers(**answers)))  # type: ignore[arg-type]


def test_a_pipe_shorter_than_a_stick_is_one_piece() -> None:
    assert stick_pieces(2500, 3000) == [2500]


def test_a_pipe_of_exactly_two_sticks_needs_no_third() -> None:
    assert stick_pieces(6000, 3000) == [3000, 3000]


def test_a_coupling_is_kept_clear_of_the_holes() -> None:
    """The stick would end at 3000, in the hole there; the joint goes back 70 mm from it."""
    assert stick_pieces(4000, 3000, [2700, 3000, 3300], 70) == [2930, 1070]


def test_where_holes_leave_no_clear_place_the_joint_lies_midway_between_two() -> None:
    holes = [100.0 * i for i in range(1, 40)]
    assert stick_pieces(4000, 3000, holes, 80) == [2950, 1050]


def test_a_coupling_is_kept_clear_of_the_blocks_of_a_support() -> None:
    """The thicker coupling would lift the pipe off its shim: 150 mm from the support's middle."""
    assert stick_pieces(4000, 3000, [], 0, [2950], 150) == [2800, 1200]
    assert stick_pieces(4000, 3000, [2700, 2850], 70, [2950], 150) == [2780, 1220]


def test_where_no_place_is_clear_of_both_a_hole_counts_for_more_than_a_support() -> None:
    supports = [100.0 * i for i in range(41)]
    assert stick_pieces(4000, 3000, [3000.0], 70, supports, 150) == [2930, 1070]


def test_rails_are_joined_over_a_support() -> None:
    assert rail_pieces(3900, 3000, [0, 975, 1950, 2925, 3900]) == [2925, 975]


@given(
    st.floats(50, 40_000),
    st.floats(1_000, 6_000),
    st.lists(st.floats(0, 40_000), max_size=30),
    st.floats(10, 150),
)
def test_pieces_add_up_and_none_is_longer_than_a_stick(
    length: float, stick: float, holes: list[float], keep: float
) -> None:
    for pieces in (
        stick_pieces(length, stick, holes, keep),
        stick_pieces(length, stick, holes[1:], keep, holes, 2 * keep),
        rail_pieces(length, stick, holes),
    ):
        assert sum(pieces) == pytest.approx(length)
        assert all(0 < piece <= stick + 0.02 for piece in pieces)


def test_no_coupling_lies_at_a_hole_of_a_sketched_bed() -> None:
    layout = bed(buckets=24).runs[0]
    stretch = drain_line(layout).stretches[0]
    joints = [sum(stretch[:i]) for i in range(1, len(stretch))]
    clear = layout.parts.drain_saw.diameter / 2 + layout.parts.drain.outside_diameter
    assert joints
    for place in layout.places:
        from_cap = layout.run.length - place.station
        assert min(abs(joint - from_cap) for joint in joints) >= clear - 0.02


@pytest.mark.parametrize("units", ["metric", "imperial"])
@pytest.mark.parametrize("buckets", [12, 24, 60])
def test_no_coupling_lies_on_a_support_of_a_sketched_bed(buckets: int, units: str) -> None:
    for layout in bed(buckets=buckets, units=units).runs:
        joints = list(accumulate(drain_line(layout).stretches[0]))[:-1]
        clear = layout.parts.block.width / 2 + layout.parts.drain.outside_diameter
        assert joints
        for station in layout.run.stand.supports:
            from_cap = layout.run.length - station
            assert min(abs(joint - from_cap) for joint in joints) >= clear - 0.02


def test_the_drain_line_is_as_long_as_the_drain() -> None:
    for buckets in (2, 12, 60):
        for layout in bed(buckets=buckets).runs:
            assert drain_line(layout).length == pytest.approx(layout.drain_length)


def test_corners_of_the_return_path_are_bends_and_a_straight_on_path_is_not() -> None:
    design = sketch(Answers(buckets=4))
    run = design.runs[0]
    x, y = run.start.x, run.start.y
    straight = edits.set_run(design, run.id, return_path=(Point(x - 300, y), Point(x - 600, y)))
    bent = edits.set_run(design, run.id, return_path=(Point(x - 300, y), Point(x - 300, y - 400)))
    assert drain_line(analyse(straight).runs[0]).bends == ()
    assert drain_line(analyse(straight).runs[0]).stretches == ((run.length + 600,),)
    line = drain_line(analyse(bent).runs[0])
    assert line.bends == pytest.approx((90,))
    assert line.stretches[1] == pytest.approx((400,))


def test_common_tails_are_one_line_and_graded_tails_are_several() -> None:
    design = sketch(Answers(buckets=12))
    common = [p for p in cut_list(analyse(design)) if p.kind == "tail"]
    assert [(p.count, p.use) for p in common] == [(12, "Tail, buckets A to L")]
    graded = analyse(edits.set_tails(design, "r1", "graded"))
    tails = [p for p in cut_list(graded) if p.kind == "tail"]
    assert len(tails) > 1
    assert sum(p.count for p in tails) == 12
    lengths = {round(graded.runs[0].tail_length(p), 2) for p in graded.runs[0].places}
    assert {p.length for p in tails} == lengths


def test_rails_of_the_cut_list_make_up_every_rail() -> None:
    analysis = bed(buckets=12)
    run = analysis.runs[0].run
    rails = [p for p in cut_list(analysis) if p.kind == "rail"]
    assert sum(p.length * p.count for p in rails) == pytest.approx(run.stand.rails * run.length)


def test_the_mark_of_rails_that_are_alike_is_not_read_as_the_number_of_one() -> None:
    for buckets in (2, 12, 60):
        analysis = bed(buckets=buckets)
        rails = [p for p in cut_list(analysis) if p.kind == "rail"]
        labels = [p.label for p in rails]
        assert len(set(labels)) == len(labels)
        assert all(set(p.marks) == {p.label} and len(p.marks) == p.count for p in rails)
        assert not any(label[-1].isdigit() for label in labels)
        if len(rails) == 1:
            assert labels == ["Rail"]


def test_a_longer_stick_on_sale_saves_couplings_and_a_shorter_one_takes_more() -> None:
    layout = bed(buckets=24).runs[0]
    pipe = layout.parts.drain.id
    usual, long = drain_line(layout), drain_line(layout, {pipe: (3000.0, 6000.0)})
    short = drain_line(layout, {pipe: (1500.0,)})
    assert long.couplings < usual.couplings < short.couplings
    assert max(max(stretch) for stretch in short.stretches) <= 1500.01
    assert usual.length == pytest.approx(long.length) == pytest.approx(short.length)


def test_the_rail_takes_the_stick_that_needs_no_joint() -> None:
    design = edits.set_run_length(sketch(Answers(buckets=4)), "r1", 6000.0)
    layout = analyse(design).runs[0]
    rail = layout.parts.rail.id
    assert len(rail_line(layout, {rail: (3000.0,)})) == 3
    assert rail_line(layout, {rail: (3000.0, 6000.0)}) == (6000.0,)


def test_rails_of_shorter_sticks_are_joined_over_more_supports() -> None:
    analysis = bed(buckets=12)
    layout = analysis.runs[0]
    sold = {layout.parts.rail.id: (1200.0,)}
    pieces = rail_line(layout, sold)
    supports = layout.run.stand.supports
    joints = [sum(pieces[: i + 1]) for i in range(len(pieces) - 1)]
    assert max(pieces) <= 1200.01
    assert all(min(abs(joint - s) for s in supports) < 0.02 for joint in joints)
    rails = [p for p in cut_list(analysis, sold) if p.kind == "rail"]
    assert sum(p.count for p in rails) == layout.run.stand.rails * len(pieces)


def test_sticks_too_short_to_build_from_are_no_sticks() -> None:
    layout = bed(buckets=4).runs[0]
    assert drain_line(layout, {layout.parts.drain.id: (0.5,)}) == drain_line(layout)


def test_letters_in_a_row_are_drawn_together() -> None:
    analysis = bed(buckets=6)
    ids = {letter: bucket for bucket, letter in analysis.runs[0].letters.items()}
    assert bucket_ranges(analysis, list(ids.values())) == "A to F"
    assert bucket_ranges(analysis, [ids[x] for x in "ABDEF"]) == "A, B, D to F"
    assert bucket_ranges(analysis, []) == ""


def test_letters_of_several_runs_carry_the_runs_number() -> None:
    analysis = bed(buckets=60)
    assert bucket_ranges(analysis, list(analysis.places)) == "1A to 1AD, 2A to 2AD"


def test_a_run_without_buckets_has_no_nipples_or_tails() -> None:
    design = sketch(Answers(buckets=2))
    empty = analyse(replace(design, runs=(replace(design.runs[0], buckets=()),)))
    assert {p.kind for p in cut_list(empty)} == {"drain", "rail"}
