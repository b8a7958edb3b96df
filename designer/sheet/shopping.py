"""The shopping list: everything to buy, by department, with a box to tick for each line."""

from collections.abc import Sequence

from reportlab.platypus import Flowable

from designer.analysis import Analysis
from designer.sheet.balloon_links import item_place
from designer.sheet.flowables import Words
from designer.sheet.pages import (
    CELL,
    SMALL,
    SUBHEAD,
    SheetPage,
    flow_pages,
    gap,
    paragraph,
    placed,
    table,
)
from designer.sheet.paper import Paper
from designer.sheet.steps.tick import TickBox
from designer.sheet.words import amount
from designer.takeoff.fill import FillPlan, fill_plan
from designer.takeoff.lines import buy_text
from designer.takeoff.material import DEPARTMENT_WORDS, Material
from designer.takeoff.materials import item_numbers, materials, shopping_list
from designer.takeoff.sticks import StockPlan
from designer.units import UnitSystem, format_bag, format_mass

SECTION = "Shopping list"


def shopping_pages(analysis: Analysis, plan: StockPlan, paper: Paper) -> list[SheetPage]:
    """What to buy, materials before tools in each department; no page for an empty design."""
    bought = materials(analysis, plan)
    departments, numbers = shopping_list(bought), item_numbers(bought)
    if not departments:
        return []
    units, fill = analysis.design.units, fill_plan(analysis)
    blocks: list[Sequence[Flowable]] = [
        [
            paragraph(
                "Counted from this design, with spares of small parts. Sticks are counted as they "
                "are cut in the cut list. Compare sizes in the shop with the page Measure yours. "
                "Tools that you own need not be bought. Numbers are those of the drawings.",
                SMALL,
            ),
            gap(2.5),
        ]
    ]
    named: set[int] = set()

    def number_of(line: Material) -> Words:
        """The number of a part, a place that balloons lead to where it comes first."""
        number = numbers[line.id]
        if number in named:
            return paragraph(str(number), CELL)
        named.add(number)
        return placed(str(number), item_place(number))

    for department, lines in departments.items():
        rows = [
            (TickBox(), number_of(line), line.name, _buy(line, units), _why(line, fill, units))
            for line in lines
        ]
        blocks.append(
            [
                paragraph(DEPARTMENT_WORDS[department], SUBHEAD),
                gap(1.5),
                table(("", "No.", "What", "Buy", "Why"), rows, (9, 10, 57, 26, 78), right=(3,)),
                gap(4),
            ]
        )
    return flow_pages(SECTION, blocks, paper)


def _buy(line: Material, units: UnitSystem) -> str:
    """How much to buy; a number of cubic feet stays on one line with its unit."""
    return buy_text(line, units).replace(" cu ft", "\N{NO-BREAK SPACE}cu\N{NO-BREAK SPACE}ft")


def _why(line: Material, fill: FillPlan, units: UnitSystem) -> str:
    words = "tool: " if line.role == "tool" else ""
    words += line.why
    if line.spare > 0 and line.measure != "litres":
        words += f"; {amount((line.spare, line.measure), units)} of it spare"
    if line.mass > 0:
        words += f"; about {format_mass(line.mass, units)} dry"
    for medium in fill.media:
        if medium.need.medium.id == line.id and medium.bags:
            bags = " and ".join(f"{n} × {format_bag(size, units)}" for size, n in medium.bags)
            words += f"; in bags: {bags}"
    return words
