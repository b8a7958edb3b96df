"""The site in plan: reservoir, obstacles, outline and bed footprints as shapely shapes."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import shapely
from shapely import affinity
from shapely.geometry import MultiPoint, Point, Polygon, box
from shapely.geometry.base import BaseGeometry

from designer.layout.run import RunLayout
from designer.layout.volume import reservoir_litres
from designer.model.catalogue import Catalogue
from designer.model.design import Design, Obstacle, Reservoir
from designer.model.parts import PumpPart, ReservoirPart

SOLID = ("wall", "post")
"""Obstacles that buckets may not touch and a person cannot walk through."""
KEPT_FREE = ("door", "path", "keep_free")
"""Obstacles that must stay open ground."""


@dataclass(frozen=True)
class ReservoirLayout:
    """The reservoir as it stands; levels in mm above the datum, volumes in litres."""

    reservoir: Reservoir
    part: ReservoirPart
    pump: PumpPart

    @cached_property
    def rim(self) -> Polygon:
        """Inside of the rim in plan."""
        return self._outline(self.part.rim_length, self.part.rim_width)

    @cached_property
    def base_outline(self) -> Polygon:
        """Inside of the floor in plan."""
        return self._outline(self.part.base_length, self.part.base_width)

    def of_run(self, layout: RunLayout) -> tuple[float, float]:
        """(station, offset) of the middle in a run's own axes, mm."""
        return layout.frame.of(self.reservoir.place.x, self.reservoir.place.y)

    def rim_beyond(self, layout: RunLayout) -> float:
        """How far the nearest point of the rim lies beyond a run's outlet end, measured along the
        drain's line, mm; negative where it lies beside the run."""
        return -max(layout.frame.of(x, y)[0] for x, y in self.rim.exterior.coords)

    @property
    def narrowest(self) -> float:
        """The smaller inside size of the rim, mm."""
        if self.part.shape == "round":
            return self.part.rim_length
        return min(self.part.rim_length, self.part.rim_width)

    def outline_at(self, level: float) -> Polygon:
        """Inside of the wall in plan at a level between floor and rim."""
        share = (level - self.floor_level) / (self.rim_level - self.floor_level)
        part = self.part
        return self._outline(
            part.base_length + (part.rim_length - part.base_length) * share,
            part.base_width + (part.rim_width - part.base_width) * share,
        )

    def _outline(self, length: float, width: float) -> Polygon:
        place = self.reservoir.place
        if self.part.shape == "round":
            return Point(place.x, place.y).buffer(length / 2, quad_segs=16)
        shape = box(
            place.x - length / 2, place.y - width / 2, place.x + length / 2, place.y + width / 2
        )
        return affinity.rotate(shape, self.reservoir.turn, origin="center")

    @property
    def rim_level(self) -> float:
        """Top of the rim."""
        return self.part.height - self.reservoir.sunk

    @property
    def floor_level(self) -> float:
        """Inside floor."""
        return -self.reservoir.sunk

    @property
    def full_level(self) -> float:
        """Water level when full."""
        return self.rim_level - self.reservoir.freeboard

    @property
    def low_level(self) -> float:
        """Water level at which the grower tops up."""
        return self.floor_level + self.reservoir.low_water

    @cached_property
    def litres_full(self) -> float:
        """Litres at the full level."""
        return reservoir_litres(self.part, self.full_level - self.floor_level)

    @cached_property
    def litres_working(self) -> float:
        """Litres between the full level and low water."""
        return self.litres_full - reservoir_litres(self.part, self.reservoir.low_water)


def lay_out_reservoir(reservoir: Reservoir, catalogue: Catalogue) -> ReservoirLayout:
    """Look up the reservoir's parts; KeyError or TypeError as in the catalogue."""
    return ReservoirLayout(
        reservoir,
        catalogue.part(reservoir.part, ReservoirPart),
        catalogue.part(reservoir.pump, PumpPart),
    )


def obstacle_shape(obstacle: Obstacle) -> Polygon:
    """An obstacle's outline in plan."""
    x, y = obstacle.place.x, obstacle.place.y
    if obstacle.shape == "round":
        return Point(x, y).buffer(obstacle.width / 2, quad_segs=16)
    w, d = obstacle.width / 2, obstacle.depth / 2
    return affinity.rotate(box(x - w, y - d, x + w, y + d), obstacle.turn, origin="center")


def bed_footprint(layout: RunLayout) -> Polygon:
    """The ground a run takes up: its axis and buckets, as one rectangle along the run."""
    reach = layout.half_width
    stations = [0.0, layout.run.length]
    for place in layout.places:
        radius = place.part.rim_diameter / 2
        stations += (place.station - radius, place.station + radius)
    low, high = min(stations), max(stations)
    corners = ((low, -reach), (high, -reach), (high, reach), (low, reach))
    return Polygon([layout.frame.at(*corner) for corner in corners])


def bed_spine(layout: RunLayout) -> Polygon:
    """The ground under a run's drain and rails, without its buckets."""
    half = layout.rail_offsets[-1]
    corners = ((0.0, -half), (layout.run.length, -half), (layout.run.length, half), (0.0, half))
    return Polygon([layout.frame.at(*corner) for corner in corners])


@dataclass(frozen=True, eq=False)
class SiteLayout:
    """Site outline and obstacles in plan."""

    outline: Polygon | None
    obstacles: Mapping[str, Polygon]
    kinds: Mapping[str, str]

    def of_kinds(self, kinds: tuple[str, ...]) -> dict[str, Polygon]:
        """Obstacle shapes of some kinds, by id."""
        return {i: shape for i, shape in self.obstacles.items() if self.kinds[i] in kinds}


def lay_out_site(design: Design) -> SiteLayout:
    """Shapes of the outline and the obstacles. A crossing outline is mended to its area."""
    outline = None
    if len(design.outline) >= 3:
        outline = Polygon([(p.x, p.y) for p in design.outline])
        if not outline.is_valid:
            mended = shapely.make_valid(outline)
            outline = MultiPoint([(p.x, p.y) for p in design.outline]).convex_hull
            if isinstance(mended, Polygon):
                outline = mended
        if not isinstance(outline, Polygon) or outline.area == 0:
            outline = None
    return SiteLayout(
        outline,
        {o.id: obstacle_shape(o) for o in design.obstacles},
        {o.id: o.kind for o in design.obstacles},
    )


def standing_room(
    site: SiteLayout, occupied: BaseGeometry, path_width: float, margin: float
) -> BaseGeometry:
    """Ground where a person can stand and walk: free of everything solid and wide enough.

    `occupied` is the ground taken by beds and reservoir; without a site outline the ground goes on
    for `margin` around it. Narrow gaps are removed by shrinking and growing by half the width.
    """
    ground: BaseGeometry = site.outline if site.outline is not None else occupied.buffer(margin)
    taken = shapely.union_all([occupied, *site.of_kinds(SOLID).values()])
    half = path_width / 2
    return ground.difference(taken).buffer(-half, quad_segs=4).buffer(half, quad_segs=4)
