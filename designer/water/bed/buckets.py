"""Each bucket's water: its level band, what floods it, its plants' use and its reserve."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from designer.layout.run import Place, RunLayout
from designer.layout.vessel import bucket_vessel
from designer.layout.volume import pore_share
from designer.model.design import Design
from designer.water.bed.feed import LITRES_PER_HOUR, MM, bore_of
from designer.water.demand import area_per_plant, crop_evapotranspiration, litres_per_plant
from designer.water.outlet import LevelBand, Outlet
from designer.water.power_cut import PowerCut, hours_without_pump
from designer.water.vessel import Bucket


@dataclass(frozen=True)
class BucketWater:
    """One bucket. Levels are mm above the outlet's invert; `flood_flow` is the flow in L/h that
    could bring water over the rim, with the uncertainty counted against the bucket; `daily_use`
    is L a day; `sump` is litres."""

    bucket_id: str
    flow: float
    band: LevelBand
    flood_flow: float
    free_height: float
    daily_use: float
    vessel: Bucket
    power_cut: PowerCut

    @property
    def in_a_minute(self) -> float:
        """What a jug under its feed tube catches in a minute, L."""
        return self.flow / 60

    @property
    def low(self) -> float:
        """Lower end of the level band, mm above the invert."""
        return self.band.low / MM

    @property
    def high(self) -> float:
        """Upper end of the level band with its uncertainty, mm above the invert."""
        return self.band.highest / MM

    @property
    def sump(self) -> float:
        """Water that stays in the sump, L."""
        return self.vessel.sump_water * 1e3


def solve_buckets(
    design: Design, layout: RunLayout, flows: Mapping[str, float]
) -> tuple[BucketWater, ...]:
    """The water of every bucket of a run, for its flows in L/h."""
    outlet = bucket_outlet(layout)
    return tuple(
        _bucket(design, layout, place, outlet, flows.get(place.bucket.id, 0.0))
        for place in layout.places
    )


def bucket_outlet(layout: RunLayout) -> Outlet:
    """The outlet nipple with its inner elbow's mouth below the invert."""
    bore = layout.parts.outlet_pipe.bore
    elbow = layout.parts.elbow
    mouth = elbow.centre_to_socket_bottom + elbow.socket_depth - bore / 2
    return Outlet(bore_of(bore), max(mouth, 0.0) * MM)


def placed_bucket(layout: RunLayout, place: Place) -> Bucket:
    """A bucket with its medium as a vessel, in m."""
    part, run, floor = place.part, layout.run, place.base * MM
    depth = min(run.medium_depth, part.height)
    invert = min(run.outlet.height - layout.parts.outlet_pipe.bore / 2, part.height)
    medium = layout.parts.medium
    return Bucket(
        name=place.bucket.id,
        vessel=bucket_vessel(part),
        floor_level=floor,
        invert_level=floor + max(invert, 0.0) * MM,
        medium_level=floor + depth * MM,
        pore_share=pore_share(medium.water_percent),
    )


def daily_use(design: Design, place: Place) -> float:
    """Litres a day of one bucket's plants: typed, or ETo x Kc x area (FAO paper 56, Eq. 58)."""
    crop = place.crop
    each = design.water.plant_use
    if each is None:
        rate = crop_evapotranspiration(crop.crop_coefficient, design.water.evapotranspiration)
        each = litres_per_plant(rate, area_per_plant(crop.plants_per_m2))
    return each * crop.plants_per_bucket


def _bucket(
    design: Design,
    layout: RunLayout,
    place: Place,
    outlet: Outlet,
    flow: float,
) -> BucketWater:
    vessel = placed_bucket(layout, place)
    free = (vessel.rim_level - vessel.invert_level) / MM
    use = daily_use(design, place)
    medium = layout.parts.medium
    held = medium.water_percent / 100
    cut = hours_without_pump(
        vessel.sump_water,
        vessel.medium_above_sump,
        held,
        use / 1e3,
        easy_share=min(medium.available_percent / medium.water_percent, 1.0),
    )
    return BucketWater(
        place.bucket.id,
        flow,
        outlet.level_band(flow * LITRES_PER_HOUR),
        _flooding_flow(outlet, round(free, 3)),
        free,
        use,
        vessel,
        cut,
    )


@lru_cache(maxsize=64)
def _flooding_flow(outlet: Outlet, free: float) -> float:
    """Safe flow in L/h below `free` mm of height; the same for every bucket of one kind."""
    return outlet.flooding_flow(free * MM)[0] / LITRES_PER_HOUR


def shortest_reserve(buckets: Sequence[BucketWater]) -> float | None:
    """Hours until the first bucket is at its dry limit; None where nothing is used."""
    hours = [b.power_cut.hours for b in buckets if b.power_cut.hours is not None]
    return min(hours, default=None)
