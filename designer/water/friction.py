"""Head loss of full pipes by Darcy-Weisbach, for many stretches at once."""

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

from designer.water.properties import STANDARD_GRAVITY

FloatArray = NDArray[np.float64]

LAMINAR_LIMIT = 2000.0
"""Reynolds number up to which f = 64/Re (the field's customary lower limit)."""
TURBULENT_LIMIT = 2300.0
"""Reynolds number from which Colebrook and White's equation is used."""
_RE_TO_WRIGHT = math.log(10.0) / 5.02
_ROUGH_TO_WRIGHT = math.log(10.0) / 18.574  # 18.574 = 5.02 * 3.7
_HALF_LOG_TEN_SQUARED = (0.5 * math.log(10.0)) ** 2


def _turbulent(reynolds: FloatArray, roughness: FloatArray) -> tuple[FloatArray, FloatArray]:
    """f Re² and its derivative by Re, exact solution of Colebrook and White's equation.

    With y = Re ln(10)/5.02 (e/3.7 + 2.51/(Re sqrt f)) the equation reads y + ln y = c, which has
    one solution; two Halley steps from y = c - ln c reach machine precision for Re >= 2300.
    """
    log_re = np.log(_RE_TO_WRIGHT * reynolds)
    c = _ROUGH_TO_WRIGHT * roughness * reynolds + log_re
    y = c - np.log(c)
    for _ in range(2):
        above = y + 1.0
        error = y + np.log(y) - c
        y = y - 2.0 * y * above * error / (2.0 * above * above + error)
    number = _HALF_LOG_TEN_SQUARED * (reynolds / (log_re - np.log(y))) ** 2
    return number, 2.0 * number / reynolds * (y / (y + 1.0))


def friction_number(
    reynolds: FloatArray, relative_roughness: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """f Re² and its derivative by Re; f is Darcy's factor.

    f Re² is the head loss without units, and it is this that must grow with the flow: f itself
    jumps up from 64/Re to Colebrook's value between LAMINAR_LIMIT and TURBULENT_LIMIT. There f Re²
    follows the cubic that meets both sides in value and slope. Both end slopes lie below three
    times the chord, so the cubic rises throughout and every head has exactly one flow.
    """
    turbulent = np.maximum(reynolds, TURBULENT_LIMIT)
    number, slope = _turbulent(turbulent, relative_roughness)
    below = reynolds < TURBULENT_LIMIT
    if not below.any():
        return number, slope
    span = TURBULENT_LIMIT - LAMINAR_LIMIT
    start, left = 64.0 * LAMINAR_LIMIT, 64.0 * span
    between = below & (reynolds > LAMINAR_LIMIT)
    if between.any():
        t = (reynolds - LAMINAR_LIMIT) / span
        rise, right = number - start, slope * span
        bend, lean = left + right - 2.0 * rise, 3.0 * rise - 2.0 * left - right
        cubic = start + t * (left + t * (lean + t * bend))
        number = np.where(between, cubic, number)
        slope = np.where(between, (left + t * (2.0 * lean + 3.0 * t * bend)) / span, slope)
    laminar = reynolds <= LAMINAR_LIMIT
    numbers: FloatArray = np.where(laminar, 64.0 * reynolds, number)
    return numbers, np.where(laminar, 64.0, slope)


def friction_factor(reynolds: ArrayLike, relative_roughness: ArrayLike) -> FloatArray:
    """Darcy friction factor of a full round pipe.

    64/Re up to Re 2000, Colebrook and White (1939) from Re 2300, in between see friction_number.
    ``relative_roughness`` is roughness over bore, 0 to 0.05. Re must be above 0.
    """
    re = np.asarray(reynolds, dtype=float)
    number, _ = friction_number(re, np.asarray(relative_roughness, dtype=float))
    factor: FloatArray = number / re**2
    return factor


class Conduits:
    """Full round pipes in arrays: head loss and its derivative for the flow in each.

    h = f L/D V²/(2g) + K V²/(2g)  (Darcy-Weisbach, and minor losses K on the pipe's velocity head)
    """

    def __init__(
        self,
        length: Sequence[float] | FloatArray,
        bore: Sequence[float] | FloatArray,
        roughness: Sequence[float] | FloatArray,
        minor: Sequence[float] | FloatArray,
        kinematic_viscosity: float,
    ) -> None:
        """Lengths, bores and roughnesses in m, viscosity in m2/s; all arrays of one size."""
        bores = np.asarray(bore, dtype=float)
        self.area = 0.25 * math.pi * bores**2
        self._relative = np.asarray(roughness, dtype=float) / bores
        self._reynolds = bores / (self.area * kinematic_viscosity)
        self._friction = (
            np.asarray(length, dtype=float)
            * kinematic_viscosity**2
            / (2.0 * STANDARD_GRAVITY * bores**3)
        )
        self._friction_slope = self._friction * self._reynolds
        self._minor = np.asarray(minor, dtype=float) / (2.0 * STANDARD_GRAVITY * self.area**2)
        self._minor_slope = 2.0 * self._minor

    def loss_and_slope(self, flow: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Head loss in m and its derivative in m per m3/s; flows in m3/s, none below zero."""
        number, slope = friction_number(self._reynolds * flow, self._relative)
        loss = self._friction * number + self._minor * flow * flow
        return loss, self._friction_slope * slope + self._minor_slope * flow


def hazen_williams_slope(flow: float, bore: float, coefficient: float = 150.0) -> float:
    """Head lost per metre by Hazen and Williams, for comparison only.

    J = 10.67 Q^1.852 / (C^1.852 D^4.87) in m, m3/s (SI form, from memory). It leaves out the
    Reynolds number and gives down to 0.3 of the true loss in the last stretches of a manifold.
    """
    return float(10.67 * flow**1.852 / (coefficient**1.852 * bore**4.8704))
