"""The water's second step: the same whatever came before, kept where nothing of it changed, and
without numbers while it is out of date."""

import random
import re
from collections.abc import Callable

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from designer.analysis import WORKING, Analysis, analyse, analyse_fully, completed, without_water
from designer.model import edits
from designer.model.design import Design, Point
from designer.sketch import fresh_obstacle
from tests.beds import bed
from tests.model.random_edits import random_edit
from tests.strategies import designs
from tests.test_analysis import plain, same

DRY = [  # edits that leave the water as it is
    lambda d: edits.set_design(d, title="Another name"),
    lambda d: edits.set_design(d, notes="Check the grommets"),
    lambda d: edits.add_obstacle(d, fresh_obstacle(d, "post", Point(0.0, 3000.0))),
    lambda d: edits.set_outline(d, [Point(-3e3, -3e3), Point(3e3, -3e3), Point(0.0, 3e3)]),
    lambda d: edits.accept(d, "uniformity", ("reservoir",), "Near enough"),
]
WET = [  # edits that change the water, or what it says
    lambda d: edits.move_buckets(d, ["b1"], 40.0),
    lambda d: edits.set_bucket(d, "b2", feed="tied_off"),
    lambda d: edits.set_reservoir(d, pump="pump-medium"),
    lambda d: edits.set_reservoir(d, bypass=0.2),
    lambda d: edits.set_fall(d, "r1", 40.0),
    lambda d: edits.set_water(d, temperature=10.0),
    lambda d: edits.set_water(d, target_uniformity=95.0),
    lambda d: edits.set_design(d, units="imperial"),
    lambda d: edits.set_run_part(d, "r1", "manifold", valve=0.5),
    lambda d: edits.delete(d, ["b4"]),
]

Edit = Callable[[Design], Design]


def poor() -> Design:
    """A bed whose uniformity asks to be looked at again."""
    return edits.set_water(bed(12), target_uniformity=99.0)


@settings(max_examples=6, suppress_health_check=list(HealthCheck))
@given(seed=st.integers(0, 10_000), start=designs(max_runs=2, max_buckets=4))
def test_what_came_before_makes_no_difference(seed: int, start: Design) -> None:
    draw = random.Random(seed)
    analysis = analyse(start)
    for turn in range(8):
        design = random_edit(analysis.design, draw)
        analysis = analyse(design, analysis)
        if turn % 3:  # sometimes the hand is faster than the water
            analysis = completed(analysis)
            same(analysis, analyse_fully(design))
            assert (analysis.water is None) == (analyse_fully(design).water is None)


@pytest.mark.parametrize("edit", DRY)
def test_an_edit_beside_the_water_keeps_it(edit: Edit) -> None:
    first = analyse_fully(bed(4))
    after = analyse(edit(first.design), first)
    assert after.water is first.water
    assert after.water_current
    assert completed(after) is after
    same(after, analyse_fully(after.design))


@pytest.mark.parametrize("edit", WET)
def test_an_edit_of_the_water_takes_its_numbers_away_until_it_is_solved(edit: Edit) -> None:
    first = analyse_fully(bed(4))
    after = analyse(edit(first.design), first)
    assert after.water is None
    assert not after.water_current
    assert after.water_findings
    for found in after.water_findings:
        assert (found.measured, found.needed) == (WORKING, WORKING)
        assert not found.remedies
        assert not found.cases
        assert not re.search(r"\d", found.measured + found.needed)
    again = analyse(after.design, after)  # one more edit before the water comes
    assert {f.measured for f in again.water_findings} == {WORKING}
    solved = completed(again)
    assert solved.water_current
    assert WORKING not in {f.measured for f in solved.findings}
    same(solved, analyse_fully(after.design))


def test_nothing_of_the_water_is_said_before_it_was_ever_solved() -> None:
    first = analyse(bed(4))
    assert first.water is None
    assert not first.water_current
    assert first.water_findings == ()


def test_without_a_reservoir_there_is_no_water_to_wait_for() -> None:
    first = analyse_fully(bed(4))
    after = analyse(edits.delete(first.design, ["reservoir"]), first)
    assert after.water_findings == ()
    solved = completed(after)
    assert (solved.water, solved.water_current, solved.water_findings) == (None, True, ())


def test_findings_of_a_bucket_that_is_gone_are_not_kept() -> None:
    design = edits.set_water(bed(4), reserve_hours=20.0)
    first = analyse_fully(design)
    assert any("b4" in f.subjects for f in first.water_findings)
    after = analyse(edits.delete(design, ["b4"]), first)
    assert not any("b4" in f.subjects for f in after.water_findings)


def uniformity(analysis: Analysis) -> str | None:
    """The reason for which the finding was accepted."""
    (found,) = [f for f in analysis.findings if f.rule == "uniformity"]
    assert found.state == "look_again"
    return found.accepted


def test_an_acceptance_holds_while_the_water_is_kept_and_when_it_is_solved_anew() -> None:
    first = analyse_fully(poor())
    assert uniformity(first) is None
    accepted = analyse(
        edits.accept(first.design, "uniformity", ("reservoir",), "Near enough"), first
    )
    assert accepted.water_current
    assert uniformity(accepted) == "Near enough"
    assert "reservoir" not in accepted.marks
    moved = analyse(edits.move_buckets(accepted.design, ["b1"], 10.0), accepted)
    assert uniformity(moved) == "Near enough"
    assert uniformity(completed(moved)) == "Near enough"


def test_an_acceptance_taken_back_asks_again() -> None:
    accepted = analyse_fully(edits.accept(poor(), "uniformity", ("reservoir",), "Near enough"))
    back = analyse(edits.accept(accepted.design, "uniformity", ("reservoir",), ""), accepted)
    assert back.water_current
    assert uniformity(back) is None
    assert back.marks["reservoir"] == "look_again"


def test_a_reason_given_anew_is_the_one_that_stands() -> None:
    first = analyse_fully(edits.accept(poor(), "uniformity", ("reservoir",), "Near enough"))
    other = analyse(edits.accept(first.design, "uniformity", ("reservoir",), "Only lettuce"), first)
    assert uniformity(other) == "Only lettuce"


def test_a_solving_that_failed_says_so_once() -> None:
    failed = without_water(analyse(bed(3), analyse_fully(bed(4))))
    assert [f.rule for f in failed.water_findings] == ["water-solved"]
    assert not failed.water_current
    assert WORKING not in {f.measured for f in failed.findings}
    assert plain(completed(failed)) == plain(analyse_fully(bed(3)))


def test_the_same_subject_may_be_good_in_one_run_and_not_in_the_other() -> None:
    """Findings of the water are counted beside the others, worst first."""
    analysis = analyse_fully(edits.set_reservoir(poor(), freeboard=0.0))
    states = [f.state for f in analysis.findings]
    assert states == sorted(states, key=["must_fix", "look_again", "good"].index)
    assert sum(analysis.counts.values()) == len(analysis.findings)
    assert analysis.marks["reservoir"] == "must_fix"
