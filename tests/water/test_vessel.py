"""Tapered vessels: level and volume are inverse, and agree with closed forms and with summing."""

from math import inf, nan, pi, sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from designer.layout.vessel import Vessel, round_vessel
from designer.water.emptying import emptying_time, siphon_flow
from designer.water.vessel import Bucket, Reservoir
from tests.water.vessels import buckets, reservoirs, vessels


def test_round_bucket_is_a_cone_cut_short() -> None:
    bucket = round_vessel(0.26, 0.29, 0.37)
    expected = pi * 0.37 / 12 * (0.26**2 + 0.26 * 0.29 + 0.29**2)
    assert bucket.capacity == pytest.approx(expected, rel=1e-14)


def test_tote_with_unlike_tapers_agrees_with_thin_slices() -> None:
    tote = Vessel(base_length=0.5, base_width=0.3, rim_length=0.62, rim_width=0.33, height=0.4)
    edges = np.linspace(0.0, 0.4, 20_001)
    middles = (edges[1:] + edges[:-1]) / 2
    slices = sum(tote.section(float(z)) for z in middles) * (edges[1] - edges[0])
    assert tote.capacity == pytest.approx(slices, rel=1e-8)


@given(vessels(), st.floats(0.0, 1.0))
def test_depth_is_the_inverse_of_volume(vessel: Vessel, share: float) -> None:
    volume = share * vessel.capacity
    assert vessel.volume(vessel.depth(volume)) == pytest.approx(volume, rel=1e-12, abs=1e-15)


@given(vessels(), st.floats(0.0, 1.0))
def test_volume_is_the_inverse_of_depth(vessel: Vessel, share: float) -> None:
    depth = share * vessel.height
    narrowest = min(vessel.section(0.0), vessel.section(vessel.height))
    tolerance = 1e-13 * vessel.capacity / narrowest
    assert vessel.depth(vessel.volume(depth)) == pytest.approx(depth, abs=tolerance)


@given(vessels(), st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_more_water_never_stands_lower(vessel: Vessel, one: float, other: float) -> None:
    less, more = sorted((one, other))
    assert vessel.depth(less * vessel.capacity) <= vessel.depth(more * vessel.capacity) + 1e-12
    assert vessel.volume(less * vessel.height) <= vessel.volume(more * vessel.height)


@given(vessels())
def test_level_never_leaves_the_vessel(vessel: Vessel) -> None:
    assert vessel.depth(-1.0) == 0.0
    assert vessel.depth(2 * vessel.capacity) == vessel.height
    assert vessel.volume(-1.0) == 0.0
    assert vessel.volume(2 * vessel.height) == vessel.capacity


@given(reservoirs(), st.floats(0.0, 1.0))
def test_reservoir_levels_share_one_datum(reservoir: Reservoir, share: float) -> None:
    level = reservoir.level(share * reservoir.vessel.capacity)
    assert reservoir.floor_level <= level <= reservoir.rim_level
    assert reservoir.volume(level) == pytest.approx(
        share * reservoir.vessel.capacity, rel=1e-9, abs=1e-12
    )
    assert reservoir.working_volume >= 0


@given(buckets(), st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_bucket_water_adds_up_between_levels(bucket: Bucket, one: float, other: float) -> None:
    low, high = sorted(bucket.floor_level + s * bucket.vessel.height for s in (one, other))
    whole = bucket.water_between(bucket.floor_level, high)
    parts = bucket.water_between(bucket.floor_level, low) + bucket.water_between(low, high)
    assert whole == pytest.approx(parts, abs=1e-12)
    assert whole <= bucket.vessel.capacity + 1e-12


def test_water_above_the_medium_fills_the_whole_section() -> None:
    bucket = Bucket(
        name="b",
        vessel=round_vessel(0.3, 0.3, 0.4),
        floor_level=0.0,
        invert_level=0.04,
        medium_level=0.35,
        pore_share=0.5,
    )
    area = pi / 4 * 0.3**2
    assert bucket.water_between(0.30, 0.40) == pytest.approx(area * (0.05 * 0.5 + 0.05))
    assert bucket.medium_above_sump == pytest.approx(area * 0.31)


@pytest.mark.parametrize("size", [0.0, -1.0, nan, inf])
def test_a_vessel_without_a_size_is_refused(size: float) -> None:
    with pytest.raises(ValueError, match="size of a vessel"):
        round_vessel(0.3, size, 0.4)


def test_reservoir_levels_out_of_order_are_refused() -> None:
    with pytest.raises(ValueError, match="order"):
        Reservoir(
            vessel=round_vessel(0.4, 0.4, 0.5),
            floor_level=0.0,
            pump_level=0.2,
            low_water_level=0.1,
            full_level=0.4,
        )


@given(vessels(), st.floats(0.05, 1.0), st.floats(0.0, 0.95))
def test_emptying_in_two_parts_takes_the_whole_time(
    vessel: Vessel, start: float, stop_share: float
) -> None:
    top, stop = start * vessel.height, start * stop_share * vessel.height
    whole = emptying_time(vessel, 1e-4, 0.6, top)
    parts = emptying_time(vessel, 1e-4, 0.6, top, stop) + emptying_time(vessel, 1e-4, 0.6, stop)
    assert whole == pytest.approx(parts, rel=1e-9)


def test_tapered_tank_empties_as_small_steps_say() -> None:
    vessel = round_vessel(0.2, 0.5, 0.6)
    area, coefficient, gravity = 2e-4, 0.62, 9.80665
    edges = np.linspace(0.05, 0.6, 20_001)
    middles = (edges[1:] + edges[:-1]) / 2
    step = edges[1] - edges[0]
    seconds = sum(
        vessel.section(float(z)) / (coefficient * area * sqrt(2 * gravity * z)) * step
        for z in middles
    )
    assert emptying_time(vessel, area, coefficient, 0.6, 0.05) == pytest.approx(seconds, rel=1e-6)


def test_a_closed_opening_never_empties_a_tank() -> None:
    assert emptying_time(round_vessel(0.3, 0.3, 0.3), 0.0, 0.6) == inf
    assert emptying_time(round_vessel(0.3, 0.3, 0.3), 1e-4, 0.6, 0.2, 0.2) == 0.0


def test_a_siphon_with_its_mouth_above_the_water_passes_nothing() -> None:
    assert siphon_flow(0.01, -0.2) == 0.0
