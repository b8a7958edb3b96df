"""Friction along a part-full drain: Manning's n, or Darcy-Weisbach with the pipe's roughness."""

from __future__ import annotations

from dataclasses import dataclass
from math import log10, sqrt
from typing import Protocol

from designer.water.friction import LAMINAR_LIMIT, TURBULENT_LIMIT
from designer.water.properties import STANDARD_GRAVITY as GRAVITY


class Resistance(Protocol):
    """A law that ties flow, wetted section and friction slope together."""

    def friction_slope(self, flow: float, area: float, perimeter: float) -> float:
        """Loss of head per metre (m/m) for a flow m³/s through an area m² wetting perimeter m."""

    def discharge(self, slope: float, area: float, perimeter: float) -> float:
        """Flow in m³/s that a fall `slope` (m/m) carries uniformly; 0 for a level pipe."""


@dataclass(frozen=True)
class Manning:
    """Manning: Sf = n² Q² P^(4/3) / A^(10/3), n in s/m^(1/3)."""

    n: float = 0.010

    def friction_slope(self, flow: float, area: float, perimeter: float) -> float:
        """Loss of head per metre."""
        radius = area / perimeter
        velocity = flow / area
        loss: float = (self.n * velocity) ** 2 / radius ** (4 / 3)
        return loss

    def discharge(self, slope: float, area: float, perimeter: float) -> float:
        """Uniform flow, m³/s."""
        if slope <= 0 or area <= 0:
            return 0.0
        per_area: float = (area / perimeter) ** (2 / 3) * sqrt(slope) / self.n
        return area * per_area


@dataclass(frozen=True)
class Darcy:
    """Darcy-Weisbach with the hydraulic diameter 4 A/P: Sf = f/(4A/P) · V²/(2g).

    f = 64/Re up to the laminar limit, Colebrook's from the turbulent limit on, straight between
    the two. The straight piece is a choice (no published law holds there): it keeps the loss
    rising with the flow, which the solver needs. One value at a time, written for speed;
    `friction.friction_factor` is the form for many. Defaults: roughness of PVC (Hydraulic
    Institute data tool, Tbl 4.E.4) and viscosity of water at 20 °C (IAPWS).
    """

    roughness: float = 2.13e-6
    viscosity: float = 1.0034e-6

    def friction_factor(self, reynolds: float, hydraulic_diameter: float) -> float:
        """Darcy's f for a Reynolds number and a hydraulic diameter in m."""
        if reynolds <= LAMINAR_LIMIT:
            return 64 / reynolds
        relative = self.roughness / hydraulic_diameter / 3.7
        if reynolds >= TURBULENT_LIMIT:
            return _colebrook(reynolds, relative)
        low = 64 / LAMINAR_LIMIT
        high = _colebrook(TURBULENT_LIMIT, relative)
        share = (reynolds - LAMINAR_LIMIT) / (TURBULENT_LIMIT - LAMINAR_LIMIT)
        return low + share * (high - low)

    def friction_slope(self, flow: float, area: float, perimeter: float) -> float:
        """Loss of head per metre."""
        if flow <= 0:
            return 0.0
        diameter = 4 * area / perimeter
        velocity = flow / area
        factor = self.friction_factor(velocity * diameter / self.viscosity, diameter)
        return factor / diameter * velocity * velocity / (2 * GRAVITY)

    def discharge(self, slope: float, area: float, perimeter: float) -> float:
        """Uniform flow, m³/s; explicit in either regime, by halving in the change between them."""
        if slope <= 0 or area <= 0:
            return 0.0
        diameter = 4 * area / perimeter
        per_reynolds = area * self.viscosity / diameter
        laminar = GRAVITY * diameter**2 * slope / (32 * self.viscosity)
        if laminar * area <= LAMINAR_LIMIT * per_reynolds:
            return laminar * area
        shear = sqrt(2 * GRAVITY * diameter * slope)
        inner = self.roughness / (3.7 * diameter) + 2.51 * self.viscosity / (diameter * shear)
        turbulent = -2 * shear * log10(inner) * area if inner < 1 else 0.0
        if turbulent >= TURBULENT_LIMIT * per_reynolds:
            return turbulent
        low, high = LAMINAR_LIMIT * per_reynolds, TURBULENT_LIMIT * per_reynolds
        for _ in range(50):
            middle = (low + high) / 2
            if self.friction_slope(middle, area, perimeter) < slope:
                low = middle
            else:
                high = middle
        return (low + high) / 2


def _colebrook(reynolds: float, relative: float) -> float:
    """Colebrook's factor; `relative` is roughness over 3.7 hydraulic diameters.

    1/√f = -2 log10(relative + 2.51/(Re √f)): Haaland's value, then two Newton steps, which leave
    less than 1e-9 of error for Re 2300 to 1e8 and relative up to 0.05.
    """
    x = -1.8 * log10(6.9 / reynolds + relative**1.11)
    slope = 2.51 / reynolds
    for _ in range(2):
        inner = relative + slope * x
        residual = x + 2 * log10(inner)
        x -= residual / (1 + 0.8685889638065036 * slope / inner)
    return 1 / (x * x)
