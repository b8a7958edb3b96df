"""Which piece to cut from which stick: records, the kerf rule, and a first quick plan.

Whole numbers throughout, on a grid that the caller chooses (0.1 mm or 1/16 in), so that "fits" is
exact. A stick of length L with squaring cuts t at both ends holds pieces l with a saw kerf k when
sum(l + k) <= L - 2 t + k: every piece but the last is followed by a cut.
"""

from bisect import insort
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from math import gcd

from designer.takeoff.packs import Pack, cheapest_packs

Pattern = tuple[int, tuple[int, ...]]
"""One way to cut a stick: the stock's index in the job, and how many of each length."""


_EXACT_STEPS = 50_000
"""Beyond this many steps the bound of the material counts sticks in fractions."""


@dataclass(frozen=True, slots=True)
class Stock:
    """Sticks to cut from: `length` on the grid, `price` of one in whole money units.

    A stick to buy costs more than nothing and there are as many as needed. An owned offcut costs
    nothing and there are `owned` of them.
    """

    length: int
    price: int = 1
    owned: int = 0

    def __post_init__(self) -> None:
        if self.length <= 0:
            raise ValueError("A stick is longer than 0.")
        if self.owned < 0 or (self.price <= 0 and not self.owned) or (self.owned and self.price):
            raise ValueError("A stick to buy has a price above 0; an owned offcut has none.")


@dataclass(frozen=True)
class CuttingJob:
    """Distinct `lengths`, longest first, how many of each, and what they are cut from."""

    lengths: tuple[int, ...]
    counts: tuple[int, ...]
    stocks: tuple[Stock, ...]
    kerf: int = 0
    trim: int = 0

    @property
    def sizes(self) -> tuple[int, ...]:
        """Each length with the cut behind it."""
        return tuple(length + self.kerf for length in self.lengths)

    @property
    def rooms(self) -> tuple[int, ...]:
        """What of each stock can be filled with sizes; 0 or less holds nothing."""
        return tuple(stock.length - 2 * self.trim + self.kerf for stock in self.stocks)

    @property
    def price_step(self) -> int:
        """Every plan's cost is a multiple of this."""
        return gcd(*(stock.price for stock in self.stocks)) or 1

    def filled(self, counts: Sequence[int]) -> int:
        """Sum of the sizes of some pieces."""
        return sum(size * n for size, n in zip(self.sizes, counts, strict=True))

    def left(self, pattern: Pattern) -> int:
        """Length of the offcut behind the last cut of a stick, its far end as it came."""
        stock, counts = pattern
        return max(0, self.stocks[stock].length - self.trim - self.filled(counts))

    def price(self, patterns: Iterable[Pattern]) -> int:
        """What the sticks of some patterns cost."""
        return sum(self.stocks[stock].price for stock, _ in patterns)


def cutting_job(
    pieces: Iterable[int], stocks: Iterable[Stock], kerf: int = 0, trim: int = 0
) -> CuttingJob:
    """A job from single pieces. Raises ValueError where a piece is longer than any stick that can
    be bought holds, or a size is below zero."""
    counted = Counter(pieces)
    if kerf < 0 or trim < 0:
        raise ValueError("The saw's cut and the squaring cut are 0 or more.")
    if min(counted, default=1) <= 0:
        raise ValueError("Every piece is longer than 0.")
    lengths = tuple(sorted(counted, reverse=True))
    job = CuttingJob(lengths, tuple(counted[x] for x in lengths), tuple(stocks), kerf, trim)
    bought = [room for room, s in zip(job.rooms, job.stocks, strict=True) if not s.owned]
    if lengths and job.sizes[0] > max(bought, default=0):
        raise ValueError(f"A piece of {lengths[0]} is longer than any stick that can be bought.")
    return job


@dataclass(frozen=True, slots=True)
class CutStick:
    """One stick as it is cut: `pieces` in order from the first end, then the `offcut`."""

    stock: Stock
    pieces: tuple[int, ...]
    offcut: int


