"""The compare page of the Take-off panel: this design beside another one."""

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QHeaderView,
    QPushButton,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)

from designer.takeoff.compare import CompareRow
from designer.units import UnitSystem
from designer.window.takeoff_words import compared_words
from designer.window.tints import toned_label

NOBODY = "Choose another design to see both side by side."


class ComparePage(QWidget):
    """Two columns of numbers; rows that differ are bold."""

    def __init__(self) -> None:
        super().__init__()
        self.choose = QPushButton("C&hoose another design…")
        self.words = toned_label(NOBODY, "soft")
        self.words.setAccessibleName("Compared with")
        self.table = QTreeWidget()
        self.table.setAccessibleName("Two designs side by side")
        self.table.setRootIsDecorated(False)
        self.table.setWordWrap(True)
        self.table.setHeaderLabels(["", "This design", "The other"])
        header = self.table.header()
        header.setStretchLastSection(False)
        header.setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        for number in (1, 2):
            header.setSectionResizeMode(number, QHeaderView.ResizeMode.ResizeToContents)
        self.table.hide()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 4, 4, 4)
        column.addWidget(self.choose)
        column.addWidget(self.words)
        column.addWidget(self.table, 1)
        column.addStretch(0)
        column.setAlignment(Qt.AlignmentFlag.AlignTop)

    def show_rows(self, rows: Sequence[CompareRow], units: UnitSystem, currency: str) -> None:
        """Show both sides."""
        self.table.show()
        self.table.clear()
        for row in rows:
            sides = [compared_words(row, v, units, currency) for v in (row.left, row.right)]
            item = QTreeWidgetItem([row.label, *sides])
            for number in (1, 2):
                item.setTextAlignment(
                    number, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
                )
            item.setToolTip(0, row.label)
            if sides[0] != sides[1]:
                for number in range(3):
                    font = item.font(number)
                    font.setBold(True)
                    item.setFont(number, font)
            self.table.addTopLevelItem(item)
