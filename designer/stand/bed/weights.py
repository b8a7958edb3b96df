"""What each bucket of a run weighs, and the rest of the bed. kg; lengths of the layout in mm."""

from collections.abc import Mapping
from dataclasses import dataclass

from designer.layout.run import Place, RunLayout
from designer.layout.vessel import MM, bucket_vessel
from designer.layout.volume import pore_share
from designer.model.catalogue import Catalogue
from designer.model.parts import Evidence
from designer.stand.loads import (
    POLYETHYLENE,
    PVC,
    WATER,
    WEIGHED,
    Weight,
    dry_medium,
    full_pipe,
    held_water,
    hollow_blocks,
    shell_mass,
    total,
)
from designer.stand.timber import Grade, Section

_SHELL = Evidence("from memory", "plastic by its wall and size; weigh yours")
_SUMP = Evidence("from memory", "medium soaked up to the outlet; the free pores are a guess")
_PIPE = Evidence("from memory", "full to the top, as when it is blocked")
_BLOCK = Evidence("second-hand", "a hollow block of 8 x 8 x 16 in weighs 28 to 42 lb")


@dataclass(frozen=True)
class BedWeights:
    """The weights of one run, kg.

    `buckets` holds the parts of each bucket's weight by id, `dry` what is left of it without water
    and plants. `drain`, `manifold`, `rails` (all of them) and `block` (one) are single weights.
    """

    buckets: Mapping[str, tuple[Weight, ...]]
    dry: Mapping[str, float]
    drain: Weight
    manifold: Weight
    rails: Weight
    block: Weight

    def bucket(self, bucket_id: str) -> float:
        """One wet bucket, kg."""
        return total(self.buckets[bucket_id])

    @property
    def all_buckets(self) -> float:
        """All wet buckets, kg."""
        return sum(map(total, self.buckets.values()))

    @property
    def heaviest(self) -> str | None:
        """Id of the heaviest bucket; None without buckets."""
        return max(self.buckets, key=self.bucket, default=None)


def bed_weights(
    layout: RunLayout, catalogue: Catalogue, grade: Grade, section: Section
) -> BedWeights:
    """The weights of a laid-out run; `section` is its rails' in m."""
    run, parts = layout.run, layout.parts
    known: dict[tuple[str, str], tuple[Weight, ...]] = {}
    buckets: dict[str, tuple[Weight, ...]] = {}
    dry: dict[str, float] = {}
    for place in layout.places:
        key = place.part.id, place.crop.id
        if key not in known:
            known[key] = bucket_weights(layout, place, catalogue)
        own = known[key]
        share = (own[0].mass + own[1].mass) / total(own)
        if run.stand.bucket_weight is not None:
            own = (Weight("Wet bucket", run.stand.bucket_weight, WEIGHED),)
        buckets[place.bucket.id] = own
        dry[place.bucket.id] = share * total(own)
    length = run.length * MM
    drain, tube, block = parts.drain, parts.manifold, parts.block
    return BedWeights(
        buckets,
        dry,
        Weight(
            "Drain, full",
            full_pipe(length, drain.bore * MM, drain.outside_diameter * MM, PVC),
            _PIPE,
        ),
        Weight(
            "Manifold, full",
            full_pipe(length, tube.inside_diameter * MM, tube.outside_diameter * MM, POLYETHYLENE),
            _PIPE,
        ),
        Weight(
            "Rails",
            run.stand.rails * section.area * length * grade.density,
            grade.evidence["density"],
        ),
        Weight(
            "Block",
            hollow_blocks(1, block.length * MM, block.width * MM, block.height * MM),
            _BLOCK,
        ),
    )


def bucket_weights(layout: RunLayout, place: Place, catalogue: Catalogue) -> tuple[Weight, ...]:
    """The parts of one wet bucket: bucket, dry medium, water the medium holds above the outlet,
    water in the sump below it, plants with fruit."""
    run, medium, part = layout.run, layout.parts.medium, place.part
    vessel = bucket_vessel(part)
    depth = min(run.medium_depth, part.height) * MM
    invert = max(run.outlet.height - layout.parts.outlet_pipe.bore / 2, 0.0) * MM
    filled = vessel.volume(depth)
    below = vessel.volume(min(invert, depth))
    soaked = below * pore_share(medium.water_percent)
    clear = max(vessel.volume(invert) - below, 0.0)
    crop = place.crop
    return (
        Weight("Bucket", shell_mass(vessel, part.wall * MM), _SHELL),
        Weight(
            f"{medium.name}, dry",
            dry_medium(filled, medium.bulk_density),
            catalogue.evidence_of(medium.id, "bulk_density"),
        ),
        Weight(
            "Water in the medium",
            held_water(filled - below, medium.water_percent),
            catalogue.evidence_of(medium.id, "water_percent"),
        ),
        Weight("Water in the sump", (soaked + clear) * WATER, _SUMP),
        Weight(
            "Plants with fruit",
            crop.plants_per_bucket * crop.plant_mass,
            catalogue.evidence_of(crop.id, "plant_mass"),
        ),
    )
