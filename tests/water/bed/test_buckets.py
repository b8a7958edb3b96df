"""Each bucket's water: sump, use, level band and reserve by hand; sizes typed by mistake."""

from dataclasses import replace
from math import pi

import pytest

from designer.model import edits
from designer.model.design import Design
from designer.model.parts import BucketPart
from designer.water.bed.buckets import BucketWater, pore_share
from designer.water.outlet import OutletRegime
from tests.beds import bed
from tests.water.bed.solved import stretched, water_of


def bucket(design: Design, bucket_id: str = "b1") -> BucketWater:
    return water_of(design).buckets[bucket_id]


def frustum(low: float, high: float) -> float:
    """Litres of the 20 L bucket inside its 2.2 mm wall between two heights in mm: 263.6 mm across
    at its base, 298.6 mm at its top, 365 mm up."""
    d0, d1 = (263.6 + 35.0 * z / 365 for z in (low, high))
    return pi / 12 * (high - low) * (d0**2 + d0 * d1 + d1**2) * 1e-6


def test_the_sump_is_the_pores_water_below_the_outlets_invert() -> None:
    """Hole 75 mm up, bore 17 mm: invert at 66.5 mm. 3.72 L of perlite there, and 70 % of it water:
    2.60 L."""
    assert frustum(0, 66.5) == pytest.approx(3.718, abs=1e-3)
    assert bucket(bed(2)).sump == pytest.approx(0.7 * frustum(0, 66.5), rel=1e-9)


def test_a_plants_use_is_eto_times_kc_times_its_area() -> None:
    """5 mm x 1.15 over 1 / 2.5 m² = 2.3 L a day (FAO paper 56, Eq. 58)."""
    assert bucket(bed(2)).daily_use == pytest.approx(2.3)


def test_a_typed_use_counts_for_each_plant() -> None:
    design = edits.set_water(bed(2), plant_use=0.8)
    assert bucket(design).daily_use == pytest.approx(0.8)
    lettuce = edits.set_bucket(design, "b2", crop="squash")
    assert bucket(lettuce, "b2").daily_use == pytest.approx(
        0.8 * water_of(lettuce).runs[0].places[1].crop.plants_per_bucket
    )


def test_hours_without_the_pump_are_sump_and_easy_water_over_the_hottest_hour() -> None:
    """328 mm of perlite: 16.40 L over the sump hold 10 % of easy water, 1.64 L; with the sump's
    2.60 L 4.24 L. The hottest hour takes an eighth of 2.3 L: 14.8 hours."""
    easy = 0.10 * frustum(66.5, 328.0)
    assert easy == pytest.approx(1.640, abs=1e-3)
    hours = (0.7 * frustum(0, 66.5) + easy) / (2.3 * 0.125)
    assert hours == pytest.approx(14.76, abs=0.01)
    assert bucket(bed(2)).power_cut.hours == pytest.approx(hours, rel=1e-9)
    assert water_of(bed(2)).reservoir.hours_without_pump == pytest.approx(hours, rel=1e-9)


def test_the_thirstiest_bucket_sets_the_reserve() -> None:
    design = edits.set_bucket(bed(2), "b2", crop="squash")
    water = water_of(design)
    assert water.reservoir.hours_without_pump == water.buckets["b2"].power_cut.hours
    assert water.buckets["b2"].daily_use > water.buckets["b1"].daily_use


def test_a_few_litres_an_hour_run_out_quietly_and_many_gulp() -> None:
    assert bucket(bed(2)).band.regime is OutletRegime.WEIR
    strong = bucket(edits.set_reservoir(bed(2), pump="pump-12000"))
    assert strong.flow > 83  # L/h, at which a bore of 15.8 mm stops running quietly
    assert strong.band.regime is OutletRegime.GULPING
    assert strong.low < 0 < strong.high


def test_gulping_draws_down_to_the_inner_elbows_mouth() -> None:
    """11 mm from centre to socket bottom and 16 mm of socket less half the bore of 17 mm: 18.5 mm
    below the invert."""
    strong = bucket(edits.set_reservoir(bed(2), pump="pump-12000"))
    assert strong.low == pytest.approx(-18.5)


def test_the_upper_end_of_the_band_counts_the_uncertainty() -> None:
    one = bucket(bed(2))
    assert one.high == pytest.approx(1.3 * one.band.high * 1e3)


def test_a_shut_bucket_is_dry_above_its_sump() -> None:
    one = bucket(edits.set_bucket(stretched(), "b1", feed="tied_off"))
    assert (one.flow, one.low, one.high, one.band.regime) == (0, 0, 0, OutletRegime.DRY)
    assert one.sump > 0


def test_more_medium_than_the_bucket_is_deep_ends_at_its_rim() -> None:
    one = bucket(edits.set_run(bed(2), "r1", medium_depth=5000.0))
    assert one.vessel.medium_level == one.vessel.rim_level


@pytest.mark.parametrize("height", [0.5, 5.0, 365.0, 90_000.0])
def test_an_outlet_anywhere_has_an_answer(height: float) -> None:
    one = bucket(edits.set_run_part(bed(2), "r1", "outlet", height=height))
    assert one.vessel.floor_level <= one.vessel.invert_level <= one.vessel.rim_level
    assert one.flood_flow >= 0


def test_an_outlet_at_the_rim_passes_nothing_safely() -> None:
    one = bucket(edits.set_run_part(bed(2), "r1", "outlet", height=400.0))
    assert (one.free_height, one.flood_flow) == (pytest.approx(0.0, abs=1e-9), 0.0)


def test_a_tiny_bucket_has_an_answer() -> None:
    part = BucketPart(
        id="cup", name="Cup", rim_diameter=2.0, top_diameter=2.0, base_diameter=1.0,
        height=3.0, wall=1.0,
    )  # fmt: skip
    design = edits.set_run(edits.keep_own_part(bed(2), part), "r1", bucket="cup")
    one = bucket(design)
    assert one.sump >= 0
    assert one.power_cut.hours is not None


@pytest.mark.parametrize(("held", "share"), [(10, 0.4), (35, 0.7), (76.5, 0.9)])
def test_pores_hold_what_drains_and_as_much_again(held: float, share: float) -> None:
    assert pore_share(held) == pytest.approx(share)


def test_buckets_of_their_own_part_differ() -> None:
    design = bed(2)
    part = water_of(design).runs[0].parts.bucket
    design = edits.keep_own_part(design, replace(part, id="wide", base_diameter=300.0))
    design = edits.set_bucket(design, "b2", part="wide")
    assert bucket(design, "b2").sump > bucket(design, "b1").sump
