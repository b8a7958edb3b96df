"""What to buy: materials with spares, consumables and tools, each by its shop department.

Counts come from the bill of materials, sticks from the stock plan. Ids stay the same from design
to design, so that a price book can name them.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import ceil
from typing import Literal

from designer.analysis import Analysis
from designer.model.parts import HoleSawPart
from designer.takeoff.media import medium_needs
from designer.takeoff.quantities import Amount, Item, take_off, timer_item
from designer.takeoff.sticks import StockPlan
from designer.units import LengthStyle, UnitSystem, format_length

Department = Literal["plumbing", "timber", "masonry", "garden", "electrical", "hardware"]
DEPARTMENTS: tuple[Department, ...] = (
    "plumbing", "timber", "masonry", "garden", "electrical", "hardware",
)  # fmt: skip
Role = Literal["material", "consumable", "tool"]

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


@dataclass(frozen=True, slots=True)
class BuyOptions:
    """What else is bought. `spare_percent` of small parts and tubes, at least one of each;
    `lids` and `liner_bags` for each bucket."""

    spare_percent: float = 5.0
    lids: bool = True
    liner_bags: bool = True


@dataclass(frozen=True, slots=True)
class Material:
    """One line to buy.

    `needed` is what the drawing needs and `spare` what is bought beyond it, both in `measure`
    (pieces, mm, litres). `stick` is the length in mm of each piece where sticks are bought. `mass`
    is the dry mass in kg of a medium with its spare, 0 for anything else.
    """

    id: str
    name: str
    department: Department
    needed: float
    spare: float
    measure: Literal["pieces", "length", "litres"]
    why: str
    role: Role = "material"
    stick: float = 0.0
    mass: float = 0.0

    @property
    def to_buy(self) -> float:
        """What is needed and the spare."""
        return self.needed + self.spare


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
        *_extras(analysis, options),
        *_consumables(analysis),
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
        amount: Amount = (total, item.amounts[0][1])
        spare = _spare(amount, options) if kind in _SPARED_KINDS else 0.0
        department = _DEPARTMENT_OF_KIND.get(kind, _OTHERS.get(item.id, "plumbing"))
        measure: Literal["pieces", "length"] = "length" if amount[1] == "length" else "pieces"
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
            mass=need.to_buy / 1000 * need.medium.bulk_density,
        )


def _kind(analysis: Analysis, item_id: str) -> str:
    part = analysis.catalogue.parts.get(item_id)
    return part.kind if part is not None else ""


def _spare(amount: Amount, options: BuyOptions) -> float:
    share = amount[0] * options.spare_percent / 100
    if amount[1] == "length":
        return share
    return max(1.0, float(ceil(share - 1e-9))) if share > 0 else 0.0


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


def _extras(analysis: Analysis, options: BuyOptions) -> Iterator[Material]:
    count = float(len(analysis.places))
    if not count:
        return
    if options.lids:
        why = "one to a bucket, cut out for the plant; keeps light and insects off the medium"
        yield Material("bucket-lid", "Bucket lid", "hardware", count, 0.0, "pieces", why)
    if options.liner_bags:
        why = "one to a bucket; keeps the medium out of the outlet (common practice, no source)"
        yield Material("liner-bag", "Mesh liner bag", "garden", count, 0.0, "pieces", why)
    ties = 2 * count
    yield Material(
        "cable-tie",
        "Cable tie",
        "hardware",
        ties,
        _spare((ties, "pieces"), options),
        "pieces",
        "two to a bucket: one holds the manifold, one the feed tube (common practice, no source)",
    )
    timer = timer_item(analysis)
    if timer is not None:
        yield Material(timer.id, timer.name, "electrical", 1.0, 0.0, "pieces", timer.why)


def _consumables(analysis: Analysis) -> Iterator[Material]:
    if analysis.places:
        for item, name, why in (
            ("marker", "Marker pen", "writes the labels of the cut list on each piece"),
            ("tape", "Adhesive tape", "holds the drill templates while you mark the holes"),
            ("abrasive", "Abrasive paper", "takes the burr off cut pipe and drilled holes"),
        ):
            yield Material(item, name, "hardware", 1.0, 0.0, "pieces", why, "consumable")


def tools(analysis: Analysis) -> Iterator[Material]:
    """The tools that building and running a bed takes."""

    def tool(item: str, name: str, why: str) -> Material:
        return Material(item, name, "hardware", 1.0, 0.0, "pieces", why, "tool")

    with_buckets = [layout for layout in analysis.runs if layout.places]
    saws: dict[HoleSawPart, list[str]] = {}
    for layout in with_buckets:
        for saw, use in (
            (layout.parts.outlet_saw, "the grommet's hole in each bucket"),
            (layout.parts.drain_saw, "the hole in the drain under each tail"),
        ):
            uses = saws.setdefault(saw, [])
            if use not in uses:
                uses.append(use)
    for saw, uses in sorted(saws.items(), key=lambda pair: pair[0].diameter):
        yield tool(saw.id, saw.name, f"cuts {' and '.join(uses)}")
    bits = {layout.parts.barb.hole_diameter for layout in with_buckets}
    for bit in sorted(b for b in bits if b > 0):
        size = format_length(bit, LengthStyle.MM, places=1)
        yield tool(f"drill-{bit:g}-mm", f"{size} drill bit", "drills the manifold for each barb")
    if with_buckets:
        yield tool("drill", "Drill and arbor", "turns the hole saws at low speed")
        yield tool("clamp", "Clamp", "holds bucket and pipe while you drill")
        yield tool("eye-protection", "Safety glasses", "for drilling and sawing")
        yield tool("dust-mask", "Dust mask", "wet dry medium before you pour it, and wear a mask")
    if analysis.runs:
        yield tool("saw", "Saw for pipe and timber", "cuts the pipe and the rails")
        yield tool("tape-measure", "Tape measure", "marks the cut list and the supports")
        yield tool("level", "Spirit level", "sets the rails and the drain's fall")
        yield tool("string-line", "String line and pegs", "sets out the run and the supports")
    if analysis.reservoir is not None:
        if analysis.reservoir.reservoir.sunk > 0:
            yield tool("spade", "Spade", "digs the reservoir's hole")
        yield tool("jug", "Measuring jug and watch", "measure the flow of a bucket")
        yield tool("ec-meter", "EC meter", "reads the strength of the solution")
        yield tool("ph-meter", "pH meter or test drops", "reads the pH of the solution")
        yield tool("thermometer", "Thermometer", "reads the temperature of the solution")


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
