"""Buckets on rails, stacks on soil, and the whole stand against tipping. SI: m, N, Pa."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf, sqrt

_SAME = 1e-9


@dataclass(frozen=True, slots=True)
class Footing:
    """How one bucket's base meets the rails under it, across the bed.

    `shares` and `chords` stand in the order of the rails: the share of the weight that each
    carries, and the length of rail in m that the base covers along its middle. `margin` is from
    the base's centre to the nearer edge of what it stands on, m; negative where the centre hangs
    out over the side. `cover` is the narrowest strip of a rail that carries, m.
    """

    shares: tuple[float, ...]
    chords: tuple[float, ...]
    margin: float
    cover: float

    @property
    def stands(self) -> bool:
        """Whether the bucket stays where it is put."""
        return self.margin > 0


def footing(centre: float, radius: float, rails: Sequence[float], width: float) -> Footing:
    """A round base of `radius` m centred at `centre` over rails of `width` m at offsets `rails`.

    A rail carries where the base reaches over it. The outermost rails on either side of the centre
    carry, each by the lever to the other (a stiff base on two of them); rails between are left
    out. A rail under the centre alone carries all.
    """
    overlaps = [
        (max(rail - width / 2, centre - radius), min(rail + width / 2, centre + radius))
        for rail in rails
    ]
    touching = [i for i, (low, high) in enumerate(overlaps) if high - low > _SAME]
    shares, chords = [0.0] * len(rails), [0.0] * len(rails)
    if not touching:
        return Footing(tuple(shares), tuple(chords), -inf, 0.0)
    first = min(touching, key=lambda i: overlaps[i][0])
    last = max(touching, key=lambda i: overlaps[i][1])
    edge_low, edge_high = overlaps[first][0], overlaps[last][1]
    middles = [(low + high) / 2 for low, high in overlaps]
    if first == last or middles[last] - middles[first] < _SAME:
        shares[first] = 1.0
    else:
        share = (centre - middles[first]) / (middles[last] - middles[first])
        share = min(max(share, 0.0), 1.0)
        shares[first], shares[last] = 1 - share, share
    for i in touching:
        away = min(abs(middles[i] - centre), radius)
        chords[i] = 2 * sqrt(max(radius**2 - away**2, 0.0))
    carrying = [i for i in (first, last) if shares[i] > 0]
    return Footing(
        tuple(shares),
        tuple(chords),
        min(centre - edge_low, edge_high - centre),
        min(overlaps[i][1] - overlaps[i][0] for i in carrying),
    )


def push_to_tip(weight: float, margin: float, height: float) -> float:
    """Sideways push in N at `height` m that tips a bucket of `weight` N over an edge `margin` m
    from its centre: W m / h, never below zero."""
    return max(weight * margin / height, 0.0)


@dataclass(frozen=True, slots=True)
class BlockLoad:
    """What one stack of blocks carries: force in N, and how far it lies off its centre, m."""

    force: float
    eccentricity: float


def share_on_blocks(
    forces: Sequence[tuple[float, float]],
    width: float,
    blocks: Sequence[float],
    block_length: float,
) -> tuple[BlockLoad, ...]:
    """Rail forces as (offset m, N) shared out to blocks laid end to end across the bed.

    A rail `width` m wide presses evenly; each block takes what lies on it. What lies on no block
    is left out.
    """
    found = []
    for block in blocks:
        force = moment = 0.0
        for offset, pressed in forces:
            low = max(offset - width / 2, block - block_length / 2)
            high = min(offset + width / 2, block + block_length / 2)
            if high > low:
                own = pressed * (high - low) / width
                force += own
                moment += own * ((low + high) / 2 - block)
        found.append(BlockLoad(force, abs(moment) / force if force else 0.0))
    return tuple(found)


def soil_pressure(force: float, eccentricity: float, length: float, width: float) -> float:
    """Greatest pressure in Pa under a stiff block `length` by `width` m, loaded `eccentricity` m
    off its centre along the length.

    N / A (1 + 6 e / l) while all of it presses, e <= l / 6; beyond that 2 N / (3 w (l / 2 - e)) on
    the part that does; infinite where the force leaves the block (rigid footing, from memory).
    """
    if force <= 0:
        return 0.0
    if eccentricity <= length / 6:
        return force / (length * width) * (1 + 6 * eccentricity / length)
    if eccentricity >= length / 2:
        return inf
    return 2 * force / (3 * width * (length / 2 - eccentricity))


@dataclass(frozen=True, slots=True)
class Push:
    """A sideways force in N at a height in m above the ground."""

    force: float
    height: float


@dataclass(frozen=True, slots=True)
class Tipping:
    """About one edge: the moments in N m that hold the stand down and that tip it."""

    resisting: float
    overturning: float

    @property
    def ratio(self) -> float:
        """Resisting over overturning; infinite where nothing tips it."""
        return self.resisting / self.overturning if self.overturning > _SAME else inf


def tipping(weights: Sequence[tuple[float, float]], pushes: Sequence[Push], edge: float) -> Tipping:
    """Weights as (place m, N) along an axis, about an edge at `edge` m; what lies on the side of
    zero holds down, what lies beyond the edge tips, and pushes tip (rigid body statics).

    The axis is counted so that `edge` is positive: a push towards it tips the stand over it.
    """
    resisting = sum(force * (edge - place) for place, force in weights if place < edge)
    beyond = sum(force * (place - edge) for place, force in weights if place > edge)
    return Tipping(resisting, beyond + sum(push.force * push.height for push in pushes))
