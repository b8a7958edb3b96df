"""A plane across a run through one bucket's outlet, and what it cuts, seen from the outlet end.

The bucket opposite and the stack of blocks stand beyond the plane and are seen. x is across the
run, to the right as seen, 0 at the drain's axis; y is the level above the datum; all mm.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from shapely import affinity
from shapely.geometry import Point, Polygon, box
from shapely.geometry.base import BaseGeometry

from designer.analysis import Analysis
from designer.drawing.frame import active_layout
from designer.drawing.outlet_faces import OutletFaces
from designer.drawing.records import XY
from designer.layout.run import Place, RunLayout
from designer.model.stations import ground_at
from designer.stand.bed.stacks import Standing, standing

_BEFORE_X = 24
"""The letters of so many holes come before X. No run has as many holes as there are before XX."""
_OVER_RIM = 22.0
"""How high the feed tube passes over the rim, mm (common practice, no source)."""


@dataclass(frozen=True)
class Section:
    """What one plane cuts and what stands beyond it. Stations and levels in mm."""

    analysis: Analysis
    layout: RunLayout
    place: Place

    @property
    def station(self) -> float:
        """Where the plane stands."""
        return self.place.station

    @property
    def side(self) -> int:
        """Where the cut bucket stands as seen: 1 right, -1 left."""
        return -1 if self.place.offset > 0 else 1

    @cached_property
    def faces(self) -> OutletFaces:
        """The cut bucket and its outlet assembly."""
        return OutletFaces(self.layout, self.place)

    @cached_property
    def opposite(self) -> OutletFaces | None:
        """The nearest bucket on the other side at the plane or beyond; None where there is none."""
        beyond = [p for p in self.layout.places if _opposite(self.place, p)]
        nearest = min(beyond, key=lambda p: p.station, default=None)
        return OutletFaces(self.layout, nearest) if nearest is not None else None

    @cached_property
    def support(self) -> Standing | None:
        """The nearest stack at the plane or beyond it."""
        half = self.layout.parts.block.width / 2
        beyond = [at for at in standing(self.layout) if at.station > self.station - half]
        return beyond[0] if beyond else None

    @property
    def ground(self) -> float:
        """Level of the ground in the plane."""
        stand = self.layout.run.stand
        return ground_at((self.station,), stand.supports, stand.ground)[0]

    @property
    def water_depth(self) -> float:
        """Depth of the running water in the drain, mm; 0 while it is not known."""
        water = self.analysis.water if self.analysis.water_current else None
        drain = water.drains.get(self.layout.run.id) if water is not None else None
        if drain is None:
            return 0.0
        points = sorted((station, depth) for station, depth, _, _ in drain.points)
        stations, depths = zip(*points, strict=True)
        return float(np.interp(self.station, stations, depths))

    @cached_property
    def blocks(self) -> tuple[Polygon, ...]:
        """The stack seen beyond the plane, block by block from the ground up; one that is let into
        the ground begins below it."""
        if self.support is None:
            return ()
        return tuple(
            box(left, low, right, high)
            for low, high in self.support.courses
            for left, right in self._block_ends
        )

    @cached_property
    def packing(self) -> tuple[Polygon, ...]:
        """What brings the stack up to its height, on each block of the top course."""
        if self.support is None or self.support.stack.packing <= 0:
            return ()
        top, thick = self.layout.levels.block_top, self.support.stack.packing
        return tuple(box(left, top - thick, right, top) for left, right in self._block_ends)

    @property
    def _block_ends(self) -> list[tuple[float, float]]:
        half = self.layout.parts.block.length / 2
        return [(offset - half, offset + half) for offset in self.layout.block_offsets]

    @property
    def stack_cut(self) -> bool:
        """Whether the plane cuts the stack."""
        half = self.layout.parts.block.width / 2
        return self.support is not None and abs(self.support.station - self.station) < half

    @cached_property
    def shims(self) -> tuple[Polygon, ...]:
        """On the stack, under the drain and under each rail."""
        if self.support is None:
            return ()
        low, half = self.layout.levels.block_top, self.layout.parts.drain.outside_diameter / 2
        found = [box(-half, low, half, low + self.support.shim)]
        if self.support.rail_shim > 0:
            top = low + self.support.rail_shim
            found += [box(r.bounds[0], low, r.bounds[2], top) for r in self.rails]
        return tuple(shim for shim in found if shim.area > 0)

    @cached_property
    def rails(self) -> tuple[Polygon, ...]:
        """The rails as the plane cuts them, none beyond their ends."""
        layout, levels = self.layout, self.layout.levels
        if not 0 <= self.station <= layout.run.length:
            return ()
        board = layout.parts.rail
        half = (board.thickness if layout.run.stand.on_edge else board.width) / 2
        top = levels.rail_top(self.station)
        offsets = sorted(sign * o for o in layout.rail_offsets for sign in (-1, 1))
        return tuple(box(o - half, top - levels.rail_depth, o + half, top) for o in offsets)

    @cached_property
    def drain(self) -> BaseGeometry:
        """The wall of the drain, open at the hole in its crown."""
        pipe, y = self.layout.parts.drain, self.drain_axis
        half = self.layout.parts.drain_saw.diameter / 2
        ring = Point(0, y).buffer(pipe.outside_diameter / 2, quad_segs=24)
        ring = ring.difference(Point(0, y).buffer(pipe.bore / 2, quad_segs=24))
        return ring.difference(box(-half, y, half, y + pipe.outside_diameter))

    @property
    def drain_axis(self) -> float:
        """Level of the drain's axis in the plane."""
        return self.layout.levels.crown(self.station) - self.layout.parts.drain.outside_diameter / 2

    @property
    def manifold(self) -> XY:
        """Middle of the manifold as seen."""
        run = self.layout.run
        return -run.manifold.offset, self.layout.levels.rail_top(self.station) + run.manifold.height

    def feed(self, faces: OutletFaces) -> tuple[XY, ...]:
        """The feed tube from the manifold over a bucket's rim to its medium."""
        side = -1 if faces.place.offset > 0 else 1
        x, y = self.manifold
        start = (x, y + self.layout.parts.manifold.outside_diameter / 2)
        top = max(faces.rim_level, start[1]) + _OVER_RIM
        end = side * (faces.place.assembly.bucket_axis - 0.08 * faces.place.part.rim_diameter)
        return rounded((start, (x, top), (end, top), (end, faces.medium_level + 8)), 30.0)

    @property
    def top(self) -> float:
        """Highest level of the view."""
        both = [self.faces, *([self.opposite] if self.opposite else [])]
        return max(y for faces in both for _, y in self.feed(faces))

    @property
    def bottom(self) -> float:
        """Lowest level of the view but for the ground's hatching."""
        return min([self.ground, *(float(block.bounds[1]) for block in self.blocks)])

    @property
    def rim_ends(self) -> tuple[float, float]:
        """Left and right end of the rims; of the one bucket where there is no other."""
        ends = [(self.side, self.place)]
        if self.opposite is not None:
            ends.append((-self.side, self.opposite.place))
        middles = [(s * p.assembly.bucket_axis, p.part.rim_diameter / 2) for s, p in ends]
        return min(x - r for x, r in middles), max(x + r for x, r in middles)

    @property
    def reach(self) -> tuple[float, float]:
        """Left and right end of buckets, rails and blocks."""
        shapes = [facing(self.faces.outline, self.side), *self.rails, *self.blocks]
        if self.opposite is not None:
            shapes.append(facing(self.opposite.outline, -self.side))
        boxes = [shape.bounds for shape in shapes]
        return min(b[0] for b in boxes), max(b[2] for b in boxes)


