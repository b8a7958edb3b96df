"""Water, air and weight of a drained growing medium. Shares of volume, 0 to 1; SI otherwise."""

from dataclasses import dataclass

from designer.water.properties import STANDARD_GRAVITY

WATER_DENSITY = 1000.0
"""kg/m3, near enough for weights."""
EASY_SHARE_OF_HELD_WATER = 0.4
"""Share of the water a drained medium holds that plants take easily.

Coir: 18 to 35 % of the volume is easily available out of 50 to 81 % held, which is 0.36 to 0.43
(Revista Fitotecnia Mexicana, article 707, seven materials). No published figure was found for
perlite, clay or pumice; the same share is assumed.
"""


@dataclass(frozen=True, slots=True)
class Porosity:
    """A medium by shares of its volume: all pores, air after draining, water after draining."""

    pores: float
    air: float
    water: float


def measured_porosity(volume: float, water_to_fill: float, drained: float) -> Porosity:
    """Pores, air and water from a jug test; the three volumes in the same unit.

    Fill until water shines at the surface, then let it drain 10 to 15 minutes (Purdue University,
    controlled environment agriculture, "Pore space in soilless substrates"). Raises ValueError
    where the numbers cannot be.
    """
    if not (volume > 0 and 0 <= drained <= water_to_fill <= volume):
        raise ValueError("more water cannot drain than went in, nor go in than the medium's volume")
    pores, air = water_to_fill / volume, drained / volume
    return Porosity(pores, air, (water_to_fill - drained) / volume)


def estimated_porosity(dry_density: float, drained_density: float) -> Porosity:
    """Pores, air and water from a medium's weight, dry in g/L and drained in g/mL.

    Pores % = 96.72 - 0.038 VW and air % = 96.72 + 0.062 VW - 100 DD, a regression over 238
    substrates (Acta Horticulturae 294, paper 2). Not for media with many closed pores, so doubtful
    for perlite and expanded clay.
    """
    pores = 96.72 - 0.038 * dry_density
    air = 96.72 + 0.062 * dry_density - 100 * drained_density
    return Porosity(pores / 100, air / 100, (pores - air) / 100)


def drained_mass(volume: float, dry_density: float, water_share: float) -> float:
    """Mass in kg of `volume` m3 of drained medium: dry kg/m3 plus the water it holds."""
    return volume * (dry_density + water_share * WATER_DENSITY)


def suction_at(height: float) -> float:
    """Suction in Pa on the water at `height` m above the foot of a drained medium: rho g h.

    The free water stands at the foot (Passioura 2006, Functional Plant Biology 33).
    """
    return WATER_DENSITY * STANDARD_GRAVITY * height
