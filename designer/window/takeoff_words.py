"""What the Take-off panel says: amounts, money, sticks and compared values as text; no Qt."""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from itertools import groupby

from designer.takeoff.compare import CompareRow
from designer.takeoff.cost import Costing, CostLine
from designer.takeoff.material import DEPARTMENT_WORDS, Material
from designer.takeoff.materials import shopping_list
from designer.takeoff.sticks import PartPlan, PlannedCut, PlannedStick
from designer.takeoff.whole import BedTakeoff
from designer.units import (
    LengthStyle,
    UnitSystem,
    format_length,
    format_loose,
    format_mass,
    format_volume,
    style_for,
)

NOTHING = "–"


def amount_words(material: Material, units: UnitSystem, amount: float | None = None) -> str:
    """An amount of a material with its unit; all that is to be bought where none is given."""
    amount = material.to_buy if amount is None else amount
    if material.measure == "length":
        style = LengthStyle.M if units == "metric" else LengthStyle.FEET_INCHES
        return format_length(amount, style)
    if material.measure == "litres":
        return format_loose(amount, units)
    return f"{amount:g} pieces" if amount != 1 else "1 piece"


def line_words(material: Material, units: UnitSystem) -> str:
    """One line of the shopping list: "9 × Grommet", "3.36 m of feed tube"."""
    if material.measure == "pieces":
        return f"{material.to_buy:g} × {material.name}"
    return f"{amount_words(material, units)} of {material.name}"


def why_words(material: Material, units: UnitSystem) -> str:
    """Why a line is there, and how much of it is spare."""
    why = f"{material.why[:1].upper()}{material.why[1:]}."
    if material.spare <= 0:
        return why
    needed = amount_words(material, units, material.needed)
    return f"{why} {needed} needed, {amount_words(material, units, material.spare)} to spare."


def costs_by_line(cost: Costing | None) -> dict[tuple[str, float], CostLine]:
    """The priced lines by item and stick."""
    lines = cost.lines if cost is not None else ()
    return {(line.material.id, line.material.stick): line for line in lines}


def shopping_text(takeoff: BedTakeoff, units: UnitSystem, title: str) -> str:
    """The shopping list as plain text, to send or to print."""
    costs = costs_by_line(takeoff.cost)
    currency = takeoff.cost.currency if takeoff.cost is not None else ""
    parts = [f"{title}: shopping list"]
    for department, lines in shopping_list(takeoff.materials).items():
        parts += ["", DEPARTMENT_WORDS[department]]
        for material in lines:
            cost = costs.get((material.id, material.stick))
            price = f"  ({cost.words}: {money_words(cost.price, currency)})" if cost else ""
            parts.append(f"- {line_words(material, units)}{price}")
    return "\n".join(parts) + "\n"


def money_words(money: Decimal, currency: str) -> str:
    """An amount of money with its currency."""
    return f"{money:,.2f} {currency}".strip()


def proof_words(part: PartPlan) -> str:
    """How sure it is that no plan needs less."""
    if part.proven:
        return "Proven: no plan needs less."
    if part.shortfall == 0:
        return "Not proven: the same number of sticks, but shorter or cheaper ones might do."
    within = "1 stick" if part.shortfall == 1 else f"{part.shortfall} sticks"
    return f"Not proven: within {within} of the bound."


def part_words(part: PartPlan, units: UnitSystem) -> str:
    """What to buy of a part, in one line."""
    style = style_for(units)
    bought = ", ".join(f"{n} × {format_length(mm, style)}" for mm, n in part.bought_lengths)
    owned = len(part.sticks) - len(part.bought)
    own = f"{owned} of your own" if owned else ""
    return " and ".join(filter(None, (f"Buy {bought}" if bought else "", own))) or "Nothing to buy"


def alike(sticks: Sequence[PlannedStick]) -> Iterator[tuple[PlannedStick, int]]:
    """Sticks in order, with how many in a row are cut alike."""
    for stick, same in groupby(sticks):
        yield stick, len(list(same))


def stick_words(stick: PlannedStick, count: int, units: UnitSystem) -> str:
    """One stick in words: its length, its cuts in order, and what stays."""
    style = style_for(units)
    whole = format_length(stick.stock, style)
    start = f"{count} alike, {whole} each" if count > 1 else whole
    own = ", your own" if stick.owned else ""
    cuts = "; ".join(cut_words(stick.cuts, units))
    return f"{start}{own}: {cuts}. Offcut {format_length(stick.offcut, style)}."


def cut_words(cuts: Sequence[PlannedCut], units: UnitSystem) -> Iterator[str]:
    """Cuts in order; those of one length and line of the cut list are said together."""
    for (_, length), run in groupby(cuts, lambda cut: (cut.label, round(cut.length, 2))):
        marks = [cut.mark for cut in run]
        kind = marks[0].rpartition(" ")[0]
        if len(marks) > 1 and all(mark.rpartition(" ")[0] == kind for mark in marks):
            names = f"{kind} {', '.join(mark.rpartition(' ')[2] for mark in marks)}"
        else:
            names = ", ".join(marks)
        each = " each" if len(marks) > 1 else ""
        yield f"{names} {format_length(length, style_for(units))}{each}"


def compared_words(row: CompareRow, value: float | None, units: UnitSystem, currency: str) -> str:
    """One side of a compared row."""
    if value is None:
        return NOTHING
    match row.kind:
        case "money":
            return money_words(Decimal(f"{value:.2f}"), currency)
        case "length":
            return format_length(value, style_for(units))
        case "litres":
            return format_volume(value, units)
        case "kg":
            return format_mass(value, units)
        case "share":
            return f"{value:.0%}"
        case _:
            return f"{value:g}"
