"""The drain of each run: its line as built, and the water along it."""

import itertools
from collections.abc import Mapping
from dataclasses import dataclass
from math import sqrt

import numpy as np

from designer.layout.run import RunLayout
from designer.layout.site import ReservoirLayout
from designer.model.design import Design
from designer.water.bed.feed import LITRES_PER_HOUR, MM, bore_of, working_levels
from designer.water.drain import Inflow, Line, Profile, Stretch, drain_profile
from designer.water.drain_limits import (
    Emptying,
    LargestFlow,
    largest_flow,
    smallest_fall,
    time_to_empty,
)
from designer.water.properties import Water
from designer.water.resistance import Darcy, Manning, Resistance
from designer.water.section import Circular

Built = tuple[tuple[float, float], ...]
"""(station, level of the invert) in mm, from the outlet end up, straight between."""
CLOSE_SUPPORTS = 50.0
"""Supports nearer to each other than this, mm, hold the drain as one."""


@dataclass(frozen=True)
class RunDrain:
    """The water in one run's drain. Stations in mm from the outlet end; below it negative. `built`
    holds (station, level of the invert) on the rounded shims, mm."""

    layout: RunLayout
    built: Built
    line: Line
    profile: Profile
    tail_depth: float

    def station(self, distance: float) -> float:
        """Station in mm of a distance in m from the capped end."""
        return self.layout.run.length - distance / MM

    def invert(self, station: float) -> float:
        """Level of the invert as built at a station of the run, mm above the datum."""
        return invert_at(self.built, station)

    def volume_below(self, level: float) -> float:
        """What the drain holds with still water up to `level` m above the datum, m3."""
        depths = level - (self.built[0][1] - self.layout.run.return_fall) * MM - self.profile.invert
        areas = self.line.section.areas(np.clip(depths, 0.0, self.line.section.height))
        return float(np.trapezoid(areas, self.profile.distance))

    @property
    def points(self) -> tuple[tuple[float, float, float, float], ...]:
        """(station mm, depth mm, flow L/h, fill) from the capped end to the outfall."""
        p = self.profile
        return tuple(
            (self.station(float(x)), float(y) / MM, float(q) / LITRES_PER_HOUR, float(f))
            for x, y, q, f in zip(p.distance, p.depth, p.flow, p.fill, strict=True)
        )

    @property
    def fullest(self) -> tuple[float, float]:
        """(station mm, fill) of the fullest section."""
        at = self.profile.fullest
        return self.station(float(self.profile.distance[at])), float(self.profile.fill[at])

    def largest_flow(self, largest_fill: float) -> LargestFlow | None:
        """The largest flow the line can take."""
        return largest_flow(self.line, largest_fill, self.tail_depth)

    def smallest_fall(self, largest_fill: float) -> float | None:
        """The smallest fall over the run in mm that keeps every limit; None where none does.

        The stretches of the run are levelled to one slope, the return path stays as it is.
        """
        runs = range(len(self.line.stretches) - (1 if self.layout.return_length > 0 else 0))
        slope = smallest_fall(self.line, largest_fill, self.tail_depth, tuple(runs))
        return None if slope is None else slope * self.layout.run.length

    def emptying(self) -> Emptying:
        """How long the line takes to run empty."""
        return time_to_empty(self.line, self.tail_depth)


def solve_drain(
    design: Design,
    layout: RunLayout,
    reservoir: ReservoirLayout | None,
    flows: Mapping[str, float],
    water: Water,
    roughness: float,
) -> RunDrain:
    """The water along one run's drain for the buckets' flows in L/h; `roughness` in mm."""
    resistance: Resistance
    if design.water.drain_friction == "manning":
        resistance = Manning(design.water.manning_n)
    else:
        resistance = Darcy(roughness * MM, water.kinematic_viscosity)
    built = inverts_as_built(layout)
    line = Line(
        Circular(bore_of(layout.parts.drain.bore)),
        resistance,
        _stretches(layout, built),
        _inflows(layout, built, flows),
    )
    tail = 0.0
    if reservoir is not None:
        outfall = built[0][1] - layout.run.return_fall
        tail = max(working_levels(reservoir)[1] - outfall, 0.0) * MM
    return RunDrain(layout, built, line, drain_profile(line, tail), tail)


def inverts_as_built(layout: RunLayout) -> Built:
    """(station, level of the drain's invert) in mm from the outlet end up, on its rounded shims.

    Between two supports the pipe is straight; beyond the outermost ones it goes on as between the
    last two. A run with fewer than two supports is taken as designed.
    """
    length, levels = layout.run.length, layout.levels
    known: list[tuple[float, float]] = []
    for station, shim in layout.shims:
        if 0 <= station <= length and (not known or station - known[-1][0] >= CLOSE_SUPPORTS):
            known.append((station, levels.block_top + shim + levels.wall))
    if len(known) < 2:
        return (0.0, levels.invert(0.0)), (length, levels.invert(length))
    if known[0][0] > 0:
        known.insert(0, (0.0, _onward(known[1], known[0], 0.0)))
    if known[-1][0] < length:
        known.append((length, _onward(known[-2], known[-1], length)))
    return tuple(known)


def _onward(first: tuple[float, float], then: tuple[float, float], station: float) -> float:
    """Level at a station of the straight line through two points."""
    return then[1] + (then[1] - first[1]) * (station - then[0]) / (then[0] - first[0])


def invert_at(built: Built, station: float) -> float:
    """Level at a station of a drain's inverts as built, mm; beyond the run that of its end."""
    stations, levels = zip(*built, strict=True)
    return float(np.interp(station, stations, levels))


def _stretches(layout: RunLayout, built: Built) -> tuple[Stretch, ...]:
    """The drain's straight pieces from the capped end to the outfall."""
    pieces = [
        Stretch((above[0] - below[0]) * MM, (above[1] - below[1]) / (above[0] - below[0]))
        for below, above in itertools.pairwise(built)
    ][::-1]
    if layout.return_length > 0:
        fall = layout.run.return_fall / layout.return_length
        pieces.append(Stretch(layout.return_length * MM, fall))
    return tuple(pieces)


def _inflows(layout: RunLayout, built: Built, flows: Mapping[str, float]) -> tuple[Inflow, ...]:
    """An inflow at each hole. A tail that touches the bottom ends at the bottom."""
    return tuple(
        Inflow(
            (layout.run.length - place.station) * MM,
            flows.get(place.bucket.id, 0.0) * LITRES_PER_HOUR,
            hole_rim(layout) * MM,
            max(place.socket - layout.tail_length(place) - invert, 0.0) * MM,
        )
        for place in layout.places
        for invert in [invert_at(built, place.station)]
    )


def hole_rim(layout: RunLayout) -> float:
    """Height of the lowest point of a hole's edge above the drain's invert, mm."""
    drain = layout.parts.drain
    radius = drain.outside_diameter / 2
    half_hole = min(layout.parts.drain_saw.diameter / 2, radius)
    sag = radius - sqrt(radius**2 - half_hole**2)
    return drain.outside_diameter - drain.wall - sag
