"""The rails of a run as beams: their loads, their stresses and their sag."""

import itertools
from bisect import bisect_left, bisect_right
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

from designer.layout.rails import rail_pieces
from designer.layout.run import RunLayout
from designer.stand.beam import Beam, Load, resting_beam, uniform
from designer.stand.bed.record import MM, RailPiece, RailResult, Sag, Stress
from designer.stand.bed.weights import BedWeights
from designer.stand.loads import GRAVITY
from designer.stand.support import Footing, footing
from designer.stand.timber import (
    Grade,
    Section,
    Strength,
    bearing_area_factor,
    bending_stress,
    design_strength,
    shear_stress,
)

FULL = "bed full"
_ROUNDING = 0.01
"""What a length may be off by after a file rounded it, mm."""
_APART = 1.0
"""Supports nearer than this, mm, hold a rail as one."""
_PA = 1e-6
"""Pa in N/mm2."""


def rail_section(layout: RunLayout) -> Section:
    """A rail's section as it stands, m."""
    board, on_edge = layout.parts.rail, layout.run.stand.on_edge
    breadth, depth = (board.thickness, board.width) if on_edge else (board.width, board.thickness)
    return Section(breadth * MM, depth * MM)


def lines(layout: RunLayout) -> tuple[tuple[str, float], ...]:
    """(name, offset left of the axis in mm) of every line of rail, from left to right."""
    offsets = layout.rail_offsets
    words = ("inner", "outer") if len(offsets) > 1 else ("",)
    left = [(f"left {word}".strip(), x) for word, x in zip(words, offsets, strict=True)]
    right = [(f"right {word}".strip(), -x) for word, x in zip(words, offsets, strict=True)]
    return (*reversed(left), *right)


def footings(layout: RunLayout) -> Mapping[str, Footing]:
    """How each bucket's base meets the lines of rail, by bucket id, in m."""
    offsets = [offset * MM for _, offset in lines(layout)]
    width = rail_section(layout).breadth
    known: dict[tuple[str, str], Footing] = {}
    found = {}
    for place in layout.places:
        key = place.part.id, place.bucket.side
        if key not in known:
            radius = place.part.base_diameter / 2 * MM
            known[key] = footing(place.offset * MM, radius, offsets, width)
        found[place.bucket.id] = known[key]
    return found


def off_rail(layout: RunLayout) -> tuple[str, ...]:
    """Ids of buckets whose base reaches over an end of the rails."""
    length = layout.run.length
    return tuple(
        place.bucket.id
        for place in layout.places
        if place.station - place.part.base_diameter / 2 < -1e-6
        or place.station + place.part.base_diameter / 2 > length + 1e-6
    )


class _Base(NamedTuple):
    """A bucket's load on one line of rail: from where to where, mm, and its force, N."""

    bucket: str
    low: float
    high: float
    force: float

    def on_piece(self, start: float, end: float) -> Load:
        """What of it lies on a piece of rail that it reaches, m from the piece's start."""
        first, last = max(self.low, start), min(self.high, end)
        length = (end - start) * MM
        return Load(
            max((first - start) * MM, 0.0),
            min((last - start) * MM, length),
            self.force * (last - first) / (self.high - self.low),
        )


