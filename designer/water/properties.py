"""Water by temperature: density, viscosity, surface tension."""

import math
from dataclasses import dataclass
from functools import cache

from designer.water.monotone import MonotoneCurve

STANDARD_GRAVITY = 9.80665
"""Standard acceleration of gravity, m/s2 (exact by definition, CGPM 1901)."""

# °C, density kg/m3, dynamic viscosity mPa·s, surface tension mN/m, at 101.325 kPa. Computed from
# the published formulations IAPWS-95 (density), IAPWS R12-08 (viscosity) and IAPWS R1-76 (surface
# tension) with an implementation of them; 5 to 35 °C agree with a second implementation.
_TABLE = (
    (0.0, 999.843, 1.79176, 75.65),
    (4.0, 999.975, 1.56729, 75.08),
    (5.0, 999.967, 1.51817, 74.94),
    (10.0, 999.702, 1.30590, 74.22),
    (15.0, 999.103, 1.13757, 73.49),
    (18.0, 998.599, 1.05267, 73.04),
    (20.0, 998.207, 1.00160, 72.74),
    (22.0, 997.773, 0.95440, 72.43),
    (25.0, 997.048, 0.89002, 71.97),
    (28.0, 996.236, 0.83238, 71.51),
    (30.0, 995.649, 0.79722, 71.19),
    (35.0, 994.033, 0.71913, 70.40),
    (40.0, 992.216, 0.65273, 69.60),
)
COLDEST, WARMEST = _TABLE[0][0], _TABLE[-1][0]


@dataclass(frozen=True, slots=True)
class Water:
    """Fresh water at one temperature and 101.325 kPa.

    Nutrient solution is slightly denser and more viscous; no published value was at hand.
    """

    temperature: float  # °C
    density: float  # kg/m3
    dynamic_viscosity: float  # Pa·s
    surface_tension: float  # N/m

    @property
    def kinematic_viscosity(self) -> float:
        """Dynamic viscosity over density, m2/s."""
        return self.dynamic_viscosity / self.density


@cache
def _curves() -> tuple[MonotoneCurve, MonotoneCurve, MonotoneCurve]:
    temperature = [row[0] for row in _TABLE]
    return (
        MonotoneCurve(temperature, [row[1] for row in _TABLE]),
        # The logarithm is nearly straight over the temperature.
        MonotoneCurve(temperature, [math.log(row[2] * 1e-3) for row in _TABLE]),
        MonotoneCurve(temperature, [row[3] * 1e-3 for row in _TABLE]),
    )


@cache
def water_at(temperature: float) -> Water:
    """Water at a temperature in °C, interpolated in the table of published values.

    Range 0 to 40 °C; ValueError outside. Off the table's rows: density within 0.02 kg/m3,
    viscosity within 0.1 %.
    """
    if not COLDEST <= temperature <= WARMEST:
        raise ValueError(
            f"Water of {temperature:g} °C is outside the table. "
            f"Give a temperature between {COLDEST:g} and {WARMEST:g} °C."
        )
    density, log_viscosity, tension = _curves()
    return Water(
        temperature=temperature,
        density=density.value(temperature),
        dynamic_viscosity=math.exp(log_viscosity.value(temperature)),
        surface_tension=tension.value(temperature),
    )
