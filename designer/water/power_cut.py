"""Without the pump: hours until the medium is at its dry limit. SI: m3, hours.

No published number of hours was found for bucket crops, so it is computed, and every assumption
goes with the answer.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf

from designer.water.demand import PEAK_HOUR_SHARE
from designer.water.media import EASY_SHARE_OF_HELD_WATER


@dataclass(frozen=True, slots=True)
class Assumption:
    """A number an answer rests on: what it is, its value and unit, and its basis."""

    text: str
    value: float
    unit: str
    basis: str


@dataclass(frozen=True, slots=True)
class PowerCut:
    """Hours until the medium is at its dry limit in the hottest hours; None without plant use.

    `sump_water` and `medium_water` in m3 are what plants can live on; `peak_use` is m3 an hour.
    """

    hours: float | None
    sump_water: float
    medium_water: float
    peak_use: float
    assumptions: tuple[Assumption, ...]

    @property
    def water(self) -> float:
        """Sump and medium together, m3."""
        return self.sump_water + self.medium_water


def hours_without_pump(
    sump_water: float,
    medium_volume: float,
    held_share: float,
    daily_use: float,
    *,
    easy_share: float = EASY_SHARE_OF_HELD_WATER,
    peak_share: float = PEAK_HOUR_SHARE,
) -> PowerCut:
    """(sump water + easily available water in the medium) / use in the hottest hour.

    For one bucket. `sump_water`: water below the outlet's invert, m3, the pores' share only.
    `medium_volume`: medium above the sump, m3, which holds `held_share` of water once drained;
    plants take `easy_share` of that easily. `daily_use` in m3. The hottest hour is taken to last,
    so the answer errs on the short side. Standard water balance; no published hours to compare.
    Raises ValueError where a volume, use or share cannot be.
    """
    if min(sump_water, medium_volume, daily_use) < 0:
        raise ValueError("volumes and use must not be below zero")
    if not all(0 <= share <= 1 for share in (held_share, easy_share, peak_share)):
        raise ValueError("shares must lie between 0 and 1")
    medium_water = medium_volume * held_share * easy_share
    peak_use = daily_use * peak_share
    assumptions = (
        Assumption(
            "Water the medium holds after draining, of its volume",
            held_share * 100,
            "%",
            "the medium's value in the parts list",
        ),
        Assumption(
            "Part of that water which plants take easily",
            easy_share * 100,
            "%",
            "coir: 18 to 35 of 50 to 81 % (Revista Fitotecnia Mexicana, article 707); "
            "other media assumed alike",
        ),
        Assumption(
            "Share of a day's use in the hottest hour, taken to last",
            peak_share * 100,
            "%",
            "10 to 15 % is usual (from memory)",
        ),
        Assumption("Use of the plants in one bucket", daily_use * 1000, "L a day", "as entered"),
        Assumption("Water in the sump", sump_water * 1000, "L", "geometry and the medium's pores"),
    )
    hours = (sump_water + medium_water) / peak_use if peak_use > 0 else None
    if hours == inf:
        hours = None
    return PowerCut(hours, sump_water, medium_water, peak_use, assumptions)


def hours_from(
    water: float, daily_use: float, shares: Sequence[float], start_hour: float
) -> float | None:
    """Hours that `water` m3 lasts when the pump stops at `start_hour`, by the day's hourly shares.

    Longer than by the hottest hour alone, as nights use little. None where nothing is used.
    """
    day = daily_use * sum(shares)
    if not day > 0 or water / day == inf:
        return None
    hours, left = divmod(water, day)
    hours *= 24
    clock = start_hour % 24
    while left > 0:
        hour = int(clock)
        part = hour + 1 - clock
        rate = daily_use * shares[hour]
        if rate * part >= left:
            return hours + left / rate
        left -= rate * part
        hours += part
        clock = (hour + 1) % 24
    return hours
