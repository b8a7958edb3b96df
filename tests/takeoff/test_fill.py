"""Filling the bed: medium by the bucket and the bag, nutrient by label and by EC, windows."""

from dataclasses import replace
from math import ceil

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from designer.analysis import analyse
from designer.model import edits
from designer.model.design import Design, Fill
from designer.takeoff.fill import fill_plan
from designer.takeoff.media import medium_needs, solution_volumes
from tests.beds import bed
from tests.strategies import designs

MIXED = Fill(
    bags=(50.0, 113.3), label_rate=2.0, rate_ec=0.8, water_ec=0.4, target_ec=2.0, settling=10.0
)


def filled(fill: Fill, buckets: int = 10) -> Design:
    return replace(bed(buckets), fill=fill)


def test_what_is_poured_into_a_bucket_is_more_than_what_stays_by_what_settles() -> None:
    plan = fill_plan(analyse(filled(MIXED)))
    (alike,) = plan.buckets
    assert alike.buckets == plan.bucket_count == 10
    assert alike.poured == pytest.approx(alike.settled / 0.9)
    (medium,) = plan.media
    assert alike.poured * 10 == pytest.approx(medium.need.to_buy)


def test_bags_hold_all_that_is_poured_and_say_what_stays_over() -> None:
    (medium,) = fill_plan(analyse(filled(MIXED))).media
    bought = sum(size * n for size, n in medium.bags)
    assert bought >= medium.need.to_buy
    assert medium.left_over == pytest.approx(bought - medium.need.to_buy)
    (small, _), (large, buckets) = medium.fills
    assert (small, large) == (50.0, 113.3)
    assert buckets == pytest.approx(113.3 / (medium.need.to_buy / 10))


def test_without_sizes_there_are_no_bags_but_the_litres_are_known() -> None:
    (medium,) = fill_plan(analyse(filled(Fill()))).media
    assert medium.bags == medium.fills == ()
    assert medium.left_over == 0
    assert medium.need.to_buy > medium.need.filled > 0


def test_the_labels_rate_doses_the_first_fill_and_a_full_reservoir() -> None:
    analysis = analyse(filled(Fill(label_rate=2.5)))
    plan, volumes = fill_plan(analysis), solution_volumes(analysis)
    assert plan.by_label is not None
    assert plan.by_label.first_fill == pytest.approx(2.5 * volumes.first_fill)
    assert plan.by_label.reservoir == pytest.approx(2.5 * volumes.reservoir)
    assert plan.by_ec is None
    assert plan.missing == ("rate_ec", "water_ec", "target_ec")


def test_the_dose_to_a_target_lifts_the_plain_waters_ec_to_it() -> None:
    """2 ml/L that adds 0.8 mS/cm, from 0.4 to 2.0 mS/cm: 1.6 / 0.8 x 2 = 4 ml/L."""
    plan = fill_plan(analyse(filled(MIXED)))
    assert plan.missing == ()
    assert plan.by_ec is not None
    assert plan.by_ec.rate == pytest.approx(4.0)
    assert plan.by_ec.first_fill == pytest.approx(4.0 * plan.volumes.first_fill)
    assert plan.by_ec.over == 0


def test_water_that_is_salty_already_gets_nothing_and_says_so() -> None:
    plan = fill_plan(analyse(filled(replace(MIXED, water_ec=2.5))))
    assert plan.by_ec is not None
    assert (plan.by_ec.rate, plan.by_ec.first_fill) == (0, 0)
    assert plan.by_ec.over == pytest.approx(0.5)


def test_each_crop_of_the_bed_is_named_with_its_buckets_but_not_where_nothing_grows() -> None:
    design = bed(6)
    ids = [bucket.id for bucket in design.runs[0].buckets]
    design = edits.set_bucket(design, ids[0], crop="pepper")
    design = edits.set_bucket(design, ids[1], crop="pepper")
    design = edits.set_bucket(design, ids[2], feed="tied_off")
    crops = {need.crop.id: need for need in fill_plan(analyse(design)).crops}
    assert crops["pepper"].buckets == 2
    assert sum(need.buckets for need in crops.values()) == 5
    assert crops["pepper"].allows(0.8)
    assert not crops["pepper"].allows(0.7)


def test_an_empty_design_is_filled_with_nothing() -> None:
    plan = fill_plan(analyse(Design(title="", fill=MIXED)))
    assert plan.buckets == plan.media == plan.crops == ()
    assert plan.by_label is not None
    assert plan.by_label.first_fill == 0


@settings(max_examples=40, deadline=None)
@given(designs(max_runs=2, max_buckets=6), st.floats(0, 50))
def test_the_buckets_and_the_bags_tell_of_the_same_litres(design: Design, settling: float) -> None:
    analysis = analyse(replace(design, fill=Fill(settling=settling, bags=(10.0, 75.0))))
    plan = fill_plan(analysis)
    settled = sum(alike.settled * alike.buckets for alike in plan.buckets)
    assert settled == pytest.approx(sum(need.filled for need in medium_needs(analysis)))
    for medium in plan.media:
        assert sum(size * n for size, n in medium.bags) >= medium.need.to_buy - 1e-6
        assert sum(n for _, n in medium.bags) == ceil(medium.need.to_buy / 75.0 - 1e-9)
