"""The charts page of the Water panel: one chart at a time, and the time of the day below it."""

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QHideEvent, QShowEvent
from PySide6.QtWidgets import QComboBox, QFrame, QScrollArea, QVBoxLayout, QWidget

from designer.canvas.document import Document
from designer.drawing.styles import Colours
from designer.window.chart_view import ChartView
from designer.window.day_control import DAY_SECONDS, DayControl

if TYPE_CHECKING:
    from reportlab.graphics.shapes import Drawing

    from designer.drawing.charts_cycle import DayChart

CHARTS: tuple[tuple[str, str, int], ...] = (
    ("pump", "Pump and bed", 14),
    ("flows", "Flow of each bucket", 14),
    ("drain", "Water in the drain", 17),
    ("pressure", "Pressure along the manifold", 15),
    ("day", "The water over a day", 17),
)
"""Name and title of each chart, and how many lines of text high it must be to read well."""
DAY = "day"
WAITING = "Being worked out…"


class WaterCharts(QWidget):
    """Shows the chart that is chosen, of the run on the sheet. The day is worked out only while it
    is looked at."""

    time_asked = Signal(object)
    """The time of the day that is looked at, s from midnight; None while another chart is."""
    moved = Signal()
    """The person moved the time."""

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.document = document
        self.choice = QComboBox()
        self.choice.setAccessibleName("Chart")
        for name, title, _ in CHARTS:
            self.choice.addItem(title, name)
        self.view = ChartView()
        scroll = QScrollArea()
        scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        scroll.setWidgetResizable(True)
        scroll.setFrameShape(QFrame.Shape.NoFrame)
        scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        scroll.setWidget(self.view)
        self.day = DayControl()
        self.day.hide()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 4, 0, 0)
        column.addWidget(self.choice)
        column.addWidget(scroll, 1)
        column.addWidget(self.day)
        self._shown: tuple[object, str, str | None] | None = None
        self._give_room()
        self.choice.currentIndexChanged.connect(self._choose)
        self.day.moved.connect(self._move)
        document.changed.connect(self.follow)
        document.selection_changed.connect(self.follow)
        document.day_came.connect(self.follow)

    @property
    def chosen(self) -> str:
        """The name of the chart that is chosen."""
        return str(self.choice.currentData())

    def choose(self, name: str) -> None:
        """Show a chart by its name."""
        self.choice.setCurrentIndex(self.choice.findData(name))

    def follow(self) -> None:
        """Show the chart of what is current, or that it is being worked out."""
        analysis, name = self.document.analysis, self.chosen
        water = analysis.water
        self.day.setEnabled(name == DAY and self.document.day_known)
        if not analysis.water_current or (
            name == DAY and water is not None and not self.document.day_known
        ):
            self._shown = None
            self.view.show_old(self.document.water_trouble or WAITING)
            return
        run_id = self.document.active_run
        if water is None or (name in ("drain", "pressure") and run_id not in water.drains):
            self._shown = None
            self.view.clear()
            self.view.show_old(
                "Add a bucket to this run to see its water."
                if water is not None
                else "Add a reservoir and a bucket to see the water."
            )
            return
        self._show_pump()
        if self._shown != (id(water), name, run_id):
            self._shown = id(water), name, run_id
            self.view.show_chart(self._chart, self.choice.currentText())

    def _chart(self, width_mm: float, height_mm: float, colours: Colours) -> "Drawing":
        from designer.drawing import charts
        from designer.drawing.charts_cycle import day_chart

        water, run_id = self.document.analysis.water, self.document.active_run
        assert water is not None
        assert run_id is not None
        size = width_mm, height_mm
        match self.chosen:
            case "pump":
                return charts.pump_chart(water, *size, colours)
            case "flows":
                return charts.flow_bars(water, *size, colours)
            case "drain":
                return charts.drain_chart(water, run_id, *size, colours)
            case "pressure":
                return charts.grade_chart(water, run_id, *size, colours)
            case _:
                chart: DayChart = day_chart(water, *size, colours)
                self.view.plot = chart.begin, 1 - chart.top, chart.end, 1 - chart.foot
                return chart.drawing

    def _give_room(self) -> None:
        lines = next(lines for name, _, lines in CHARTS if name == self.chosen)
        self.view.setMinimumHeight(lines * self.fontMetrics().lineSpacing())

    def _choose(self) -> None:
        self._give_room()
        is_day = self.chosen == DAY
        self.day.setVisible(is_day)
        self.day.pause()
        self.view.clear()
        self.view.show_mark(self.day.seconds / DAY_SECONDS if is_day else None)
        self._look()
        self.follow()

    def _look(self) -> None:
        """Ask for the day, and show its time on the sheet, only while it is looked at."""
        looked_at = self.isVisible() and self.chosen == DAY
        self.document.want_day(looked_at)
        self.time_asked.emit(self.day.seconds if looked_at else None)

    def _move(self, seconds: float) -> None:
        self.view.show_mark(seconds / DAY_SECONDS)
        self._show_pump()
        self.time_asked.emit(seconds)
        self.moved.emit()

    def _show_pump(self) -> None:
        water = self.document.analysis.water
        known = water is not None and self.document.day_known
        self.day.show_pump(water.at(self.day.seconds).pump_on if known and water else None)

    def showEvent(self, event: QShowEvent) -> None:
        """From now on it is looked at."""
        super().showEvent(event)
        self._look()
        self.follow()

    def hideEvent(self, event: QHideEvent) -> None:
        """Nobody looks at it any more."""
        super().hideEvent(event)
        self.day.pause()
        self._look()
