"""The stacks of a run, its soil, its tipping and lifting."""

import itertools
from collections.abc import Iterator, Mapping, Sequence

from designer.layout.run import RunLayout
from designer.model.catalogue import Catalogue
from designer.stand.bed.rails import rail_section, reactions_by_support
from designer.stand.bed.record import MM, Lift, RailResult, SupportResult, TippingResult
from designer.stand.bed.stacks import standing
from designer.stand.bed.weights import BedWeights
from designer.stand.lifting import reach_over, recommended_weight
from designer.stand.loads import GRAVITY
from designer.stand.shims import BuiltFall, fall_as_built
from designer.stand.support import Push, Tipping, share_on_blocks, soil_pressure, tipping


def solve_supports(
    layout: RunLayout, rails: Sequence[RailResult], weights: BedWeights
) -> tuple[SupportResult, ...]:
    """Every support in rising order of station."""
    parts = layout.parts
    stacks = standing(layout)
    if not stacks:
        return ()
    stations = [at.station for at in stacks]
    reactions = reactions_by_support(rails, stations)
    bedded = _tributary(stations, layout.run.length)
    breadth = rail_section(layout).breadth
    blocks = [offset * MM for offset in layout.block_offsets]
    size = parts.block.length * MM, parts.block.width * MM
    found = []
    for at in stacks:
        forces = [(offset * MM, force) for offset, force in reactions[at.station]]
        drain = weights.drain.mass * GRAVITY * bedded[at.station]
        own = at.stack.courses * weights.block.mass * GRAVITY
        pressures = [
            soil_pressure(
                load.force + own,
                load.eccentricity * load.force / (load.force + own),
                *size,
            )
            for load in share_on_blocks([*forces, (0.0, drain)], breadth, blocks, size[0])
        ]
        found.append(
            SupportResult(
                at.station,
                at.ground,
                at.stack,
                at.shim,
                at.rail_shim,
                sum(force for _, force in forces),
                max(pressures) / 1000,
            )
        )
    return tuple(found)


def _tributary(stations: Sequence[float], length: float) -> dict[float, float]:
    """Share of the drain that each support carries: half-way to its neighbours."""
    between = [(a + b) / 2 for a, b in itertools.pairwise(stations)]
    edges = [min(0.0, stations[0]), *between, max(length, stations[-1])]
    whole = edges[-1] - edges[0]
    shares = [(b - a) / whole for a, b in itertools.pairwise(edges)]
    return dict(zip(stations, shares, strict=True))


def built_fall(layout: RunLayout) -> BuiltFall | None:
    """The fall over the run that its rounded shims make, mm and mm per mm."""
    stations = [station for station, _ in layout.shims]
    return fall_as_built(stations, [shim for _, shim in layout.shims], layout.run.length)


def solve_tipping(
    layout: RunLayout,
    supports: Sequence[SupportResult],
    weights: BedWeights,
    catalogue: Catalogue,
) -> TippingResult | None:
    """The edge nearest to tipping over all load cases; None without supports or buckets."""
    if not supports or not layout.places:
        return None
    pushes = _pushes(layout, supports, catalogue)
    half = (max(layout.block_offsets) + layout.parts.block.length / 2) * MM
    foot = layout.parts.block.width / 2 * MM
    first, last = supports[0].station * MM - foot, supports[-1].station * MM + foot
    worst: TippingResult | None = None
    for case, loads in _cases(layout, weights):
        stand = list(_stand(layout, supports, weights))
        across = [(offset, force) for _, offset, force in (*loads, *stand)]
        along = [(station, force) for station, _, force in (*loads, *stand)]
        for edge, about in (
            ("left side", tipping(across, pushes, half)),
            ("right side", tipping([(-x, f) for x, f in across], pushes, half)),
            ("capped end", tipping([(x - first, f) for x, f in along], pushes, last - first)),
            ("outlet end", tipping([(last - x, f) for x, f in along], pushes, last - first)),
        ):
            found = _result(case, edge, about)
            if worst is None or found.ratio < worst.ratio:
                worst = found
    return worst


def _result(case: str, edge: str, about: Tipping) -> TippingResult:
    return TippingResult(case, edge, about.resisting, about.overturning)


def _pushes(
    layout: RunLayout, supports: Sequence[SupportResult], catalogue: Catalogue
) -> tuple[Push, ...]:
    """A person's pull at the rims, and the wind half-way up a trellis above them."""
    stand = layout.run.stand
    ground = min(s.ground for s in supports)
    rim = max(place.base + place.part.height for place in layout.places) - ground
    middle = rim + catalogue.limit("trellis_height") / 2
    return (
        Push(stand.pull, max(rim, 0.0) * MM),
        Push(stand.wind, max(middle, 0.0) * MM),
    )


Placed = tuple[float, float, float]
"""(station m, offset m, N)."""


def _cases(layout: RunLayout, weights: BedWeights) -> Iterator[tuple[str, list[Placed]]]:
    wet = {place.bucket.id: weights.bucket(place.bucket.id) for place in layout.places}
    everyone = ("left", "right")
    for case, sides, masses in (
        ("bed full", everyone, wet),
        ("only the left side full", ("left",), wet),
        ("only the right side full", ("right",), wet),
        ("bed dried out", everyone, weights.dry),
    ):
        yield case, list(_buckets(layout, masses, sides))


def _buckets(
    layout: RunLayout, masses: Mapping[str, float], sides: Sequence[str]
) -> Iterator[Placed]:
    for place in layout.places:
        if place.bucket.side in sides:
            force = masses[place.bucket.id] * GRAVITY
            yield place.station * MM, place.offset * MM, force


def _stand(
    layout: RunLayout, supports: Sequence[SupportResult], weights: BedWeights
) -> Iterator[Placed]:
    middle = layout.run.length / 2 * MM
    yield middle, 0.0, (weights.rails.mass + weights.drain.mass) * GRAVITY
    for support in supports:
        for offset in layout.block_offsets:
            force = support.blocks * weights.block.mass * GRAVITY
            yield support.station * MM, offset * MM, force


def solve_lift(layout: RunLayout, weights: BedWeights, ground: float) -> Lift | None:
    """Lifting the heaviest bucket from the stand to the ground at level `ground` mm, held against
    the body by its rim; the worse of taking it off and setting it down. None without buckets."""
    heaviest = weights.heaviest
    if heaviest is None:
        return None
    place = next(p for p in layout.places if p.bucket.id == heaviest)
    reach = reach_over(place.part.rim_diameter / 10)
    height = place.part.height / 10
    rise = max(place.base - ground, 0.0) / 10
    limit = min(recommended_weight(reach, v, rise) for v in (height, height + rise))
    return Lift(heaviest, weights.bucket(heaviest), limit)
