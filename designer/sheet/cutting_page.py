"""Each stick drawn with its cuts in order, those cut alike once."""

from collections.abc import Iterator, Mapping, Sequence
from itertools import groupby

from reportlab.platypus import Flowable

from designer.analysis import Analysis
from designer.sheet.pages import (
    SMALL,
    SUBHEAD,
    SheetPage,
    flow_pages,
    gap,
    paragraph,
    text_page_room,
)
from designer.sheet.paper import POINTS_PER_MM, Paper
from designer.sheet.pen import DASHED, LEAST_TEXT, NARROW, Pen, text_width, wrapped
from designer.sheet.tagging import artifact, marked
from designer.sheet.words import length
from designer.takeoff.lines import proof_text
from designer.takeoff.materials import stick_text
from designer.takeoff.pieces import cut_list
from designer.takeoff.sticks import PartPlan, PlannedCut, PlannedStick, StockPlan, cut_alike
from designer.units import UnitSystem

SECTION = "Cutting"
MarkOrder = Mapping[str, int]
"""The place of each mark in its line of the cut list."""
_STOCK = (
    "From new sticks, as long as the page Measure yours says. With sticks, offcuts or a saw of "
    "your own, type them under Take-off, Cutting in the program and go by the cuts shown there."
)
_BAR = 5.0
_LINE = 3.3
_SIZE = 7.5


def cutting_pages(analysis: Analysis, plan: StockPlan, paper: Paper) -> list[SheetPage]:
    """The stock plan, stick by stick; none where nothing is cut."""
    units = analysis.design.units
    wide = text_page_room(paper).width
    order = {
        mark: place
        for piece in cut_list(analysis, plan.sold)
        for place, mark in enumerate(piece.marks)
    }
    if not plan.parts:
        return []
    blocks: list[Sequence[Flowable]] = [[paragraph(_STOCK), gap(3)]]
    blocks += [_part(part, plan, order, units, wide) for part in plan.parts]
    return flow_pages(SECTION, blocks, paper)


def _part(
    part: PartPlan, plan: StockPlan, order: MarkOrder, units: UnitSystem, wide: float
) -> Sequence[Flowable]:
    longest = max((stick.stock for stick in part.sticks), default=1.0)
    proof = proof_text(part)
    made: list[Flowable] = [
        paragraph(part.part, SUBHEAD),
        paragraph(
            f"{proof[:1].upper()}{proof[1:]}. Cut from the left end on; each saw cut takes "
            f"{length(plan.kerf, units)}.",
            SMALL,
        ),
        gap(1.5),
    ]
    number = 1
    for sticks in cut_alike(part.sticks):
        words = group_words(number, sticks, order, units)
        made.append(StickDrawing(words, sticks, plan, (wide, longest)))
        number += len(sticks)
    for cut in part.unplaced:
        size = length(cut.length, units)
        made.append(paragraph(f"{cut.mark}, {size}, is longer than any stick: join it.", SMALL))
    return [*made, gap(4)]


def group_words(
    number: int, sticks: Sequence[PlannedStick], order: MarkOrder, units: UnitSystem
) -> list[str]:
    """Sticks that are cut alike, the first of them the `number`th: their length and offcut, and
    what to write on the pieces, in lines of their own where that differs."""
    first, count = sticks[0], len(sticks)
    stock = f"{'own offcut, ' if first.owned else ''}{stick_text(first.stock, units)}"
    offcut = f"offcut {length(first.offcut, units)}"
    said = [", ".join(cuts_words(stick.cuts, order, units)) for stick in sticks]
    if count == 1:
        return [f"{number}. {stock}: {said[0]}; {offcut}"]
    head = f"{_numbers(number, count)}. {count} × {stock}"
    if len(set(said)) == 1:
        return [f"{head}, each {said[0]}; {offcut} each"]
    lines = [f"{head}, cut alike; {offcut} each"]
    for words, same in groupby(said):
        alike = len(list(same))
        each = "each " if alike > 1 else ""
        lines.append(f"{_numbers(number, alike)}: {each}{words}")
        number += alike
    return lines


