"""The water surface along a drain: steady flow that grows at each hole, by momentum.

The inflow at a hole drops in from above and brings no momentum along the pipe. With the force
M = Q²/(g A) + A ȳ of a section (per unit weight), M is the same on both sides of a hole (and of
a hydraulic jump), and between holes dM/dx = A (S0 - Sf). For a steady inflow per metre that is
the usual dy/dx = [S0 - Sf - (2 Q / g A²) dQ/dx] / (1 - Fr²), but M has no singular point where
the flow is critical.

So the profile is found without choosing a regime first. One march up from the outfall keeps to
the slow (subcritical) branch, one march down from the head keeps to the fast branch, and where a
branch has no solution it stands at critical depth: that is where a control lies. At every point
the branch with the larger M is the one that stands, as in the search for a hydraulic jump.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, inf, sqrt
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from designer.water.properties import STANDARD_GRAVITY as GRAVITY
from designer.water.resistance import Resistance
from designer.water.section import FloatArray, Section

_STEPS = 60
"""Least number of steps over the whole line; a reach between two holes has at least one."""
_LAST_STEPS = 6
"""Least number of steps in the last reach, crowded to its end, where the surface bends down."""
_LARGE_CHANGE = 0.15
"""Share of the depth that one step may change it by before the step is cut."""
_FINEST = 64
"""Pieces that a step is cut into at most."""


@dataclass(frozen=True)
class Grid:
    """Points along a line from head to outfall, m and m³/s; a hole has two points at one place.

    `step` and `slope` belong to the pieces between points; `step` is 0 across a hole. A flow that
    differs between the ends of a piece with a length stands for an inflow spread over it.
    """

    distance: FloatArray
    flow: FloatArray
    invert: FloatArray
    step: list[float]
    slope: list[float]


def make_grid(
    stretches: Sequence[tuple[float, float]],
    inflows: Sequence[tuple[float, float]],
    steps: int = _STEPS,
) -> Grid:
    """Lay points along a line.

    `stretches` are (length m, slope m/m falling towards the outfall) from the head on; `inflows`
    are (distance from the head m, flow m³/s) in any order. The invert counts from the outfall's.
    """
    ends = np.cumsum([0.0, *(length for length, _ in stretches)]).tolist()
    total = ends[-1]
    entering: dict[float, float] = {}
    for place, flow in sorted(inflows):
        at = min(max(place, 0.0), total)
        entering[at] = entering.get(at, 0.0) + flow
    breaks = sorted({*ends, *entering})
    longest = total / steps
    slopes = [slope for _, slope in stretches]
    distance, flows, step, slope = [0.0], [0.0], [], []
    running, piece = 0.0, 0
    for place, following in zip(breaks, [*breaks[1:], None], strict=True):
        if place in entering:
            running += entering[place]
            distance.append(place)
            flows.append(running)
            step.append(0.0)
            slope.append(0.0)
        if following is None:
            break
        while ends[piece + 1] <= place:
            piece += 1
        length = following - place
        count = ceil(length / longest - 1e-9)
        if following == total:
            count = max(count, _LAST_STEPS)
            parts = [1 - (1 - k / count) ** 2 for k in range(1, count + 1)]
        else:
            parts = [k / count for k in range(1, count + 1)]
        last = place
        for part in parts:
            at = place + length * part if part < 1 else following
            distance.append(at)
            flows.append(running)
            step.append(at - last)
            slope.append(slopes[piece])
            last = at
    drops = np.asarray(step) * np.asarray(slope)
    invert = np.concatenate((np.cumsum(drops[::-1])[::-1], [0.0]))
    return Grid(np.asarray(distance), np.asarray(flows), invert, step, slope)


def water_depths(
    section: Section, resistance: Resistance, grid: Grid, tail_depth: float = 0.0
) -> tuple[FloatArray, FloatArray, NDArray[np.int8]]:
    """(depth, critical depth, state) at every point of the grid.

    `tail_depth` is the depth that the water outside holds at the outfall, m above its invert; at
    or below critical depth the outfall is free. `state` is 1 where the water runs slow, -1 where
    it shoots and 0 where it passes critical depth. A depth above the section's height is a
    pressure head: the pipe is full there.
    """
    critical = section.critical_depths(grid.flow)
    flow = grid.flow.tolist()
    limit = critical.tolist()
    least = [_force(section, q, y) for q, y in zip(flow, limit, strict=True)]
    slow, slow_force, held = _march_up(
        section, resistance, grid, flow, limit, least, max(tail_depth, limit[-1])
    )
    depths = np.asarray(slow)
    state = np.sign(depths - critical).astype(np.int8)
    if not held:
        return depths, critical, state
    swift, swift_force = _march_down(section, resistance, grid, flow, limit, least)
    fast = np.asarray(swift_force) > np.asarray(slow_force) * (1 + 1e-9)
    return np.where(fast, swift, depths), critical, np.where(fast, -1, state)


def _force(section: Section, flow: float, depth: float) -> float:
    area, _, _, moment = section.elements(depth)
    return flow * flow / (GRAVITY * area) + moment if area > 0 else 0.0


def _march_up(
    section: Section,
    resistance: Resistance,
    grid: Grid,
    flow: list[float],
    critical: list[float],
    least: list[float],
    depth: float,
) -> tuple[list[float], list[float], bool]:
    """Depth and force on the slow branch, and whether it failed anywhere under flowing water."""
    force = _force(section, flow[-1], depth)
    depths, forces = [depth], [force]
    held = False
    for i in range(len(flow) - 2, -1, -1):
        step, slope = grid.step[i], grid.slope[i]
        if step > 0 and flow[i + 1] <= 0:
            depth = max(depth - slope * step, 0.0)  # still water stands level
            force = _force(section, 0.0, depth)
        else:
            piece = _Piece(flow[i + 1], flow[i], critical[i], least[i], step, slope, 1)
            depth, force, clamped = _across(section, resistance, piece, depth, force)
            held = held or (clamped and flow[i] > 0)
        depths.append(depth)
        forces.append(force)
    return depths[::-1], forces[::-1], held


def _march_down(
    section: Section,
    resistance: Resistance,
    grid: Grid,
    flow: list[float],
    critical: list[float],
    least: list[float],
) -> tuple[list[float], list[float]]:
    """Depth and force on the fast branch, critical where there is none."""
    depth, force = critical[0], least[0]
    depths, forces = [depth], [force]
    for i in range(1, len(flow)):
        step, slope = grid.step[i - 1], grid.slope[i - 1]
        if flow[i] <= 0:
            depth, force = critical[i], least[i]
        else:
            piece = _Piece(flow[i - 1], flow[i], critical[i], least[i], step, slope, -1)
            depth, force, _ = _across(section, resistance, piece, depth, force)
        depths.append(depth)
        forces.append(force)
    return depths, forces


class _Piece(NamedTuple):
    """A piece of the grid as a march meets it; `side` is 1 going up and -1 going down."""

    flow_before: float
    flow: float
    critical: float
    least: float
    step: float
    slope: float
    side: int


def _across(
    section: Section, resistance: Resistance, piece: _Piece, depth: float, force: float
) -> tuple[float, float, bool]:
    """(depth, force, clamped to critical) beyond a piece, from those before it.

    Where the depth changes much the piece is cut finer: the trapezium rule would overshoot the
    normal depth at the thin end of a pool.
    """
    after, force_after, clamped = _trapezium(section, resistance, piece, depth, force, piece.step)
    count = 1
    while (
        piece.step > 0
        and piece.flow == piece.flow_before
        and count < _FINEST
        and abs(after - depth) > _LARGE_CHANGE * count * min(after, depth)
    ):
        count *= 4
        after, force_after = depth, force
        for _ in range(count):
            after, force_after, clamped = _trapezium(
                section, resistance, piece, after, force_after, piece.step / count
            )
    return after, force_after, clamped


def _trapezium(
    section: Section,
    resistance: Resistance,
    piece: _Piece,
    depth: float,
    force: float,
    step: float,
) -> tuple[float, float, bool]:
    """One step of dM/dx = A (S0 - Sf) by the trapezium rule; across a hole M stays.

    A steady flow nears its normal depth from one side. Where the rule oversteps that depth, as at
    the thin end of a pool, the step is taken wholly at its far end, which cannot (backward Euler).
    """
    half = piece.side * step / 2
    target, drive = force, 0.0
    if half and depth > 0:
        area, perimeter, _, _ = section.elements(depth)
        drive = piece.slope - resistance.friction_slope(piece.flow_before, area, perimeter)
        target -= half * area * drive
    after, clamped = _branch_depth(section, resistance, piece, target, half, depth)
    if clamped:
        return after, piece.least, True
    area, perimeter, _, moment = section.elements(after)
    if drive and piece.flow == piece.flow_before:
        friction = resistance.friction_slope(piece.flow, area, perimeter)
        if drive * (piece.slope - friction) < 0:
            after, clamped = _branch_depth(section, resistance, piece, force, 2 * half, depth)
            return after, _force(section, piece.flow, after), clamped
    kinetic = piece.flow**2 / (GRAVITY * area) if area > 0 else 0.0
    return after, kinetic + moment, False


def _branch_depth(
    section: Section,
    resistance: Resistance,
    piece: _Piece,
    target: float,
    half: float,
    guess: float,
) -> tuple[float, bool]:
    """Depth y with M(y) + half A(y) (slope - Sf(y)) = target beyond the critical depth.

    Above it for side 1, below for -1. Newton steps kept inside a bracket. If the target cannot be
    met on that side the answer is (critical depth, True).
    """
    _, flow, critical, least, _, slope, side = piece
    if target <= 0:
        return critical, True
    elements = section.elements
    per_weight = flow * flow / GRAVITY
    near, far = critical, (inf if side > 0 else 0.0)
    depth = guess
    checked = critical <= 0
    for _ in range(80):
        if not checked and (depth - critical) * side <= 0.02 * critical:
            # Close to critical the force is nearly a parabola of the depth: start from its root.
            area, perimeter, width, _ = elements(critical)
            excess = target - least
            if half:
                friction = resistance.friction_slope(flow, area, perimeter)
                excess -= half * area * (slope - friction)
            if excess <= 0:
                return critical, True
            checked = True
            away = sqrt(excess / max(width, 1e-3 * critical))
            depth = critical + away if side > 0 else max(critical - away, critical / 2)
        area, perimeter, width, moment = elements(depth)
        kinetic = per_weight / area
        error = kinetic + moment - target
        gain = area - kinetic * width / area
        if half:
            friction = resistance.friction_slope(flow, area, perimeter)
            error += half * area * (slope - friction)
            gain += half * width * (slope + 2 * friction)
        if error > 0:
            far = depth
        else:
            near = depth
        following = depth - error / gain if gain * side > 0 else inf * side
        if abs(following - depth) <= 1e-11 * depth:
            return following, False
        low, high = (near, far) if side > 0 else (far, near)
        if not low < following < high:
            if near == critical and not checked:
                depth = critical
                continue
            following = (low + high) / 2 if high < inf else 2 * max(depth, low)
        if high < inf and high - low <= 1e-12 * high:
            return following, False
        depth = following
    return depth, False
