"""Where everything of one run is: bucket places, levels, tails, shims and the return path."""

import itertools
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from math import ceil, cos, hypot, radians, sin
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from designer.layout.levels import Levels, run_levels, shim_schedule
from designer.layout.outlet import OutletAssembly, cut_tail_shortest, outlet_assembly
from designer.layout.tails import (
    TailLimits,
    TailWindow,
    common_window,
    rounded_within,
    tail_window,
)
from designer.model.catalogue import Catalogue
from designer.model.design import Bucket, Point, Run
from designer.model.parts import (
    BlockPart,
    BoardPart,
    BucketPart,
    Crop,
    ElbowPart,
    FittingPart,
    GrommetPart,
    HoleSawPart,
    MediumPart,
    PipePart,
    TubePart,
)
from designer.units import UnitSystem

GRAIN: Mapping[str, float] = {"metric": 1.0, "imperial": 25.4 / 16}
"""The step a person cuts and packs to: 1 mm, or 1/16 in."""


class Place(NamedTuple):
    """One bucket as it stands. Plan in site mm, levels in mm above the datum.

    `offset` is left of the axis (negative: right). `hole` is the station's point on the axis, over
    which the outer elbow stands; `wall` is where the nipple leaves the bucket.
    """

    bucket: Bucket
    part: BucketPart
    crop: Crop
    assembly: OutletAssembly
    station: float
    offset: float
    x: float
    y: float
    hole_x: float
    hole_y: float
    base: float
    outlet: float
    window: TailWindow

    @property
    def socket(self) -> float:
        """Level of the bottom of the outer elbow's lower socket, where the tail begins."""
        return self.outlet - self.assembly.drop


@dataclass(frozen=True)
class RunParts:
    """The catalogue parts a run is made of."""

    bucket: BucketPart
    crop: Crop
    medium: MediumPart
    outlet_saw: HoleSawPart
    grommet: GrommetPart
    elbow: ElbowPart
    outlet_pipe: PipePart
    drain: PipePart
    drain_saw: HoleSawPart
    cap: FittingPart
    manifold: TubePart
    feed_tube: TubePart
    barb: FittingPart
    plug: FittingPart
    rail: BoardPart
    block: BlockPart


@dataclass(frozen=True)
class Frame:
    """A run's own axes on the site: `along` by station and `across` to the left."""

    start: Point
    heading: float

    @cached_property
    def along(self) -> tuple[float, float]:
        """Unit vector from the outlet end to the capped end."""
        angle = radians(self.heading)
        return cos(angle), sin(angle)

    def at(self, station: float, offset: float = 0.0) -> tuple[float, float]:
        """Site point at a station and an offset to the left, mm."""
        ux, uy = self.along
        return (
            self.start.x + ux * station - uy * offset,
            self.start.y + uy * station + ux * offset,
        )

    def of(self, x: float, y: float) -> tuple[float, float]:
        """(station, offset) of a site point, mm: the reverse of :meth:`at`."""
        ux, uy = self.along
        dx, dy = x - self.start.x, y - self.start.y
        return dx * ux + dy * uy, dy * ux - dx * uy


