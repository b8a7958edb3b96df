"""Pens for a drawing that is cut into pieces: one that gathers its ink, one that shows a piece."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager

from reportlab.pdfgen.canvas import Canvas
from shapely.geometry import LinearRing, LineString, Point, box
from shapely.geometry.base import BaseGeometry

from designer.sheet.paper import POINTS_PER_MM
from designer.sheet.pen import NARROW, WIDE, Pen, text_width
from designer.sheet.template_page import Area

_ASCENT, _DESCENT = 0.78, 0.24
"""Of Noto Sans' letters, parts of the size."""


class InkPen(Pen):
    """Draws nothing, but gathers in `ink` what would be drawn: lines, and the boxes of words where
    pieces with these cells show them."""

    def __init__(self, cells: Sequence[Area]) -> None:
        super().__init__(Canvas(""))
        self.ink: list[BaseGeometry] = []
        self._cells = cells

    def line(
        self,
        x1: float,
        y1: float,
        x2: float,
        y2: float,
        width: float = NARROW,
        dash: Sequence[float] = (),
    ) -> None:
        self.ink.append(LineString([(x1, y1), (x2, y2)]))

    def chain(
        self, points: Sequence[tuple[float, float]], width: float = NARROW, *, close: bool = False
    ) -> None:
        self.ink.append(LinearRing(points) if close else LineString(points))

    def circle(self, x: float, y: float, radius: float, width: float = NARROW) -> None:
        self.ink.append(Point(x, y).buffer(radius, quad_segs=32).exterior)

    def arc(
        self, x: float, y: float, radius: float, start: float, sweep: float, width: float = NARROW
    ) -> None:
        turns = [math.radians(start + sweep * i / 48) for i in range(49)]
        self.ink.append(
            LineString([(x + radius * math.cos(t), y + radius * math.sin(t)) for t in turns])
        )

    def text(
        self,
        x: float,
        y: float,
        words: str,
        size: float = 8.0,
        *,
        bold: bool = False,
        align: str = "left",
        upright: bool = False,
    ) -> None:
        area = text_box(x, y, words, size, bold=bold, align=align, upright=upright)
        across, up = _move(area, _cell_of(area, self._cells)) if self._cells else (0.0, 0.0)
        self.ink.append(
            box(area.left + across, area.bottom + up, area.right + across, area.top + up)
        )


class WindowPen(Pen):
    """Shows one piece of a drawing.

    Lines end at the edge of `window` (see :func:`shown`). Words are drawn whole, on the piece in
    whose cell most of them lie, and moved into that cell where they would reach over its joints.
    """

    def __init__(self, canvas: Canvas, window: Area, cell: Area, cells: Sequence[Area]) -> None:
        super().__init__(canvas)
        self.window, self.cell, self.cells = window, cell, cells

    def line(
        self,
        x1: float,
        y1: float,
        x2: float,
        y2: float,
        width: float = NARROW,
        dash: Sequence[float] = (),
    ) -> None:
        if self._meets([(x1, y1), (x2, y2)]):
            super().line(x1, y1, x2, y2, width, dash)

    def chain(
        self, points: Sequence[tuple[float, float]], width: float = NARROW, *, close: bool = False
    ) -> None:
        if self._meets(points):
            super().chain(points, width, close=close)

    def circle(self, x: float, y: float, radius: float, width: float = NARROW) -> None:
        if self._meets([(x - radius, y - radius), (x + radius, y + radius)]):
            super().circle(x, y, radius, width)

    def arc(
        self, x: float, y: float, radius: float, start: float, sweep: float, width: float = NARROW
    ) -> None:
        if self._meets([(x - radius, y - radius), (x + radius, y + radius)]):
            super().arc(x, y, radius, start, sweep, width)

    def text(
        self,
        x: float,
        y: float,
        words: str,
        size: float = 8.0,
        *,
        bold: bool = False,
        align: str = "left",
        upright: bool = False,
    ) -> None:
        area = text_box(x, y, words, size, bold=bold, align=align, upright=upright)
        if _cell_of(area, self.cells) == self.cell:
            across, up = _move(area, self.cell)
            super().text(x + across, y + up, words, size, bold=bold, align=align, upright=upright)

    def _meets(self, points: Sequence[tuple[float, float]]) -> bool:
        across, up = [x for x, _ in points], [y for _, y in points]
        window = self.window
        return (
            min(across) < window.right
            and max(across) > window.left
            and min(up) < window.top
            and max(up) > window.bottom
        )


def ink_of(draw: Callable[[Pen], None], cells: Sequence[Area] = ()) -> list[BaseGeometry]:
    """What a drawing puts on paper, whole or in pieces with these cells."""
    pen = InkPen(cells)
    draw(pen)
    return pen.ink


@contextmanager
def shown(canvas: Canvas, window: Area, x: float, y: float) -> Iterator[None]:
    """What is drawn inside is moved by (x, y) mm and cut off at the edge of the window, an
    outline along that edge just outside its line."""
    mm, edge = POINTS_PER_MM, WIDE / 2
    canvas.saveState()
    canvas.translate(x * mm, y * mm)
    path = canvas.beginPath()
    left, bottom = (window.left - edge) * mm, (window.bottom - edge) * mm
    path.rect(left, bottom, (window.width + 2 * edge) * mm, (window.height + 2 * edge) * mm)
    canvas.clipPath(path, stroke=0)
    yield
    canvas.restoreState()


def text_box(
    x: float,
    y: float,
    words: str,
    size: float,
    *,
    bold: bool = False,
    align: str = "left",
    upright: bool = False,
) -> Area:
    """Where one line of words stands, as :meth:`Pen.text` draws it."""
    width = text_width(words, size, bold=bold)
    start = {"left": 0.0, "centre": -width / 2, "right": -width}[align]
    above, below = _ASCENT * size / POINTS_PER_MM, _DESCENT * size / POINTS_PER_MM
    if upright:
        return Area(x - above, y + start, x + below, y + start + width)
    return Area(x + start, y - below, x + start + width, y + above)


def _cell_of(area: Area, cells: Sequence[Area]) -> Area:
    """The cell in which most of an area lies."""
    return max(cells, key=lambda cell: _shared(cell, area))


def _move(area: Area, cell: Area) -> tuple[float, float]:
    """How far words are moved to lie in a cell."""
    return (
        _shift(area.left, area.right, cell.left, cell.right),
        _shift(area.bottom, area.top, cell.bottom, cell.top),
    )


def _shared(a: Area, b: Area) -> float:
    """How much of two areas is common, mm2."""
    across = min(a.right, b.right) - max(a.left, b.left)
    up = min(a.top, b.top) - max(a.bottom, b.bottom)
    return max(across, 0.0) * max(up, 0.0)


def _shift(low: float, high: float, least: float, most: float) -> float:
    """How far a stretch from `low` to `high` is moved to lie between `least` and `most`, with a
    little air where there is room for it."""
    air = 1.0 if high - low + 2.0 <= most - least else 0.0
    return max(least + air - low, 0.0) + min(most - air - max(high, least + air + high - low), 0.0)
