"""The running card as one page to hang up beside the bed."""

from collections.abc import Sequence

from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Flowable

from designer.analysis import Analysis
from designer.sheet.pages import (
    BODY,
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
from designer.sheet.steps.step import PRACTICE

_ARRANGEMENTS = (
    *((size, rows) for size in (10.5, 10.0, 9.5, 9.0, 8.5) for rows in (14, 10, 7, 5, 4)),
    *((size, 0) for size in (9.5, 9.0, 8.5, 8.0, 7.5, 7.0)),
)
"""Size of the words in points and empty rows of the log, the best first."""


def card_pages(analysis: Analysis, paper: Paper) -> list[SheetPage]:
    """The card, on one page where it can be; no page where there is nothing to run."""
    card = running_card(analysis)
    if card is None:
        return []
    for size, rows in _ARRANGEMENTS:
        pages = flow_pages(SECTION, _blocks(card, size, rows), paper)
        if len(pages) == 1:
            break
    return pages


def _blocks(card: RunningCard, size: float, rows: int) -> list[Sequence[Flowable]]:
    style = ParagraphStyle(f"card {size}", BODY, fontSize=size, leading=1.28 * size)
    blocks: list[Sequence[Flowable]] = [
        _lines("Every day", card.timer, style),
        _crops(card),
        _lines("The solution", card.solution, style),
        _lines("When the power is cut", card.power_cut, style),
        _lines("Every week", card.weekly, style),
        _lines("Every month", card.monthly, style),
        [paragraph(f"* {PRACTICE}.", SMALL), gap(1.6)],
    ]
    if rows:
        heads = ("Date", "EC", "pH", "Temperature", "Topped up", "Seen, done")
        empty = [(gap(4.0), *[""] * (len(heads) - 1)) for _ in range(rows)]
        log = table(heads, empty, (26, 18, 18, 28, 26, 64), cell=CELL)
        blocks.append([paragraph("Log", SUBHEAD), gap(0.8), log])
    return blocks


def _lines(title: str, lines: Sequence[CardLine], style: ParagraphStyle) -> list[Flowable]:
    made: list[Flowable] = [paragraph(title, SUBHEAD)]
    for line in lines:
        source = f" ({line.source})" if line.source else ""
        if line.source == PRACTICE:
            source = " *"
        made.append(labelled(f"{line.label}:", line.text + source, style))
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
        paragraph(f"Where sources differ, begin in the middle ({PRACTICE}). {sources}.", SMALL),
        gap(1.6),
    ]
