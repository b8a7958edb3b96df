"""A reportlab canvas spoken to in mm.

Origin at the paper's lower left corner, x right, y up, all lengths mm, text sizes in points.
"""

from __future__ import annotations

from collections.abc import Sequence

from reportlab.lib.utils import simpleSplit
from reportlab.pdfgen.canvas import Canvas

from designer.drawing import fonts
from designer.sheet.paper import BOLD, POINTS_PER_MM, REGULAR, register_fonts

NARROW = 0.25
WIDE = 0.5
"""Line widths of ISO 128, line group 0.5, mm."""

CHAIN = (9.0, 1.5, 1.0, 1.5)
"""Long dash, short dash: a centre line."""
DASHED = (3.0, 1.5)

LEAST_TEXT = 7.0
"""Smallest text we print, points."""


class Pen:
    """Draws black on white on one canvas."""

    def __init__(self, canvas: Canvas) -> None:
        self.canvas = canvas

    def line(
        self,
        x1: float,
        y1: float,
        x2: float,
        y2: float,
        width: float = NARROW,
        dash: Sequence[float] = (),
    ) -> None:
        self._stroke(width, dash)
        mm = POINTS_PER_MM
        self.canvas.line(x1 * mm, y1 * mm, x2 * mm, y2 * mm)

    def chain(
        self, points: Sequence[tuple[float, float]], width: float = NARROW, *, close: bool = False
    ) -> None:
        """Straight lines through ``points``."""
        self._stroke(width, ())
        path = self.canvas.beginPath()
        for i, (x, y) in enumerate(points):
            (path.lineTo if i else path.moveTo)(x * POINTS_PER_MM, y * POINTS_PER_MM)
        if close:
            path.close()
        self.canvas.drawPath(path)

    def area(self, points: Sequence[tuple[float, float]], grey: float) -> None:
        """The area within ``points`` filled with a grey, 0 black to 1 white."""
        path = self.canvas.beginPath()
        for i, (x, y) in enumerate(points):
            (path.lineTo if i else path.moveTo)(x * POINTS_PER_MM, y * POINTS_PER_MM)
        path.close()
        self.canvas.setFillGray(grey)
        self.canvas.drawPath(path, stroke=0, fill=1)
        self.canvas.setFillGray(0)

    def circle(self, x: float, y: float, radius: float, width: float = NARROW) -> None:
        """Four Bezier curves, true to 0.027 % of the radius."""
        self._stroke(width, ())
        self.canvas.circle(x * POINTS_PER_MM, y * POINTS_PER_MM, radius * POINTS_PER_MM)

    def arc(
        self, x: float, y: float, radius: float, start: float, sweep: float, width: float = NARROW
    ) -> None:
        """Part of a circle from ``start`` through ``sweep``, degrees turning left from x."""
        self._stroke(width, ())
        mm = POINTS_PER_MM
        self.canvas.arc(
            (x - radius) * mm, (y - radius) * mm, (x + radius) * mm, (y + radius) * mm, start, sweep
        )

    def cross(self, x: float, y: float, arm: float, width: float = NARROW) -> None:
        """An upright cross with arms of ``arm`` mm."""
        self.line(x - arm, y, x + arm, y, width)
        self.line(x, y - arm, x, y + arm, width)

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
        """One line whose baseline starts, is centred or ends at (x, y).

        ``upright`` text reads upward.
        """
        canvas, font = self.canvas, BOLD if bold else REGULAR
        canvas.saveState()
        canvas.setFont(font, size)
        canvas.translate(x * POINTS_PER_MM, y * POINTS_PER_MM)
        if upright:
            canvas.rotate(90)
        draw = {
            "left": canvas.drawString,
            "centre": canvas.drawCentredString,
            "right": canvas.drawRightString,
        }[align]
        draw(0, 0, words)
        canvas.restoreState()

    def _stroke(self, width: float, dash: Sequence[float]) -> None:
        self.canvas.setStrokeGray(0)
        self.canvas.setLineWidth(width * POINTS_PER_MM)
        self.canvas.setDash([part * POINTS_PER_MM for part in dash])


def text_width(words: str, size: float, *, bold: bool = False) -> float:
    """Printed width in mm."""
    return fonts.text_width(words, size, bold=bold) / POINTS_PER_MM


def wrapped(words: str, size: float, width: float, *, bold: bool = False) -> list[str]:
    """``words`` broken into lines no wider than ``width`` mm where the words allow it."""
    register_fonts()
    return list(simpleSplit(words, BOLD if bold else REGULAR, size, width * POINTS_PER_MM))


def fitted(words: str, size: float, width: float, *, bold: bool = False) -> tuple[str, float]:
    """The words and the size at which they fit in ``width`` mm.

    The text shrinks first, to no less than ``LEAST_TEXT``, and is then cut with an ellipsis.
    """
    full = text_width(words, size, bold=bold)
    if full <= width:
        return words, size
    smaller = max(LEAST_TEXT, size * width / full)
    if text_width(words, smaller, bold=bold) <= width + 1e-6:
        return words, smaller
    kept = words
    while kept and text_width(kept + "…", smaller, bold=bold) > width:
        kept = kept[:-1]
    return kept.rstrip() + "…", smaller
