"""Medium to fill the buckets, solution to fill the bed, and what to stir into it. Litres, kg."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, pi

from designer.analysis import Analysis
from designer.layout.run import RunLayout
from designer.layout.volume import bucket_litres, reservoir_litres
from designer.model.parts import MediumPart
from designer.takeoff.packs import Pack, cheapest_packs
from designer.takeoff.quantities import manifold_length

_STEPS = 10
"""Bags are counted in tenths of a litre."""


def loose_litres(filled: float, settling_percent: float) -> float:
    """Litres to pour so that `filled` litres stay after settling: V / (1 - s). ValueError unless
    0 <= settling < 100 %."""
    if not 0 <= settling_percent < 100:
        raise ValueError("Settling is from 0 to less than 100 %.")
    return filled / (1 - settling_percent / 100)


def buckets_from(bag: float, bucket: float, settling_percent: float = 0.0) -> float:
    """How many buckets of `bucket` litres a bag of `bag` litres fills."""
    return bag / loose_litres(bucket, settling_percent)


def bags_for(litres: float, sizes: Sequence[float]) -> tuple[tuple[float, int], ...]:
    """(bag in L, how many) that hold at least so many litres: the fewest bags, then the least left
    over. By price, see the costs. ValueError without a size, or for one below 0.1 L."""
    steps = [round(size * _STEPS) for size in sizes]
    packs = [Pack(size, 1) for size in steps]
    counts = cheapest_packs(ceil(litres * _STEPS - 1e-6), packs)
    return tuple((size, n) for size, n in zip(sizes, counts, strict=True) if n)


@dataclass(frozen=True, slots=True)
class MediumNeed:
    """One medium: litres in the buckets when settled, loose litres to buy, and their dry mass, kg:
    a bulk density is of loose medium."""

    medium: MediumPart
    buckets: int
    filled: float
    to_buy: float
    dry_mass: float

    @property
    def per_bucket(self) -> float:
        """Litres in a bucket, settled, on average."""
        return self.filled / self.buckets


def medium_needs(analysis: Analysis) -> tuple[MediumNeed, ...]:
    """Each medium of the design, by the buckets' taper, the depth they are filled to, and how
    much the design takes it to settle."""
    filled: dict[str, tuple[MediumPart, int, float]] = {}
    for layout in analysis.runs:
        medium = layout.parts.medium
        _, count, litres = filled.get(medium.id, (medium, 0, 0.0))
        litres += sum(bucket_litres(p.part, layout.run.medium_depth) for p in layout.places)
        filled[medium.id] = (medium, count + len(layout.places), litres)
    settling = analysis.design.fill.settling
    return tuple(
        MediumNeed(medium, count, litres, loose, loose / 1000 * medium.bulk_density)
        for medium, count, litres in filled.values()
        if count
        for loose in (loose_litres(litres, settling),)
    )


@dataclass(frozen=True, slots=True)
class SolutionVolumes:
    """Where the solution is, L: the reservoir at its full level, the buckets' sumps, what drained
    medium holds above them, and what is in the tubes and the drain while the pump runs."""

    reservoir: float
    sumps: float
    medium: float
    in_transit: float

    @property
    def first_fill(self) -> float:
        """What a dry bed takes until the reservoir stands full with the pump off: then nothing is
        in transit."""
        return self.reservoir + self.sumps + self.medium

    @property
    def running(self) -> float:
        """The reservoir at its full level while the pump runs, and what is on its way."""
        return self.reservoir + self.in_transit

    def per_bucket(self, buckets: int) -> float:
        """Reservoir water for each bucket, L; 0 without buckets."""
        return self.reservoir / buckets if buckets else 0.0


def solution_volumes(analysis: Analysis) -> SolutionVolumes:
    """The solution of a bed. The drain counts as in transit once the water has been worked out;
    until then the tubes alone do."""
    from designer.water.bed.buckets import placed_bucket

    sumps = medium = tubes = 0.0
    for layout in analysis.runs:
        for place in layout.places:
            sump = placed_bucket(layout, place).sump_water * 1000
            level = max(layout.run.outlet.height - layout.parts.outlet_pipe.bore / 2, 0.0)
            filled = bucket_litres(place.part, layout.run.medium_depth)
            above = max(filled - bucket_litres(place.part, level), 0.0)
            sumps += sump
            medium += above * layout.parts.medium.water_percent / 100
        tubes += _tube_litres(analysis, layout)
    reservoir = 0.0
    if analysis.reservoir is not None:
        part, placed = analysis.reservoir.part, analysis.reservoir.reservoir
        reservoir = reservoir_litres(part, max(part.height - placed.freeboard, 0.0))
    drains = 0.0
    if analysis.water is not None:
        drains = sum(d.profile.volume for d in analysis.water.drains.values()) * 1000
    return SolutionVolumes(reservoir, sumps, medium, tubes + drains)


def _tube_litres(analysis: Analysis, layout: RunLayout) -> float:
    if not layout.places:
        return 0.0
    main = layout.parts.manifold.inside_diameter
    small = layout.parts.feed_tube.inside_diameter
    feed = len(layout.places) * layout.run.manifold.feed_length
    return pi / 4 * (main**2 * manifold_length(analysis, layout) + small**2 * feed) * 1e-6
