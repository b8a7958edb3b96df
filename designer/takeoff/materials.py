"""What to buy: materials with spares, consumables and tools, each by its shop department.

Counts come from the bill of materials, sticks from the stock plan. Ids stay the same from design
to design, so that a price book can name them.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import Literal

from designer.analysis import Analysis
from designer.takeoff.extras import consumables, extras
from designer.takeoff.material import DEPARTMENTS, BuyOptions, Department, Material, Role
from designer.takeoff.media import medium_needs
from designer.takeoff.quantities import Item, take_off
from designer.takeoff.sticks import StockPlan
from designer.takeoff.tools import tools
from designer.units import LengthStyle, UnitSystem, format_length

_DEPARTMENT_OF_KIND: Mapping[str, Department] = {
    "bucket": "hardware",
    "pipe": "plumbing",
    "elbow": "plumbing",
    "grommet": "plumbing",
    "cap": "plumbing",
    "tube": "garden",
    "barb": "garden",
    "plug": "garden",
    "emitter": "garden",
    "medium": "garden",
    "board": "timber",
    "block": "masonry",
    "reservoir": "hardware",
    "pump": "electrical",
    "hole_saw": "hardware",
}
_OTHERS: Mapping[str, Department] = dict.fromkeys(("packing", "shims", "rail-shims"), "timber")
"""What the catalogue does not hold and is not for the pipes."""
_SPARED_KINDS = {"elbow", "grommet", "tube", "barb", "plug", "emitter"}
"""Small things that split, get lost or are cut wrong: these are bought with spares."""


def materials(
    analysis: Analysis, plan: StockPlan, options: BuyOptions | None = None
) -> tuple[Material, ...]:
    """Everything to buy, by department: materials, then consumables, then tools."""
    options = options or BuyOptions()
    if not analysis.runs and analysis.reservoir is None:
        return ()
    lines = [
        *_from_the_bill(analysis, plan, options),
        *_sticks(analysis, plan),
        *extras(analysis, options),
        *consumables(analysis),
        *tools(analysis),
    ]
    roles: tuple[Role, ...] = ("material", "consumable", "tool")
    return tuple(
        sorted(lines, key=lambda m: (DEPARTMENTS.index(m.department), roles.index(m.role)))
    )


def _from_the_bill(analysis: Analysis, plan: StockPlan, options: BuyOptions) -> Iterator[Material]:
    """The counted lines, without what is cut from sticks and with each part on one line."""
    cut = {part.part_id for part in plan.parts}
    joined: dict[str, tuple[Item, float]] = {}
    for item in take_off(analysis, plan.sold).items:
        if item.id not in cut and item.heading != "Medium":
            _, before = joined.get(item.id, (item, 0.0))
            joined[item.id] = (item, before + item.amounts[0][0])
    for item, total in joined.values():
        kind = _kind(analysis, item.id)
        measure: Literal["pieces", "length"] = (
            "length" if item.amounts[0][1] == "length" else "pieces"
        )
        spare = options.spare(total, measure) if kind in _SPARED_KINDS else 0.0
        department = _DEPARTMENT_OF_KIND.get(kind, _OTHERS.get(item.id, "plumbing"))
        yield Material(item.id, item.name, department, total, spare, measure, item.why)
    for need in medium_needs(analysis):
        yield Material(
            need.medium.id,
            need.medium.name,
            "garden",
            need.filled,
            need.to_buy - need.filled,
            "litres",
            "fills every bucket to the depth of the design; more is poured, for it settles",
            mass=need.dry_mass,
        )


def _kind(analysis: Analysis, item_id: str) -> str:
    part = analysis.catalogue.parts.get(item_id)
    return part.kind if part is not None else ""


def _sticks(analysis: Analysis, plan: StockPlan) -> Iterator[Material]:
    for part in plan.parts:
        department = _DEPARTMENT_OF_KIND[_kind(analysis, part.part_id)]
        for length, count in part.bought_lengths:
            yield Material(
                part.part_id,
                f"{part.part}, {stick_text(length, analysis.design.units)}",
                department,
                float(count),
                0.0,
                "pieces",
                "cut as shown under Cutting",
                stick=length,
            )


def stick_text(length: float, units: UnitSystem) -> str:
    """What a stick is called by its length: "3000 mm stick"."""
    style = LengthStyle.MM if units == "metric" else LengthStyle.FEET_INCHES
    return f"{format_length(length, style)} stick"


def item_numbers(lines: Sequence[Material]) -> dict[str, int]:
    """The number of each part in the list, by its id, from 1: balloons on the drawings bear it.

    Lines of one part, as where it is bought in sticks of two lengths, share a number.
    """
    return {item: number for number, item in enumerate(dict.fromkeys(m.id for m in lines), 1)}


def shopping_list(lines: tuple[Material, ...]) -> dict[Department, tuple[Material, ...]]:
    """The lines of each department that has any, in the order one walks the shop."""
    return {
        department: found
        for department in DEPARTMENTS
        if (found := tuple(line for line in lines if line.department == department))
    }
