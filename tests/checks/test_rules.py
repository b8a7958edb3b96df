"""Every rule: a bed in which it reads Good, one in which it does not, with the numbers it says,
and each of its remedies, applied and taken back."""

import re
from collections.abc import Callable
from dataclasses import dataclass, replace

import pytest

from designer.analysis import analyse
from designer.checks.finding import State
from designer.model import edits
from designer.model.catalogue import load_catalogue
from designer.model.design import Design, Obstacle, Point
from designer.model.file import format_design, parse_design
from designer.model.history import History
from designer.sketch import fresh_run
from designer.units import UnitSystem, parse_length
from tests.beds import bed, finding, findings, not_good, texts


@dataclass(frozen=True)
class Wrong:
    """A change that makes one rule speak up, and what it must then say."""

    rule: str
    spoil: Callable[[Design], Design]
    state: State
    says: tuple[str, ...]
    remedies: int = 1


def run_part(group: str, **values: object) -> Callable[[Design], Design]:
    return lambda design: edits.set_run_part(design, "r1", group, **values)


def run_value(**values: object) -> Callable[[Design], Design]:
    return lambda design: edits.set_run(design, "r1", **values)


def bucket(bucket_id: str, **values: object) -> Callable[[Design], Design]:
    return lambda design: edits.set_bucket(design, bucket_id, **values)


def reservoir(**values: object) -> Callable[[Design], Design]:
    return lambda design: edits.set_reservoir(design, **values)


def with_obstacle(**values: object) -> Callable[[Design], Design]:
    made = {"id": "o1", "kind": "wall", "name": "Shed wall", "width": 2000.0, "depth": 150.0}
    return lambda design: edits.add_obstacle(design, Obstacle(**{**made, **values}))  # type: ignore[arg-type]


def outlined(x0: float, y0: float, x1: float, y1: float) -> Callable[[Design], Design]:
    corners = [Point(x0, y0), Point(x1, y0), Point(x1, y1), Point(x0, y1)]
    return lambda design: edits.set_outline(design, corners)


def second_run(y: float) -> Callable[[Design], Design]:
    def add(design: Design) -> Design:
        run = replace(fresh_run(design, Point(0.0, y)), id="r2", name="Run 2")
        design = edits.add_run(design, run)
        return edits.repeat_stagger(design, "r2", 4)

    return add


