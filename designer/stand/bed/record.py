"""What the stand's computation answers, in mm, N, N m, N/mm2, kPa and kg."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import inf

import numpy as np
from numpy.typing import ArrayLike, NDArray

from designer.layout.run import RunLayout
from designer.stand.beam import Beam
from designer.stand.bed.weights import BedWeights
from designer.stand.shims import BuiltFall, Stack
from designer.stand.support import Footing
from designer.stand.timber import Grade, Section, Strength

MM = 1e-3


@dataclass(frozen=True, slots=True)
class Stress:
    """A stress and what is allowed, N/mm2, where it is worst: station in mm and load case.

    `value` counts the method's load factor; `effect` is the moment (N m) or force (N) as it is.
    """

    value: float
    allowed: float
    effect: float
    station: float
    case: str

    @property
    def ratio(self) -> float:
        """Value over allowed; up to 1 it holds."""
        return self.value / self.allowed


@dataclass(frozen=True, slots=True)
class Sag:
    """The governing deflection of a rail, mm: `first` when loaded and `last` after years, in a
    `span` (an overhang counts twice its length) around `station`."""

    first: float
    last: float
    span: float
    station: float
    case: str
    overhang: bool

    @property
    def span_over_sag(self) -> float:
        """How many times the last sag goes into the span."""
        return self.span / self.last if self.last > 0 else inf


@dataclass(frozen=True)
class RailPiece:
    """One piece of a rail from `start` to `end` in mm, and its beam (SI) under the full bed; None
    where it does not lie on two supports. `tips` names the first load case in which it tips."""

    start: float
    end: float
    beam: Beam | None
    tips: str | None


@dataclass(frozen=True)
class RailResult:
    """One line of rail, `offset` mm left of the axis. Stresses are None where no piece is held."""

    name: str
    offset: float
    pieces: tuple[RailPiece, ...]
    creep: float
    bending: Stress | None
    shear: Stress | None
    bearing: Stress | None
    sag: Sag | None

    @property
    def loose(self) -> tuple[RailPiece, ...]:
        """Pieces that would tip off their supports."""
        return tuple(piece for piece in self.pieces if piece.tips is not None)

    def sag_at(self, stations: ArrayLike) -> NDArray[np.float64]:
        """Last deflection under the full bed at stations in mm, mm, down positive; 0 where a piece
        is loose."""
        x = np.asarray(stations, dtype=float)
        found = np.zeros(x.shape)
        for piece in self.pieces:
            if piece.beam is not None:
                on = (x >= piece.start) & (x <= piece.end)
                at = np.clip((x[on] - piece.start) * MM, 0.0, piece.beam.length)
                found[on] = piece.beam.deflections_at(at) * self.creep / MM
        return found


@dataclass(frozen=True, slots=True)
class SupportResult:
    """One support: its stack, the shim under the drain and under the rails (mm), the rails'
    reaction with the bed full (N), and the greatest pressure on the soil (kPa)."""

    station: float
    ground: float
    stack: Stack
    shim: float
    rail_shim: float
    reaction: float
    pressure: float

    @property
    def blocks(self) -> int:
        """Courses of blocks."""
        return self.stack.courses


@dataclass(frozen=True, slots=True)
class TippingResult:
    """The worst edge of the stand: which load case, over which side, and the moments in N m."""

    case: str
    edge: str
    resisting: float
    overturning: float

    @property
    def ratio(self) -> float:
        """Resisting over overturning; infinite where nothing tips it."""
        return self.resisting / self.overturning if self.overturning > 0 else inf


@dataclass(frozen=True, slots=True)
class Lift:
    """Lifting the heaviest bucket wet off the stand: its mass and the recommended limit, kg."""

    bucket_id: str
    mass: float
    limit: float

    @property
    def index(self) -> float:
        """Mass over limit, NIOSH's lifting index; up to 1 it can be lifted by most people."""
        return self.mass / self.limit if self.limit > 0 else inf


@dataclass(frozen=True)
class StandResult:
    """The stand of one run. `footings` in m, by bucket id; `off_rail` names buckets that stand
    partly beyond a rail's end. `slenderness` is the highest stack's height over its width."""

    layout: RunLayout
    grade: Grade
    section: Section
    strength: Strength
    rails: tuple[RailResult, ...]
    supports: tuple[SupportResult, ...]
    footings: Mapping[str, Footing]
    off_rail: tuple[str, ...]
    weights: BedWeights
    tipping: TippingResult | None
    lift: Lift | None
    fall: BuiltFall | None

    @property
    def whole(self) -> float:
        """All that the ground carries but for the reservoir, every bucket wet, kg."""
        w = self.weights
        blocks = len(self.layout.block_offsets) * sum(s.blocks for s in self.supports)
        return w.all_buckets + w.drain.mass + w.manifold.mass + w.rails.mass + blocks * w.block.mass

    @property
    def tallest(self) -> SupportResult | None:
        """The support whose stack stands highest over its ground."""
        return max(self.supports, key=lambda s: s.stack.top, default=None)
