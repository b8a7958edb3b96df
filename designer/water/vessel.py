"""The reservoir and the buckets as vessels that stand at levels. SI: m, m3."""

from dataclasses import dataclass

from designer.layout.vessel import Vessel


@dataclass(frozen=True, slots=True, kw_only=True)
class Reservoir:
    """A vessel and its water lines, as levels in m above the datum that all levels share.

    `full_level`: where the person fills it to. `low_water_level`: where it is to be topped up.
    `pump_level`: below it the pump draws air. Raises ValueError where they are out of order.
    """

    vessel: Vessel
    floor_level: float
    pump_level: float
    low_water_level: float
    full_level: float

    def __post_init__(self) -> None:
        if not (
            self.floor_level
            <= self.pump_level
            <= self.low_water_level
            <= self.full_level
            <= self.rim_level
        ):
            raise ValueError(
                "the reservoir's levels must rise in this order: floor, pump, low water, full, rim"
            )

    @property
    def rim_level(self) -> float:
        """Level of the rim, m."""
        return self.floor_level + self.vessel.height

    def volume(self, level: float) -> float:
        """Water in m3 when it stands at `level`; held between floor and rim."""
        return self.vessel.volume(level - self.floor_level)

    def level(self, volume: float) -> float:
        """Level in m at which the reservoir holds `volume` m3; held between floor and rim."""
        return self.floor_level + self.vessel.depth(volume)

    @property
    def working_volume(self) -> float:
        """Water between full and low water, m3: what plants may use between top-ups."""
        return self.volume(self.full_level) - self.volume(self.low_water_level)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bucket:
    """A bucket with its medium, placed: what water its pores hold between two levels.

    Levels in m above the shared datum. `floor_level`: inside floor. `invert_level`: lowest point of
    the outlet's bore, below which the sump stays. `medium_level`: top of the medium.
    `pore_share`: share of the medium's volume that free water can fill, 0 to 1; above the medium
    the whole section counts. Raises ValueError where levels are out of order.
    """

    name: str
    vessel: Vessel
    floor_level: float
    invert_level: float
    medium_level: float
    pore_share: float

    def __post_init__(self) -> None:
        if not self.floor_level <= self.invert_level <= self.rim_level:
            raise ValueError(f"{self.name}: the outlet must lie between the floor and the rim")
        if not self.floor_level <= self.medium_level <= self.rim_level:
            raise ValueError(f"{self.name}: the medium must end between the floor and the rim")
        if not 0 < self.pore_share <= 1:
            raise ValueError(f"{self.name}: the share of pores must be above 0 and at most 1")

    @property
    def rim_level(self) -> float:
        """Level of the rim, m."""
        return self.floor_level + self.vessel.height

    def water(self, level: float) -> float:
        """Water in m3 from the floor to a free surface at `level`; held between floor and rim."""
        whole = self.vessel.volume(level - self.floor_level)
        in_medium = self.vessel.volume(min(level, self.medium_level) - self.floor_level)
        return whole - (1 - self.pore_share) * in_medium

    def water_between(self, low: float, high: float) -> float:
        """Water in m3 that raises the free surface from `low` to `high`; none where low > high."""
        return max(self.water(high) - self.water(low), 0.0)

    @property
    def sump_water(self) -> float:
        """Water below the outlet's invert, m3: what stays when the bucket has drained."""
        return self.water(self.invert_level)

    @property
    def medium_above_sump(self) -> float:
        """Volume of the medium above the outlet's invert, m3, its pores counted."""
        to_medium = self.vessel.volume(self.medium_level - self.floor_level)
        return max(to_medium - self.vessel.volume(self.invert_level - self.floor_level), 0.0)
