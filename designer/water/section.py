"""Cross-sections of a drain running part full: area, wetted perimeter, width, critical depth.

SI throughout: depths and lengths in m, areas in m², flows in m³/s. A depth above the crown of a
closed section is the height to which the water would rise in a standpipe there (the pressure head
above the invert), so every formula goes on without a gap into the surcharged pipe.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import asin, inf, pi, sqrt
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

from designer.water.properties import STANDARD_GRAVITY as GRAVITY

FloatArray = NDArray[np.float64]

_SERIES_BELOW = 1e-3
"""Fill below which the circle's formulas lose digits and a series serves instead."""


class Section(Protocol):
    """What the water profile needs to know of a cross-section."""

    @property
    def height(self) -> float:
        """Depth at which the section is full, m; infinite for an open one."""

    def elements(self, depth: float) -> tuple[float, float, float, float]:
        """(area m², wetted perimeter m, top width m, moment of the area about the surface m³)."""

    def areas(self, depth: FloatArray) -> FloatArray:
        """Areas for many depths, m²."""

    def top_widths(self, depth: FloatArray) -> FloatArray:
        """Widths of the surface for many depths, m; 0 where the section is full."""

    def critical_depths(self, flow: FloatArray) -> FloatArray:
        """Depths at which Q² T = g A³, m, for many flows."""


@dataclass(frozen=True)
class Circular:
    """A round pipe of bore `bore` (inside diameter, m)."""

    bore: float

    def __post_init__(self) -> None:
        if not 0 < self.bore < inf:
            raise ValueError("The bore of the drain must be more than 0.")

    @property
    def height(self) -> float:
        return self.bore

    @cached_property
    def full_area(self) -> float:
        """Area of the bore, m²."""
        return pi * self.bore**2 / 4

    def elements(self, depth: float) -> tuple[float, float, float, float]:
        """(area m², wetted perimeter m, top width m, moment of the area about the surface m³).

        With fill f = depth / bore and half angle a = 2 asin √f: A = D²/8 (2a - sin 2a), P = D a,
        T = D sin a, A ȳ = A (depth - D/2) + T³/12. Range: any depth; from the crown up the area
        stays full and its moment grows with the pressure. Source: plane geometry.
        """
        bore = self.bore
        if depth >= bore:
            return self.full_area, pi * bore, 0.0, self.full_area * (depth - bore / 2)
        if depth <= 0:
            return 0.0, 0.0, 0.0, 0.0
        fill = depth / bore
        angle = 2 * asin(sqrt(fill))
        half = sqrt(fill * (1 - fill))
        width = 2 * bore * half
        if fill < _SERIES_BELOW:
            scale = 2 * bore * bore * fill * sqrt(fill)
            area = scale * (2 / 3 - fill * (1 / 5 + fill / 28))
            moment = scale * depth * (4 / 15 - fill * (2 / 35 + fill / 126))
        else:
            area = bore * bore / 4 * (angle - 2 * half * (1 - 2 * fill))
            moment = area * (depth - bore / 2) + width**3 / 12
        return area, bore * angle, width, moment

    def _fills(self, depth: Any) -> FloatArray:
        return np.clip(np.asarray(depth, dtype=np.float64) / self.bore, 0.0, 1.0)

    def areas(self, depth: Any) -> FloatArray:
        """Area of the water, m², for a depth or an array of depths."""
        return self.bore**2 * _unit_area(self._fills(depth))

    def top_widths(self, depth: Any) -> FloatArray:
        """Width of the surface, m, for a depth or an array of depths; 0 when full."""
        fill = self._fills(depth)
        return 2 * self.bore * np.sqrt(fill * (1 - fill))

    def wetted_perimeters(self, depth: Any) -> FloatArray:
        """Wetted perimeter, m, for a depth or an array of depths."""
        return 2 * self.bore * np.arcsin(np.sqrt(self._fills(depth)))

    def hydraulic_radii(self, depth: Any) -> FloatArray:
        """Area over wetted perimeter, m, for a depth or an array of depths; 0 when dry."""
        perimeter = self.wetted_perimeters(depth)
        return np.divide(
            self.areas(depth), perimeter, out=np.zeros_like(perimeter), where=perimeter > 0
        )

    def centroid_depth(self, depth: float) -> float:
        """Depth of the area's centroid below the surface, m; 0 when dry."""
        area, _, _, moment = self.elements(depth)
        return moment / area if area > 0 else 0.0

    def depth_of_area(self, area: Any) -> FloatArray:
        """Depth that gives an area, m; the crown for the full area or more."""
        wanted = np.clip(np.asarray(area, dtype=np.float64) / self.bore**2, 0.0, pi / 4)
        table = _unit_table()
        fill = np.interp(np.cbrt(wanted**2), table.area_power, table.fill)
        for _ in range(4):
            width = 2 * np.sqrt(fill * (1 - fill))
            error = wanted - _unit_area(fill)
            change = np.divide(error, width, out=np.zeros_like(fill), where=width > 0)
            fill = np.clip(fill + change, 0.0, 1.0)
        return self.bore * np.where(wanted >= pi / 4, 1.0, fill)

    def critical_depths(self, flow: Any) -> FloatArray:
        """Depth at which Q² T = g A³ (Froude number 1), m; always below the crown.

        The table of Q/√(g D⁵) against the fill gives the start and Newton steps on ln the rest.
        """
        wanted = np.abs(np.asarray(flow, dtype=np.float64)) / sqrt(GRAVITY * self.bore**5)
        table = _unit_table()
        # Beyond the table's ends: a parabola of the invert below, a closing slit above.
        number = np.maximum(wanted, 1e-30)
        fill = np.exp(np.interp(np.log(number), table.log_number, table.log_fill))
        shallow = number < np.exp(table.log_number[0])
        fill = np.where(shallow, np.sqrt(number / sqrt(32 / 27)), fill)
        for _ in range(3):
            area = _unit_area(fill)
            width = 2 * np.sqrt(fill * (1 - fill))
            # ln Z = 3/2 ln A - 1/2 ln T and its slope by the fill
            log_error = np.log(number) - 1.5 * np.log(area) + 0.5 * np.log(width)
            slope = 1.5 * width / area - (1 - 2 * fill) / width**2
            fill = np.clip(fill + log_error / slope, fill / 2, (1 + fill) / 2)
        return self.bore * np.where(wanted > 0, np.minimum(fill, 1 - 1e-12), 0.0)


