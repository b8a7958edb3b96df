"""How long a vessel takes to run empty through an opening, and what a siphon passes. SI units."""

from math import inf, pi, sqrt

from designer.layout.vessel import Vessel
from designer.water.properties import STANDARD_GRAVITY


def emptying_time(
    vessel: Vessel,
    opening_area: float,
    discharge_coefficient: float,
    start_depth: float | None = None,
    end_depth: float = 0.0,
    gravity: float = STANDARD_GRAVITY,
) -> float:
    """Seconds for the water to fall from `start_depth` (the rim) to `end_depth` above the opening.

    The opening of `opening_area` m2 lies in the floor. Torricelli, Q = Cd a sqrt(2 g z), integrated
    over the section A(z) = c0 + c1 z + c2 z2:
    t = [2 c0 z^(1/2) + 2/3 c1 z^(3/2) + 2/5 c2 z^(5/2)] / (Cd a sqrt(2 g)), exact for any taper.
    Infinite where nothing can flow. Raises ValueError for a negative area or coefficient.
    """
    if opening_area < 0 or discharge_coefficient < 0:
        raise ValueError("the opening and its discharge coefficient cannot be below zero")
    start = vessel.height if start_depth is None else min(max(start_depth, 0.0), vessel.height)
    end = min(max(end_depth, 0.0), start)
    if start == end:
        return 0.0
    conductance = discharge_coefficient * opening_area * sqrt(2 * gravity)
    if conductance == 0:
        return inf
    c0, c1, c2 = vessel.section_terms

    def integral(z: float) -> float:
        return sqrt(z) * (2 * c0 + z * (2 / 3 * c1 + z * 2 / 5 * c2))

    return (integral(start) - integral(end)) / conductance


def siphon_flow(
    bore: float,
    fall: float,
    discharge_coefficient: float = 1.0,
    gravity: float = STANDARD_GRAVITY,
) -> float:
    """Flow in m3/s of a running siphon of `bore` m whose mouth lies `fall` m below the water.

    Q = Cd (pi/4) D2 sqrt(2 g fall), Bernoulli from the water surface to the mouth; with a
    coefficient of 1 no losses. None flows where the mouth lies no lower than the water.
    """
    return discharge_coefficient * pi / 4 * bore**2 * sqrt(2 * gravity * max(fall, 0.0))


def siphon_crest_pressure(
    crest_above_mouth: float,
    density: float,
    air_pressure: float = 101_325.0,
    gravity: float = STANDARD_GRAVITY,
) -> float:
    """Absolute pressure in Pa at the crest of a siphon of one bore throughout, without losses.

    Bernoulli from crest to mouth at equal speeds: p = p_air - rho g (crest above mouth in m).
    """
    return air_pressure - density * gravity * crest_above_mouth