WRONG = [
    # metric bed of six: run 2100 long, buckets at 1800, 1500 .. 300, 20 L buckets 315 mm wide
    Wrong("run-has-buckets", lambda d: edits.delete(d, [f"b{i}" for i in range(1, 7)]),
          "look_again", ("no bucket yet",)),
    # b1 and b3 stand 600 apart on the left: 100 nearer leaves 500 - 315 = 185; 300 nearer -15
    Wrong("rims-clear", bucket("b3", station=1500.0), "must_fix", ("overlap by 15 mm",)),
    Wrong("rims-clear", bucket("b3", station=1480.0), "look_again", ("5 mm between", "10 mm")),
    # elbow 27 + 20 = 47 between stations; holes 25 x 2 = 50
    Wrong("outlets-clear", bucket("b2", station=1760.0), "must_fix", ("40 mm apart", "47 mm")),
    Wrong("holes-apart", bucket("b2", station=1751.0), "must_fix", ("49 mm apart", "50 mm")),
    Wrong("holes-on-pipe", bucket("b1", station=2000.0), "must_fix",
          ("hole 100 mm from the capped end", "at least 150 mm"), 2),
    Wrong("holes-on-pipe", bucket("b1", station=2140.0), "must_fix",
          ("hole 40 mm beyond the capped end",), 2),
    Wrong("holes-on-pipe", bucket("b6", station=20.0), "must_fix",
          ("hole 20 mm from the outlet end", "at least 50 mm")),
    Wrong("holes-on-pipe", bucket("b6", station=-70.0), "must_fix",
          ("hole 70 mm beyond the outlet end",)),
    Wrong("canopy-room", run_value(crop="squash"), "look_again", ("950 mm",)),
    Wrong("bucket-beside-drain", run_part("outlet", nipple_length=60.0), "must_fix",
          ("at least 20 mm",)),
    Wrong("fall-total", run_part("drain", fall=20.0), "look_again",
          ("20 mm above", "at least 26 mm")),
    Wrong("fall-total", run_part("drain", fall=-8.0), "must_fix", ("8 mm below",)),
    Wrong("fall-total", run_part("drain", fall=0.0), "must_fix", ("lies level",)),
    Wrong("return-falls", run_value(return_fall=-4.0), "must_fix", ("climbs 4 mm",)),
    Wrong("drain-supported", run_part("stand", supports=(0.0, 2100.0)), "must_fix",
          ("2100 mm without support from 0 mm on", "at most 1220 mm")),
    Wrong("drain-supported", run_part("stand", supports=()), "must_fix", ("no support",)),
    Wrong("fall-steady", run_part("stand", supports=(0.0, 10.0, 1050.0, 2100.0)), "look_again",
          ("packing 0 mm at 0 mm and 0 mm at 10 mm",)),
    Wrong("outlets-above-drain", run_part("drain", packing=60.0), "must_fix",
          ("too low over the crown",), 3),
    Wrong("tails-reach", run_part("tails", length=200.0), "must_fix", ("6 tails do not fit",)),
    Wrong("tails-reach", run_part("drain", fall=80.0), "must_fix", ("tails do not fit",), 3),
    Wrong("stand-on-ground", run_part("stand", height=40.0), "must_fix",
          ("rails end 30 mm under the ground",)),
    Wrong("outfall-above-water", reservoir(sunk=140.0), "must_fix", ("at least 20 mm",), 2),
    Wrong("drain-over-rim", reservoir(sunk=0.0), "must_fix", ("below the rim",), 2),
    Wrong("outfall-inside-rim", run_value(return_path=(Point(-30.0, 0.0),)), "must_fix",
          ("outside the rim",)),
    Wrong("saw-fits-grommet", run_part("outlet", saw="saw-40-mm"), "must_fix",
          ("40 mm hole saw for a 25 mm hole", "within 0.8 mm of 25 mm")),
    Wrong("outlet-parts-fit", run_part("outlet", grommet="grommet-25-mm"), "must_fix",
          ("Grommet for 25 mm pipe on 20 mm PVC-U pipe",)),
    Wrong("outlet-parts-fit", run_part("outlet", pipe="pvc-50-mm"), "must_fix",
          ("parts of different sizes", "50 mm")),
    Wrong("tail-fits-hole", run_part("drain", saw="saw-20-mm"), "must_fix",
          ("hole 20 mm for a tail of 20 mm", "at least 22 mm")),
    Wrong("tail-fits-hole", run_part("drain", saw="saw-30-mm"), "look_again", ("at most 28 mm",)),
    Wrong("hole-of-pipe", run_part("drain", saw="saw-40-mm"), "must_fix",
          ("hole 40 mm in 63 mm PVC-U pipe", "at most 31.5 mm")),
    Wrong("outlet-under-medium", run_value(medium_depth=110.0), "must_fix",
          ("22 mm of medium over the hole", "at least 50 mm")),
    Wrong("bucket-freeboard", run_value(medium_depth=350.0), "look_again",
          ("medium 15 mm below the rim", "at least 25 mm")),
    Wrong("bucket-freeboard", run_value(medium_depth=380.0), "must_fix",
          ("medium 15 mm over the rim",)),
    Wrong("sump", run_part("outlet", height=30.0), "look_again", ("sump 20 mm deep", "25 mm")),
    Wrong("sump", run_part("outlet", height=180.0), "look_again", ("sump 170 mm deep",)),
    Wrong("feed-tubes-reach", run_part("manifold", feed_length=300.0), "must_fix",
          ("6 feed tubes are too short", "300 mm")),
    Wrong("has-run", lambda d: edits.delete(d, ["r1"]), "must_fix", ("no run yet",), 0),
    Wrong("has-reservoir", lambda d: edits.delete(d, ["reservoir"]), "must_fix",
          ("no reservoir yet",), 0),
    Wrong("reservoir-levels", reservoir(low_water=20.0), "must_fix", ("20 mm short of cover",)),
    Wrong("reservoir-levels", reservoir(low_water=390.0), "must_fix", ("above the full level",)),
    Wrong("reservoir-freeboard", reservoir(freeboard=30.0), "look_again",
          ("full level 30 mm below the rim", "at least 50 mm")),
    Wrong("reservoir-open", lambda d: edits.move_reservoir(d, 1000.0, 300.0), "look_again",
          ("over the reservoir",)),
    Wrong("runs-clear", second_run(700.0), "must_fix", ("too close",)),
    Wrong("clear-of-walls", with_obstacle(place=Point(1000.0, 490.0)), "must_fix",
          ("Shed wall",)),
    Wrong("clear-of-walls", with_obstacle(kind="post", place=Point(1050.0, 0.0), width=100.0,
                                          depth=100.0), "must_fix",
          ("drain and rails run into Shed wall",)),
    # the drain runs from 0, 0 to the tote, whose rim begins 150 from the outlet end
    Wrong("return-clear", with_obstacle(kind="post", name="Roof post", place=Point(-80.0, 0.0),
                                        width=60.0, depth=60.0), "must_fix",
          ("the drain runs into Roof post on its way", "Move bed and reservoir by 63 mm")),
    Wrong("return-clear", lambda d: with_obstacle(
              kind="post", name="Roof post", place=Point(-600.0, 0.0), width=100.0, depth=100.0)(
              edits.move_reservoir(d, -1500.0, 0.0)), "must_fix",
          ("the drain runs into Roof post on its way", "Lead the drain round it"), 2),
    Wrong("return-clear", with_obstacle(place=Point(-75.0, 0.0), width=20.0, depth=6000.0),
          "must_fix", ("the drain runs into Shed wall",)),
    Wrong("return-clear", with_obstacle(kind="path", name="Path", place=Point(-75.0, 0.0),
                                        width=100.0, depth=3000.0), "look_again",
          ("the drain lies across Path",)),
    Wrong("reservoir-clear", with_obstacle(kind="post", name="Roof post", width=100.0, depth=100.0,
                                           place=Point(-900.0, 200.0)), "must_fix",
          ("the reservoir stands in Roof post", "mm, out of Roof post", "cannot stand where")),
    Wrong("ground-kept-free", with_obstacle(kind="path", place=Point(1000.0, 400.0)), "must_fix",
          ("things in the way",)),
    Wrong("inside-outline", outlined(-1000.0, -300.0, 3000.0, 1500.0), "must_fix",
          ("over the outline",)),
    Wrong("reach", lambda d: with_obstacle(place=Point(1000.0, 600.0), width=4000.0)(
              with_obstacle(id="o2", place=Point(1000.0, -600.0), width=4000.0)(d)), "look_again",
          ("no place to stand within reach", "at most 750 mm"), 0),
]  # fmt: skip


