"""The shopping list of the Take-off panel: departments, what to buy, and why."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHBoxLayout,
    QPushButton,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)

from designer.takeoff.material import DEPARTMENT_WORDS
from designer.takeoff.materials import shopping_list
from designer.takeoff.whole import BedTakeoff
from designer.units import UnitSystem
from designer.window.takeoff_words import (
    costs_by_line,
    line_words,
    money_words,
    why_words,
)
from designer.window.two_line_delegate import DETAIL_ROLE, PLAIN_ROLE, TwoLineDelegate

ID_ROLE = Qt.ItemDataRole.UserRole + 5
"""Department, or item and stick, of a row."""


class ShoppingPage(QWidget):
    """The list by department; a line opens to say why it is there."""

    def __init__(self) -> None:
        super().__init__()
        self.tree = QTreeWidget()
        self.tree.setAccessibleName("Shopping list")
        self.tree.setHeaderHidden(True)
        self.tree.setIndentation(14)
        self.tree.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.tree.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.tree.setItemDelegate(TwoLineDelegate(self.tree, 0))
        self.copy = QPushButton("&Copy the list")
        self.export = QPushButton("Save as CS&V…")
        self.export.setToolTip("A table for a spreadsheet")
        buttons = QHBoxLayout()
        buttons.addWidget(self.copy)
        buttons.addWidget(self.export)
        buttons.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 4, 4, 4)
        column.addWidget(self.tree, 1)
        column.addLayout(buttons)

    def show_takeoff(self, takeoff: BedTakeoff, units: UnitSystem) -> None:
        """Fill the list; what was open stays open."""
        closed: set[object] = set()
        opened: set[object] = set()
        here = None
        for item in self._rows():
            key = item.data(0, ID_ROLE)
            (opened if item.isExpanded() else closed).add(key)
            if item is self.tree.currentItem():
                here = key
        scrolled = self.tree.verticalScrollBar().value()
        costs = costs_by_line(takeoff.cost)
        currency = takeoff.cost.currency if takeoff.cost is not None else ""
        self.tree.clear()
        for department, lines in shopping_list(takeoff.materials).items():
            group = _row(DEPARTMENT_WORDS[department], department)
            self.tree.addTopLevelItem(group)
            group.setExpanded(department not in closed)
            for material in lines:
                key = (material.id, material.stick)
                row = _row(line_words(material, units), key)
                row.setData(0, PLAIN_ROLE, True)
                if cost := costs.get(key):
                    price = money_words(cost.price, currency)
                    row.setData(0, DETAIL_ROLE, f"{cost.words}: {price}")
                why = _row(why_words(material, units), None)
                why.setData(0, PLAIN_ROLE, True)
                row.addChild(why)
                group.addChild(row)
                row.setExpanded(key in opened)
        for item in self._rows():
            if here is not None and item.data(0, ID_ROLE) == here:
                self.tree.setCurrentItem(item)
        self.tree.verticalScrollBar().setValue(scrolled)

    def _rows(self) -> list[QTreeWidgetItem]:
        groups = [self.tree.topLevelItem(i) for i in range(self.tree.topLevelItemCount())]
        rows = [group.child(i) for group in groups for i in range(group.childCount())]
        return [row for row in (*groups, *rows) if row is not None]


def _row(text: str, key: object) -> QTreeWidgetItem:
    row = QTreeWidgetItem([text])
    row.setData(0, ID_ROLE, key)
    return row
