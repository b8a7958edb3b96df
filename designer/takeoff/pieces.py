"""The cut list: every piece of pipe and board by its finished length.

Lengths are of the finished piece, without the saw's cut. What is longer than a stick is cut from
several, of the lengths that its part is sold in: `sold` holds them in mm by part id, and a part
that is not in it comes in the catalogue's stick.
"""

from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise
from math import atan2, degrees, hypot, inf
from string import ascii_lowercase
from typing import Literal

from designer.analysis import Analysis
from designer.layout.rails import rail_pieces
from designer.layout.run import RunLayout
from designer.model.parts import BoardPart, PipePart
from designer.takeoff.ranges import bucket_ranges

PieceKind = Literal["nipple", "tail", "drain", "rail"]
Sold = Mapping[str, Sequence[float]]
AS_IN_CATALOGUE: Sold = {}

_STRAIGHT = 5.0
"""A pipe turned by less than this many degrees is sprung, not cut for a bend."""
_SAME = 0.01
"""Lengths this close, in mm, are one length."""
_SHORTEST_STICK = 100.0
"""Nothing is joined up from sticks shorter than this, mm."""


@dataclass(frozen=True, slots=True)
class Piece:
    """Like pieces to cut: from which part, how long (mm), how many, and what for.

    `label` names the line; `marks` holds what to write on each piece, by the letters of the
    drawing: "Tail C" for the tail of bucket C. `part_id` is the part's id in the catalogue.
    """

    kind: PieceKind
    part: str
    length: float
    count: int
    use: str
    part_id: str
    label: str
    marks: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class DrainLine:
    """A run's drain pipe as it is put together.

    `stretches` holds the piece lengths (mm) of each straight stretch, in order from the capped end
    to the outfall; pieces of a stretch are joined by couplings. `bends` are the turns between
    stretches, degrees.
    """

    stretches: tuple[tuple[float, ...], ...]
    bends: tuple[float, ...]

    @property
    def couplings(self) -> int:
        """How many straight couplings join the pieces."""
        return sum(len(stretch) - 1 for stretch in self.stretches)

    @property
    def length(self) -> float:
        """All pieces together, mm."""
        return sum(sum(stretch) for stretch in self.stretches)


def drain_line(layout: RunLayout, sold: Sold = AS_IN_CATALOGUE) -> DrainLine:
    """The drain pipe from the capped end to the outfall, cut from whole sticks with the fewest
    couplings.

    Lengths are measured in plan to the corners: a fall of 2 % adds 0.02 %. A coupling is kept one
    pipe diameter clear of each hole and, where it can be, of the blocks of each support, where it
    would lift the pipe off its shim (from memory: half a coupling's length and room for the saw).
    """
    cap = layout.frame.at(layout.run.length)
    corners = [cap]
    bends: list[float] = []
    lengths: list[float] = []
    start = cap
    for point in layout.return_points:
        length = hypot(point[0] - start[0], point[1] - start[1])
        if length < _SAME:
            continue
        turn = 0.0
        if len(corners) > 1:
            turn = _turn(corners[-2], corners[-1], point)
        if lengths and turn < _STRAIGHT:
            lengths[-1] += length
        else:
            if lengths:
                bends.append(turn)
            lengths.append(length)
        corners.append(point)
        start = point
    drain = layout.parts.drain
    keep = layout.parts.drain_saw.diameter / 2 + drain.outside_diameter
    holes = [layout.run.length - place.station for place in layout.places]
    borne = layout.parts.block.width / 2 + drain.outside_diameter
    supports = [layout.run.length - station for station in layout.run.stand.supports]
    sticks = _sticks(drain, sold)

    def stretch(
        length: float, holes: Sequence[float], supports: Sequence[float]
    ) -> tuple[float, ...]:
        return _fewest(
            [stick_pieces(length, stick, holes, keep, supports, borne) for stick in sticks],
            lambda joint: not (_clear(joint, holes, keep) and _clear(joint, supports, borne)),
        )

    stretches = [
        stretch(length, () if i else holes, () if i else supports)
        for i, length in enumerate(lengths)
    ]
    return DrainLine(tuple(stretches), tuple(bends))


def rail_line(layout: RunLayout, sold: Sold = AS_IN_CATALOGUE) -> tuple[float, ...]:
    """The pieces of one line of rail from the outlet end, mm: the fewest, with joints over
    supports where they can be."""
    supports = sorted(layout.run.stand.supports)
    return _fewest(
        [
            rail_pieces(layout.run.length, stick, supports)
            for stick in _sticks(layout.parts.rail, sold)
        ],
        lambda joint: _room(joint, supports) > _SAME,
    )


def joined_otherwise(analysis: Analysis, sold: Sold) -> frozenset[str]:
    """Ids of the boards whose rails are joined elsewhere than the stand was worked out with: it
    takes the catalogue's stick, or that of the person's own part."""
    return frozenset(
        layout.parts.rail.id
        for layout in analysis.runs
        if rail_line(layout, sold) != rail_line(layout)
    )


def _sticks(part: PipePart | BoardPart, sold: Sold) -> list[float]:
    """The sticks to join up, shortest first."""
    found = sorted(stick for stick in sold.get(part.id, ()) if stick >= _SHORTEST_STICK)
    return found or [part.stick_length]


def _fewest(ways: Sequence[Sequence[float]], awkward: Callable[[float], bool]) -> tuple[float, ...]:
    """The way with the fewest pieces, then the fewest awkward joints; the first such."""
    costs = [(len(pieces), sum(map(awkward, list(accumulate(pieces))[:-1]))) for pieces in ways]
    return tuple(ways[costs.index(min(costs))])