def section_of(
    analysis: Analysis, run_id: str | None = None, bucket_id: str | None = None
) -> Section | None:
    """The section through a bucket of a run (the first when None); None for a run without buckets.

    Without `bucket_id` it is the bucket nearest to the run's middle that has another opposite
    beyond it.
    """
    layout = active_layout(analysis, run_id)
    if layout is None or not layout.places:
        return None
    if bucket_id is not None:
        return Section(analysis, layout, analysis.places[bucket_id][1])
    middle = layout.run.length / 2

    def rank(place: Place) -> tuple[bool, float, float]:
        paired = any(_opposite(place, other) for other in layout.places)
        return not paired, abs(place.station - middle), place.station

    return Section(analysis, layout, min(layout.places, key=rank))


def plane_letters(layout: RunLayout) -> tuple[str, str, str]:
    """Letters of a run's section, return end and detail, which none of its buckets has."""
    return ("X", "Y", "Z") if len(layout.places) < _BEFORE_X else ("XX", "YY", "ZZ")


def _opposite(place: Place, other: Place) -> bool:
    return other.bucket.side != place.bucket.side and other.station >= place.station


def facing(shape: BaseGeometry, side: int) -> BaseGeometry:
    """A shape of :class:`OutletFaces` on its side of the drain."""
    return shape if side > 0 else affinity.scale(shape, xfact=-1, origin=(0, 0))


def rounded(points: tuple[XY, ...], radius: float) -> tuple[XY, ...]:
    """A chain with its corners rounded by arcs of a parabola, no larger than there is room for."""
    chain = [points[0]]
    for a, b, c in zip(points, points[1:], points[2:], strict=False):
        before, after = _towards(b, a, radius), _towards(b, c, radius)
        for i in range(9):
            t = i / 8
            chain.append(
                (
                    before[0] * (1 - t) ** 2 + 2 * b[0] * t * (1 - t) + after[0] * t**2,
                    before[1] * (1 - t) ** 2 + 2 * b[1] * t * (1 - t) + after[1] * t**2,
                )
            )
    return (*chain, points[-1])


def _towards(start: XY, end: XY, distance: float) -> XY:
    dx, dy = end[0] - start[0], end[1] - start[1]
    long = (dx * dx + dy * dy) ** 0.5
    share = min(distance, long / 2) / long if long else 0.0
    return start[0] + dx * share, start[1] + dy * share
