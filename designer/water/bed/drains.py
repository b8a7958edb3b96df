"""The drain of each run: its line as built, and the water along it."""

import itertools
from collections.abc import Mapping
from dataclasses import dataclass
from math import sqrt

from designer.layout.run import RunLayout
from designer.layout.site import ReservoirLayout
from designer.model.design import Design
from designer.water.bed.feed import LITRES_PER_HOUR, MM
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


@dataclass(frozen=True)
class RunDrain:
    """The water in one run's drain. Stations in mm from the outlet end; below it negative."""

    layout: RunLayout
    line: Line
    profile: Profile
    tail_depth: float

    def station(self, distance: float) -> float:
        """Station in mm of a distance in m from the capped end."""
        return self.layout.run.length - distance / MM

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
    line = Line(
        Circular(layout.parts.drain.bore * MM),
        resistance,
        stretches_as_built(layout),
        _inflows(layout, flows),
    )
    tail = 0.0
    if reservoir is not None:
        tail = max(reservoir.full_level - layout.outfall_invert, 0.0) * MM
    return RunDrain(layout, line, drain_profile(line, tail), tail)


def stretches_as_built(layout: RunLayout) -> tuple[Stretch, ...]:
    """The run from the capped end to the outfall, with the fall that its rounded shims make.

    Between two supports the pipe is straight; beyond the outermost ones it goes on as between the
    last two. A run with fewer than two supports is taken as designed.
    """
    run = layout.run
    inside = [(s, t) for s, t in layout.shims if 0 <= s <= run.length]
    pieces: list[Stretch] = []
    if len({s for s, _ in inside}) < 2:
        pieces.append(Stretch(run.length * MM, run.drain.fall / run.length))
    else:
        known = sorted(dict(inside).items())
        edges = [0.0, *(s for s, _ in known[1:-1]), run.length]
        slopes = [(t2 - t1) / (s2 - s1) for (s1, t1), (s2, t2) in itertools.pairwise(known)]
        pieces = [
            Stretch((high - low) * MM, slope)
            for low, high, slope in zip(edges, edges[1:], slopes, strict=False)
            if high > low
        ][::-1]
    if layout.return_length > 0:
        pieces.append(Stretch(layout.return_length * MM, run.return_fall / layout.return_length))
    return tuple(pieces)


def _inflows(layout: RunLayout, flows: Mapping[str, float]) -> tuple[Inflow, ...]:
    run, drain = layout.run, layout.parts.drain
    half_hole = min(layout.parts.drain_saw.diameter / 2, drain.outside_diameter / 2)
    radius = drain.outside_diameter / 2
    sag = radius - sqrt(radius**2 - half_hole**2)
    rim = drain.outside_diameter - drain.wall - sag
    inflows = []
    for place in layout.places:
        tip = place.socket - layout.tail_length(place) - layout.levels.invert(place.station)
        inflows.append(
            Inflow(
                (run.length - place.station) * MM,
                flows.get(place.bucket.id, 0.0) * LITRES_PER_HOUR,
                rim * MM,
                tip * MM,
            )
        )
    return tuple(inflows)