@pytest.mark.parametrize("wrong", WRONG, ids=lambda w: f"{w.rule}, {w.says[0]}")
def test_a_fault_is_found_with_its_numbers_and_every_remedy_mends_it(wrong: Wrong) -> None:
    spoiled = wrong.spoil(bed(6))
    found = [f for f in findings(spoiled, wrong.rule) if f.state != "good"]
    assert len(found) == 1, found
    (one,) = found
    assert one.state == wrong.state
    said = " | ".join(texts(found))
    for words in wrong.says:
        assert words in said
    assert len(one.remedies) >= wrong.remedies
    for remedy in one.remedies:
        history = History(spoiled)
        mended = remedy.apply(spoiled)
        assert history.push(mended, remedy.label)
        assert [f.state for f in findings(mended, wrong.rule) if f.state != "good"] == [], remedy
        assert parse_design(format_design(mended)) == mended
        assert history.undo()
        assert history.present is spoiled


def test_every_rule_is_tested_here() -> None:
    good = edits.set_outline(bed(6), [Point(-5e3, -5e3), Point(9e3, -5e3), Point(9e3, 5e3)])
    good = with_obstacle(place=Point(1000.0, 3000.0))(second_run(2500.0)(good))
    good = with_obstacle(id="o2", kind="door", place=Point(1000.0, -3000.0))(good)
    rules = {f.rule for f in analyse(good).findings} - {"fall-slope"}
    assert rules <= {wrong.rule for wrong in WRONG}


@pytest.mark.parametrize("rule", sorted({w.rule for w in WRONG} - {
    "has-run", "has-reservoir", "run-has-buckets", "runs-clear", "clear-of-walls",
    "ground-kept-free", "inside-outline", "reservoir-clear", "return-clear"}))  # fmt: skip
def test_a_sketched_bed_is_good_and_says_so_with_numbers(rule: str) -> None:
    found = finding(bed(6), rule)
    assert found.state == "good"
    assert found.measured
    assert found.needed
    assert found.source
    assert not found.remedies


@pytest.mark.parametrize(("spoil", "rule"), [
    (second_run(2500.0), "runs-clear"),
    (with_obstacle(place=Point(1000.0, 1500.0)), "clear-of-walls"),
    (with_obstacle(place=Point(1000.0, 1500.0)), "reservoir-clear"),
    (with_obstacle(place=Point(1000.0, 1500.0)), "return-clear"),
    (with_obstacle(kind="door", place=Point(1000.0, 1500.0)), "ground-kept-free"),
    (outlined(-2000.0, -2000.0, 4000.0, 2000.0), "inside-outline"),
])  # fmt: skip
def test_what_stands_well_clear_reads_good(spoil: Callable[[Design], Design], rule: str) -> None:
    assert finding(spoil(bed(6)), rule).state == "good"


def test_the_slope_is_only_compared_with_the_plumbing_code() -> None:
    for fall in (1.0, 30.0, 300.0):
        found = finding(edits.set_fall(bed(6), "r1", fall), "fall-slope")
        assert found.state == "good"
        assert "Plumbing" in found.source


