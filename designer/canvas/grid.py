"""The grid behind the drawing and the scale bar in the corner."""

from math import ceil, floor, log10

from PySide6.QtCore import QLineF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from designer.canvas.painter import Ink
from designer.canvas.snapping import grid_step
from designer.units import MM_PER_INCH, LengthStyle, UnitSystem, format_length, style_for

_MOST_LINES = 400


def draw_grid(
    painter: QPainter,
    area: QRectF,
    zoom: float,
    units: UnitSystem,
    ink: Ink,
    divide: float | None,
    shift: float,
) -> None:
    """Draw the grid of an area of the scene: from the site's origin in the plan, from the ground
    below `divide`, where the elevation lies `shift` mm up."""
    step, strong = grid_step(zoom, units)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
    low, high = area.top(), area.bottom()
    split = high if divide is None else min(high, max(low, divide))
    lines: dict[bool, list[QLineF]] = {False: [], True: []}
    for n in _numbers(area.left(), area.right(), step):
        lines[n % strong == 0].append(QLineF(n * step, low, n * step, high))
    bands = [(low, high, 0.0)] if divide is None else [(low, split, shift), (split, high, 0.0)]
    for bottom, top, origin in bands:
        for n in _numbers(bottom - origin, top - origin, step):
            y = n * step + origin
            lines[n % strong == 0].append(QLineF(area.left(), y, area.right(), y))
    for is_strong, some in lines.items():
        colour = ink.colour("faint")
        colour.setAlphaF(0.75 if is_strong else 0.35)
        painter.setPen(QPen(colour, 0))
        painter.drawLines(some)
    if divide is not None and low < divide < high:
        painter.setPen(QPen(ink.colour("faint"), 0, Qt.PenStyle.DashLine))
        painter.drawLine(QLineF(area.left(), divide, area.right(), divide))
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)


def _numbers(low: float, high: float, step: float) -> range:
    first, last = ceil(low / step), floor(high / step)
    return range(first, min(last, first + _MOST_LINES) + 1)


def bar_length(zoom: float, units: UnitSystem, room: float = 160.0) -> tuple[float, str]:
    """(mm, text) of the longest round length whose bar fits into `room` pixels."""
    longest = room / zoom
    if units == "metric":
        mm = _round_below(longest)
        return mm, format_length(mm, LengthStyle.M if mm >= 1000 else LengthStyle.MM, places=2)
    foot = 12 * MM_PER_INCH
    if longest >= foot:
        feet = _round_below(longest / foot)
        return feet * foot, f"{feet:g} ft"
    for inches in (6.0, 3.0, 1.0, 0.5, 0.25, 0.125):
        if inches * MM_PER_INCH <= longest:
            break
    mm = inches * MM_PER_INCH
    return mm, format_length(mm, style_for(units))


def _round_below(value: float) -> float:
    decade = 10.0 ** floor(log10(value))
    return next(step * decade for step in (5, 2, 1) if step * decade <= value)


class ScaleBar(QWidget):
    """A bar of a round length at the present zoom. It lies on the view and lets the mouse through.

    A widget of its own, for what is painted in front of a scene smears when the view scrolls.
    """

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setAccessibleName("Scale bar")
        self._pixels = 100.0
        self._text = ""
        self._ink: Ink | None = None
        self.resize(self.sizeHint())

    def sizeHint(self) -> QSize:
        """Room for the bar and its text."""
        return QSize(184, 34)

    def show_zoom(self, zoom: float, units: UnitSystem, ink: Ink) -> None:
        """Take the bar's length and colours."""
        mm, text = bar_length(zoom, units)
        if (self._pixels, self._text, self._ink) == (mm * zoom, text, ink):
            return
        self._pixels, self._text, self._ink = mm * zoom, text, ink
        wide = max(self._pixels, QFontMetricsF(self.font()).horizontalAdvance(text))
        self.resize(round(wide) + 24, self.height())
        self.setAccessibleDescription(text)
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the bar on a patch of sheet, so that it can be read above the drawing."""
        if self._ink is None:
            return
        painter = QPainter(self)
        patch = QColor(self._ink.colour("sheet"))
        patch.setAlphaF(0.85)
        painter.fillRect(self.rect(), patch)
        painter.setPen(QPen(self._ink.colour("ink"), 2))
        left, base = 10.0, self.height() - 9.0
        right = left + self._pixels
        painter.drawLines(
            [
                QLineF(left, base, right, base),
                QLineF(left, base - 5, left, base + 1),
                QLineF(right, base - 5, right, base + 1),
            ]
        )
        width = QFontMetricsF(self.font()).horizontalAdvance(self._text)
        middle = max(left + width / 2, (left + right) / 2)
        box = QRectF(middle - width / 2 - 4, 2, width + 8, self.height() - 16)
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, self._text)
        painter.end()
