"""Edits: what each one does, that it leaves the rest alone, and that ids stay apart."""

import random
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from designer.model import edits
from designer.model.catalogue import load_catalogue
from designer.model.design import Bucket, Design, Obstacle, Point
from designer.model.file import format_design, parse_design
from designer.sketch import fresh_obstacle, fresh_run
from tests.beds import bed
from tests.model.random_edits import random_edit

BED = bed(6)


def all_ids(design: Design) -> list[str]:
    """Every id in a design."""
    ids = [run.id for run in design.runs] + [o.id for o in design.obstacles]
    return ids + [b.id for run in design.runs for b in run.buckets]


def stations(design: Design) -> dict[str, float]:
    return {b.id: b.station for b in design.runs[0].buckets}


def wall(design: Design) -> Design:
    return edits.add_obstacle(design, fresh_obstacle(design, "wall", Point(0.0, 2000.0)))


NOTHING = {
    "move run by nothing": lambda d: edits.move_run(d, "r1", 0.0, 0.0),
    "move buckets by nothing": lambda d: edits.move_buckets(d, ["b1"], 0.0),
    "move everything by nothing": lambda d: edits.move(
        d, ["r1", "b1", "o1", "reservoir", "site"], 0.0, 0.0),
    "the same station": lambda d: edits.set_bucket(d, "b1", station=stations(d)["b1"]),
    "the same fall": lambda d: edits.set_fall(d, "r1", d.runs[0].drain.fall),
    "the same height": lambda d: edits.set_stand_height(d, "r1", d.runs[0].stand.height),
    "the same length": lambda d: edits.set_run_length(d, "r1", d.runs[0].length),
    "the same stagger": lambda d: edits.restagger(d, "r1", d.runs[0].pitch),
    "aligned already": lambda d: edits.align_to_pitch(d, ["b1", "b2"]),
    "spread already": lambda d: edits.spread_evenly(d, [f"b{n}" for n in range(1, 7)]),
    "mirror one bucket": lambda d: edits.mirror_buckets(d, ["b3"]),
    "flip no bucket": lambda d: edits.flip_buckets(d, ["b99"]),
    "the same tails": lambda d: edits.set_tails(d, "r1", "common", d.runs[0].tails.length),
    "the same sinking": lambda d: edits.set_reservoir(d, sunk=d.reservoir.sunk),
    "the same reservoir": lambda d: edits.place_reservoir(d, d.reservoir),
    "move the reservoir by nothing": lambda d: edits.move_reservoir(d, 0.0, 0.0),
    "the same wall": lambda d: edits.set_obstacle(d, "o1", width=d.obstacles[0].width),
    "no such wall": lambda d: edits.set_obstacle(d, "o9", width=1.0),
    "the same outline": lambda d: edits.set_outline(d, d.outline),
    "the same title": lambda d: edits.set_design(d, title=d.title),
    "delete nothing": lambda d: edits.delete(d, []),
    "delete what is not there": lambda d: edits.delete(d, ["b99", "site"]),
    "take back what was not accepted": lambda d: edits.accept(d, "reach", ("b1",), " "),
    "the same return": lambda d: edits.lead_return_to_reservoir(
        edits.lead_return_to_reservoir(d, "r1"), "r1"),
}  # fmt: skip


@pytest.mark.parametrize("name", NOTHING)
def test_an_edit_that_changes_nothing_gives_the_same_design(name: str) -> None:
    design = wall(BED)
    if name == "the same return":
        design = edits.lead_return_to_reservoir(design, "r1")
    assert NOTHING[name](design) is design


@settings(max_examples=30)
@given(st.integers(0, 100_000))
def test_ids_never_collide_and_every_design_can_be_saved(seed: int) -> None:
    draw = random.Random(seed)
    design = BED
    for _ in range(25):
        before = design
        design = random_edit(design, draw)
        assert design is before or design != before
        ids = all_ids(design)
        assert len(ids) == len(set(ids))
    parse_design(format_design(design))


def test_new_ids_number_on_from_the_highest_and_mind_odd_ones() -> None:
    run = BED.runs[0]
    odd = tuple(Bucket(id=i, station=1.0, side="left") for i in ("b12", "bx", "b²", "b", "b007"))
    design = edits.set_run(BED, "r1", buckets=(*run.buckets, *odd))
    assert edits.new_ids(design, "b", 3) == ["b13", "b14", "b15"]
    assert edits.new_ids(design, "o") == ["o1"]


def test_moving_a_run_takes_its_bends_along_but_not_its_outfall() -> None:
    design = bed(6, reservoir="beside")
    run = design.runs[0]
    assert len(run.return_path) == 2
    moved = edits.move_run(design, "r1", 100.0, 50.0).runs[0]
    assert moved.start == Point(100.0, 50.0)
    assert moved.return_path[0] == edits.moved(run.return_path[0], 100.0, 50.0)
    assert moved.return_path[-1] == run.return_path[-1]


def test_moving_the_reservoir_takes_the_outfall_along() -> None:
    moved = edits.move_reservoir(BED, -200.0, 30.0)
    end = BED.runs[0].return_path[-1]
    assert moved.runs[0].return_path[-1] == edits.moved(end, -200.0, 30.0)
    assert moved.runs[0].start == BED.runs[0].start


def test_buckets_slide_along_a_turned_run_by_the_part_along_it() -> None:
    design = edits.set_run(BED, "r1", heading=90.0)
    moved = edits.move(design, ["b2"], 70.0, 40.0)
    assert stations(moved)["b2"] == pytest.approx(stations(BED)["b2"] + 40.0)
    assert stations(moved)["b1"] == stations(BED)["b1"]