def test_plumbing_code_asks_for_half_an_inch_in_two_feet_of_small_drain() -> None:
    """1/4 in per foot up to 2 1/2 in, 1/8 in per foot from 3 to 6 in."""
    imperial = bed(6, "imperial")
    assert "1/4 in per ft" in finding(imperial, "fall-slope").needed
    wide = edits.set_run_part(imperial, "r1", "drain", pipe="pvc-3-in")
    assert "1/8 in per ft" in finding(wide, "fall-slope").needed


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_what_falls_short_never_reads_like_what_is_needed(units: str) -> None:
    """A hair too little reads as less than is needed, in mm and in sixteenths."""
    design = bed(6, units)  # type: ignore[arg-type]
    run = design.runs[0]
    design = edits.set_bucket(design, "b1", station=run.length - 149.99)
    found = [f for f in findings(design, "holes-on-pipe") if f.state != "good"]
    assert found[0].measured.split(" from")[0].removeprefix("hole ") not in found[0].needed


def test_an_accepted_look_again_asks_no_more_until_its_subjects_change() -> None:
    design = run_value(crop="squash")(bed(3))
    found = finding(design, "canopy-room")
    accepted = edits.accept(design, *found.key, "I tie them up")
    assert finding(accepted, "canopy-room").accepted == "I tie them up"
    assert not finding(accepted, "canopy-room").open
    grown = edits.add_bucket(accepted, "r1", 50.0, "left")[0]
    assert finding(grown, "canopy-room").open


def test_a_must_fix_cannot_be_accepted() -> None:
    design = edits.set_fall(bed(3), "r1", -5.0)
    found = finding(design, "fall-total")
    assert finding(edits.accept(design, *found.key, "no"), "fall-total").accepted is None


def test_a_drain_led_round_a_post_leaves_nothing_else_to_mend() -> None:
    away = edits.move_reservoir(bed(6), -1500.0, 0.0)
    post = with_obstacle(kind="post", place=Point(-600.0, 20.0), width=100.0, depth=100.0)(away)
    for remedy in finding(post, "return-clear").remedies:
        assert not_good(analyse(remedy.apply(post))) == not_good(analyse(away)) == []


def test_a_drain_beside_a_post_and_a_feed_tube_across_one_are_left_alone() -> None:
    """A tube is bent round a post by hand; the drain has 31.5 mm to either side of its axis."""
    away = edits.move_reservoir(bed(6), -1500.0, 0.0)
    beside = with_obstacle(kind="post", place=Point(-600.0, 82.0), width=100.0, depth=100.0)(away)
    assert finding(beside, "return-clear").state == "good"
    nearer = edits.set_obstacle(beside, "o1", place=Point(-600.0, 81.0))
    assert finding(nearer, "return-clear").state == "must_fix"
    across = edits.set_run(beside, "r1", feed_path=(Point(-600.0, 82.0),))
    assert not_good(analyse(across)) == []


@pytest.mark.parametrize(("units", "y"), [("imperial", 0.3), ("imperial", 1.4), ("metric", 0.6)])
def test_the_move_from_a_wall_adds_up_with_what_is_said(units: UnitSystem, y: float) -> None:
    """15/16" and 1/16" make the 1" that is needed."""
    design = bed(2, units)
    place = next(p for p in analyse(design).runs[0].places if p.bucket.side == "left")
    edge = place.y + place.part.rim_diameter / 2 + 25.0 - y
    wall = Obstacle(id="o1", kind="wall", name="Wall", place=Point(1e3, edge + 75.0),
                    width=9e3, depth=150.0)  # fmt: skip
    found = finding(edits.add_obstacle(design, wall), "clear-of-walls")
    said = (found.measured, found.needed, found.remedies[0].label)
    patterns = ("rim (.*) from Wall", "at least (.*)", "Move Run 1 by (.*)")
    lengths = [re.fullmatch(p, text)[1] for p, text in zip(patterns, said, strict=True)]  # type: ignore[index]
    actual, needed, by = (parse_length(length, units) for length in lengths)
    assert actual + by == pytest.approx(needed)


def test_the_capped_end_is_raised_by_what_is_missing() -> None:
    found = finding(edits.set_fall(bed(6), "r1", 19.9), "fall-total")
    assert found.measured == "capped end 19 mm above the outlet end"
    assert found.needed == "at least 26 mm"
    assert found.remedies[0].label == "Raise the capped end 7 mm"


def test_why_a_limit_is_there_is_told_without_lengths_in_other_units_than_the_designs() -> None:
    lengths = re.compile(r"\d (mm|cm|m|in|ft|foot|inch)\b")
    whys = {name: limit.why for name, limit in load_catalogue().limits.items()}
    assert {name: why for name, why in whys.items() if lengths.search(why)} == {}
