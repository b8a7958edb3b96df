"""The corners of the site outline as a table that is typed in."""

from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QHeaderView, QPushButton, QTableWidget, QTableWidgetItem

from designer.model.design import Point
from designer.units import QuantityError, UnitSystem, format_length, parse_length, style_for
from designer.window.bounds import Bounds
from designer.window.fields import Field
from designer.window.tints import toned_label

FEWEST = 3


class CornersField(Field):
    """One row for each corner: how far to the right and how far up the plan."""

    def __init__(self, label: str, why: str, bounds: Bounds, units: UnitSystem) -> None:
        self.table = QTableWidget(0, 2)
        super().__init__(label, why, self.table, beside=False)
        self._bounds, self._units = bounds, units
        self._value: tuple[Point, ...] = ()
        self._showing = False
        self.table.setHorizontalHeaderLabels(["To the right", "Up the plan"])
        self.table.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        self.table.verticalHeader().setDefaultSectionSize(self.table.fontMetrics().height() + 14)
        self.table.setTabKeyNavigation(False)
        self.table.setMinimumHeight(220)
        self.table.cellChanged.connect(self._typed)
        self.add = QPushButton("Add a corner", self)
        self.remove = QPushButton("Remove", self)
        self.remove.setAccessibleName("Remove the corner")
        self.add.clicked.connect(self._add)
        self.remove.clicked.connect(self._remove)
        row = QHBoxLayout()
        row.setContentsMargins(0, 4, 0, 0)
        row.setSpacing(6)
        row.addWidget(self.add)
        row.addWidget(self.remove)
        row.addStretch(1)
        self._empty = toned_label("No outline yet. Drag one from the parts bin.", "soft", self)
        self.grid.addLayout(row, 4, 0, 1, 2)
        self.grid.addWidget(self._empty, 5, 0, 1, 2)

    def set_units(self, units: UnitSystem) -> None:
        if units != self._units:
            self._units = units
            self._fill()

    def show_value(self, value: Any) -> None:
        if value != self._value:
            self._value = value
            self._refuse("")
            self._fill()
        self._empty.setVisible(not self._value)
        self.add.setEnabled(bool(self._value))
        self.remove.setEnabled(len(self._value) > FEWEST)

    def _fill(self) -> None:
        self._showing = True
        self.table.setRowCount(len(self._value))
        for row, corner in enumerate(self._value):
            for column, mm in enumerate((corner.x, corner.y)):
                text = format_length(mm, style_for(self._units))
                item = self.table.item(row, column)
                if item is None:
                    item = QTableWidgetItem()
                    item.setTextAlignment(
                        Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
                    )
                    self.table.setItem(row, column, item)
                item.setText(text)
        self._showing = False

    def _typed(self, row: int, column: int) -> None:
        if self._showing:
            return
        corner = self._value[row]
        text = self.table.item(row, column).text()
        before = corner.y if column else corner.x
        if text.strip() == format_length(before, style_for(self._units)):
            self._refuse("")
            return
        try:
            mm = parse_length(text, self._units)
            name = "The place of a corner"
            reason = self._bounds.refusal(
                name, mm, lambda limit: format_length(limit, style_for(self._units))
            )
            if reason:
                raise QuantityError(reason)
        except QuantityError as error:
            stays = format_length(before, style_for(self._units))
            self._refuse(f"{error} It stays {stays}.")
            self._fill()
            return
        self._refuse("")
        moved = Point(corner.x, mm) if column else Point(mm, corner.y)
        self._enter((*self._value[:row], moved, *self._value[row + 1 :]))

    def _add(self) -> None:
        """Put a corner halfway between the current one and the next."""
        row = max(self.table.currentRow(), 0)
        here, after = self._value[row], self._value[(row + 1) % len(self._value)]
        between = Point((here.x + after.x) / 2, (here.y + after.y) / 2)
        self._enter((*self._value[: row + 1], between, *self._value[row + 1 :]))
        self.table.setCurrentCell(row + 1, 0)

    def _remove(self) -> None:
        row = max(self.table.currentRow(), 0)
        self._enter((*self._value[:row], *self._value[row + 1 :]))

    def _enter(self, corners: tuple[Point, ...]) -> None:
        self.show_value(corners)
        self.entered.emit(corners)
