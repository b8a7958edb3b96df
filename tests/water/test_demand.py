"""Plant use by the hour, top-up interval, pump energy, and notes on the solution."""

from math import nan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from designer.water.demand import (
    area_per_plant,
    crop_evapotranspiration,
    hourly_shares,
    litres_per_plant,
    minutes_for_dose,
    pump_energy,
    top_up_interval,
)
from designer.water.media import measured_porosity
from designer.water.water_quality import OXYGEN_TARGET, oxygen_saturation, water_notes


@given(st.floats(0.07, 0.5))
def test_hours_add_up_to_a_day_and_peak_at_midday(peak: float) -> None:
    shares = hourly_shares(peak)
    assert len(shares) == 24
    assert sum(shares) == pytest.approx(1.0, abs=1e-12)
    assert min(shares) >= 0
    assert shares[12] == pytest.approx(peak, rel=1e-9)
    assert max(shares) == shares[12]


def test_plants_use_nothing_by_night() -> None:
    shares = hourly_shares()
    assert sum(shares[:6]) == 0
    assert sum(shares[19:]) == 0


@pytest.mark.parametrize("peak", [0.05, 0.6, nan])
def test_a_peak_that_cannot_be_is_refused(peak: float) -> None:
    with pytest.raises(ValueError, match="hottest hour"):
        hourly_shares(peak)


@given(st.floats(0, 2), st.floats(0, 15), st.floats(0.1, 20))
def test_use_grows_with_climate_and_room(kc: float, eto: float, density: float) -> None:
    use = litres_per_plant(crop_evapotranspiration(kc, eto), area_per_plant(density))
    more = litres_per_plant(crop_evapotranspiration(kc, eto + 1), area_per_plant(density / 2))
    assert 0 <= use <= more


def test_values_that_cannot_be_are_refused() -> None:
    with pytest.raises(ValueError, match="crop coefficient"):
        crop_evapotranspiration(-1, 5)
    with pytest.raises(ValueError, match="plants per square metre"):
        area_per_plant(0)
    with pytest.raises(ValueError, match="flow of an outlet"):
        minutes_for_dose(0.3, 0.4, 0)
    with pytest.raises(ValueError, match="0 and 24"):
        pump_energy(20, 25, 0.3)
    with pytest.raises(ValueError, match="cannot drain"):
        measured_porosity(20, 10, 12)


def test_top_up_interval_is_working_water_over_daily_use() -> None:
    assert top_up_interval(60, 24) == pytest.approx(2.5)
    assert top_up_interval(60, 0) is None
    assert top_up_interval(-5, 24) == 0


def test_a_twenty_watt_pump_six_hours_a_day() -> None:
    month = pump_energy(20, 6, 0.30)
    assert month.kilowatt_hours == pytest.approx(3.6525)
    assert month.cost == pytest.approx(1.09575)


@given(st.floats(0.0, 39.0))
def test_warmer_water_holds_less_oxygen(temperature: float) -> None:
    assert oxygen_saturation(temperature + 1) < oxygen_saturation(temperature)


def test_oxygen_outside_the_known_range_is_refused() -> None:
    with pytest.raises(ValueError, match="0 to 40"):
        oxygen_saturation(45)


@pytest.mark.parametrize(
    ("temperature", "word", "warning"),
    [(16.0, "cool", False), (25.0, "warm:", False), (29.0, "too warm", True)],
)
def test_notes_say_what_is_wrong_with_the_temperature(
    temperature: float, word: str, warning: bool
) -> None:
    note = water_notes(temperature)[-1]
    assert word in note.text
    assert note.warning is warning
    assert note.source


def test_water_of_a_good_temperature_gets_the_oxygen_note_only() -> None:
    (note,) = water_notes(20.0)
    assert "9.1 mg" in note.text
    assert not note.warning
    assert oxygen_saturation(20.0) > OXYGEN_TARGET
    assert "At 68 °F" in water_notes(20.0, "imperial")[0].text
