"""Each stick drawn with its cuts in order, and the spares to buy."""

from collections.abc import Sequence

from reportlab.platypus import Flowable

from designer.analysis import Analysis
from designer.sheet.pages import (
    SMALL,
    SUBHEAD,
    SheetPage,
    flow_pages,
    gap,
    paragraph,
    table,
    text_page_room,
)
from designer.sheet.paper import POINTS_PER_MM, Paper
from designer.sheet.pen import DASHED, LEAST_TEXT, NARROW, Pen, text_width, wrapped
from designer.sheet.tagging import artifact, marked
from designer.sheet.words import amount, length
from designer.takeoff.lines import buy_text, proof_text
from designer.takeoff.materials import Material, materials, stick_text
from designer.takeoff.sticks import PartPlan, PlannedStick, StockPlan
from designer.units import UnitSystem

SECTION = "Cutting"
_BAR = 5.0
_LINE = 3.3
_SIZE = 7.5


def cutting_pages(analysis: Analysis, plan: StockPlan, paper: Paper) -> list[SheetPage]:
    """The stock plan, stick by stick, and the spares; none where nothing is cut."""
    units = analysis.design.units
    wide = text_page_room(paper).width
    blocks = [_part(part, plan, units, wide) for part in plan.parts]
    spares = [m for m in materials(analysis, plan) if m.spare > 0 and m.measure != "litres"]
    if spares:
        blocks.append(_spares(spares, units))
    return flow_pages(SECTION, blocks, paper) if blocks else []


def _spares(lines: Sequence[Material], units: UnitSystem) -> list[Flowable]:
    rows = [
        (line.name, amount((line.spare, line.measure), units), buy_text(line, units))
        for line in lines
    ]
    return [
        paragraph("Spares", SUBHEAD),
        paragraph("Small things that split, get lost or are cut wrong.", SMALL),
        gap(1.5),
        table(("What", "Spare", "Buy in all"), rows, (100, 40, 40), right=(1, 2)),
        gap(4),
    ]


def _part(part: PartPlan, plan: StockPlan, units: UnitSystem, wide: float) -> Sequence[Flowable]:
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
    for number, stick in enumerate(part.sticks, 1):
        made.append(StickDrawing(number, stick, plan, units, (wide, longest)))
    for cut in part.unplaced:
        size = length(cut.length, units)
        made.append(paragraph(f"{cut.mark}, {size}, is longer than any stick: join it.", SMALL))
    return [*made, gap(4)]


class StickDrawing(Flowable):  # type: ignore[misc]  # reportlab has no types
    """One stick to the scale of the longest of its kind: its words, then a bar with the cuts."""

    def __init__(
        self,
        number: int,
        stick: PlannedStick,
        plan: StockPlan,
        units: UnitSystem,
        size: tuple[float, float],
    ) -> None:
        super().__init__()
        self.stick, self.plan = stick, plan
        self.wide, longest = size
        self.scale = self.wide / longest
        owned = "own offcut, " if stick.owned else ""
        cuts = ", ".join(f"{cut.mark} {length(cut.length, units)}" for cut in stick.cuts)
        words = f"{number}. {owned}{stick_text(stick.stock, units)}: {cuts}; "
        words += f"offcut {length(stick.offcut, units)}"
        self.lines = wrapped(words, _SIZE + 0.5, self.wide)
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
                pen.text(0, y, line, _SIZE + 0.5)
                y -= _LINE
        with artifact(self.canv):  # the words have told it
            self._draw_bar(pen, scale)

    def _draw_bar(self, pen: Pen, scale: float) -> None:
        low, high = 2.5, 2.5 + _BAR
        at = self.plan.trim
        for cut in self.stick.cuts:
            end = at + cut.length
            _box(pen, at * scale, low, end * scale, high)
            if text_width(cut.mark, LEAST_TEXT) < cut.length * scale - 1:
                middle = (at + end) / 2 * scale
                pen.text(middle, low + 1.6, cut.mark, LEAST_TEXT, align="centre")
            at = end + self.plan.kerf
        if self.stick.offcut * scale > 0.3:
            left = (self.stick.stock - self.stick.offcut - self.plan.trim) * scale
            _box(pen, left, low, self.stick.stock * scale, high, DASHED)
            if text_width("offcut", LEAST_TEXT) < self.stick.offcut * scale - 1:
                middle = (left + self.stick.stock * scale) / 2
                pen.text(middle, low + 1.6, "offcut", LEAST_TEXT, align="centre")


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