def _numbers(first: int, count: int) -> str:
    return str(first) if count == 1 else f"{first} to {first + count - 1}"


def cuts_words(cuts: Sequence[PlannedCut], order: MarkOrder, units: UnitSystem) -> Iterator[str]:
    """Cuts of one stick in order; three or more in a row that follow each other in the cut list
    are said together: "Tail A to F 83 mm each"."""
    runs: list[list[PlannedCut]] = []
    for cut in cuts:
        last = runs[-1][-1] if runs else None
        follows = (
            last is not None
            and last.label == cut.label
            and order.get(cut.mark) == order.get(last.mark, 0) + 1
        )
        if follows:
            runs[-1].append(cut)
        else:
            runs.append([cut])
    for run in runs:
        size = length(run[0].length, units)
        if len(run) > 2:
            yield f"{run[0].mark} to {run[-1].mark.rpartition(' ')[2]} {size} each"
        else:
            yield from (f"{cut.mark} {size}" for cut in run)


class StickDrawing(Flowable):  # type: ignore[misc]  # reportlab has no types
    """Sticks cut alike to the scale of the longest of their part: words, then one bar with the
    cuts. A piece is named in the bar where there is room, by its kind where the marks differ."""

    def __init__(
        self,
        words: Sequence[str],
        sticks: Sequence[PlannedStick],
        plan: StockPlan,
        size: tuple[float, float],
    ) -> None:
        super().__init__()
        self.stick, self.plan = sticks[0], plan
        self.wide, longest = size
        self.scale = self.wide / longest
        self.names = [_common(marks) for marks in zip(*_marks(sticks), strict=True)]
        self.lines = [line for words in words for line in wrapped(words, _SIZE + 0.5, self.wide)]
        self.tall = len(self.lines) * _LINE + _BAR + 4.0

    def wrap(self, _width: float, _height: float) -> tuple[float, float]:
        """Its size in points."""
        return self.wide * POINTS_PER_MM, self.tall * POINTS_PER_MM

    def draw(self) -> None:
        """The words above the bar; a piece too short for its mark stands without it there."""
        pen, scale = Pen(self.canv), self.scale
        self.canv.setFillGray(0)
        y = self.tall - _LINE
        with marked(self.canv, "P"):
            for line in self.lines:
                pen.text(0, y, line + " ", _SIZE + 0.5)
                y -= _LINE
        with artifact(self.canv):  # the words have told it
            self._draw_bar(pen, scale)

    def _draw_bar(self, pen: Pen, scale: float) -> None:
        low, high = 2.5, 2.5 + _BAR
        at = self.plan.trim
        for cut, name in zip(self.stick.cuts, self.names, strict=True):
            end = at + cut.length
            _box(pen, at * scale, low, end * scale, high)
            if text_width(name, LEAST_TEXT) < cut.length * scale - 1:
                middle = (at + end) / 2 * scale
                pen.text(middle, low + 1.6, name, LEAST_TEXT, align="centre")
            at = end + self.plan.kerf
        if self.stick.offcut * scale > 0.3:
            left = (self.stick.stock - self.stick.offcut - self.plan.trim) * scale
            _box(pen, left, low, self.stick.stock * scale, high, DASHED)
            if text_width("offcut", LEAST_TEXT) < self.stick.offcut * scale - 1:
                middle = (left + self.stick.stock * scale) / 2
                pen.text(middle, low + 1.6, "offcut", LEAST_TEXT, align="centre")


def _marks(sticks: Sequence[PlannedStick]) -> list[list[str]]:
    return [[cut.mark for cut in stick.cuts] for stick in sticks]


def _common(marks: Sequence[str]) -> str:
    return marks[0] if len(set(marks)) == 1 else marks[0].partition(" ")[0]


def _box(
    pen: Pen, left: float, low: float, right: float, high: float, dash: Sequence[float] = ()
) -> None:
    for x1, y1, x2, y2 in (
        (left, low, right, low),
        (right, low, right, high),
        (right, high, left, high),
        (left, high, left, low),
    ):
        pen.line(x1, y1, x2, y2, NARROW, dash)
