"""The drain as built: slopes on rounded shims, tips and rims above the invert, the water in it."""

from dataclasses import replace

import pytest

from designer.model import edits
from designer.model.design import Design
from designer.water.bed.drains import hole_rim, inverts_as_built
from designer.water.bed.feed import LITRES_PER_HOUR
from designer.water.drain import Regime, drain_profile
from designer.water.drain_limits import with_slope
from tests.beds import bed
from tests.water.bed.solved import two_runs, water_of


def slopes(design: Design) -> list[float]:
    return [stretch.slope for stretch in water_of(design).drains["r1"].line.stretches]


def test_the_drain_falls_as_its_shims_make_it() -> None:
    """900 mm with a fall of 30 mm on shims of 0, 15 and 30 mm: 15 / 450; the return path falls
    9 mm over 270 mm. Both are 1 in 30."""
    assert slopes(bed(2)) == pytest.approx([1 / 30, 1 / 30, 1 / 30])


def test_rounded_shims_make_other_slopes_than_designed() -> None:
    """A fall of 25 mm wants 0, 12.5 and 25 mm; a person packs 0, 12 and 25 mm (halves to even):
    13 / 450 above and 12 / 450 below, the capped end first."""
    assert slopes(edits.set_fall(bed(2), "r1", 25.0))[:2] == pytest.approx([13 / 450, 12 / 450])


def test_beyond_the_outermost_supports_the_pipe_goes_on_straight() -> None:
    design = edits.set_run_part(bed(2), "r1", "stand", supports=(300.0, 600.0))
    built = inverts_as_built(water_of(design).runs[0])
    stations, levels = zip(*built, strict=True)
    assert stations == (0.0, 300.0, 600.0, 900.0)
    assert levels == pytest.approx([193.0, 203.0, 213.0, 223.0])


@pytest.mark.parametrize("supports", [(), (450.0,), (-200.0, 450.0, 5000.0), (450.0, 450.001)])
def test_with_fewer_than_two_supports_it_falls_as_designed(supports: tuple[float, ...]) -> None:
    design = edits.set_run_part(bed(2), "r1", "stand", supports=supports)
    assert slopes(design)[:-1] == pytest.approx([30 / 900])


def test_a_drain_cannot_be_packed_below_the_blocks() -> None:
    """A fall of -20 mm would need shims of -10 and -20 mm; without any the pipe lies level."""
    assert slopes(edits.set_fall(bed(2), "r1", -20.0))[:2] == pytest.approx([0.0, 0.0])


def test_a_tip_hangs_by_its_tail_above_the_invert() -> None:
    """Rails at 260 mm, outlet 75 mm up, elbow drop 11 mm: socket at 324 mm. An 85 mm tail ends at
    239 mm. Blocks at 190 mm, shims of 20 and 10 mm at 600 and 300 mm, wall 3 mm: inverts at 213 and
    203 mm, so tips 26 and 36 mm above them, 300 and 600 mm from the capped end."""
    inflows = water_of(bed(2)).drains["r1"].line.inflows
    assert [(i.distance, i.tip) for i in inflows] == [
        (pytest.approx(0.3), pytest.approx(0.026)),
        (pytest.approx(0.6), pytest.approx(0.036)),
    ]


def test_a_tail_that_is_too_long_ends_on_the_bottom() -> None:
    design = edits.set_tails(bed(2), "r1", "common", 200.0)
    assert [i.tip for i in water_of(design).drains["r1"].line.inflows] == [0.0, 0.0]


def test_the_edge_of_a_hole_sags_below_the_crown() -> None:
    """63 mm pipe, 25 mm hole: 31.5 - sqrt(31.5² - 12.5²) = 2.59 mm; 63 - 3 - 2.59 = 57.41 mm."""
    assert hole_rim(water_of(bed(2)).runs[0]) == pytest.approx(57.41, abs=0.01)


def test_stations_run_from_the_capped_end_to_below_the_outlet_end() -> None:
    drain = water_of(bed(2)).drains["r1"]
    stations = [point[0] for point in drain.points]
    assert stations[0] == pytest.approx(900.0)
    assert stations[-1] == pytest.approx(-270.0)
    assert stations == sorted(stations, reverse=True)


def test_all_that_is_pumped_leaves_by_the_drains() -> None:
    for design in (bed(6), two_runs()):
        water = water_of(design)
        out = sum(drain.points[-1][2] for drain in water.drains.values())
        assert out == pytest.approx(sum(water.feed.flows.values()), rel=1e-9)


