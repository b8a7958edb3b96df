"""The running card as one page to hang up beside the bed."""

from collections.abc import Sequence

from reportlab.platypus import Flowable

from designer.analysis import Analysis
from designer.sheet.pages import (
    CELL,
    SMALL,
    SUBHEAD,
    SheetPage,
    flow_pages,
    gap,
    labelled,
    paragraph,
    table,
)
from designer.sheet.paper import Paper
from designer.sheet.steps.card import SECTION, CardLine, RunningCard, running_card


def card_pages(analysis: Analysis, paper: Paper) -> list[SheetPage]:
    """The card; no page where there is nothing to run."""
    card = running_card(analysis)
    if card is None:
        return []
    blocks: list[Sequence[Flowable]] = [
        _lines("Every day", card.timer),
        _crops(card),
        _lines("The solution", card.solution),
        _lines("When the power is cut", card.power_cut),
        _lines("Every week", card.weekly),
        _lines("Every month", card.monthly),
    ]
    return flow_pages(SECTION, blocks, paper)


def _lines(title: str, lines: Sequence[CardLine]) -> list[Flowable]:
    made: list[Flowable] = [paragraph(title, SUBHEAD)]
    for line in lines:
        source = f" ({line.source})" if line.source else ""
        made.append(labelled(f"{line.label}:", line.text + source, CELL))
    return [*made, gap(1.6)]


def _crops(card: RunningCard) -> list[Flowable]:
    """The windows of each crop, and below them who says what."""
    if not card.crops:
        return []
    rows = [(line.crop, line.ec, line.ph) for line in card.crops]
    sources = "; ".join(f"({n}) {source}" for n, source in enumerate(card.sources, 1))
    return [
        paragraph("EC and pH to hold", SUBHEAD),
        gap(0.8),
        table(("Crop", "EC, mS/cm", "pH"), rows, (38, 88, 54)),
        gap(0.6),
        paragraph(f"Where sources differ, begin in the middle. {sources}.", SMALL),
        gap(1.6),
    ]
