"""Hours without the pump, with every assumption shown."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from designer.water.demand import hourly_shares
from designer.water.power_cut import hours_from, hours_without_pump

LITRE = 1e-3


def test_hours_are_water_over_the_use_of_the_hottest_hour() -> None:
    found = hours_without_pump(1.4 * LITRE, 16 * LITRE, 0.35, 4 * LITRE)
    assert found.medium_water == pytest.approx(16 * LITRE * 0.35 * 0.4)
    assert found.peak_use == pytest.approx(0.5 * LITRE)
    assert found.hours == pytest.approx((1.4 + 2.24) / 0.5)


def test_every_number_of_the_answer_is_among_its_assumptions() -> None:
    found = hours_without_pump(1.4 * LITRE, 16 * LITRE, 0.35, 4 * LITRE, peak_share=0.15)
    stated = [(a.value, a.unit) for a in found.assumptions]
    for value, unit in [(35, "%"), (40, "%"), (15, "%"), (4, "L a day"), (1.4, "L")]:
        assert any(v == pytest.approx(value) and u == unit for v, u in stated)
    assert all(a.text and a.basis for a in found.assumptions)


def test_without_plants_there_is_no_dry_limit() -> None:
    assert hours_without_pump(LITRE, LITRE, 0.3, 0.0).hours is None
    assert hours_from(LITRE, 0.0, hourly_shares(), 8) is None


WATER = st.floats(0.0, 20 * LITRE)
USE = st.floats(0.01 * LITRE, 20 * LITRE)


@given(WATER, USE, st.floats(0.0, 23.99))
def test_a_real_day_lasts_no_shorter_than_the_hottest_hour_says(
    sump: float, use: float, start: float
) -> None:
    hottest = hours_without_pump(sump, 0.0, 0.3, use)
    real = hours_from(sump, use, hourly_shares(), start)
    assert hottest.hours is not None
    assert real is not None
    assert real >= hottest.hours * (1 - 1e-9)


@given(WATER, WATER, USE, st.floats(0.0, 23.99))
def test_more_water_lasts_longer(one: float, other: float, use: float, start: float) -> None:
    less, more = sorted((one, other))
    shares = hourly_shares()
    short, long = hours_from(less, use, shares, start), hours_from(more, use, shares, start)
    assert short is not None
    assert long is not None
    assert short <= long + 1e-9


def test_a_cut_at_dusk_lasts_until_next_morning() -> None:
    hours = hours_from(LITRE, 10 * LITRE, hourly_shares(), 20.0)
    assert hours is not None
    assert 10 < hours < 15


def test_values_that_cannot_be_are_refused() -> None:
    with pytest.raises(ValueError, match="below zero"):
        hours_without_pump(-LITRE, LITRE, 0.3, LITRE)
    with pytest.raises(ValueError, match="between 0 and 1"):
        hours_without_pump(LITRE, LITRE, 35, LITRE)
