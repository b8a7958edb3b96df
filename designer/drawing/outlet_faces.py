"""One bucket and its outlet assembly cut through the middle, as shapes.

The plane holds the bucket's centre line and the drain's axis. x runs from the drain's axis towards
the bucket, y is the level above the datum; all mm, all sizes as `layout/outlet.py` has them.
"""

from dataclasses import dataclass
from functools import cached_property

from shapely import union_all
from shapely.geometry import LineString, Point, Polygon, box
from shapely.geometry.base import BaseGeometry

from designer.drawing.records import XY
from designer.layout.outlet import outside_diameter_at
from designer.layout.run import Place, RunLayout

LIP = 0.04
"""Height of the rim's lip as a share of the bucket's (from memory)."""
LID_OPEN = 0.45
"""Opening for the plant as a share of the rim's diameter (common practice, no source)."""
_LID_THICK = 2.5
"""Thickness of a lid, mm (from memory)."""


@dataclass(frozen=True)
class OutletFaces:
    """The cut faces of one place of a run, whose tail is cut to `tail_length` mm."""

    layout: RunLayout
    place: Place

    @cached_property
    def tail_tip(self) -> float:
        """Level of the tail's lower end."""
        return self.place.socket - self.layout.tail_length(self.place)

    @property
    def rim_level(self) -> float:
        """Top of the rim."""
        return self.place.base + self.place.part.height

    @property
    def medium_level(self) -> float:
        """Top of the medium."""
        return self.place.base + min(self.layout.run.medium_depth, self.place.part.height)

    @property
    def sump_level(self) -> float:
        """Where water stands when nothing flows: the outlet's invert, never above the rim."""
        invert = self.place.outlet - self.layout.parts.outlet_pipe.bore / 2
        return min(max(invert, self.place.base), self.rim_level)

    @cached_property
    def outline(self) -> Polygon:
        """The bucket's outside with its lip."""
        part, x = self.place.part, self.place.assembly.bucket_axis
        base, top = self.place.base, self.rim_level
        rb, rt, rr = part.base_diameter / 2, part.top_diameter / 2, part.rim_diameter / 2
        under = top - LIP * part.height
        right = [(x + rb, base), (x + rt, under), (x + rr, under), (x + rr, top)]
        return Polygon([*right, *((2 * x - a, b) for a, b in reversed(right))])

    @cached_property
    def inside(self) -> Polygon:
        """The room inside the bucket's wall."""
        return self.room(self.place.base + self.place.part.wall, self.rim_level)

    def room(self, low: float, high: float) -> Polygon:
        """The part of the inside between two levels."""
        part, x = self.place.part, self.place.assembly.bucket_axis
        low = max(low, self.place.base + part.wall)
        high = max(high, low)
        r_low, r_high = (
            max(outside_diameter_at(part, level - self.place.base) / 2 - part.wall, 1.0)
            for level in (low, high)
        )
        return Polygon([(x - r_low, low), (x + r_low, low), (x + r_high, high), (x - r_high, high)])

    @cached_property
    def wall(self) -> BaseGeometry:
        """Wall and base, drilled for the grommet."""
        half = self.layout.parts.grommet.hole_diameter / 2
        y, axis = self.place.outlet, self.place.assembly.bucket_axis
        hole = box(-1e4, y - half, axis, y + half)
        return self.outline.difference(self.inside).difference(hole)

    @cached_property
    def lid(self) -> BaseGeometry:
        """The lid, open in the middle for the plant."""
        part, x, top = self.place.part, self.place.assembly.bucket_axis, self.rim_level
        half, gap = part.rim_diameter / 2, LID_OPEN * part.rim_diameter / 2
        return union_all(
            [
                box(x - half, top, x - gap, top + _LID_THICK),
                box(x + gap, top, x + half, top + _LID_THICK),
            ]
        )

    @cached_property
    def grommet(self) -> BaseGeometry:
        """The grommet: its neck in the wall and its flange inside."""
        part, grommet = self.place.part, self.layout.parts.grommet
        y, wall = self.place.outlet, self.place.assembly.wall
        inner = wall + part.wall
        neck = box(
            wall - part.wall, y - grommet.hole_diameter / 2, inner, y + grommet.hole_diameter / 2
        )
        half = grommet.flange_diameter / 2
        flange = box(inner, y - half, inner + grommet.flange_thickness, y + half)
        return union_all([neck, flange]).difference(self._pipe_level)

    @cached_property
    def _pipe_level(self) -> Polygon:
        half = self.layout.parts.outlet_pipe.outside_diameter / 2
        return box(-1e4, self.place.outlet - half, 1e4, self.place.outlet + half)

    @cached_property
    def nipple(self) -> BaseGeometry:
        """The wall of the nipple, from socket bottom to socket bottom."""
        pipe, y = self.layout.parts.outlet_pipe, self.place.outlet
        start = self.layout.parts.elbow.centre_to_socket_bottom
        end = start + self.layout.run.outlet.nipple_length
        outside = box(start, y - pipe.outside_diameter / 2, end, y + pipe.outside_diameter / 2)
        return outside.difference(box(start, y - pipe.bore / 2, end, y + pipe.bore / 2))

    @cached_property
    def tail(self) -> BaseGeometry:
        """The wall of the tail pipe."""
        pipe, top = self.layout.parts.outlet_pipe, self.place.socket
        half = pipe.outside_diameter / 2
        outside = box(-half, self.tail_tip, half, top)
        return outside.difference(box(-pipe.bore / 2, self.tail_tip, pipe.bore / 2, top))

    @cached_property
    def outer_elbow(self) -> BaseGeometry:
        """The elbow over the drain."""
        return self._elbow(0.0, 1)

    @cached_property
    def inner_elbow(self) -> BaseGeometry:
        """The elbow in the bucket, facing down."""
        return self._elbow(self.place.assembly.inner_elbow, -1)

    def elbow_outline(self, x: float, towards: int) -> Polygon:
        """An elbow as seen: one arm level, towards the bucket (1) or the drain (-1), one down."""
        elbow, y = self.layout.parts.elbow, self.place.outlet
        half = elbow.body_diameter / 2
        reach = elbow.centre_to_socket_bottom + elbow.socket_depth
        bend = LineString(_bend((x + towards * reach, y), (x, y), (x, y - reach), half))
        return bend.buffer(half, cap_style="flat", join_style="round")

    def _elbow(self, x: float, towards: int) -> BaseGeometry:
        parts, y = self.layout.parts, self.place.outlet
        elbow, pipe = parts.elbow, parts.outlet_pipe
        centre = elbow.centre_to_socket_bottom
        reach = centre + elbow.socket_depth
        arm = (x + towards * reach, y), (x, y), (x, y - reach)
        way = LineString(_bend(*arm, pipe.bore / 2)).buffer(pipe.bore / 2, cap_style="flat")
        half = pipe.outside_diameter / 2
        level = sorted((x + towards * centre, x + towards * (reach + 1)))
        sockets = [
            box(level[0], y - half, level[1], y + half),
            box(x - half, y - reach - 1, x + half, y - centre),
        ]
        return self.elbow_outline(x, towards).difference(union_all([way, *sockets]))


def _bend(start: XY, corner: XY, end: XY, radius: float) -> list[XY]:
    """A chain through a right-angled corner that is rounded where there is room."""
    least = min(abs(start[0] - corner[0]), abs(end[1] - corner[1]))
    radius = min(radius, 0.9 * least)
    sign = 1 if start[0] > corner[0] else -1
    centre = (corner[0] + sign * radius, corner[1] - radius)
    arc = Point(centre).buffer(radius, quad_segs=6).exterior.coords
    turn = [
        (float(a), float(b))
        for a, b in arc[:-1]
        if (a - centre[0]) * sign <= 1e-6 and b >= centre[1] - 1e-6
    ]
    turn.sort(key=lambda p: -p[0] * sign)
    return [start, *turn, end]
