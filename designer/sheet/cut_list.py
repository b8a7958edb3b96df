"""The cut list: every piece of pipe and board by its finished length."""

from designer.analysis import Analysis
from designer.sheet.pages import SMALL, SheetPage, flow_pages, gap, paragraph, table
from designer.sheet.paper import Paper
from designer.sheet.steps.drain import return_path_note
from designer.sheet.words import length
from designer.takeoff.pieces import cut_list

SECTION = "Cut list"


def cut_list_pages(analysis: Analysis, paper: Paper) -> list[SheetPage]:
    """The pieces, run by run; no page where nothing is cut."""
    units = analysis.design.units
    rows = [
        (piece.part, length(piece.length, units), str(piece.count), piece.use)
        for piece in cut_list(analysis)
    ]
    if not rows:
        return []
    bends = filter(None, map(return_path_note, analysis.runs))
    words = "Finished lengths. The Cutting pages draw which stick each piece comes from."
    note = paragraph(" ".join([words, *list(bends)[:1]]), SMALL)
    pieces = table(("From", "Length", "Pieces", "For"), rows, (52, 26, 18, 84), right=(1, 2))
    return flow_pages(SECTION, [[note, gap(1.5), pieces]], paper)
