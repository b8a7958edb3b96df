"""The cut list and the bill of materials."""

from itertools import groupby

from reportlab.platypus import Flowable

from designer.analysis import Analysis
from designer.sheet.pages import SMALL, SUBHEAD, SheetPage, flow_pages, gap, paragraph, table
from designer.sheet.paper import Paper
from designer.sheet.words import amount, length
from designer.takeoff.quantities import Takeoff
from designer.units import UnitSystem

SECTION = "Materials"


def material_pages(analysis: Analysis, takeoff: Takeoff, paper: Paper) -> list[SheetPage]:
    """The bill of materials by heading, then the cut list by part."""
    units = analysis.design.units
    blocks = []
    if takeoff.items:
        blocks.append(_bill(takeoff, units))
    if takeoff.pieces:
        blocks.append(_cuts(takeoff, units))
    return flow_pages(SECTION, blocks, paper) if blocks else []


def _bill(takeoff: Takeoff, units: UnitSystem) -> list[Flowable]:
    parts: list[Flowable] = [
        paragraph("Bill of materials, by count", SUBHEAD),
        paragraph(
            "What the drawing needs, without spares or waste. Buy pipe, tube and boards with room "
            "for saw cuts.",
            SMALL,
        ),
        gap(1.5),
    ]
    rows = []
    for heading, items in groupby(takeoff.items, key=lambda item: item.heading):
        for index, item in enumerate(items):
            amounts = "\n".join(amount(a, units) for a in item.amounts)
            rows.append((heading if index == 0 else "", item.name, amounts, item.why))
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