@dataclass(frozen=True)
class Rails:
    """All rails of a run with what they carry; solves them line by line."""

    layout: RunLayout
    grade: Grade
    section: Section
    weights: BedWeights
    footings: Mapping[str, Footing]

    @cached_property
    def supports(self) -> tuple[float, ...]:
        """Stations of supports under the rails, mm, in order; those that nearly meet are one."""
        run = self.layout.run
        found: list[float] = []
        for station in sorted(run.stand.supports):
            held = min(max(station, 0.0), run.length)  # a file rounds to a thousandth of a mm
            on_run = abs(held - station) < _ROUNDING
            if on_run and (not found or held - found[-1] >= _APART):
                found.append(held)
        return tuple(found)

    @cached_property
    def spans(self) -> tuple[tuple[float, float], ...]:
        """(start, end) of the pieces that rails are cut into, mm."""
        run = self.layout.run
        lengths = rail_pieces(run.length, self.layout.parts.rail.stick_length, self.supports)
        ends = list(itertools.accumulate(lengths, initial=0.0))
        ends[-1] = run.length
        return tuple(itertools.pairwise(ends))

    @cached_property
    def cases(self) -> tuple[tuple[str, frozenset[str]], ...]:
        """Load cases: what each is called and which buckets stand there. The full bed first.

        Buckets may be taken off, and then a span sags more, a rail lifts off a support, or an
        overhang tips it.
        """
        bay = {p.bucket.id: bisect_right(self.supports, p.station) for p in self.layout.places}
        last = len(self.supports)
        wanted: dict[str, Callable[[int], bool]] = {
            FULL: lambda _: True,
            "every other span empty": lambda n: n % 2 == 0,
            "the other spans empty": lambda n: n % 2 == 1,
            "only the outlet end's overhang full": lambda n: n == 0,
            "only the capped end's overhang full": lambda n: n == last,
        }
        cases: dict[frozenset[str], str] = {}
        for name, keeps in wanted.items():
            there = frozenset(bucket for bucket, n in bay.items() if keeps(n))
            if there or name == FULL:
                cases.setdefault(there, name)
        return tuple((name, there) for there, name in cases.items())

    @cached_property
    def strength(self) -> Strength:
        """What the section may bear, held upright at the supports only."""
        edges = [0.0, *self.supports, self.layout.run.length]
        longest = max(b - a for a, b in itertools.pairwise(edges))
        return design_strength(self.grade, self.section, max(longest, 1.0) * MM)

    def solve(self) -> tuple[RailResult, ...]:
        """Every line of rail."""
        return tuple(self._line(i, *line) for i, line in enumerate(lines(self.layout)))

    def _line(self, index: int, name: str, offset: float) -> RailResult:
        bases = self._bases(index)
        solved = [
            (case, start, end, beam)
            for start, end in self.spans
            for case, beam in self._beams(bases, start, end)
        ]
        held = [(case, start, end, beam) for case, start, end, beam in solved if beam is not None]
        stiff = self.strength
        beams = {(start, end, case): beam for case, start, end, beam in solved}
        pieces = tuple(
            RailPiece(
                start,
                end,
                beams[start, end, FULL],
                next((case for case, _ in self.cases if beams[start, end, case] is None), None),
            )
            for start, end in self.spans
        )
        return RailResult(
            name,
            offset,
            pieces,
            stiff.creep,
            max((self._bending(*one) for one in held), key=_ratio, default=None),
            max((self._shear(*one) for one in held), key=_ratio, default=None),
            max((s for one in held for s in self._bearing(*one)), key=_ratio, default=None),
            min((s for one in held for s in self._sags(*one)), key=_stiffness, default=None),
        )

    def _bases(self, line: int) -> list[_Base]:
        """What presses on one line of rail, in the order of the buckets.

        A base that reaches over the end of the whole rail presses on what is there of it.
        """
        found = []
        for place in self.layout.places:
            bucket, foot = place.bucket.id, self.footings[place.bucket.id]
            half = foot.chords[line] / MM / 2
            low = max(place.station - half, 0.0)
            high = min(place.station + half, self.layout.run.length)
            if foot.shares[line] > 0 and high > low:
                force = foot.shares[line] * self.weights.bucket(bucket) * GRAVITY
                found.append(_Base(bucket, low, high, force))
        return found

    def _beams(
        self, bases: Sequence[_Base], start: float, end: float
    ) -> Iterator[tuple[str, Beam | None]]:
        """The piece of a rail from `start` to `end`, mm, in every load case; None where it does
        not lie on two supports. Cases that put the same buckets on it share their beam."""
        length = (end - start) * MM
        on = [(s - start) * MM for s in self.supports if start - _ROUNDING <= s <= end + _ROUNDING]
        on = [min(max(s, 0.0), length) for s in on]
        stiffness = self.strength.modulus * self.section.inertia
        run = self.layout.run
        tube = self.weights.manifold.mass / (run.length * MM) / run.stand.rails
        own = uniform(0.0, length, (self.section.area * self.grade.density + tube) * GRAVITY)
        near = [
            (base.bucket, base.on_piece(start, end))
            for base in bases
            if base.high > start and base.low < end
        ]
        known: dict[tuple[str, ...], Beam | None] = {}
        for case, there in self.cases:
            key = tuple(bucket for bucket, _ in near if bucket in there)
            if key not in known:
                loads = [own, *(load for bucket, load in near if bucket in there)]
                known[key] = resting_beam(length, on, loads, stiffness) if len(on) > 1 else None
            yield case, known[key]

    def _bending(self, case: str, start: float, _: float, beam: Beam) -> Stress:
        moment = beam.moment
        stress = bending_stress(moment.value, self.section) * self.strength.load_factor
        return Stress(
            stress * _PA,
            self.strength.bending * _PA,
            moment.value,
            start + moment.station / MM,
            case,
        )

    def _shear(self, case: str, start: float, _: float, beam: Beam) -> Stress:
        shear = beam.shear
        share = self.strength.shear_width
        stress = shear_stress(shear.value, self.section, share) * self.strength.load_factor
        return Stress(
            stress * _PA, self.strength.shear * _PA, shear.value, start + shear.station / MM, case
        )

    def _bearing(self, case: str, start: float, end: float, beam: Beam) -> Iterator[Stress]:
        half = self.layout.parts.block.width / 2
        for at, reaction in zip(beam.supports, beam.reactions, strict=True):
            station = start + at / MM
            low, high = max(station - half, start), min(station + half, end)
            length = (high - low) * MM
            from_end = min(low - start, end - high) * MM
            stress = reaction / (self.section.breadth * length) * self.strength.load_factor
            factor = bearing_area_factor(length, from_end) if self.grade.method == "nds" else 1.0
            allowed = self.strength.bearing * factor
            yield Stress(stress * _PA, allowed * _PA, reaction, station, case)

    def _sags(self, case: str, start: float, _: float, beam: Beam) -> Iterator[Sag]:
        for stretch in beam.stretches:
            overhang = stretch.kind == "overhang"
            first = max(stretch.deflection.value, 0.0) / MM  # an empty stretch that rises is fine
            yield Sag(
                first,
                first * self.strength.creep,
                stretch.length / MM * (2 if overhang else 1),
                start + stretch.deflection.station / MM,
                case,
                overhang,
            )


def _ratio(stress: Stress) -> float:
    return stress.ratio


def _stiffness(sag: Sag) -> float:
    return sag.span_over_sag


def reactions_by_support(
    rails: Sequence[RailResult], supports: Sequence[float]
) -> dict[float, list[tuple[float, float]]]:
    """(offset mm, N) of every line at each support with the bed full, by station in mm; the
    supports are given in rising order."""
    found: dict[float, list[tuple[float, float]]] = {station: [] for station in supports}
    for rail in rails:
        for piece in rail.pieces:
            if piece.beam is None:
                continue
            for at, reaction in zip(piece.beam.supports, piece.beam.reactions, strict=True):
                station = piece.start + at / MM
                after = bisect_left(supports, station)
                beside = supports[max(after - 1, 0) : after + 1]
                nearest = min(beside, key=lambda s: abs(s - station))
                found[nearest].append((rail.offset, reaction))
    return found