def stick_pieces(
    length: float,
    stick: float,
    holes: Sequence[float] = (),
    keep: float = 0.0,
    supports: Sequence[float] = (),
    borne: float = 0.0,
) -> list[float]:
    """Cut a straight stretch from sticks, from its start; all lengths mm.

    Each joint lies at the end of a whole stick or, where that is within `keep` of a hole or within
    `borne` of a support, as far back as it must to be clear. Where the last half of the stick has
    no place clear of both it is clear of the holes, and where not even that is, the joint lies
    midway between the two holes that leave it the most room, clear of supports if there is a
    choice.
    """
    ordered = sorted(holes)
    ends = [*(hole - keep for hole in ordered), *(support - borne for support in supports)]
    pieces: list[float] = []
    start = 0.0
    while length - start > stick + _SAME:
        low, high = start + stick / 2, start + stick
        clear = [j for j in (high, *ends) if low < j <= high and _clear(j, ordered, keep)]
        between = [(a + b) / 2 for a, b in pairwise(ordered) if low < (a + b) / 2 <= high]
        joint = max(
            clear or between or [high],
            key=lambda j: (
                round(min(_room(j, ordered), keep - _SAME), 2),
                _clear(j, supports, borne),
                j,
            ),
        )
        pieces.append(joint - start)
        start = joint
    pieces.append(length - start)
    return pieces


def _clear(joint: float, places: Sequence[float], keep: float) -> bool:
    """Whether a joint is at least `keep` from every place."""
    return _room(joint, places) >= keep - _SAME


def _room(joint: float, places: Sequence[float]) -> float:
    """From a joint to the nearest of some places, mm."""
    return min((abs(joint - place) for place in places), default=inf)


def cut_list(analysis: Analysis, sold: Sold = AS_IN_CATALOGUE) -> tuple[Piece, ...]:
    """Every piece to cut, run by run: nipples, tails, drain pieces, rails."""
    pieces: list[Piece] = []
    for layout in analysis.runs:
        where = f" of {layout.run.name}" if len(analysis.runs) > 1 else ""
        pieces += _outlet_pieces(analysis, layout)
        run = f"{analysis.run_number(layout)}." if len(analysis.runs) > 1 else ""
        pieces += _drain_pieces(layout, where, run, sold)
        pieces += _rails(layout, where, run.removesuffix("."), sold)
    return tuple(pieces)


def _outlet_pieces(analysis: Analysis, layout: RunLayout) -> list[Piece]:
    if not layout.places:
        return []
    part = layout.parts.outlet_pipe

    def line(kind: PieceKind, name: str, use: str, length: float, ids: Sequence[str]) -> Piece:
        return Piece(
            kind,
            part.name,
            length,
            len(ids),
            f"{use}, {_buckets(analysis, ids)}",
            part.id,
            f"{name} {bucket_ranges(analysis, ids)}",
            tuple(f"{name} {analysis.bucket_label(bucket)}" for bucket in ids),
        )

    everyone = [place.bucket.id for place in layout.from_cap]
    nipple = layout.run.outlet.nipple_length
    pieces = [line("nipple", "Nipple", "Nipple through the grommet", nipple, everyone)]
    tails: dict[float, list[str]] = defaultdict(list)
    for place in layout.from_cap:
        tails[round(layout.tail_length(place), 2)].append(place.bucket.id)
    pieces += [line("tail", "Tail", "Tail", length, ids) for length, ids in sorted(tails.items())]
    return pieces


def _buckets(analysis: Analysis, ids: Sequence[str]) -> str:
    return f"bucket{'s' if len(ids) > 1 else ''} {bucket_ranges(analysis, ids)}"


def _drain_pieces(layout: RunLayout, where: str, run: str, sold: Sold) -> list[Piece]:
    line = drain_line(layout, sold)
    pieces: list[Piece] = []
    for number, stretch in enumerate(line.stretches):
        name = f"Drain{where}, from the capped end" if number == 0 else f"Return path{where}"
        if number and len(line.stretches) > 2:
            name += f", stretch {number}"
        for index, length in enumerate(stretch, 1):
            which = f", piece {index} of {len(stretch)}" if len(stretch) > 1 else ""
            label = f"Drain {run}{len(pieces) + 1}"
            drain = layout.parts.drain
            pieces.append(
                Piece("drain", drain.name, length, 1, name + which, drain.id, label, (label,))
            )
    return pieces


def _rails(layout: RunLayout, where: str, run: str, sold: Sold) -> list[Piece]:
    stand, rail = layout.run.stand, layout.parts.rail
    counted: dict[float, int] = defaultdict(int)
    for length in rail_line(layout, sold):
        counted[round(length, 2)] += stand.rails
    whole = len(counted) == 1 and set(counted.values()) == {stand.rails}
    use = f"Rail{where}, {'in one piece' if whole else 'joints over a support'}"
    pieces: list[Piece] = []
    for number, (length, count) in enumerate(sorted(counted.items(), reverse=True)):
        turn, place = divmod(number, len(ascii_lowercase))
        letter = ascii_lowercase[place] * (turn + 1)
        # no number: it would be read as that of one rail, and several are alike
        label = f"Rail {run}{letter}" if run or len(counted) > 1 else "Rail"
        marks = (label,) * count
        pieces.append(Piece("rail", rail.name, length, count, use, rail.id, label, marks))
    return pieces


def _turn(a: tuple[float, float], b: tuple[float, float], c: tuple[float, float]) -> float:
    """How far a pipe through three points turns at the middle one, degrees from 0 to 180."""
    (ux, uy), (vx, vy) = (b[0] - a[0], b[1] - a[1]), (c[0] - b[0], c[1] - b[1])
    return abs(degrees(atan2(ux * vy - uy * vx, ux * vx + uy * vy)))
