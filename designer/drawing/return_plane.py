"""A plane along the last stretch of a run's drain, and what it cuts at the reservoir.

x is along the plane from the outfall against the flow, to the right as seen; y is the level above
the datum; all mm. The return path is not unrolled: beyond its last bend the drain leaves the plane.
"""

import itertools
from dataclasses import dataclass
from functools import cached_property
from math import hypot

from shapely.geometry import LineString, Polygon

from designer.analysis import Analysis
from designer.drawing.frame import active_layout, unit_vector
from designer.drawing.records import XY
from designer.layout.run import RunLayout
from designer.layout.site import ReservoirLayout

BEYOND_RIM = 300.0
"""What is shown of the drain beyond the reservoir's rim, mm."""
GROUND_BESIDE = 8.0
"""What is shown of the ground left of the reservoir, mm on paper."""
_STRAIGHT = 0.9962
"""Cosine of 5 degrees: a lesser turn of the drain still lies in the plane."""
_LEVELS = 12
"""At how many levels the reservoir's wall is followed."""


@dataclass(frozen=True)
class ReturnEnd:
    """The outfall of one run over its reservoir."""

    analysis: Analysis
    layout: RunLayout
    tank: ReservoirLayout

    @cached_property
    def legs(self) -> tuple[tuple[XY, XY], ...]:
        """Straights of the drain from the capped end to the outfall, without any of no length."""
        points = [self.layout.frame.at(self.layout.run.length), *self.layout.return_points]
        return tuple(
            (a, b) for a, b in itertools.pairwise(points) if hypot(a[0] - b[0], a[1] - b[1]) > 1e-6
        )

    @cached_property
    def direction(self) -> XY:
        """Unit vector against the flow at the outfall, on the site."""
        return unit_vector(*self.legs[-1][::-1])

    @cached_property
    def straight(self) -> float:
        """Length of the drain that lies in the plane, from the outfall."""
        long = 0.0
        for a, b in reversed(self.legs):
            ux, uy = unit_vector(b, a)
            if ux * self.direction[0] + uy * self.direction[1] < _STRAIGHT:
                break
            long += hypot(a[0] - b[0], a[1] - b[1])
        return long

    @property
    def bends(self) -> bool:
        """Whether the drain leaves the plane at a bend that is seen."""
        whole = self.layout.run.length + self.layout.return_length
        return self.straight < whole - 1e-6 and self.straight < self.right

    @property
    def along_run(self) -> bool:
        """Whether the plane holds the run's own axis."""
        return self.straight > self.layout.return_length + 1e-6

    def along(self, x: float, y: float) -> float:
        """x in the plane of a site point."""
        ox, oy = self.layout.outfall
        return (x - ox) * self.direction[0] + (y - oy) * self.direction[1]

    def invert(self, x: float) -> float:
        """Level of the drain's invert at x."""
        layout, long = self.layout, self.layout.return_length
        if x <= 0:
            return layout.outfall_invert
        if x < long:
            return layout.outfall_invert + layout.run.return_fall * x / long
        return layout.levels.invert(x - long)

    @cached_property
    def wall(self) -> tuple[tuple[float, float, float], ...]:
        """(level, left, right) of the inside of the reservoir's wall in the plane, floor first;
        empty where the plane misses the reservoir."""
        (ox, oy), (ux, uy) = self.layout.outfall, self.direction
        far = 1e5
        line = LineString([(ox - far * ux, oy - far * uy), (ox + far * ux, oy + far * uy)])
        floor, rim = self.tank.floor_level, self.tank.rim_level
        found = []
        for i in range(_LEVELS + 1):
            level = floor + (rim - floor) * i / _LEVELS
            chord = self.tank.outline_at(level).intersection(line)
            if chord.length > 0:
                xs = sorted(self.along(*xy) for xy in chord.coords)
                found.append((level, xs[0], xs[-1]))
        return tuple(found)

    def chord(self, level: float) -> XY:
        """Left and right of the inside at a level, straight between those known."""
        known = self.wall
        for (low, left, right), (high, left_2, right_2) in itertools.pairwise(known):
            if low <= level <= high:
                share = (level - low) / (high - low)
                return left + (left_2 - left) * share, right + (right_2 - right) * share
        return known[0][1:] if level < known[0][0] else known[-1][1:]

    @cached_property
    def inside(self) -> Polygon:
        """The inside of the reservoir in the plane."""
        return self.below(self.tank.rim_level)

    def below(self, level: float) -> Polygon:
        """The inside of the reservoir below a level."""
        left, right = self.chord(level)
        kept = [row for row in self.wall if row[0] < level]
        points = [(x, z) for z, x, _ in kept] + [(left, level), (right, level)]
        return Polygon(points + [(x, z) for z, _, x in reversed(kept)])

    @cached_property
    def outside(self) -> Polygon:
        """The reservoir with its wall and floor."""
        wall, low = self.tank.part.wall, self.wall[0]
        left = [(x - wall, z) for z, x, _ in self.wall]
        right = [(x + wall, z) for z, _, x in reversed(self.wall)]
        foot = [(low[2] + wall, low[0] - wall), (low[1] - wall, low[0] - wall)]
        return Polygon([*left, *right, *foot])

    @property
    def water_depth(self) -> float:
        """Depth of the running water at the outfall, mm; 0 while it is not known."""
        water = self.analysis.water if self.analysis.water_current else None
        drain = water.drains.get(self.layout.run.id) if water is not None else None
        return drain.points[-1][1] if drain is not None else 0.0

    @property
    def left(self) -> float:
        """Left end of what is shown, without dimensions."""
        return min(-50.0, float(self.outside.bounds[0]))

    @cached_property
    def right(self) -> float:
        """Where the drain is broken off."""
        return max(0.0, float(self.outside.bounds[2])) + BEYOND_RIM

    @property
    def drain_to(self) -> float:
        """x to which the drain is shown."""
        return min(self.right, self.straight)

    @property
    def pump_x(self) -> float:
        """x of the pump, which stands in the reservoir's middle."""
        place = self.tank.reservoir.place
        return self.along(place.x, place.y)

    @cached_property
    def feed(self) -> tuple[XY, ...]:
        """Middle of the tube from the pump's floor up to the rails and off to the right or left."""
        run, frame = self.layout.run, self.layout.frame
        level = self.layout.levels.rail_top(0.0) + run.manifold.height
        path = [(p.x, p.y) for p in run.feed_path]
        path += [frame.at(0.0, run.manifold.offset), frame.at(run.length, run.manifold.offset)]
        points = [(self.pump_x, self.tank.floor_level), (self.pump_x, level)]
        for xy in path:
            x = self.along(*xy)
            last = points[-1][0]
            shown = min(max(x, self.left), self.right)
            if abs(shown - last) > 1:
                points.append((shown, level))
            if shown != x:
                break
        return tuple(points)


def return_end_of(analysis: Analysis, run_id: str | None = None) -> ReturnEnd | None:
    """The outfall of a run (the first when None); None without a run or a reservoir under it."""
    layout, tank = active_layout(analysis, run_id), analysis.reservoir
    if layout is None or tank is None:
        return None
    end = ReturnEnd(analysis, layout, tank)
    return end if len(end.wall) > 1 and end.wall[-1][0] == tank.rim_level else None


def air_hole_level(tank: ReservoirLayout) -> float:
    """Where the siphon-break hole is drawn: midway between the full level and the rim."""
    return (tank.full_level + tank.rim_level) / 2
