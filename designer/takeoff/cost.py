"""What the materials cost by the person's price book, and what one more bucket would cost."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from math import ceil

from designer.model import edits
from designer.model.design import Design
from designer.takeoff.material import Material
from designer.takeoff.packs import Pack, cheapest_packs
from designer.takeoff.prices import Price, PriceBook
from designer.takeoff.quantities import Measure
from designer.takeoff.sticks import StockLength

_STEPS: Mapping[Measure, int] = {"pieces": 1, "length": 1, "litres": 10, "kg": 100}
"""Whole steps to a piece, mm, litre or kg in which packs are counted out."""
_SAME_STICK = 1.0
"""A priced stick within this of a planned one, mm, is the same."""
_CENT = Decimal("0.01")


@dataclass(frozen=True, slots=True)
class CostLine:
    """One material: how many of which packs, and their price as the book gives it."""

    material: Material
    bought: tuple[tuple[int, Price], ...]

    @property
    def price(self) -> Decimal:
        """What the packs cost, with or without tax as the book has them."""
        return sum((n * price.price for n, price in self.bought), Decimal(0))

    @property
    def words(self) -> str:
        """What to put in the trolley: "2 × 100 L, 1 × 10 L"."""
        return ", ".join(f"{n} × {price.unit}" for n, price in self.bought)


@dataclass(frozen=True)
class Costing:
    """What all lines cost. `missing` has no price that fits; it is in no total. Tools are only
    counted where they were asked for. `oldest` is the date of the oldest price used."""

    lines: tuple[CostLine, ...]
    missing: tuple[Material, ...]
    currency: str
    net: Decimal
    tax: Decimal
    buckets: int
    oldest: date | None

    @property
    def total(self) -> Decimal:
        """With tax, to the hundredth."""
        return self.net + self.tax

    @property
    def per_bucket(self) -> Decimal | None:
        """The total for each bucket; None without buckets."""
        return _cents(self.total / self.buckets) if self.buckets else None


def cost_materials(
    lines: Sequence[Material],
    book: PriceBook,
    buckets: int,
    tax_percent: Decimal = Decimal(0),
    *,
    tools: bool = False,
) -> Costing:
    """The cheapest way to buy the lines from the book. `tax_percent` is added to prices without
    tax and taken as part of those with it. ValueError for a tax below 0."""
    if tax_percent < 0:
        raise ValueError("Tax is 0 % or more.")
    costed, missing = [], []
    for material in lines:
        if material.role == "tool" and not tools:
            continue
        bought = _bought(material, book.of(material.id))
        if bought is None:
            missing.append(material)
        else:
            costed.append(CostLine(material, bought))
    rate = tax_percent / 100
    net = gross = Decimal(0)
    days = []
    for line in costed:
        for n, price in line.bought:
            cost = n * price.price
            net += cost / (1 + rate) if price.tax_included else cost
            gross += cost if price.tax_included else cost * (1 + rate)
            days += [price.day] if price.day else []
    total, without = _cents(gross), _cents(net)
    oldest = min(days, default=None)
    return Costing(
        tuple(costed), tuple(missing), book.currency, without, total - without, buckets, oldest
    )


def _bought(material: Material, prices: Sequence[Price]) -> tuple[tuple[int, Price], ...] | None:
    """The cheapest packs that hold what is to be bought; None where no price fits."""
    if material.stick:
        fits = [
            p
            for p in prices
            if p.holds[1] == "length" and abs(p.holds[0] - material.stick) <= _SAME_STICK
        ]
        cheapest = min(fits, key=lambda p: p.price, default=None)
        return None if cheapest is None else ((round(material.to_buy), cheapest),)
    needs: dict[Measure, float] = {material.measure: material.to_buy}
    if material.mass:
        needs["kg"] = material.mass
    choices = []
    for measure, amount in needs.items():
        packs = [p for p in prices if p.holds[1] == measure]
        if packs:
            steps = _STEPS[measure]
            sizes = [Pack(max(1, round(p.holds[0] * steps)), p.cents) for p in packs]
            counts = cheapest_packs(ceil(amount * steps - 1e-6), sizes)
            bought = tuple((n, p) for n, p in zip(counts, packs, strict=True) if n)
            choices.append((sum(n * p.price for n, p in bought), bought))
    return min(choices, key=lambda choice: choice[0])[1] if choices else None


def _cents(money: Decimal) -> Decimal:
    return money.quantize(_CENT, ROUND_HALF_UP)


def stock_lengths(book: PriceBook) -> dict[str, tuple[StockLength, ...]]:
    """The sticks on sale by item id, for the stock plan: each length at its lowest price."""
    found: dict[str, dict[float, int]] = {}
    for price in book.prices:
        if price.holds[1] == "length":
            lengths = found.setdefault(price.item, {})
            length = price.holds[0]
            lengths[length] = min(price.cents, lengths.get(length, price.cents))
    return {
        item: tuple(StockLength(length, cents) for length, cents in sorted(lengths.items()))
        for item, lengths in found.items()
    }


@dataclass(frozen=True)
class CostDifference:
    """From one costing to another: money, and what more (or less) of each material is bought.
    `missing` names materials without a price whose amount changes."""

    total: Decimal
    changes: tuple[tuple[Material, float], ...]
    missing: tuple[Material, ...]


def cost_difference(before: Costing, after: Costing) -> CostDifference:
    """What `after` costs more than `before`, material by material."""
    one, two = _by_line(before), _by_line(after)
    changes = []
    for key in dict.fromkeys([*two, *one]):
        material = two.get(key) or one[key]
        change = (two[key].to_buy if key in two else 0.0) - (one[key].to_buy if key in one else 0.0)
        if abs(change) > 1e-6:
            changes.append((material, change))
    unpriced = {_key(m) for m in (*before.missing, *after.missing)}
    missing = tuple(m for m, _ in changes if _key(m) in unpriced)
    return CostDifference(after.total - before.total, tuple(changes), missing)


def _by_line(costing: Costing) -> dict[tuple[str, float], Material]:
    return {_key(m): m for m in (*(line.material for line in costing.lines), *costing.missing)}


def _key(material: Material) -> tuple[str, float]:
    return material.id, material.stick


def one_more_bucket(design: Design, run_id: str | None = None) -> Design:
    """The design with one more bucket at the capped end of a run (the last one where none is
    named): the run grows by a pitch and the bucket stands on the other side. The same design
    where there is no run."""
    if not design.runs:
        return design
    run = design.run(run_id) if run_id else design.runs[-1]
    last = max(run.buckets, key=lambda bucket: bucket.station, default=None)
    design = edits.set_run_length(design, run.id, run.length + run.pitch)
    if last is None:
        design, _ = edits.add_bucket(design, run.id, run.length, "left")
        return design
    side = edits.OTHER[last.side]
    design, bucket_id = edits.add_bucket(design, run.id, last.station + run.pitch, side)
    return edits.change_buckets(
        design, [bucket_id], lambda bucket: replace(bucket, part=last.part, crop=last.crop)
    )
