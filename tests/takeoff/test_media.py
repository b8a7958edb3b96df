"""Medium, solution, and nutrient doses."""

from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from designer.analysis import analyse, analyse_fully
from designer.layout.volume import bucket_litres
from designer.model.catalogue import load_catalogue
from designer.model.design import Design
from designer.takeoff.media import (
    SolutionVolumes,
    bags_for,
    buckets_from,
    loose_litres,
    medium_needs,
    solution_volumes,
)
from designer.takeoff.nutrients import dose_by_label, dose_for_ec, nutrient_windows
from designer.takeoff.quantities import medium_litres
from designer.units import LITRES_PER_GALLON
from tests.beds import bed


def test_a_four_cubic_foot_bag_fills_5_98_five_gallon_buckets() -> None:
    """Unit conversion: 4 ft3 = 113.3 L in buckets of 5 US gal = 18.93 L, without settling."""
    bag = 4 * 304.8**3 / 1e6
    assert bag == pytest.approx(113.3, abs=0.05)
    assert buckets_from(bag, 5 * LITRES_PER_GALLON) == pytest.approx(5.98, rel=0.001)


def test_fifty_five_gallons_for_eight_buckets_are_26_litres_each() -> None:
    """A home builder's article (second-hand): 55 gal for 8 buckets = 6.875 gal = 26.0 L each."""
    volumes = SolutionVolumes(55 * LITRES_PER_GALLON, 0, 0, 0)
    assert volumes.per_bucket(8) / LITRES_PER_GALLON == pytest.approx(6.875)
    assert volumes.per_bucket(8) == pytest.approx(26.0, abs=0.05)


def test_what_settles_by_a_tenth_is_poured_a_ninth_more() -> None:
    assert loose_litres(90.0, 10.0) == pytest.approx(100.0)
    assert loose_litres(90.0, 0.0) == 90.0
    with pytest.raises(ValueError):
        loose_litres(90.0, 100.0)


def test_medium_follows_from_the_taper_and_the_depth_of_filling() -> None:
    analysis = analyse(bed(10))
    (need,) = medium_needs(analysis)
    assert need.buckets == 10
    assert need.filled == pytest.approx(medium_litres(analysis.runs))
    place = analysis.runs[0].places[0]
    depth, part = analysis.runs[0].run.medium_depth, place.part
    base = part.base_diameter - 2 * part.wall
    top = base + (part.top_diameter - part.base_diameter) * depth / part.height
    frustum = pi / 12 * depth * (base**2 + base * top + top**2) / 1e6
    assert need.per_bucket == pytest.approx(frustum)
    assert need.to_buy == pytest.approx(need.filled / 0.925)
    assert need.dry_mass == pytest.approx(need.to_buy * 60 / 1000)  # a density of loose medium


def test_the_fewest_bags_that_hold_enough() -> None:
    assert bags_for(205.9, [10, 50, 100]) == ((10, 1), (100, 2))
    assert bags_for(205.9, [50, 113.3]) == ((113.3, 2),)
    assert bags_for(0.0, [50]) == ()


@given(st.floats(0, 3000), st.lists(st.floats(1, 200), min_size=1, max_size=4, unique=True))
def test_bags_always_hold_enough(litres: float, sizes: list[float]) -> None:
    bags = bags_for(litres, sizes)
    assert sum(size * n for size, n in bags) >= litres - 0.06 * sum(n for _, n in bags) - 1e-6


def test_the_first_fill_is_reservoir_sumps_and_what_the_medium_drinks() -> None:
    analysis = analyse_fully(bed(10))
    volumes = solution_volumes(analysis)
    assert volumes.first_fill == volumes.reservoir + volumes.sumps + volumes.medium
    assert analysis.reservoir is not None
    assert analysis.water is not None
    sumps = sum(bucket.sump for bucket in analysis.water.buckets.values())
    assert volumes.sumps == pytest.approx(sumps)
    (need,) = medium_needs(analysis)
    assert 0 < volumes.medium < need.filled * 0.35
    place = analysis.runs[0].places[0]
    assert volumes.sumps / 10 < bucket_litres(place.part, analysis.runs[0].run.outlet.height)
    assert volumes.in_transit > solution_volumes(analyse(bed(10))).in_transit > 0
    assert volumes.running == volumes.reservoir + volumes.in_transit


def test_an_empty_design_needs_no_medium_and_no_solution() -> None:
    analysis = analyse(Design(title=""))
    assert medium_needs(analysis) == ()
    assert solution_volumes(analysis) == SolutionVolumes(0, 0, 0, 0)
    assert solution_volumes(analysis).per_bucket(0) == 0


def test_a_labels_rate_is_per_litre() -> None:
    assert dose_by_label(120.0, 2.5) == 300.0
    with pytest.raises(ValueError):
        dose_by_label(-1.0, 2.5)


def test_a_dose_lifts_the_waters_ec_to_the_target() -> None:
    """A product that adds 0.8 mS/cm at 2 ml/L: from 0.4 to 2.0 mS/cm take 4 ml/L."""
    dose = dose_for_ec(100.0, target=2.0, water=0.4, product_ec=0.8, product_rate=2.0)
    assert dose.rate == pytest.approx(4.0)
    assert dose.amount == pytest.approx(400.0)
    assert dose.over == 0


def test_water_above_the_target_gets_no_dose_and_says_by_how_much() -> None:
    dose = dose_for_ec(100.0, target=1.0, water=1.4, product_ec=0.8)
    assert (dose.rate, dose.amount) == (0, 0)
    assert dose.over == pytest.approx(0.4)
    for product in (0.0, -1.0):
        with pytest.raises(ValueError):
            dose_for_ec(100.0, 2.0, 0.4, product)


def test_every_crop_has_windows_of_ec_and_ph_with_their_sources() -> None:
    windows = nutrient_windows()
    assert set(windows) == set(load_catalogue().crops)
    for crop in windows.values():
        assert crop.ec
        assert crop.ph
        for window in (*crop.ec, *crop.ph):
            assert window.low <= window.high
            assert window.evidence.source
        low, high = crop.ec_range
        assert 0.5 < low <= high <= 5
        low, high = crop.ph_range
        assert 5 <= low <= high <= 6.5


def test_sources_that_contradict_each_other_are_shown_as_such() -> None:
    """Pepper: 0.8 to 1.8 in one table, 2.5 to 3.6 in a book; no value suits both."""
    pepper = nutrient_windows()["pepper"]
    assert pepper.ec_agreed is None
    assert pepper.ec_range == (0.8, 5.0)
    assert nutrient_windows()["squash"].ec_agreed == (1.8, 2.4)
