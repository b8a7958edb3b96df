"""Uniform flow in a part-full round drain: capacity, largest discharge, normal depth."""

from __future__ import annotations

from dataclasses import dataclass

from designer.water.crossing import crossing
from designer.water.resistance import Resistance
from designer.water.section import Circular


def discharge(pipe: Circular, resistance: Resistance, slope: float, fill: float) -> float:
    """Flow in m³/s at a depth of `fill` bores, falling `slope` m/m; fill 0.5 is half full."""
    area, perimeter, _, _ = pipe.elements(fill * pipe.bore)
    return resistance.discharge(slope, area, perimeter)


@dataclass(frozen=True)
class LargestDischarge:
    """The most a pipe carries uniformly, a little below full (a full wall rubs more)."""

    flow: float  # m³/s
    fill: float


def largest_discharge(pipe: Circular, resistance: Resistance, slope: float) -> LargestDischarge:
    """The fill that carries most, by golden section between half full and full."""
    golden = 0.6180339887498949
    low, high = 0.5, 1.0
    left, right = high - golden * (high - low), low + golden * (high - low)
    at_left = discharge(pipe, resistance, slope, left)
    at_right = discharge(pipe, resistance, slope, right)
    while high - low > 1e-7:
        if at_left < at_right:
            low, left, at_left = left, right, at_right
            right = low + golden * (high - low)
            at_right = discharge(pipe, resistance, slope, right)
        else:
            high, right, at_right = right, left, at_left
            left = high - golden * (high - low)
            at_left = discharge(pipe, resistance, slope, left)
    fill = (low + high) / 2
    return LargestDischarge(discharge(pipe, resistance, slope, fill), fill)


def normal_depth(pipe: Circular, resistance: Resistance, slope: float, flow: float) -> float | None:
    """Depth in m at which `flow` runs uniformly; of two such depths the lower.

    None where there is none: the pipe is level or rises, or the flow is more than it can carry.
    """
    if flow <= 0:
        return 0.0
    most = largest_discharge(pipe, resistance, slope)
    if slope <= 0 or flow > most.flow:
        return None

    def surplus(fill: float) -> float:
        return discharge(pipe, resistance, slope, fill) - flow

    return pipe.bore * crossing(surplus, 0.0, most.fill, 1e-13)
