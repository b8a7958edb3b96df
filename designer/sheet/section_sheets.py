"""The sheets of sections: a run's cross-section, its return end and the detail of a tail.

Each is drawn at the largest scale of ISO 5455 at which a sheet holds it. Runs whose drawings would
read the same share them.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence

from designer.analysis import Analysis
from designer.drawing.balloons import balloon_records
from designer.drawing.part_places import PartPlace, return_parts, section_parts
from designer.drawing.records import Group, Record, Text, extent
from designer.drawing.return_end import return_end_groups
from designer.drawing.return_plane import return_end_of
from designer.drawing.scales import reductions
from designer.drawing.section import section_groups
from designer.drawing.section_dimensions import return_dimension_groups, section_dimension_groups
from designer.drawing.section_plane import plane_letters, section_of
from designer.drawing.tail_detail import tail_detail_groups
from designer.layout.run import RunLayout
from designer.sheet.cells import Cell, CellSheet, cells_sheet
from designer.sheet.paper import Paper
from designer.sheet.views import legible, records_of

_DETAIL = (1, 2, 5)
"""Scales for the detail, the best first: mm of the thing to 1 mm of paper."""
Numbers = Mapping[str, int]
"""The number of each part in the list of parts, by its id."""
NO_NUMBERS: Numbers = {}
Maker = Callable[[Analysis, RunLayout, Numbers, int], Cell | None]
"""Makes a view at a scale; None where there is nothing to draw."""


def section_sheets(
    analysis: Analysis, paper: Paper, numbers: Numbers
) -> list[tuple[CellSheet, list[RunLayout]]]:
    """The sheets in the order of the runs, each with the runs it stands for."""
    found: dict[object, tuple[list[CellSheet], list[RunLayout]]] = {}
    for layout in analysis.runs:
        sheets = run_section_sheets(analysis, layout, paper, numbers)
        _, alike = found.setdefault(_reads(sheets), (sheets, []))
        alike.append(layout)
    return [(sheet, runs) for sheets, runs in found.values() for sheet in sheets]


def run_section_sheets(
    analysis: Analysis, layout: RunLayout, paper: Paper, numbers: Numbers
) -> list[CellSheet]:
    """The sheets of one run; none where it has neither bucket nor outfall."""
    lying, standing = sorted((paper, paper.turned), key=lambda sheet: sheet.height)
    papers = (lying, standing)
    sheets: list[CellSheet] = []
    for made in (_section, _return_end):
        best = _largest(made, analysis, layout, numbers, papers)
        if best is not None and not _joined(sheets, [best.cells[0]], papers):
            sheets.append(best)
    if section_of(analysis, layout.run.id) is not None:
        coarsest = sheets[0].scale
        details = [_detail(analysis, layout, s) for s in _DETAIL if s < coarsest] or [
            _detail(analysis, layout, 1)
        ]
        if not _joined(sheets, details, papers):
            alone = (cells_sheet([detail], papers) for detail in details)
            sheets += [next(sheet for sheet in alone if sheet is not None)]
    return sheets


def _largest(
    made: Maker,
    analysis: Analysis,
    layout: RunLayout,
    numbers: Numbers,
    papers: Sequence[Paper],
) -> CellSheet | None:
    """A view alone on a sheet, as large as can be; None where there is nothing to draw."""
    for scale in reductions():
        # Balloons keep within their view, so they are only placed where it fits.
        bare = made(analysis, layout, NO_NUMBERS, scale)
        if bare is None:
            return None
        if cells_sheet([bare], papers) is not None:
            cell = made(analysis, layout, numbers, scale)
            return cells_sheet([cell], papers) if cell is not None else None
    raise AssertionError("the series of scales has no end")


def _joined(sheets: list[CellSheet], cells: Iterable[Cell], papers: Sequence[Paper]) -> bool:
    """Put the first of some cells for which a sheet has room on that sheet; whether one had."""
    for cell in cells:
        for i, sheet in enumerate(sheets):
            fuller = cells_sheet([*sheet.cells, cell], papers)
            if fuller is not None:
                sheets[i] = fuller
                return True
    return False


def _section(analysis: Analysis, layout: RunLayout, numbers: Numbers, scale: int) -> Cell | None:
    section = section_of(analysis, layout.run.id)
    if section is None:
        return None
    drawn = section_groups(analysis, layout.run.id, scale)
    sizes = section_dimension_groups(analysis, layout.run.id, scale)
    letter = plane_letters(layout)[0]
    records = _with_balloons([*drawn, *sizes], section_parts(section), numbers, scale)
    return Cell(f"Section {letter}–{letter}", scale, records, "seen from the outlet end")


def _return_end(analysis: Analysis, layout: RunLayout, numbers: Numbers, scale: int) -> Cell | None:
    end = return_end_of(analysis, layout.run.id)
    if end is None:
        return None
    drawn = return_end_groups(analysis, layout.run.id, scale)
    sizes = return_dimension_groups(analysis, layout.run.id, scale)
    letter = plane_letters(layout)[1]
    records = _with_balloons([*drawn, *sizes], return_parts(end), numbers, scale)
    return Cell(f"Return end {letter}–{letter}", scale, records, "cut along the end of the drain")


def _detail(analysis: Analysis, layout: RunLayout, scale: int) -> Cell:
    groups = tail_detail_groups(analysis, layout.run.id, scale)
    letter = plane_letters(layout)[2]
    return Cell(f"Detail {letter}", scale, legible(records_of(groups), scale))


def _with_balloons(
    groups: Sequence[Group], parts: Sequence[PartPlace], numbers: Numbers, scale: int
) -> list[Record]:
    records = legible(records_of(groups), scale)
    return records + balloon_records(parts, numbers, records, scale, extent(records))


def _reads(sheets: Sequence[CellSheet]) -> object:
    """What the words of sheets say, the letters of buckets apart."""
    return tuple(
        (
            cell.name,
            cell.scale,
            *sorted(r.text for r in cell.records if isinstance(r, Text) and r.style != "letter"),
        )
        for sheet in sheets
        for cell in sheet.cells
    )
