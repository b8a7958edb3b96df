"""What all charts are made of: title, key, axes and curves as reportlab shapes.

A chart is one reportlab Drawing, printed as it is and shown on screen as SVG. Its lengths are
points; what it is drawn from keeps its own units and is turned into the person's by a Measure.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, floor
from typing import Literal

from reportlab.graphics.charts.axes import XValueAxis, YValueAxis
from reportlab.graphics.shapes import Circle, Drawing, Line, Polygon, PolyLine, Rect, String
from reportlab.lib.colors import Color, HexColor
from reportlab.lib.utils import simpleSplit

from designer.drawing.chart_scales import SIZE, Scale, label_room, number, words_width
from designer.drawing.fonts import BOLD, POINTS_PER_MM, REGULAR, register_fonts, text_width
from designer.drawing.styles import Colours, Role

TITLE_SIZE = 9.0
LINE = 9.5
"""From one line of words to the next, points."""
WIDE, NARROW = 1.4, 0.7
DASHED = (5.0, 2.5)
DOTTED = (1.0, 2.0)
DASH_DOT = (8.0, 2.0, 1.5, 2.0)
"""Line widths and dashes, points."""
_PAD = 4.0

Points = Sequence[tuple[float, float]]
Anchor = Literal["start", "middle", "end"]


@dataclass(frozen=True)
class Look:
    """How a line or area looks: its role, its width and dash in points, and how much of its
    colour is mixed into the sheet where it is filled (0 for no fill, width 0 for no line)."""

    role: Role
    width: float = NARROW
    dash: tuple[float, ...] = ()
    fill: float = 0.0


@dataclass(frozen=True)
class Key:
    """One entry of the key above a chart: words beside a sample of a look, or of a round mark or
    a cross in its place."""

    words: str
    look: Look
    mark: Literal["line", "dot", "cross"] = "line"


def colour(colours: Colours, role: Role, share: float = 1.0) -> Color:
    """A role's colour, or `share` of it mixed into the sheet's. Mixed rather than see-through:
    the SVG writer knows no opacity."""
    ink, paper = HexColor(colours[role]), HexColor(colours["sheet"])
    return Color(
        *(
            paper_part + share * (ink_part - paper_part)
            for ink_part, paper_part in zip(ink.rgb(), paper.rgb(), strict=True)
        )
    )


class ChartFrame:
    """A chart with its title, notes and key written; what is left below `top` is for plots."""

    def __init__(
        self,
        width_mm: float,
        height_mm: float,
        colours: Colours,
        title: str,
        notes: Sequence[str] = (),
        keys: Sequence[Key] = (),
    ) -> None:
        register_fonts()
        self.colours = colours
        self.width, self.height = width_mm * POINTS_PER_MM, height_mm * POINTS_PER_MM
        self.drawing = Drawing(self.width, self.height)
        self.drawing.add(
            Rect(
                0, 0, self.width, self.height, fillColor=colour(colours, "sheet"), strokeColor=None
            )
        )
        self.top = self.height
        for line in simpleSplit(title, BOLD, TITLE_SIZE, self.width - 2 * _PAD):
            self.top -= TITLE_SIZE + 2
            self.text(_PAD, self.top, line, size=TITLE_SIZE, bold=True)
        for note in notes:
            for line in simpleSplit(note, REGULAR, SIZE, self.width - 2 * _PAD):
                self.top -= LINE
                self.text(_PAD, self.top, line, role="soft")
        self._keys(keys)

    def text(
        self,
        x: float,
        y: float,
        words: str,
        anchor: Anchor = "start",
        role: Role = "ink",
        size: float = SIZE,
        bold: bool = False,
        cleared: bool = False,
    ) -> None:
        """One line of words, its baseline at (x, y); `cleared`: without what is drawn there."""
        if cleared:
            wide = text_width(words, size, bold=bold)
            left = x - {"start": 0.0, "middle": 0.5, "end": 1.0}[anchor] * wide
            self.drawing.add(
                Rect(
                    left - 1,
                    y - 0.25 * size,
                    wide + 2,
                    1.05 * size,
                    fillColor=colour(self.colours, "sheet"),
                    strokeColor=None,
                )
            )
        self.drawing.add(
            String(
                x,
                y,
                words,
                textAnchor=anchor,
                fontName=BOLD if bold else REGULAR,
                fontSize=size,
                fillColor=colour(self.colours, role),
            )
        )

    def stroke(self, points: Points, look: Look) -> None:
        """A line through points of the drawing."""
        self.drawing.add(
            PolyLine(
                [part for point in points for part in point],
                strokeColor=colour(self.colours, look.role),
                strokeWidth=look.width,
                strokeDashArray=list(look.dash) or None,
                strokeLineJoin=1,
            )
        )

    def dot(self, x: float, y: float, role: Role, filled: bool = True) -> None:
        """A round mark at a point of the drawing."""
        self.drawing.add(
            Circle(
                x,
                y,
                3.0,
                fillColor=colour(self.colours, role if filled else "sheet"),
                strokeColor=colour(self.colours, role),
                strokeWidth=1,
            )
        )

    def _keys(self, keys: Sequence[Key]) -> None:
        x = _PAD
        sample = 18.0
        if keys:
            self.top -= LINE + 1
        for key in keys:
            long = sample + 3 + words_width(key.words)
            if x > _PAD and x + long > self.width - _PAD:
                x, self.top = _PAD, self.top - LINE
            middle = self.top + 2.5
            if key.look.fill:
                self.drawing.add(
                    Rect(
                        x,
                        middle - 3.5,
                        sample,
                        7,
                        fillColor=colour(self.colours, key.look.role, key.look.fill),
                        strokeColor=colour(self.colours, key.look.role) if key.look.width else None,
                        strokeWidth=key.look.width,
                        strokeDashArray=list(key.look.dash) or None,
                    )
                )
            elif key.mark == "dot":
                self.dot(x + sample / 2, middle, key.look.role, filled=False)
            elif key.mark == "cross":
                self.text(x + sample / 2, self.top, "×", "middle", bold=True)
            else:
                self.stroke(((x, middle), (x + sample, middle)), key.look)
            self.text(x + sample + 3, self.top, key.words)
            x += long + 9


class Plot:
    """Two axes in a frame, between `bottom` and `top`, and what is drawn against them."""

    def __init__(
        self,
        frame: ChartFrame,
        x: Scale,
        y: Scale,
        bottom: float = 0.0,
        top: float | None = None,
        titled: bool = True,
        numbers: bool = True,
        margin: float = 0.0,
    ) -> None:
        """`titled`: whether the x axis carries its title, and room for labels above it, which are
        its `numbers` or the caller's own; `margin` is the least room left of the y axis, so that
        plots one above the other line up."""
        self.frame = frame
        foot = bottom + (2 * LINE + 4 if titled else 4)
        head = (frame.top if top is None else top) - LINE - 8
        self.left = max(margin, label_room(y)) + _PAD
        self.right = frame.width - 2.5 * _PAD
        self.bottom, self.top = foot, max(head, foot + 10)
        self._x, self._y = XValueAxis(), YValueAxis()
        wide, high = self.right - self.left, self.top - foot
        self._set(self._x, x, wide, (foot, foot + high), titled and numbers)
        self._set(self._y, y, high, (self.left, self.left + wide), True)
        for axis in (self._x, self._y):
            axis.makeGrid(frame.drawing)
            frame.drawing.add(axis)
        frame.text(_PAD, self.top + 5, y.title, role="soft")
        if titled:
            words = x.title
            if words_width(words) > self.right - _PAD:  # what stands in brackets helps, no more
                words = words.partition(" (")[0]
            frame.text(self.right, bottom + 2, words, "end", "soft")

    def _set(
        self,
        axis: XValueAxis | YValueAxis,
        scale: Scale,
        length: float,
        across: tuple[float, float],
        numbers: bool,
    ) -> None:
        colours = self.frame.colours
        axis.setPosition(self.left, self.bottom, length)
        axis.valueMin, axis.valueMax, axis.valueStep = scale.low, scale.high, scale.step
        first = ceil(scale.low / scale.step - 1e-9)
        last = floor(scale.high / scale.step + 1e-9)
        axis.valueSteps = [i * scale.step for i in range(first, last + 1)]
        axis.configure([(scale.low, scale.high)])
        axis.visibleGrid = 1
        axis.gridStart, axis.gridEnd = across
        axis.gridStrokeColor = colour(colours, "faint")
        axis.gridStrokeWidth = 0.4
        axis.strokeColor = colour(colours, "ink")
        axis.strokeWidth = NARROW
        axis.visibleLabels = int(numbers)
        axis.labelTextFormat = number
        axis.labels.fontName = REGULAR
        axis.labels.fontSize = SIZE
        axis.labels.fillColor = colour(colours, "ink")
        if isinstance(axis, XValueAxis):
            axis.tickDown, axis.labels.dy = 3, -3
        else:
            axis.tickLeft, axis.labels.dx = 3, -4

    def at(self, x: float, y: float) -> tuple[float, float]:
        """Where a value stands in the drawing."""
        return float(self._x.scale(x)), float(self._y.scale(y))

    def curve(self, points: Points, look: Look) -> None:
        """A line through values."""
        if len(points) > 1:
            self.frame.stroke([self.at(*point) for point in points], look)

    def area(self, points: Points, look: Look) -> None:
        """A filled polygon of values."""
        self.frame.drawing.add(
            Polygon(
                [part for point in points for part in self.at(*point)],
                fillColor=colour(self.frame.colours, look.role, look.fill),
                strokeColor=colour(self.frame.colours, look.role) if look.width else None,
                strokeWidth=look.width,
            )
        )

    def band(self, low: float, high: float, look: Look) -> None:
        """The whole height between two values of x."""
        left, right = self.at(low, 0)[0], self.at(high, 0)[0]
        self.frame.drawing.add(
            Rect(
                left,
                self.bottom,
                right - left,
                self.top - self.bottom,
                fillColor=colour(self.frame.colours, look.role, look.fill),
                strokeColor=None,
            )
        )

    def bar(self, low: float, high: float, value: float, look: Look) -> Rect:
        """A bar from zero up to a value, between two values of x."""
        left, foot = self.at(low, 0)
        right, head = self.at(high, value)
        made = Rect(
            left,
            foot,
            right - left,
            max(head - foot, 0.0),
            fillColor=colour(self.frame.colours, look.role, look.fill),
            strokeColor=colour(self.frame.colours, look.role),
            strokeWidth=look.width,
        )
        self.frame.drawing.add(made)
        return made

    def dot(self, x: float, y: float, role: Role, filled: bool = True) -> None:
        """A round mark at a value."""
        self.frame.dot(*self.at(x, y), role, filled)

    def cross_line(self, value: float, look: Look) -> None:
        """A level line across the plot at a value of y."""
        y = self.at(0, value)[1]
        self.frame.drawing.add(
            Line(
                self.left,
                y,
                self.right,
                y,
                strokeColor=colour(self.frame.colours, look.role),
                strokeWidth=look.width,
                strokeDashArray=list(look.dash) or None,
            )
        )