def test_flow_grows_at_each_hole_towards_the_outlet() -> None:
    water = water_of(bed(6))
    flows = [point[2] for point in water.drains["r1"].points]
    assert flows[0] == 0.0
    assert flows == sorted(flows)
    assert water.drains["r1"].line.flow == pytest.approx(sum(water.feed.flows.values()) / 3.6e6)


def test_the_reservoir_holds_the_drain_up_once_it_stands_over_the_outfall() -> None:
    """The outfall's invert lies at 193 - 9 = 184 mm. With the tote on the ground its full level is
    at 320 mm: 136 mm of water stand over the invert, more than the bore."""
    drain = water_of(edits.set_reservoir(bed(2), sunk=0.0)).drains["r1"]
    assert drain.tail_depth == pytest.approx(0.136)
    assert drain.profile.regime is Regime.FULL
    assert water_of(bed(2)).drains["r1"].tail_depth == 0.0


def test_both_ways_of_reckoning_friction_agree_within_a_fifth() -> None:
    """n = 0.010 is a mild margin over new smooth pipe."""
    depths = [
        water_of(edits.set_water(edits.set_fall(bed(8), "r1", 26.0), drain_friction=law))
        .drains["r1"].fullest[1]
        for law in ("manning", "darcy")
    ]  # fmt: skip
    assert depths[0] == pytest.approx(depths[1], rel=0.2)


def test_the_smallest_fall_is_enough_and_a_little_less_is_not() -> None:
    drain = water_of(edits.set_reservoir(bed(12), pump="pump-large")).drains["r1"]
    fall = drain.smallest_fall(0.3)
    assert fall is not None
    slope = fall / drain.layout.run.length

    def fullest(slope: float) -> float:
        line = with_slope(drain.line, slope, range(4))
        return float(drain_profile(line).fill.max())

    assert len(drain.line.stretches) == 4 + 1  # between five supports, and the return path
    assert fullest(slope) <= 0.3 < fullest(0.99 * slope)


def test_still_water_fills_the_drain_from_its_outfall_up() -> None:
    """Above the crown at the capped end all is full: pi/4 57² mm² x 1170 mm = 2.986 L."""
    drain = water_of(bed(2)).drains["r1"]
    assert drain.volume_below(0.1) == 0.0
    assert drain.volume_below(0.5) * 1e3 == pytest.approx(2.986, abs=1e-3)
    rising = [drain.volume_below(level / 1000) for level in range(180, 300, 5)]
    assert rising == sorted(rising)


def test_a_blocked_drain_spills_by_its_lowest_hole_long_before_a_rim() -> None:
    """A tail stands loose in its hole. The holes' edges are 57.4 mm over inverts at 203 and 213 mm,
    the buckets' rims at 625 mm. The pipe below 260.4 mm holds at most 2.99 L; at 31.3 L/h that is
    less than 5.8 minutes."""
    water = water_of(bed(2))
    found = water.blocked("r1")
    assert found is not None
    assert (found.bucket_id, found.by_hole) == ("b2", True)
    assert found.seconds is not None
    assert 200 < found.seconds < 2.99 / water.feed.flow * 3600


def test_a_blocked_drain_spills_over_a_rim_that_is_lower_still() -> None:
    design = edits.set_run_part(bed(2), "r1", "drain", packing=500.0)
    found = water_of(design).blocked("r1")
    assert found is not None
    assert not found.by_hole


def test_a_reservoir_too_small_for_the_drain_runs_down_first() -> None:
    design = edits.set_reservoir(bed(2), freeboard=374.0)
    found = water_of(design).blocked("r1")
    assert found is not None
    assert found.bucket_id is None


def test_turning_a_run_about_changes_nothing_in_its_drain() -> None:
    """Only levels and lengths count: the run heads elsewhere, its return path turned with it."""
    design = bed(4)
    run = design.runs[0]
    turned = replace(
        design, runs=(replace(run, heading=180.0, return_path=(replace(run.start, x=270.0),)),)
    )
    flat = replace(turned, reservoir=design.reservoir)
    a, b = water_of(design).drains["r1"], water_of(flat).drains["r1"]
    assert [s.slope for s in a.line.stretches] == [s.slope for s in b.line.stretches]
    assert a.line.length == pytest.approx(b.line.length)


def test_a_bore_typed_away_is_held_to_a_straw() -> None:
    design = bed(2)
    pipe = water_of(design).runs[0].parts.drain
    odd = edits.keep_own_part(design, replace(pipe, wall=pipe.outside_diameter))
    drain = water_of(odd).drains["r1"]
    assert drain.line.section.height == pytest.approx(1e-3)
    assert drain.line.flow == pytest.approx(
        sum(water_of(odd).feed.flows.values()) * LITRES_PER_HOUR
    )
