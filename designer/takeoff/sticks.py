"""The stock plan of a bed: which stick each labelled piece of the cut list comes from."""

from collections import defaultdict, deque
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import groupby
from math import ceil, floor

from designer.analysis import Analysis
from designer.model.parts import BoardPart, PipePart
from designer.takeoff.pieces import Piece, cut_list
from designer.takeoff.solving import cut_plan
from designer.takeoff.stock import CutPlan, CuttingJob, Stock, cutting_job
from designer.units import UnitSystem

KERF: Mapping[UnitSystem, float] = {"metric": 3.0, "imperial": 25.4 / 8}
"""Width of a saw's cut, mm: 3 mm or 1/8 in (common practice, no source)."""
GRID: Mapping[UnitSystem, float] = {"metric": 0.1, "imperial": 25.4 / 16}
"""The step in mm that lengths are rounded up to (sticks: down) before they are laid out."""
_SAME = 0.01
"""Lengths this close, in mm, are one length."""


@dataclass(frozen=True, slots=True)
class StockLength:
    """A length in mm that a pipe or board is sold in; `price` of one in hundredths of the money
    unit, 0 where it is not known."""

    length: float
    price: int = 0


@dataclass(frozen=True)
class CutOptions:
    """How sticks are bought and cut, lengths in mm.

    `kerf` None is the usual saw of the design's units; `trim` squares each end of a stick.
    `stocks` and `offcuts` (owned, used first) are by part id; a part that is not in `stocks` is
    bought in the catalogue's stick. `seconds` is how long each part's search may take.
    """

    kerf: float | None = None
    trim: float = 0.0
    stocks: Mapping[str, tuple[StockLength, ...]] = field(default_factory=dict)
    offcuts: Mapping[str, tuple[float, ...]] = field(default_factory=dict)
    seconds: float = 5.0


@dataclass(frozen=True, slots=True)
class PlannedCut:
    """One piece to cut: what to write on it, its line in the cut list, its length in mm."""

    mark: str
    label: str
    length: float


@dataclass(frozen=True, slots=True)
class PlannedStick:
    """One stick with its cuts in order from its first end; lengths in mm."""

    stock: float
    owned: bool
    cuts: tuple[PlannedCut, ...]
    offcut: float


def cut_alike(sticks: Iterable[PlannedStick]) -> Iterator[tuple[PlannedStick, ...]]:
    """Sticks in order; those in a row that are as long and cut into the same lengths together."""

    def pattern(stick: PlannedStick) -> tuple[object, ...]:
        kinds = (cut.mark.partition(" ")[0] for cut in stick.cuts)
        sizes = (round(cut.length, 2) for cut in stick.cuts)
        return stick.stock, stick.owned, tuple(zip(kinds, sizes, strict=True))

    for _, same in groupby(sticks, pattern):
        yield tuple(same)


@dataclass(frozen=True)
class PartPlan:
    """All sticks of one part. `unplaced` pieces are longer than any stick of it that is sold.

    `proven`: no plan costs less (or, without prices, buys less length). Where it is not, at most
    `shortfall` sticks could still be saved. `settled` is as in a cutting plan.
    """

    part_id: str
    part: str
    sticks: tuple[PlannedStick, ...]
    unplaced: tuple[PlannedCut, ...]
    proven: bool
    shortfall: int
    settled: bool

    @property
    def bought(self) -> tuple[PlannedStick, ...]:
        """The sticks that are not owned offcuts."""
        return tuple(stick for stick in self.sticks if not stick.owned)

    @property
    def bought_lengths(self) -> tuple[tuple[float, int], ...]:
        """(length in mm, how many sticks) to buy, longest first."""
        counted: dict[float, int] = defaultdict(int)
        for stick in self.bought:
            counted[stick.stock] += 1
        return tuple(sorted(counted.items(), reverse=True))

    @property
    def used(self) -> float:
        """Length of all pieces on sticks, mm."""
        return sum(cut.length for stick in self.sticks for cut in stick.cuts)

    @property
    def cut_up(self) -> float:
        """Length of all sticks that are cut, mm."""
        return sum(stick.stock for stick in self.sticks)

    @property
    def longest_offcut(self) -> float:
        """The longest piece that stays, mm."""
        return max((stick.offcut for stick in self.sticks), default=0.0)