def test_a_longer_run_keeps_its_buckets_and_gets_supports_enough() -> None:
    longer = edits.set_run_length(BED, "r1", 6000.0)
    assert stations(longer) == stations(BED)
    supports = longer.runs[0].stand.supports
    assert supports[0] == 0.0
    assert supports[-1] == 6000.0
    assert max(b - a for a, b in pairwise(supports)) <= 1220.0


def test_stagger_starts_one_pitch_from_the_cap_and_alternates() -> None:
    buckets = edits.repeat_stagger(BED, "r1", 4).runs[0].buckets
    assert [b.station for b in buckets] == [1800.0, 1500.0, 1200.0, 900.0]
    assert [b.side for b in buckets] == ["left", "right", "left", "right"]


def test_restagger_keeps_the_buckets_and_what_was_said_of_them() -> None:
    design = edits.set_bucket(BED, "b4", crop="squash", station=10.0)
    again = edits.restagger(design, "r1", 250.0)
    assert all_ids(again) == all_ids(design)
    assert [b.crop for b in again.runs[0].buckets] == [b.crop for b in design.runs[0].buckets]
    assert stations(again)["b4"] == 2100.0 - 6 * 250.0
    assert again.runs[0].pitch == 250.0


def test_spread_evens_out_between_the_outermost() -> None:
    design = edits.set_bucket(BED, "b2", station=1750.0)
    spread = edits.spread_evenly(design, ["b1", "b2", "b3"])
    assert stations(spread)["b2"] == 1500.0
    assert (stations(spread)["b1"], stations(spread)["b3"]) == (1800.0, 1200.0)


def test_align_goes_to_the_nearest_whole_pitch_from_the_cap() -> None:
    design = edits.set_bucket(BED, "b2", station=1571.0)
    assert stations(edits.align_to_pitch(design, ["b2"]))["b2"] == 1500.0


def test_mirror_twice_and_flip_twice_come_back() -> None:
    some = ["b1", "b2", "b5"]
    for edit in (edits.mirror_buckets, edits.flip_buckets):
        assert edit(edit(BED, some), some) == BED
        assert edit(BED, some) != BED


def test_copies_stand_further_on_with_ids_of_their_own() -> None:
    design, made = edits.copy_buckets(BED, ["b1", "b2"], -40.0, 3)
    assert made == [f"b{n}" for n in range(7, 13)]
    assert stations(design)["b7"] == stations(BED)["b1"] - 40.0
    assert stations(design)["b12"] == stations(BED)["b2"] - 120.0


def test_deleting_a_thing_deletes_what_was_accepted_of_it() -> None:
    design = wall(BED)
    accepted = {
        "canopy-room": ("b1", "b2"),
        "reach": ("r1",),
        "clear-of-walls": ("b3", "o1"),
        "reservoir-freeboard": ("reservoir",),
    }
    for rule, subjects in accepted.items():
        design = edits.accept(design, rule, subjects, "I know")
    left = {
        gone: [a.rule for a in edits.delete(design, [gone]).accepted]
        for gone in ("b1", "o1", "reservoir", "r1")
    }
    assert left["b1"] == ["reach", "clear-of-walls", "reservoir-freeboard"]
    assert left["o1"] == ["canopy-room", "reach", "reservoir-freeboard"]
    assert left["reservoir"] == ["canopy-room", "reach", "clear-of-walls"]
    assert left["r1"] == ["reservoir-freeboard"]


def test_accepting_again_replaces_the_reason_and_an_empty_one_takes_it_back() -> None:
    once = edits.accept(BED, "reach", ("b1",), "I climb")
    twice = edits.accept(once, "reach", ("b1",), "  I have a ladder ")
    assert [a.reason for a in twice.accepted] == ["I have a ladder"]
    assert edits.accept(twice, "reach", ("b1",), "") == BED


def test_an_own_part_measured_again_replaces_the_first() -> None:
    pail = replace(load_catalogue().parts["pail-5-gal"], id="own-1")
    once = edits.keep_own_part(BED, pail)
    assert edits.keep_own_part(once, pail) is once
    taller = replace(pail, height=400.0)
    assert edits.keep_own_part(once, taller).own_parts == (taller,)


def test_asking_for_what_is_not_there_says_which() -> None:
    empty = Design(title="")
    with pytest.raises(KeyError, match="r9"):
        edits.set_fall(BED, "r9", 10.0)
    for edit in (
        lambda: edits.set_reservoir(empty, sunk=1.0),
        lambda: edits.move_reservoir(empty, 1.0, 1.0),
        lambda: edits.lead_return_to_reservoir(empty, "r1"),
    ):
        with pytest.raises(KeyError, match="reservoir"):
            edit()


def test_a_moved_wall_and_outline_move_alone() -> None:
    design = edits.set_outline(wall(BED), [Point(0, 0), Point(9, 0), Point(0, 9)])
    moved = edits.move(design, ["o1", "site"], 5.0, -5.0)
    assert moved.obstacles[0].place == Point(5.0, 1995.0)
    assert moved.outline[0] == Point(5.0, -5.0)
    assert moved.runs is design.runs


def test_a_second_run_gets_the_next_number() -> None:
    run = fresh_run(BED, Point(0.0, 3000.0))
    assert (run.id, run.name) == ("r2", "Run 2")
    assert isinstance(fresh_obstacle(BED, "door", Point(0, 0)), Obstacle)
