"""The cut list and the bill of materials."""

from itertools import groupby

from reportlab.platypus import Flowable

from designer.analysis import Analysis
from designer.sheet.pages import SMALL, SUBHEAD, SheetPage, flow_pages, gap, paragraph, table
from designer.sheet.paper import Paper
from designer.sheet.words import amount, count_of, length
from designer.takeoff.quantities import Takeoff, timer_item
from designer.takeoff.sticks import StockPlan
from designer.units import UnitSystem

SECTION = "Materials"
_SIPHON_BREAK = (
    "Drill one small air hole in the tube from the pump, above the full level and inside the "
    "reservoir. It lets air in when the pump stops, so that the water in the manifold does not "
    "siphon back. A little water spurts from it while the pump runs."
)


def material_pages(
    analysis: Analysis, takeoff: Takeoff, plan: StockPlan, paper: Paper
) -> list[SheetPage]:
    """The bill of materials by heading, with the sticks of the stock plan; then the cut list."""
    units = analysis.design.units
    blocks = []
    if takeoff.items:
        blocks.append(_bill(analysis, takeoff, plan))
    if analysis.reservoir is not None and analysis.reservoir.reservoir.siphon_break:
        blocks.append([paragraph("Siphon-break hole", SUBHEAD), paragraph(_SIPHON_BREAK), gap(5)])
    if takeoff.pieces:
        blocks.append(_cuts(takeoff, units))
    return flow_pages(SECTION, blocks, paper) if blocks else []


def _bill(analysis: Analysis, takeoff: Takeoff, plan: StockPlan) -> list[Flowable]:
    units = analysis.design.units
    sticks = {part.part_id: part.bought_lengths for part in plan.parts}
    parts: list[Flowable] = [
        paragraph("Bill of materials, by count", SUBHEAD),
        paragraph(
            "What the drawing needs, without spares. Sticks are counted as they are cut on the "
            "Cutting pages. Buy tube with room for cuts.",
            SMALL,
        ),
        gap(1.5),
    ]
    rows = []
    timer = timer_item(analysis)
    lines = [*takeoff.items, *([timer] if timer else [])]
    for heading, items in groupby(lines, key=lambda item: item.heading):
        for index, item in enumerate(items):
            amounts = "\n".join(amount(a, units) for a in item.amounts)
            why = item.why
            for stick, count in sticks.get(item.id, ()):
                amounts += f"\n{count_of(count, 'stick')}"
                why += f"; sold in sticks of {amount((stick, 'length'), units)}: buy {count}"
            rows.append((heading if index == 0 else "", item.name, amounts, why))
    widths = (32, 48, 28, 72)
    parts.append(table(("For", "What", "How much", "Why"), rows, widths, right=(2,)))
    parts.append(gap(5))
    return parts


def _cuts(takeoff: Takeoff, units: UnitSystem) -> list[Flowable]:
    rows = [
        (piece.part, length(piece.length, units), str(piece.count), piece.use)
        for piece in takeoff.pieces
    ]
    return [
        paragraph("Cut list", SUBHEAD),
        paragraph(
            "Finished lengths. Measure again on the bed before cutting the pieces of the return "
            "path: they run to the corner points, so take off what your elbows add.",
            SMALL,
        ),
        gap(1.5),
        table(("From", "Length", "Pieces", "For"), rows, (52, 26, 18, 84), right=(1, 2)),
        gap(5),
    ]
