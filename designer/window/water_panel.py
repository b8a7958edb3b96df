"""The Water panel: what the water does, as numbers and charts, and how the bed is run."""

from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QCheckBox, QFrame, QScrollArea, QTabWidget, QVBoxLayout, QWidget

from designer.canvas.document import Document
from designer.window.entries import Entry
from designer.window.sections import FactLine, Form
from designer.window.tints import toned_label
from designer.window.water_answers import WaterAnswers
from designer.window.water_charts import WaterCharts
from designer.window.water_fields import WATER_FIELDS
from designer.window.water_numbers import WATER_NUMBERS

CURRENT = "Worked out for what is drawn."
FIRST = "Being worked out…"
WAITING = "Being worked out again…"
"""One line, like CURRENT, so that nothing below jumps while a hand drags."""
NEEDS = "Needs a reservoir and a bucket."
NOTHING = "–"


class WaterPanel(QWidget):
    """Follows the document's water. What is not current is pale, and the line above says so."""

    shown_asked = Signal(bool)
    """The water is to be drawn on the sheet, or not."""
    time_asked = Signal(object)
    """The time of the day to be drawn, s from midnight; None: running steadily."""

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.document = document
        self._any = False
        self.status = toned_label("", "soft", self)
        self.status.setAccessibleName("State of the water")
        self.on_sheet = QCheckBox("Show water on the drawing")
        self.on_sheet.setToolTip(
            "Buckets by their flow, water in the drain, and how high the feed would press it"
        )
        self.answers = WaterAnswers()
        self.numbers = Form(WATER_NUMBERS, document.design.units)
        page = QWidget()
        above = QVBoxLayout(page)
        above.setContentsMargins(0, 0, 0, 0)
        above.addWidget(self.answers)
        above.addWidget(self.numbers, 1)
        self.charts = WaterCharts(document)
        self.fields = Form(WATER_FIELDS, document.design.units)
        self.tabs = QTabWidget()
        self.tabs.setDocumentMode(True)
        self.tabs.tabBar().setDrawBase(False)
        self.tabs.addTab(_scrolled(page), "Numbers")
        self.tabs.addTab(self.charts, "Charts")
        self.tabs.addTab(_scrolled(self.fields), "How it is run")
        column = QVBoxLayout(self)
        column.setContentsMargins(8, 6, 4, 4)
        column.setSpacing(4)
        column.addWidget(self.status)
        column.addWidget(self.on_sheet)
        column.addWidget(self.tabs, 1)
        self.on_sheet.toggled.connect(self.shown_asked)
        self.charts.time_asked.connect(self.time_asked)
        self.charts.moved.connect(lambda: self.on_sheet.setChecked(True))
        self.fields.entered.connect(self._entered)
        for form in (self.numbers, self.fields):
            for box in form.boxes.values():
                box.toggled.connect(self._refresh)
        document.changed.connect(self._refresh)
        document.selection_changed.connect(self._refresh)
        self._refresh()

    @property
    def current(self) -> bool:
        """Whether the numbers are those of what is drawn."""
        return self.document.analysis.water_current and self.document.analysis.water is not None

    def show_on_sheet(self, shown: bool) -> None:
        """Tick whether the water is on the sheet."""
        self.on_sheet.setChecked(shown)

    def _refresh(self, *_: object) -> None:
        analysis = self.document.analysis
        self._say(self._state())
        for line in self._lines():
            line.setEnabled(self.current)
        self.answers.setEnabled(self.current)
        if self.current:
            self.answers.show_answers(analysis)
            self._any = True
            self.numbers.show_values(analysis, (self.document.active_run or "",))
        elif analysis.water_current or self.document.water_trouble:
            self._any = False
            self.answers.show_text(NOTHING)
            for line in self._lines():
                line.show_text(NOTHING)
        self.fields.show_values(analysis, ("water",))

    def _state(self) -> str:
        if self.document.water_trouble:
            return self.document.water_trouble
        if self.current:
            return CURRENT
        if self.document.analysis.water_current:
            return NEEDS
        return WAITING if self._any else FIRST

    def _say(self, words: str) -> None:
        if words != self.status.text():
            self.status.setText(words)

    def _lines(self) -> list[FactLine]:
        return [line for _, _, line in self.numbers.lines if isinstance(line, FactLine)]

    def _entered(self, entry: Entry, value: Any) -> None:
        self.document.apply(lambda design: entry.write(design, (), value), entry.step)
        self._refresh()


def _scrolled(form: QWidget) -> QScrollArea:
    area = QScrollArea()
    area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    area.setWidgetResizable(True)
    area.setFrameShape(QFrame.Shape.NoFrame)
    area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    area.setWidget(form)
    return area
