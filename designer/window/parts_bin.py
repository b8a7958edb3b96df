"""The Parts bin: what can be put on the sheet, by dragging it there or by pressing Enter."""

from PySide6.QtCore import QEvent, QMimeData, QSize, Qt, Signal
from PySide6.QtGui import QDrag, QKeyEvent, QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QListWidget,
    QListWidgetItem,
    QVBoxLayout,
    QWidget,
)

from designer.canvas.document import Document
from designer.canvas.drops import PART_MIME
from designer.window.icons import icon
from designer.window.tints import toned_label
from designer.window.two_line_delegate import DETAIL_ROLE, TwoLineDelegate

KIND_ROLE = Qt.ItemDataRole.UserRole + 3
SYMBOL = 28

PARTS: tuple[tuple[str, str, str], ...] = (
    ("bucket", "Bucket", "Joins the nearest run"),
    ("run", "Run", "Drain, stand and manifold"),
    ("reservoir", "Reservoir", "Holds the water and the pump"),
    ("wall", "Wall", "Stands in the way"),
    ("post", "Post", "Stands in the way"),
    ("door", "Door", "Must open and be reached"),
    ("path", "Path", "To walk on; kept free"),
    ("keep_free", "Area to keep free", "Nothing is put there"),
    ("outline", "Site outline", "The ground you have"),
)
"""Kind, name and one line about each part."""


def mime_of(kind: str) -> QMimeData:
    """What a drag of a part carries."""
    data = QMimeData()
    data.setData(PART_MIME, kind.encode())
    return data


class PartsList(QListWidget):
    """The parts as rows to drag."""

    place = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        self.setAccessibleName("Parts to put on the sheet")
        self.setIconSize(QSize(SYMBOL, SYMBOL))
        self.setItemDelegate(TwoLineDelegate(self, SYMBOL))
        self.setDragEnabled(True)
        self.setDragDropMode(QAbstractItemView.DragDropMode.DragOnly)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        for kind, name, hint in PARTS:
            item = QListWidgetItem(name)
            item.setData(DETAIL_ROLE, hint)
            item.setData(KIND_ROLE, kind)
            item.setData(Qt.ItemDataRole.AccessibleTextRole, f"{name}. {hint}")
            item.setToolTip("Drag it to the sheet, or press Enter to put it in the middle.")
            self.addItem(item)
        self.setCurrentRow(0)
        self._take_icons()
        self.itemDoubleClicked.connect(self._place)

    def startDrag(self, _: Qt.DropAction) -> None:
        item = self.currentItem()
        if item is not None:
            drag = QDrag(self)
            drag.setMimeData(mime_of(item.data(KIND_ROLE)))
            drag.setPixmap(item.icon().pixmap(SYMBOL, SYMBOL))
            drag.exec(Qt.DropAction.CopyAction)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.currentItem():
            self._place(self.currentItem())
            return
        super().keyPressEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.scheduleDelayedItemsLayout()  # the hints wrap anew

    def changeEvent(self, event: QEvent) -> None:
        if event.type() == QEvent.Type.PaletteChange:
            self._take_icons()
        super().changeEvent(event)

    def _place(self, item: QListWidgetItem) -> None:
        self.place.emit(item.data(KIND_ROLE))

    def _take_icons(self) -> None:
        for row in range(self.count()):
            item = self.item(row)
            item.setIcon(icon(item.data(KIND_ROLE), self.palette().text().color().name()))


class PartsBin(QWidget):
    """The list of parts, and below it what a new bucket will be."""

    place = Signal(str)
    """Kind of a part to put in the middle of the sheet."""

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.document = document
        self.list = PartsList()
        self.list.place.connect(self.place)
        self.note = toned_label("", "soft", self)
        column = QVBoxLayout(self)
        column.setContentsMargins(4, 4, 4, 4)
        column.addWidget(self.list, 1)
        column.addWidget(self.note)
        self.setFocusProxy(self.list)
        document.changed.connect(self._follow)
        document.selection_changed.connect(self._follow)
        self._follow()

    def _follow(self) -> None:
        """Say which bucket a new one will be: that of the run on the sheet."""
        analysis, run_id = self.document.analysis, self.document.active_run
        if run_id is None:
            text = "Place a run first: buckets stand along it."
        else:
            layout = analysis.run(run_id)
            text = f"New buckets are as those of {layout.run.name}: {layout.parts.bucket.name}."
        if text != self.note.text():
            self.note.setText(text)
