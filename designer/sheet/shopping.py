"""The shopping list: everything to buy, by department, with a box to tick for each line."""

from collections.abc import Sequence

from reportlab.platypus import Flowable

from designer.analysis import Analysis
from designer.sheet.pages import SMALL, SUBHEAD, SheetPage, flow_pages, gap, paragraph, table
from designer.sheet.paper import Paper
from designer.sheet.steps.tick import TickBox
from designer.sheet.words import amount
from designer.takeoff.fill import FillPlan, fill_plan
from designer.takeoff.lines import DEPARTMENT_WORDS, buy_text
from designer.takeoff.materials import Material, materials, shopping_list
from designer.takeoff.sticks import StockPlan
from designer.units import UnitSystem, format_bag, format_mass

SECTION = "Shopping list"


def shopping_pages(analysis: Analysis, plan: StockPlan, paper: Paper) -> list[SheetPage]:
    """What to buy, materials before tools in each department; no page for an empty design."""
    departments = shopping_list(materials(analysis, plan))
    if not departments:
        return []
    units, fill = analysis.design.units, fill_plan(analysis)
    blocks: list[Sequence[Flowable]] = [
        [
            paragraph(
                "Counted from this design, with spares of small parts. Sticks are counted as they "
                "are cut in the cut list. Compare sizes in the shop with the page Measure yours. "
                "Tools that you own need not be bought.",
                SMALL,
            ),
            gap(2.5),
        ]
    ]
    for department, lines in departments.items():
        rows = [
            (TickBox(), line.name, _buy(line, units), _why(line, fill, units)) for line in lines
        ]
        blocks.append(
            [
                paragraph(DEPARTMENT_WORDS[department], SUBHEAD),
                gap(1.5),
                table(("", "What", "Buy", "Why"), rows, (9, 61, 26, 84), right=(2,)),
                gap(4),
            ]
        )
    return flow_pages(SECTION, blocks, paper)


def _buy(line: Material, units: UnitSystem) -> str:
    return buy_text(line, units)


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
