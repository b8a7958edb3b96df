"""A chart on the screen, drawn from the same description as the one on the build sheet."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QByteArray, QEvent, QRectF, Qt, QTimer
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen, QResizeEvent, QShowEvent
from PySide6.QtSvg import QSvgRenderer
from PySide6.QtWidgets import QSizePolicy, QWidget

from designer.drawing.styles import Colours
from designer.window.tints import colours_for

if TYPE_CHECKING:
    from reportlab.graphics.shapes import Drawing

Chart = Callable[[float, float, Colours], "Drawing"]
"""Makes a chart for a width and a height in mm and a table of colours."""
TEXT_SHARE = 0.85
"""Size of a chart's words as a share of the panel's."""
OLD_OPACITY = 0.3
_PAUSE_MS = 40


class ChartView(QWidget):
    """Shows one chart at a time. What is out of date is pale and says so."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._chart: Chart | None = None
        self._drawn: QSvgRenderer | None = None
        self._old = ""
        self._mark: float | None = None
        self.plot = (0.0, 0.0, 1.0, 1.0)
        """Left, top, right and bottom of where the mark may stand, as shares of the size."""
        self._pause = QTimer(self, singleShot=True, interval=_PAUSE_MS)
        self._pause.timeout.connect(self._draw)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setMinimumWidth(180)

    @property
    def old(self) -> str:
        """Why what is shown is not current; empty when it is."""
        return self._old

    @property
    def drawn(self) -> bool:
        """Whether a chart stands there."""
        return self._drawn is not None

    def show_chart(self, chart: Chart, described: str) -> None:
        """Show a current chart; `described` says in words what it shows."""
        self._chart = chart
        self._old = ""
        self.setAccessibleDescription(described)
        if self._drawn is None:
            self._draw()
        else:
            self._pause.start()

    def show_old(self, why: str) -> None:
        """From now on what stands there is not current."""
        if why != self._old:
            self._pause.stop()
            self._old = why
            self.setAccessibleDescription(why)
            self.update()

    def clear(self) -> None:
        """Show no chart."""
        self._chart = self._drawn = None
        self.update()

    def show_mark(self, share: float | None) -> None:
        """Draw an upright line at a share of `plot`; None takes it away."""
        if share != self._mark:
            self._mark = share
            self.update()

    def _draw(self) -> None:
        if self._chart is None or self._old or not self.isVisible():
            return
        # Imported here: the start of the window does not wait for the charts.
        from designer.drawing.chart_scales import SIZE
        from designer.drawing.charts import chart_svg
        from designer.drawing.fonts import POINTS_PER_MM

        pixels = self.fontInfo().pixelSize() * TEXT_SHARE / SIZE * POINTS_PER_MM
        size = self.width() / pixels, self.height() / pixels
        drawing = self._chart(*size, colours_for(self.palette()))
        self._drawn = QSvgRenderer(QByteArray(chart_svg(drawing).encode()))
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """The chart, the mark, and a word where it is out of date."""
        colours = colours_for(self.palette())
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.fillRect(self.rect(), QColor(colours["sheet"]))
        if self._drawn is not None:
            painter.setOpacity(OLD_OPACITY if self._old else 1.0)
            size = self._drawn.defaultSize()
            high = self.width() * size.height() / max(size.width(), 1)
            self._drawn.render(painter, QRectF(0, 0, self.width(), high))
            painter.setOpacity(1.0)
        if self._mark is not None and not self._old:
            painter.setPen(QPen(QColor(colours["must"]), 2))
            left, top, right, bottom = self.plot
            x = round((left + (right - left) * self._mark) * self.width())
            painter.drawLine(x, round(top * self.height()), x, round(bottom * self.height()))
        if self._old:
            painter.setPen(QColor(colours["ink"]))
            flags = Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap
            painter.drawText(self.rect().adjusted(12, 12, -12, -12), flags, self._old)
        painter.end()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Lay the chart out anew once the size rests."""
        super().resizeEvent(event)
        self._pause.start()

    def showEvent(self, event: QShowEvent) -> None:
        """Draw what was not drawn while it was hidden."""
        super().showEvent(event)
        self._pause.start()

    def changeEvent(self, event: QEvent) -> None:
        """Draw in the colours and letters of the theme in force."""
        super().changeEvent(event)
        if event.type() in (QEvent.Type.PaletteChange, QEvent.Type.FontChange):
            self._pause.start()
