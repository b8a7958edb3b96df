"""What a wet bed weighs. SI: kg, m, m3, kg/m3. Every value says where it comes from."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot, pi

from designer.layout.vessel import Vessel
from designer.model.parts import Evidence

GRAVITY = 9.80665
"""Standard gravity, m/s2 (exact by definition)."""
WATER = 1000.0
"""Density of water, kg/m3; cold water and thin solution are within 1 %."""
POLYETHYLENE = 955.0
"""Density of the plastic of buckets and tubes, kg/m3; from memory."""
PVC = 1400.0
"""Density of rigid PVC pipe, kg/m3; from memory."""
CONCRETE_BLOCK = 1090.0
"""A hollow block by its outside volume, kg/m3: an 8x8x16 in block of 35 lb, the middle of the 28 to
42 lb that web pages state for normal weight (second-hand, weak)."""

WEIGHED = Evidence("measured", "weighed by the grower")


@dataclass(frozen=True, slots=True)
class Weight:
    """One thing's weight in kg, and where its value comes from."""

    name: str
    mass: float
    evidence: Evidence


def total(weights: Sequence[Weight]) -> float:
    """All weights together, kg."""
    return sum(weight.mass for weight in weights)


def shell_mass(vessel: Vessel, wall: float) -> float:
    """Mass of a round tapered bucket's wall and base, kg: their area times `wall` m times the
    density of polyethylene. A handle and a stiff rim come to about a tenth more (from memory)."""
    base, rim = vessel.base_length / 2, vessel.rim_length / 2
    side = pi * (base + rim) * hypot(vessel.height, rim - base)
    return 1.1 * (pi * base**2 + side) * wall * POLYETHYLENE


def dry_medium(volume: float, bulk_density: float) -> float:
    """Dry mass of `volume` m3 of medium, kg."""
    return volume * bulk_density


def held_water(volume: float, water_percent: float) -> float:
    """Water that `volume` m3 of drained medium holds, kg: its container capacity."""
    return volume * water_percent / 100 * WATER


def drained_mass(volume: float, bulk_density: float, water_percent: float) -> float:
    """Medium and the water it holds when drained, kg."""
    return dry_medium(volume, bulk_density) + held_water(volume, water_percent)


def water_mass(litres: float) -> float:
    """Mass of so many litres of water, kg."""
    return litres / 1000 * WATER


def full_pipe(length: float, bore: float, outside_diameter: float, density: float) -> float:
    """A pipe of `length` m filled with water, kg; its wall of `density` kg/m3."""
    section = pi / 4 * bore**2
    return length * (section * WATER + (pi / 4 * outside_diameter**2 - section) * density)


def hollow_blocks(count: int, length: float, width: float, height: float) -> float:
    """Mass of hollow concrete blocks by their outside sizes in m, kg."""
    return count * length * width * height * CONCRETE_BLOCK


@dataclass(frozen=True, slots=True)
class SoakTest:
    """What a grower finds by soaking and draining a bucket of medium, percent of its volume."""

    porosity: float
    air: float

    @property
    def water(self) -> float:
        """What the drained medium holds, percent of its volume."""
        return self.porosity - self.air


def soak_test(volume: float, filled: float, drained: float) -> SoakTest:
    """Measure a medium: of `volume` litres, `filled` litres of water soak it until it shines and
    `drained` litres run out in 10 to 15 minutes (Purdue University, pore space in soilless
    substrates). Raises ValueError where the volumes cannot be."""
    if not 0 <= drained <= filled <= volume or volume <= 0:
        raise ValueError("less water drains than was filled, and less is filled than the volume")
    return SoakTest(100 * filled / volume, 100 * drained / volume)