@dataclass(frozen=True)
class RunLayout:
    """One run laid out. Places stand in the order of the design's buckets."""

    run: Run
    units: UnitSystem
    parts: RunParts
    frame: Frame
    levels: Levels
    tail_limits: TailLimits
    places: tuple[Place, ...]

    @cached_property
    def from_cap(self) -> tuple[Place, ...]:
        """Places in drilling order, running from the capped end."""
        return tuple(sorted(self.places, key=lambda place: -place.station))

    @cached_property
    def letters(self) -> Mapping[str, str]:
        """The letter of each bucket's hole by bucket id: A at the capped end, after Z comes AA."""
        return {place.bucket.id: letter(i) for i, place in enumerate(self.from_cap)}

    @cached_property
    def order(self) -> NDArray[np.intp]:
        """Indices into `places` by rising station."""
        return np.argsort(self.stations, kind="stable")

    @cached_property
    def stations(self) -> NDArray[np.float64]:
        """Stations of the places, mm, shape (buckets,)."""
        return np.array([place.station for place in self.places], dtype=float)

    @cached_property
    def centres(self) -> NDArray[np.float64]:
        """Site points of the bucket centres, mm, shape (buckets, 2)."""
        points = [(place.x, place.y) for place in self.places]
        return np.array(points, dtype=float).reshape(-1, 2)

    @cached_property
    def rim_radii(self) -> NDArray[np.float64]:
        """Radius of each bucket at its widest, mm, shape (buckets,)."""
        return np.array([place.part.rim_diameter / 2 for place in self.places], dtype=float)

    @cached_property
    def common_tail(self) -> TailWindow | None:
        """The window that all buckets share; None for a run without buckets."""
        return common_window([place.window for place in self.places])

    def tail_length(self, place: Place) -> float:
        """The length this bucket's tail is cut to, mm: graded, the middle of the part of its
        window that is long enough to push into the elbow."""
        if self.run.tails.cut == "common":
            return self.run.tails.length
        least = cut_tail_shortest(self.parts.elbow, self.parts.outlet_pipe)
        usable = TailWindow(max(place.window.shortest, least), place.window.longest)
        return rounded_within(usable if usable.open else place.window, GRAIN[self.units])

    @cached_property
    def shims(self) -> tuple[tuple[float, float], ...]:
        """(station, thickness) under the drain at every support, mm, as a person can make them."""
        return shim_schedule(self.run, self.levels, GRAIN[self.units])

    @cached_property
    def return_points(self) -> tuple[tuple[float, float], ...]:
        """The return path on the site: outlet end, bends, outfall."""
        start = self.run.start
        return ((start.x, start.y), *((p.x, p.y) for p in self.run.return_path))

    @cached_property
    def return_length(self) -> float:
        """Length of the return path, mm."""
        return path_length(self.return_points)

    @property
    def outfall(self) -> tuple[float, float]:
        """Where the water falls into the reservoir, on the site."""
        return self.return_points[-1]

    @property
    def outfall_invert(self) -> float:
        """Invert of the drain at its outfall, mm above the datum."""
        return self.levels.invert(0.0) - self.run.return_fall

    @property
    def drain_length(self) -> float:
        """All of the drain pipe, capped end to outfall, mm."""
        return self.run.length + self.return_length

    @property
    def half_width(self) -> float:
        """From the axis to the outermost rim, mm."""
        rims = [abs(p.offset) + p.part.rim_diameter / 2 for p in self.places]
        return max(rims, default=self.rail_offsets[-1] + self.parts.rail.width)

    @cached_property
    def rail_offsets(self) -> tuple[float, ...]:
        """Distance of the rails' centre lines from the axis, on each side, mm.

        Two rails a side stand at a third of the base's diameter apart from its centre; one rail a
        side stands under the centre.
        """
        assembly = outlet_assembly(
            self.parts.bucket,
            self.run.outlet.height,
            self.run.outlet.nipple_length,
            self.parts.grommet,
            self.parts.elbow,
        )
        if self.run.stand.rails == 2:
            return (assembly.bucket_axis,)
        spread = self.parts.bucket.base_diameter / 3
        return (assembly.bucket_axis - spread, assembly.bucket_axis + spread)

    @cached_property
    def block_offsets(self) -> tuple[float, ...]:
        """Offsets from the axis of the blocks side by side in one course, mm: as many as reach
        under the outermost rails, butted together so that the drain is bedded as well."""
        rail = self.parts.rail.thickness if self.run.stand.on_edge else self.parts.rail.width
        block = self.parts.block.length
        count = max(1, ceil(2 * (self.rail_offsets[-1] + rail / 2) / block - 1e-9))
        return tuple(block * (i - (count - 1) / 2) for i in range(count))

    @property
    def past_cap(self) -> float:
        """How far the stand's blocks reach beyond the capped end, mm."""
        half = self.parts.block.width / 2
        return max([0.0, *(s + half - self.run.length for s in self.run.stand.supports)])

    @cached_property
    def half_canopy(self) -> float:
        """From the axis to the outermost canopy or rim, mm."""
        canopies = [abs(p.offset) + p.crop.canopy_spread / 2 for p in self.places]
        return max([*canopies, self.half_width])

    @cached_property
    def blocks_high(self) -> int:
        """Courses of blocks in each stack; the last is made up with packing or sunk in."""
        return max(1, round(self.levels.block_top / self.parts.block.height))


