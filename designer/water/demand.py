"""What the plants and the pump use: water by day and hour, top-up interval, energy.

Litres, plants, mm of water a day and hours, as growers and the tables state them.
"""

from dataclasses import dataclass
from math import asin, cos, isfinite, pi

SQUARE_FEET_PER_SQUARE_METRE = 1 / 0.3048**2
"""The international foot is exactly 0.3048 m."""
DAYS_PER_MONTH = 365.25 / 12
PEAK_HOUR_SHARE = 0.125
"""Share of a day's use in its hottest hour: 10 to 15 % is usual (from memory)."""
CENTRE_OF_DAY = 12.5
"""Middle of the hottest hour, hours from midnight (from memory)."""


def crop_evapotranspiration(coefficient: float, reference: float) -> float:
    """Crop water use ETc = Kc x ETo in mm/day (FAO Paper 56, Allen et al. 1998, Eq. 58)."""
    return _not_below_zero(coefficient, "crop coefficient") * _not_below_zero(
        reference, "reference evapotranspiration"
    )


def litres_per_plant(evapotranspiration: float, area: float) -> float:
    """Litres per plant and day from mm/day over `area` m2 per plant; 1 mm over 1 m2 is 1 litre."""
    return _not_below_zero(evapotranspiration, "evapotranspiration") * _not_below_zero(area, "area")


def area_per_plant(plants_per_square_metre: float) -> float:
    """Square metres for each plant at a density. Raises ValueError where it is not above zero."""
    if not (isfinite(plants_per_square_metre) and plants_per_square_metre > 0):
        raise ValueError("the number of plants per square metre must be above zero")
    return 1 / plants_per_square_metre


def plants_per_square_foot(plants_per_square_metre: float) -> float:
    """A density in plants/ft2 from plants/m2."""
    return plants_per_square_metre / SQUARE_FEET_PER_SQUARE_METRE


def minutes_for_dose(litres_per_area: float, area: float, litres_per_hour: float) -> float:
    """Minutes an outlet of `litres_per_hour` runs to give `litres_per_area` L/m2 over `area` m2."""
    if not litres_per_hour > 0:
        raise ValueError("the flow of an outlet must be above zero")
    return litres_per_area * area / litres_per_hour * 60


def hourly_shares(peak: float = PEAK_HOUR_SHARE) -> tuple[float, ...]:
    """Share of a day's use in each of the 24 hours from midnight; they add up to 1.

    Half a sine wave over the light part of the day, centred on 12:30, so that the hour from 12 to
    13 takes `peak`: its length follows from peak = sin(pi / (2 hours)). Night use is left out; a
    cucumber crop's was 120 to 200 g/m2 (greenhouse transpiration study, from its abstract).
    Raises ValueError where `peak` lies outside 0.07 to 0.5.
    """
    if not 0.07 <= peak <= 0.5:
        raise ValueError("the share of the hottest hour must lie between 0.07 and 0.5")
    light_hours = pi / (2 * asin(peak))
    dawn = CENTRE_OF_DAY - light_hours / 2

    def used_by(hour: float) -> float:
        share = min(max((hour - dawn) / light_hours, 0.0), 1.0)
        return (1 - cos(pi * share)) / 2

    return tuple(used_by(hour + 1) - used_by(hour) for hour in range(24))


def top_up_interval(working_litres: float, litres_per_day: float) -> float | None:
    """Days between top-ups: water between full and low water over the daily use.

    None where the plants use nothing.
    """
    if not litres_per_day > 0:
        return None
    return max(working_litres, 0.0) / litres_per_day


@dataclass(frozen=True, slots=True)
class PumpEnergy:
    """Energy of a month of 365.25 / 12 days in kWh, and its cost in the tariff's money."""

    kilowatt_hours: float
    cost: float


def pump_energy(watts: float, hours_per_day: float, tariff: float) -> PumpEnergy:
    """A month's energy and cost at `tariff` per kWh. Raises ValueError for values that cannot be.

    `watts` is what the pump draws, as its label states, not what the water gains.
    """
    _not_below_zero(watts, "pump's power")
    _not_below_zero(tariff, "tariff")
    if not 0 <= hours_per_day <= 24:
        raise ValueError("the pump's hours must lie between 0 and 24 a day")
    energy = watts / 1000 * hours_per_day * DAYS_PER_MONTH
    return PumpEnergy(energy, energy * tariff)


def _not_below_zero(value: float, name: str) -> float:
    if not (isfinite(value) and value >= 0):
        raise ValueError(f"the {name} must not be below zero")
    return value
