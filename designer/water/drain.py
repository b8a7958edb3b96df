"""A gravity drain: the water along it with an inflow at each hole, and what that means.

Distances run from the head (the closed upper end) down to the outfall, in m; slopes in m/m are
positive where the pipe falls towards the outfall. See `profile` for the method.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import cached_property
from math import isfinite

import numpy as np
from numpy.typing import NDArray

from designer.water.profile import make_grid, water_depths
from designer.water.properties import STANDARD_GRAVITY as GRAVITY
from designer.water.resistance import Resistance
from designer.water.section import FloatArray, Section


@dataclass(frozen=True)
class Stretch:
    """A straight piece of the line: `length` m, falling `slope` m/m (negative where it rises)."""

    length: float
    slope: float


@dataclass(frozen=True)
class Inflow:
    """Water entering through one hole.

    `rim` is the depth at which water would leave by the hole, `tip` the depth at which it meets
    the end of the tail pipe, both m above the invert; None where there is no such limit (the
    crown then counts as the rim).
    """

    distance: float
    flow: float
    rim: float | None = None
    tip: float | None = None


@dataclass(frozen=True)
class Line:
    """One drain from its head to its outfall. Inflows may stand in any order.

    A distance beyond either end of the line counts as that end. Raises ValueError for a line
    without length or an inflow that is negative or not a number.
    """

    section: Section
    resistance: Resistance
    stretches: tuple[Stretch, ...]
    inflows: tuple[Inflow, ...]

    def __post_init__(self) -> None:
        if not self.length > 0 or any(not 0 <= s.length < 1e6 for s in self.stretches):
            raise ValueError("The drain needs a length of more than 0.")
        if not all(isfinite(s.slope) for s in self.stretches):
            raise ValueError("The fall of the drain must be a number.")
        if not all(isfinite(i.distance) and 0 <= i.flow < 1e6 for i in self.inflows):
            raise ValueError("Each inflow of the drain must be 0 or more.")

    @property
    def length(self) -> float:
        """Whole length, m."""
        return sum(s.length for s in self.stretches)

    @property
    def flow(self) -> float:
        """Flow at the outfall, m³/s."""
        return sum(i.flow for i in self.inflows)

    def scaled(self, factor: float) -> Line:
        """The same line with every inflow times `factor`."""
        return replace(self, inflows=tuple(replace(i, flow=i.flow * factor) for i in self.inflows))


class Regime(StrEnum):
    """What holds the water in a line, in words for people."""

    DRY = "No water runs in."
    FREE = "Runs slowly and falls free at the outlet."
    DROWNED = "Held up by the water standing at the outlet."
    STEEP_END = "Runs slowly past the holes and shoots below the last one."
    SHOOTING = "Shoots down the pipe to the outlet."
    JUMPING = "Shoots below some holes and slows again before the next hole or the outlet."
    FULL = "Runs full in part: the pipe is too small or falls too little."


@dataclass(frozen=True)
class Margin:
    """How far the water stays below a limit at the hole where it comes closest; m."""

    distance: float
    margin: float


@dataclass(frozen=True)
class Profile:
    """The water along a line. Arrays hold one value for each point from head to outfall.

    A hole has two points at one distance: just above and just below it. `state` is 1 where the
    water runs slow (Froude number below 1), 0 at critical depth, -1 where it shoots. `invert` and
    `level` count from the invert at the outfall.
    """

    line: Line
    distance: FloatArray  # m from the head
    depth: FloatArray  # m; above the crown where the pipe is full: the pressure head
    flow: FloatArray  # m³/s
    invert: FloatArray  # m
    critical_depth: FloatArray  # m
    state: NDArray[np.int8]
    tail_depth: float  # m of water standing outside, above the invert at the outfall

    @property
    def level(self) -> FloatArray:
        """Level of the water surface, or of the pressure line where full, m."""
        return self.invert + self.depth

    @property
    def fill(self) -> FloatArray:
        """Depth over the section's height; 1 or more where the pipe is full."""
        return self.depth / self.line.section.height

    @cached_property
    def area(self) -> FloatArray:
        """Area of the water, m²."""
        return self.line.section.areas(self.depth)

    @property
    def velocity(self) -> FloatArray:
        """Mean velocity, m/s; 0 where dry."""
        still = np.zeros_like(self.flow)
        return np.divide(self.flow, self.area, out=still, where=self.area > 0)

    @property
    def froude(self) -> FloatArray:
        """Froude number V/√(g A/T); 0 where the pipe is full or dry."""
        width = self.line.section.top_widths(self.depth)
        wave = np.sqrt(GRAVITY * self.area)
        still = np.zeros_like(self.flow)
        return np.divide(self.velocity * np.sqrt(width), wave, out=still, where=wave > 0)

    @property
    def fullest(self) -> int:
        """Index of the point with the greatest depth."""
        return int(np.argmax(self.depth))

    @property
    def surcharged(self) -> bool:
        """Whether the pipe is full anywhere."""
        return bool(self.depth[self.fullest] >= self.line.section.height)

    @property
    def volume(self) -> float:
        """Water in the line, m³."""
        return float(np.sum((self.area[1:] + self.area[:-1]) / 2 * np.diff(self.distance)))

    @cached_property
    def controls(self) -> tuple[float, ...]:
        """Distances, m, at which the water passes from slow to shooting inside the line."""
        running = self.flow > 0
        quick = running & (self.state <= 0)
        before = np.concatenate(([False], quick[:-1]))
        found = self.distance[quick & ~before]
        return tuple(found[found < self.distance[-1]].tolist())

    @property
    def regime(self) -> Regime:
        """What holds the water in the line."""
        if self.flow[-1] <= 0:
            return Regime.DRY
        if self.surcharged:
            return Regime.FULL
        if not self.controls:
            return Regime.DROWNED if self.state[-1] > 0 else Regime.FREE
        below = self.state[np.searchsorted(self.distance, self.controls[0], side="right") :]
        if not bool(np.all(below <= 0)):
            return Regime.JUMPING
        last = max(i.distance for i in self.line.inflows if i.flow > 0)
        return Regime.STEEP_END if self.controls[0] >= last else Regime.SHOOTING

    def depth_at(self, distance: float) -> float:
        """Depth at a distance, m; at a hole the larger of its two."""
        left = int(np.searchsorted(self.distance, distance, side="left"))
        right = int(np.searchsorted(self.distance, distance, side="right"))
        if right > left:
            return float(np.max(self.depth[left:right]))
        return float(np.interp(distance, self.distance, self.depth))

    @cached_property
    def rim_margin(self) -> Margin | None:
        """The hole whose rim (or the crown) the water comes closest to; None without holes."""
        crown = self.line.section.height
        return self._closest(
            (i.distance, crown if i.rim is None else i.rim) for i in self.line.inflows
        )

    @cached_property
    def tip_margin(self) -> Margin | None:
        """The tail tip the water comes closest to; None where no tip was given."""
        return self._closest((i.distance, i.tip) for i in self.line.inflows if i.tip is not None)

    def _closest(self, limits: Iterable[tuple[float, float]]) -> Margin | None:
        margins = [Margin(at, limit - self.depth_at(at)) for at, limit in limits]
        return min(margins, key=lambda m: (m.margin, m.distance), default=None)