@dataclass(frozen=True)
class CutPlan:
    """Sticks with their cuts. `cost` of the bought sticks is never below `bound`.

    `settled` says that no plan of this cost leaves a longer single offcut, and of those with such
    an offcut none has fewer different patterns. `shortfall` is how many sticks of the cheapest
    kind the cost may be above the least possible, 0 when the plan is proven.
    """

    sticks: tuple[CutStick, ...]
    cost: int
    bound: int
    settled: bool
    cheapest_stick: int = field(default=1)

    @property
    def proven(self) -> bool:
        """Whether no plan can be cheaper."""
        return self.cost == self.bound

    @property
    def shortfall(self) -> int:
        """The most sticks that a better plan could save."""
        return -(-(self.cost - self.bound) // self.cheapest_stick)

    @property
    def different(self) -> int:
        """How many different ways of cutting a stick there are."""
        return len({(stick.stock, stick.pieces) for stick in self.sticks})

    @property
    def waste(self) -> int:
        """Length of the sticks that does not become pieces: cuts, ends and offcuts."""
        return sum(stick.stock.length - sum(stick.pieces) for stick in self.sticks)


def as_plan(job: CuttingJob, patterns: Iterable[Pattern], bound: int, settled: bool) -> CutPlan:
    """The plan of some patterns, owned offcuts first, alike sticks together and the stick with
    the longest offcut last; long pieces of a stick are cut first."""
    patterns = list(patterns)
    ordered = sorted(patterns, key=lambda p: (not job.stocks[p[0]].owned, job.left(p), p[0], p[1]))
    sticks = []
    for pattern in ordered:
        stock, counts = pattern
        pieces = [x for x, n in zip(job.lengths, counts, strict=True) for _ in range(n)]
        sticks.append(CutStick(job.stocks[stock], tuple(pieces), job.left(pattern)))
    cheapest = min((stock.price for stock in job.stocks if not stock.owned), default=1)
    return CutPlan(tuple(sticks), job.price(patterns), bound, settled, cheapest)


def first_fit(job: CuttingJob) -> list[Pattern]:
    """First-fit decreasing: each piece, longest first, into the first stick with room for it.

    Owned offcuts come first, shortest foremost. A new stick is of the stock that is cheapest for
    its length and holds the piece; in the end each becomes the cheapest that holds its pieces.
    """
    rooms, stocks = job.rooms, job.stocks
    bought = sorted(
        (i for i, stock in enumerate(stocks) if not stock.owned),
        key=lambda i: (stocks[i].price / max(rooms[i], 1), -rooms[i]),
    )
    open_sticks: list[list[int]] = []  # [room left, stock, pieces of each length...]
    for i in sorted(range(len(stocks)), key=lambda i: rooms[i]):
        for _ in range(stocks[i].owned):
            open_sticks.append([rooms[i], i, *([0] * len(job.lengths))])
    for item, (size, count) in enumerate(zip(job.sizes, job.counts, strict=True)):
        first = 0  # sticks before this one have no room for this size
        for _ in range(count):
            while first < len(open_sticks) and open_sticks[first][0] < size:
                first += 1
            if first == len(open_sticks):
                new = next(i for i in bought if rooms[i] >= size)
                open_sticks.append([rooms[new], new, *([0] * len(job.lengths))])
            open_sticks[first][0] -= size
            open_sticks[first][2 + item] += 1
    patterns = []
    for _, stock, *counts in open_sticks:
        filled = job.filled(counts)
        if filled and not stocks[stock].owned:
            stock = min((i for i in bought if rooms[i] >= filled), key=lambda i: stocks[i].price)
        if filled:
            patterns.append((stock, tuple(counts)))
    return patterns


def material_bound(job: CuttingJob) -> int:
    """The least that whole sticks could cost if pieces could be joined without loss."""
    rooms = [max(room, 0) for room in job.rooms]
    spared = sum(room * stock.owned for room, stock in zip(rooms, job.stocks, strict=True))
    need = max(0, job.filled(job.counts) - spared)
    packs = [
        Pack(room, stock.price)
        for room, stock in zip(rooms, job.stocks, strict=True)
        if not stock.owned and room > 0
    ]
    if packs and need <= _EXACT_STEPS * gcd(*(pack.size for pack in packs)):
        counts = cheapest_packs(need, packs)
        return sum(n * pack.price for n, pack in zip(counts, packs, strict=True))
    step = job.price_step
    return min((-(-need * p.price // (p.size * step)) * step for p in packs), default=0)


def attainable(job: CuttingJob, bound: int, most: int) -> int:
    """The least cost from `bound` on, up to `most`, that any number of bought sticks adds up to."""
    step = job.price_step
    reached, top = 1, most // step
    mask = (1 << (top + 1)) - 1
    for stock in job.stocks:
        price = stock.price // step
        while not stock.owned and price <= top:  # twice, four, eight ... times as many sticks
            reached |= (reached << price) & mask
            price *= 2
    least = -(-bound // step)
    from_bound = reached >> least
    lowest = (from_bound & -from_bound).bit_length() - 1
    return (least + lowest) * step if from_bound else most


def without_surplus(job: CuttingJob, patterns: Iterable[Pattern]) -> list[Pattern]:
    """Patterns that make exactly what is needed: what is too many is taken from the sticks with
    the longest offcuts, and a stick with nothing left to cut is left out."""
    kept: list[tuple[int, int, list[int]]] = []
    for pattern in patterns:
        insort(kept, (job.left(pattern), pattern[0], list(pattern[1])))
    for item, need in enumerate(job.counts):
        surplus = sum(counts[item] for _, _, counts in kept) - need
        for _, _, counts in reversed(kept):
            away = min(surplus, counts[item])
            counts[item] -= away
            surplus -= away
    return [(stock, tuple(counts)) for _, stock, counts in kept if any(counts)]
