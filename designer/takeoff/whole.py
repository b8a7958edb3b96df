"""The whole take-off of a bed in one value: materials, sticks, filling and cost."""

from dataclasses import dataclass, field, replace
from decimal import Decimal

from designer.analysis import Analysis, analyse, with_stands
from designer.takeoff.cost import (
    CostDifference,
    Costing,
    cost_difference,
    cost_materials,
    one_more_bucket,
    stock_lengths,
)
from designer.takeoff.fill import FillPlan, fill_plan
from designer.takeoff.material import BuyOptions, Material
from designer.takeoff.materials import materials
from designer.takeoff.pieces import Piece, cut_list
from designer.takeoff.prices import PriceBook
from designer.takeoff.sticks import CutOptions, StockPlan, stock_plan


@dataclass(frozen=True)
class TakeoffOptions:
    """How the person buys and cuts. Without a `book` nothing is costed; with one, its priced
    sticks are what pipe and boards are cut from, unless `cut` names others. `tools` are costed
    only where asked for."""

    cut: CutOptions = field(default_factory=CutOptions)
    buy: BuyOptions = field(default_factory=BuyOptions)
    book: PriceBook | None = None
    tax_percent: Decimal = Decimal(0)
    tools: bool = False


@dataclass(frozen=True)
class BedTakeoff:
    """Everything to buy, to cut and to fill in. `cost` is None without a price book."""

    materials: tuple[Material, ...]
    pieces: tuple[Piece, ...]
    plan: StockPlan
    fill: FillPlan
    cost: Costing | None


def work_out(analysis: Analysis, options: TakeoffOptions | None = None) -> BedTakeoff:
    """The take-off of an analysis. Takes from hundredths of a second to some seconds for a large
    bed, so that a window works it out behind its back."""
    options = options or TakeoffOptions()
    cut = options.cut
    if options.book is not None:
        cut = replace(cut, stocks={**stock_lengths(options.book), **cut.stocks})
    plan = stock_plan(analysis, cut)
    lines = materials(analysis, plan, options.buy)
    return BedTakeoff(
        lines,
        cut_list(analysis, plan.sold),
        plan,
        fill_plan(analysis),
        cost_of(analysis, lines, options),
    )


def cost_of(
    analysis: Analysis, lines: tuple[Material, ...], options: TakeoffOptions
) -> Costing | None:
    """What the lines cost; None without a price book."""
    if options.book is None:
        return None
    buckets = len(analysis.places)
    return cost_materials(lines, options.book, buckets, options.tax_percent, tools=options.tools)


def cost_of_one_more(analysis: Analysis, options: TakeoffOptions) -> CostDifference | None:
    """What one more bucket at the last run's capped end would cost; None without a price book."""
    before = work_out(analysis, options).cost
    more = analyse(one_more_bucket(analysis.design), analysis)
    after = work_out(with_stands(more) if analysis.stands_current else more, options).cost
    return cost_difference(before, after) if before is not None and after is not None else None
