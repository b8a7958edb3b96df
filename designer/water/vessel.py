"""Level and volume of tapered vessels: buckets, barrels and totes. SI: m, m2, m3.

With straight sides the length and the width of the section both grow in a straight line with the
depth z, so the section is A(z) = c (l0 + a z)(w0 + b z), where c is pi/4 for a round or oval vessel
and 1 for a box, and volumes and emptying times are exact.
"""

from dataclasses import dataclass
from math import isfinite, pi

# Volumes are matched this closely, as a share of the water.
_VOLUME_TOLERANCE = 1e-15
_MOST_ROUNDS = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class Vessel:
    """A straight-sided tapered vessel by its inside sizes in m; a round one gives diameters.

    Raises ValueError where a size is not a positive number.
    """

    base_length: float
    base_width: float
    rim_length: float
    rim_width: float
    height: float
    round: bool = False

    def __post_init__(self) -> None:
        sizes = (self.base_length, self.base_width, self.rim_length, self.rim_width, self.height)
        if not all(isfinite(size) and size > 0 for size in sizes):
            raise ValueError("every size of a vessel must be a number above zero")

    @property
    def section_terms(self) -> tuple[float, float, float]:
        """(c0, c1, c2) of the section A(z) = c0 + c1 z + c2 z2, in m2, m and 1."""
        shape = pi / 4 if self.round else 1.0
        longer = (self.rim_length - self.base_length) / self.height
        wider = (self.rim_width - self.base_width) / self.height
        return (
            shape * self.base_length * self.base_width,
            shape * (self.base_length * wider + self.base_width * longer),
            shape * longer * wider,
        )

    @property
    def capacity(self) -> float:
        """Volume to the rim, m3."""
        return self.volume(self.height)

    def section(self, depth: float) -> float:
        """Area of the water surface at `depth` m above the floor, m2."""
        depth = self._within(depth)
        c0, c1, c2 = self.section_terms
        return c0 + depth * (c1 + depth * c2)

    def volume(self, depth: float) -> float:
        """Volume to `depth` m above the floor, m3; the depth is held between floor and rim."""
        depth = self._within(depth)
        c0, c1, c2 = self.section_terms
        return depth * (c0 + depth * (c1 / 2 + depth * c2 / 3))

    def depth(self, volume: float) -> float:
        """Depth in m at which the vessel holds `volume` m3, held between floor and rim.

        The root of the cubic by Newton's method kept within a bracket: its closed form loses
        digits in a vessel of little taper.
        """
        capacity = self.capacity
        if not volume > 0:
            return 0.0
        if volume >= capacity:
            return self.height
        low, high = 0.0, self.height
        depth = self.height * volume / capacity
        for _ in range(_MOST_ROUNDS):
            error = self.volume(depth) - volume
            if abs(error) <= _VOLUME_TOLERANCE * volume:
                break
            low, high = (low, depth) if error > 0 else (depth, high)
            nearer = depth - error / self.section(depth)
            if not low < nearer < high:
                nearer = (low + high) / 2
            if nearer == depth:
                break
            depth = nearer
        return depth

    def _within(self, depth: float) -> float:
        return min(max(depth, 0.0), self.height)


def round_vessel(base_diameter: float, rim_diameter: float, height: float) -> Vessel:
    """A round tapered vessel by its inside diameters and height in m."""
    return Vessel(
        base_length=base_diameter,
        base_width=base_diameter,
        rim_length=rim_diameter,
        rim_width=rim_diameter,
        height=height,
        round=True,
    )


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