def drain_profile(line: Line, tail_depth: float = 0.0) -> Profile:
    """The water along a line.

    `tail_depth` is how high the water outside stands above the invert at the outfall, m; at or
    below the critical depth (or negative) the outfall is free. The outflow's velocity is taken as
    lost in the water outside.
    """
    if not isfinite(tail_depth):
        raise ValueError("The water level at the outlet must be a number.")
    grid = make_grid(
        [(s.length, s.slope) for s in line.stretches],
        [(i.distance, i.flow) for i in line.inflows],
    )
    depth, critical, state = water_depths(line.section, line.resistance, grid, tail_depth)
    return Profile(line, grid.distance, depth, grid.flow, grid.invert, critical, state, tail_depth)


@dataclass(frozen=True)
class Branch:
    """A line that falls into a collector at `distance` along it.

    `drop` is the height of the branch's invert at its outfall above the collector's invert there,
    m. A branch may collect further branches.
    """

    line: Line
    distance: float
    drop: float
    branches: tuple[Branch, ...] = ()

    @property
    def flow(self) -> float:
        """Flow at the outfall with all that joins, m³/s."""
        return self.line.flow + sum(b.flow for b in self.branches)


@dataclass(frozen=True)
class Drained:
    """The water in a collector and, in the order given, in what joins it."""

    profile: Profile
    branches: tuple[Drained, ...] = ()


def collector_profiles(
    collector: Line, branches: tuple[Branch, ...], tail_depth: float = 0.0
) -> Drained:
    """The water in a collector and in every line that joins it, from the outfall up.

    Each branch enters like a hole, without momentum along the collector (a tee or a drop from
    above; a swept fitting would do a little better), and finds the collector's water at its end.
    """
    joining = tuple(Inflow(b.distance, b.flow) for b in branches)
    profile = drain_profile(replace(collector, inflows=collector.inflows + joining), tail_depth)
    return Drained(
        profile,
        tuple(
            collector_profiles(b.line, b.branches, profile.depth_at(b.distance) - b.drop)
            for b in branches
        ),
    )