def letter(index: int) -> str:
    """The letter of the n-th hole: A .. Z, AA .. AZ, BA and so on, from 0."""
    text = ""
    index += 1
    while index:
        index, digit = divmod(index - 1, 26)
        text = chr(65 + digit) + text
    return text


def path_length(points: tuple[tuple[float, float], ...]) -> float:
    """Length of a polyline, mm."""
    return sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in itertools.pairwise(points))


def lay_out_run(
    run: Run, units: UnitSystem, catalogue: Catalogue, previous: RunLayout | None = None
) -> RunLayout:
    """Lay out one run. With `previous`, places of buckets that did not change are kept.

    Raises KeyError or TypeError when a part is not in the catalogue or of another kind; a design
    read from a file has been checked for that.
    """
    if previous is not None and previous.units == units and _same_but_buckets(previous.run, run):
        known = {id(place.bucket): place for place in previous.places}
        base = previous
    else:
        known = {}
        base = _empty(run, units, catalogue)
    assemblies: dict[str, OutletAssembly] = {}
    places = tuple(
        known.get(id(bucket)) or _place(bucket, run, base, catalogue, assemblies)
        for bucket in run.buckets
    )
    return RunLayout(run, units, base.parts, base.frame, base.levels, base.tail_limits, places)


def _same_but_buckets(a: Run, b: Run) -> bool:
    return a is b or replace(a, buckets=()) == replace(b, buckets=())


def _empty(run: Run, units: UnitSystem, catalogue: Catalogue) -> RunLayout:
    parts = run_parts(run, catalogue)
    limits = TailLimits(
        reach=catalogue.limit("tail_reach"),
        clear_invert=catalogue.limit("tail_clear_invert"),
        clear_water=catalogue.limit("tail_clear_water"),
        water_depth=catalogue.limit("drain_filling") * parts.drain.bore,
    )
    levels = run_levels(run, parts.rail, parts.drain)
    return RunLayout(run, units, parts, Frame(run.start, run.heading), levels, limits, ())


def run_parts(run: Run, catalogue: Catalogue) -> RunParts:
    """Look up the parts of a run."""
    return RunParts(
        bucket=catalogue.part(run.bucket, BucketPart),
        crop=catalogue.crops[run.crop],
        medium=catalogue.part(run.medium, MediumPart),
        outlet_saw=catalogue.part(run.outlet.saw, HoleSawPart),
        grommet=catalogue.part(run.outlet.grommet, GrommetPart),
        elbow=catalogue.part(run.outlet.elbow, ElbowPart),
        outlet_pipe=catalogue.part(run.outlet.pipe, PipePart),
        drain=catalogue.part(run.drain.pipe, PipePart),
        drain_saw=catalogue.part(run.drain.saw, HoleSawPart),
        cap=catalogue.part(run.drain.cap, FittingPart),
        manifold=catalogue.part(run.manifold.tube, TubePart),
        feed_tube=catalogue.part(run.manifold.feed_tube, TubePart),
        barb=catalogue.part(run.manifold.barb, FittingPart),
        plug=catalogue.part(run.manifold.plug, FittingPart),
        rail=catalogue.part(run.stand.rail, BoardPart),
        block=catalogue.part(run.stand.block, BlockPart),
    )


def _place(
    bucket: Bucket,
    run: Run,
    base: RunLayout,
    catalogue: Catalogue,
    assemblies: dict[str, OutletAssembly],
) -> Place:
    part = catalogue.part(bucket.part, BucketPart) if bucket.part else base.parts.bucket
    crop = catalogue.crops[bucket.crop] if bucket.crop else base.parts.crop
    assembly = assemblies.get(part.id)
    if assembly is None:
        assembly = assemblies[part.id] = outlet_assembly(
            part,
            run.outlet.height,
            run.outlet.nipple_length,
            base.parts.grommet,
            base.parts.elbow,
        )
    offset = assembly.bucket_axis if bucket.side == "left" else -assembly.bucket_axis
    stand = base.levels.rail_top(bucket.station)
    outlet = stand + run.outlet.height
    return Place(
        bucket,
        part,
        crop,
        assembly,
        bucket.station,
        offset,
        *base.frame.at(bucket.station, offset),
        *base.frame.at(bucket.station),
        base=stand,
        outlet=outlet,
        window=tail_window(base.levels, bucket.station, outlet - assembly.drop, base.tail_limits),
    )