@dataclass(frozen=True)
class Rectangular:
    """An open channel with upright sides, `width` m wide."""

    width: float
    height: float = inf

    def elements(self, depth: float) -> tuple[float, float, float, float]:
        """(area m², wetted perimeter m, top width m, moment of the area about the surface m³)."""
        depth = max(depth, 0.0)
        area = self.width * depth
        return area, self.width + 2 * depth, self.width, area * depth / 2

    def areas(self, depth: Any) -> FloatArray:
        """Area of the water, m², for a depth or an array of depths."""
        return self.width * np.maximum(np.asarray(depth, dtype=np.float64), 0.0)

    def top_widths(self, depth: Any) -> FloatArray:
        """Width of the surface, m, for a depth or an array of depths."""
        return np.full_like(np.asarray(depth, dtype=np.float64), self.width)

    def critical_depths(self, flow: Any) -> FloatArray:
        """Depth (q²/g)^(1/3) with q the flow per metre of width, m."""
        return np.cbrt((np.asarray(flow, dtype=np.float64) / self.width) ** 2 / GRAVITY)


def _unit_area(fill: FloatArray) -> FloatArray:
    """Area of a circle of diameter 1 filled to `fill`."""
    small = 2 * fill**1.5 * (2 / 3 - fill * (1 / 5 + fill / 28))
    half = np.sqrt(fill * (1 - fill))
    exact = (2 * np.arcsin(np.sqrt(fill)) - 2 * half * (1 - 2 * fill)) / 4
    return np.where(fill < _SERIES_BELOW, small, exact)


@dataclass(frozen=True)
class _Table:
    fill: FloatArray
    area_power: FloatArray
    log_fill: FloatArray
    log_number: FloatArray


_TABLE: list[_Table] = []


def _unit_table() -> _Table:
    """Fill, area and flow number of the unit circle, made at first use."""
    if not _TABLE:
        low = np.geomspace(1e-4, 0.02, 60)
        fill = np.concatenate((low, np.linspace(0.021, 0.979, 180), 1 - low[::-1]))
        area = _unit_area(fill)
        number = area**1.5 / np.sqrt(2 * np.sqrt(fill * (1 - fill)))
        _TABLE.append(
            _Table(
                np.concatenate(([0.0], fill, [1.0])),
                np.cbrt(np.concatenate(([0.0], area, [pi / 4])) ** 2),  # nearly straight by fill
                np.log(fill),
                np.log(number),
            )
        )
    return _TABLE[0]
