"""Filling the bed, composed: medium for each bucket and its bags, solution, nutrient, windows."""

from collections import Counter
from dataclasses import dataclass

from designer.analysis import Analysis
from designer.layout.volume import bucket_litres
from designer.model.design import Fill
from designer.model.parts import BucketPart, Crop, MediumPart
from designer.takeoff.media import (
    MediumNeed,
    SolutionVolumes,
    bags_for,
    buckets_from,
    loose_litres,
    medium_needs,
    solution_volumes,
)
from designer.takeoff.nutrients import CropWindows, dose_by_label, dose_for_ec, nutrient_windows


@dataclass(frozen=True, slots=True)
class BucketFill:
    """Buckets that are filled alike: `depth` in mm above the base inside, `settled` litres in each,
    and `poured` litres of loose medium for it."""

    part: BucketPart
    medium: MediumPart
    depth: float
    buckets: int
    settled: float
    poured: float


@dataclass(frozen=True, slots=True)
class MediumBags:
    """One medium: what it takes, the bags (L, how many) that hold it, and (L of a bag, how many
    buckets of the average one it fills) for each size. No bags where no size was typed."""

    need: MediumNeed
    bags: tuple[tuple[float, int], ...]
    fills: tuple[tuple[float, float], ...]

    @property
    def left_over(self) -> float:
        """Loose litres left in the bags; 0 without bags."""
        return max(0.0, sum(size * n for size, n in self.bags) - self.need.to_buy)


@dataclass(frozen=True, slots=True)
class Dose:
    """Nutrient in ml or g: for a litre, for the first fill, and for a full reservoir after a
    change of its water. `over` is how far plain water's EC already lies above the target."""

    rate: float
    first_fill: float
    reservoir: float
    over: float = 0.0


@dataclass(frozen=True, slots=True)
class CropNeeds:
    """A crop of the design, in how many buckets it grows, and what the sources say of it."""

    crop: Crop
    buckets: int
    windows: CropWindows

    def allows(self, ec: float) -> bool:
        """Whether any source allows an EC, mS/cm."""
        low, high = self.windows.ec_range
        return low <= ec <= high


@dataclass(frozen=True, slots=True)
class FillPlan:
    """How a bed is filled. `by_label` and `by_ec` are None until the design holds what they need;
    `missing` names the fields of Fill that `by_ec` still lacks. The running volume counts the
    water in the drains only where `drains_known`, once the water has been worked out."""

    fill: Fill
    buckets: tuple[BucketFill, ...]
    media: tuple[MediumBags, ...]
    volumes: SolutionVolumes
    drains_known: bool
    by_label: Dose | None
    by_ec: Dose | None
    missing: tuple[str, ...]
    crops: tuple[CropNeeds, ...]

    @property
    def bucket_count(self) -> int:
        """How many buckets are filled."""
        return sum(alike.buckets for alike in self.buckets)


def fill_plan(analysis: Analysis) -> FillPlan:
    """The filling of a bed."""
    fill = analysis.design.fill
    volumes = solution_volumes(analysis)
    return FillPlan(
        fill,
        _bucket_fills(analysis),
        tuple(_bags(need, fill) for need in medium_needs(analysis)),
        volumes,
        analysis.water is not None,
        _by_label(fill, volumes),
        _by_ec(fill, volumes),
        tuple(name for name in _FOR_EC if getattr(fill, name) is None),
        _crops(analysis),
    )


_FOR_EC = ("label_rate", "rate_ec", "water_ec", "target_ec")


def _bucket_fills(analysis: Analysis) -> tuple[BucketFill, ...]:
    counted: Counter[tuple[BucketPart, MediumPart, float]] = Counter()
    for layout in analysis.runs:
        for place in layout.places:
            counted[place.part, layout.parts.medium, layout.run.medium_depth] += 1
    found = []
    for (part, medium, depth), count in counted.items():
        settled = bucket_litres(part, depth)
        poured = loose_litres(settled, analysis.design.fill.settling)
        found.append(BucketFill(part, medium, depth, count, settled, poured))
    return tuple(found)


def _bags(need: MediumNeed, fill: Fill) -> MediumBags:
    if not fill.bags:
        return MediumBags(need, (), ())
    fills = tuple((size, buckets_from(size, need.per_bucket, fill.settling)) for size in fill.bags)
    return MediumBags(need, bags_for(need.to_buy, fill.bags), fills)


def _by_label(fill: Fill, volumes: SolutionVolumes) -> Dose | None:
    if fill.label_rate is None:
        return None
    return Dose(
        fill.label_rate,
        dose_by_label(volumes.first_fill, fill.label_rate),
        dose_by_label(volumes.reservoir, fill.label_rate),
    )


def _by_ec(fill: Fill, volumes: SolutionVolumes) -> Dose | None:
    if (
        fill.label_rate is None
        or fill.rate_ec is None
        or fill.water_ec is None
        or fill.target_ec is None
    ):
        return None
    first, full = (
        dose_for_ec(litres, fill.target_ec, fill.water_ec, fill.rate_ec, fill.label_rate)
        for litres in (volumes.first_fill, volumes.reservoir)
    )
    return Dose(first.rate, first.amount, full.amount, first.over)


def _crops(analysis: Analysis) -> tuple[CropNeeds, ...]:
    """The crops in the order they are met, without buckets that are tied off."""
    counted: Counter[str] = Counter()
    crops: dict[str, Crop] = {}
    for layout in analysis.runs:
        for place in layout.from_cap:
            if place.bucket.feed != "tied_off":
                counted[place.crop.id] += 1
                crops[place.crop.id] = place.crop
    windows = nutrient_windows()
    return tuple(
        CropNeeds(crop, counted[crop.id], windows[crop.id])
        for crop in crops.values()
        if crop.id in windows
    )
