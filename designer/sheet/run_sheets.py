"""The sheets of one run: plan and elevation at the larger scale of ISO 5455 that paper allows.

At each scale plan and elevation stand one below the other, sharing their stations, as the paper's
method of projection has it, on the paper held either way; else each has a sheet of its own. Where
even so the whole would come out small, a long reservoir ahead of the run is broken off: the site
plan shows it whole. A run that is longer still goes on over several sheets, from match line to
match line.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace

from designer.analysis import Analysis
from designer.drawing.scales import reductions
from designer.layout.run import RunLayout
from designer.sheet.match_lines import key_plans
from designer.sheet.pages import page_room
from designer.sheet.paper import Paper
from designer.sheet.projection import first_angle
from designer.sheet.run_views import RunViews
from designer.sheet.section_sheets import NO_NUMBERS, Numbers
from designer.sheet.views import EDGE, Fitted, View, fits

_SMALL = 20
"""The reservoir is broken off, and a run cut at match lines, only where the whole would be drawn
smaller than 1 to this: at 1:20 a bucket is as wide as its letter and its numbers need."""


@dataclass(frozen=True)
class RunSheets:
    """The sheets of a run in order; `broken` says that they do not show the whole reservoir."""

    sheets: tuple[Fitted, ...]
    broken: bool = False

    @property
    def parted(self) -> bool:
        """Whether the run goes on from sheet to sheet."""
        return any(sheet.key is not None for sheet in self.sheets)


def run_sheets(
    analysis: Analysis, layout: RunLayout, paper: Paper, numbers: Numbers = NO_NUMBERS
) -> RunSheets:
    """Sheets with plan and elevation at the largest scale that fits. `numbers` are those of the
    list of parts, by part id; balloons bear them."""
    papers = (paper, paper.turned)
    for scale in reductions():
        made = RunViews(analysis, layout, scale, first_angle(paper), numbers)
        whole = _arranged(made.views(None), scale, papers)
        if whole:
            return RunSheets(tuple(map(made.numbered, whole)))
        if scale < _SMALL:
            continue
        for sheet in papers:
            x = made.break_for(sheet)
            broken = _arranged(made.views(x), scale, (sheet,)) if x is not None else ()
            if broken:
                return RunSheets(tuple(map(made.numbered, broken)), broken=True)
        lying, standing = sorted(papers, key=lambda sheet: sheet.height)
        parted = [_parted(made, scale, sheet) for sheet in (lying, standing)]
        if any(parted):
            fewest = min(filter(None, parted), key=len)
            return RunSheets(tuple(made.numbered(fitted, fitted.key) for fitted in fewest))
    raise AssertionError("the series of scales has no end")


def _parted(made: RunViews, scale: int, sheet: Paper) -> tuple[Fitted, ...]:
    """The sheets of all parts of a long run from the capped end on; nothing where they do not go
    on a paper as it is held."""
    width = (page_room(sheet).width - 2 * EDGE) * scale
    sheets: list[Fitted] = []
    for plan in reversed(key_plans(made.frame_box, made.joints, width, scale)):
        found = _arranged(made.part(plan), scale, (sheet,))
        if not found:
            return ()
        sheets += (replace(fitted, key=plan) for fitted in found)
    # What has the same views follows each other: a section of the file is one stretch of sheets.
    shown = [tuple(name for name, _ in fitted.views) for fitted in sheets]
    order = sorted(range(len(sheets)), key=lambda i: shown.index(shown[i]))
    return tuple(sheets[i] for i in order)


def _arranged(views: list[View], scale: int, papers: Iterable[Paper]) -> tuple[Fitted, ...]:
    """The views on one sheet or, where that is too small, on one each, the plan first; nothing
    where neither."""
    for sheet in papers:
        if fits(views, scale, sheet):
            return (Fitted(sheet, scale, views),)
    for sheet in papers:
        if all(fits([view], scale, sheet) for view in views):
            apart = sorted(views, key=lambda view: view[0] != "Plan")
            return tuple(Fitted(sheet, scale, [view]) for view in apart)
    return ()