@dataclass(frozen=True)
class StockPlan:
    """The stock plan of every part that is cut, in the order of the cut list; mm. `sold` holds the
    lengths named for a part, that long pieces are joined up from (see the cut list)."""

    kerf: float
    trim: float
    parts: tuple[PartPlan, ...]
    sold: Mapping[str, tuple[float, ...]]

    @property
    def proven(self) -> bool:
        """Whether no part's plan can be beaten and every piece has its stick."""
        return all(part.proven and not part.unplaced for part in self.parts)

    @property
    def waste(self) -> float:
        """Share of the sticks that does not become pieces, 0 to 1."""
        cut_up = sum(part.cut_up for part in self.parts)
        return 1 - sum(part.used for part in self.parts) / cut_up if cut_up else 0.0

    @property
    def sticks(self) -> int:
        """How many sticks are bought."""
        return sum(len(part.bought) for part in self.parts)


def stock_plan(analysis: Analysis, options: CutOptions | None = None) -> StockPlan:
    """The sticks for every piece of the cut list: nipples and tails, drain pipe, rails.

    ValueError where a typed length is not above zero.
    """
    options = options or CutOptions()
    units = analysis.design.units
    kerf = KERF[units] if options.kerf is None else options.kerf
    sold = {part: tuple(s.length for s in named) for part, named in options.stocks.items()}
    by_part: dict[str, list[Piece]] = defaultdict(list)
    for piece in cut_list(analysis, sold):
        by_part[piece.part_id].append(piece)
    plans = tuple(
        _part_plan(part_id, pieces, _stocks(analysis, part_id, options), kerf, GRID[units], options)
        for part_id, pieces in by_part.items()
    )
    return StockPlan(kerf, options.trim, plans, sold)


def _stocks(analysis: Analysis, part_id: str, options: CutOptions) -> tuple[StockLength, ...]:
    if options.stocks.get(part_id):
        return options.stocks[part_id]
    part = analysis.catalogue.parts[part_id]
    assert isinstance(part, PipePart | BoardPart)  # only these are cut from sticks
    return (StockLength(part.stick_length),)


def _part_plan(
    part_id: str,
    pieces: Sequence[Piece],
    lengths: Sequence[StockLength],
    kerf: float,
    grid: float,
    options: CutOptions,
) -> PartPlan:
    def down(length: float) -> int:
        return floor((length + _SAME) / grid)

    def up(length: float) -> int:
        return max(ceil((length - _SAME) / grid), 0)

    priced = all(stock.price > 0 for stock in lengths)
    stocks = {down(s.length): s for s in lengths}
    owned: dict[int, list[float]] = defaultdict(list)
    for offcut in options.offcuts.get(part_id, ()):
        owned[down(offcut)].append(offcut)
    saw, trim = up(kerf), up(options.trim)
    room = max(stocks) - 2 * trim

    waiting: dict[int, deque[PlannedCut]] = defaultdict(deque)
    unplaced: list[PlannedCut] = []
    sticks: list[PlannedStick] = []
    for piece in pieces:
        for mark in piece.marks:
            cut = PlannedCut(mark, piece.label, piece.length)
            if up(piece.length) <= room:
                waiting[max(up(piece.length), 1)].append(cut)
            elif holding := [s for s in lengths if s.length >= piece.length - _SAME]:
                # A whole stick, or nearly: there is no length to spare for squaring both ends.
                whole = min(holding, key=lambda s: (s.price, s.length)).length
                sticks.append(
                    PlannedStick(whole, False, (cut,), max(0.0, whole - cut.length - kerf))
                )
            else:
                unplaced.append(cut)
    job = cutting_job(
        [length for length, cuts in waiting.items() for _ in cuts],
        [Stock(n, s.price if priced else n) for n, s in sorted(stocks.items())]
        + [Stock(n, 0, len(owned[n])) for n in sorted(owned) if n > 0],
        saw,
        trim,
    )
    plan = _planned(job, options.seconds)
    for stick in plan.sticks:
        whole = (
            owned[stick.stock.length].pop()
            if stick.stock.owned
            else stocks[stick.stock.length].length
        )
        cuts = tuple(waiting[length].popleft() for length in stick.pieces)
        offcut = whole - options.trim - sum(cut.length + kerf for cut in cuts)
        sticks.append(PlannedStick(whole, bool(stick.stock.owned), cuts, max(0.0, offcut)))
    return PartPlan(
        part_id,
        pieces[0].part,
        tuple(sticks),
        tuple(unplaced),
        plan.proven,
        plan.shortfall,
        plan.settled,
    )


@lru_cache(maxsize=64)
def _planned(job: CuttingJob, seconds: float) -> CutPlan:
    """The same pieces come up again and again while a person drags buckets about."""
    return cut_plan(job, seconds)
