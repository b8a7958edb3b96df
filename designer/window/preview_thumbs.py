"""The pages side by side, small, each drawn when it first comes into view."""

from typing import Any

from PySide6.QtCore import (
    QAbstractListModel,
    QModelIndex,
    QPersistentModelIndex,
    QRect,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import QColor, QPainter, QPixmap
from PySide6.QtWidgets import QListView, QStyle, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from designer.units import UnitSystem
from designer.window.page_images import PageImages, PageSize
from designer.window.page_work import PageWork
from designer.window.print_layout import paper_words
from designer.window.tints import colours_for

BOX = QSize(104, 118)
"""The room of a small page, in logical pixels."""
MOST_KEPT = 400
_AFTER_THE_PAGE = 1
Index = QModelIndex | QPersistentModelIndex
SIZE_ROLE = Qt.ItemDataRole.UserRole


class PagesModel(QAbstractListModel):
    """The pages of a file. Their pictures are asked for when they are looked for."""

    def __init__(self, work: PageWork, ratio: float, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.units: UnitSystem = "metric"
        self._work = work
        self._work.came.connect(self._take)
        self._ratio = ratio
        self._images: PageImages | None = None
        self._drawn: dict[int, QPixmap] = {}

    @property
    def drawn(self) -> int:
        """How many pictures are there."""
        return len(self._drawn)

    def show_pages(self, images: PageImages | None) -> None:
        """Take other pages, or none."""
        self.beginResetModel()
        self._images = images
        self._drawn.clear()
        self.endResetModel()

    def rowCount(self, parent: Index | None = None) -> int:
        return 0 if self._images is None or (parent and parent.isValid()) else len(self._sizes)

    @property
    def _sizes(self) -> tuple[PageSize, ...]:
        return self._images.sizes if self._images is not None else ()

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        row = index.row()
        if not 0 <= row < len(self._sizes):
            return None
        if role == Qt.ItemDataRole.DisplayRole:
            return f"{row + 1}"
        if role == SIZE_ROLE:
            return self._sizes[row]
        if role == Qt.ItemDataRole.DecorationRole:
            return self._picture(row)
        if role in (Qt.ItemDataRole.AccessibleTextRole, Qt.ItemDataRole.ToolTipRole):
            words = paper_words(self._sizes[row], self.units)
            return f"Sheet {row + 1} of {len(self._sizes)}, {words}"
        return None

    def _picture(self, row: int) -> QPixmap | None:
        if row not in self._drawn and self._images is not None:
            images = self._images
            scale = fitting(self._sizes[row]) * self._ratio
            self._work.ask((images, row), lambda: images.raster(row, scale), after=_AFTER_THE_PAGE)
        return self._drawn.get(row)

    def _take(self, key: Any, raster: Any) -> None:
        if not isinstance(key, tuple) or key[0] is not self._images:
            return
        row = key[1]
        if len(self._drawn) >= MOST_KEPT:
            self._drawn.pop(next(iter(self._drawn)))
        picture = QPixmap.fromImage(raster.image())
        picture.setDevicePixelRatio(self._ratio)
        self._drawn[row] = picture
        changed = self.index(row)
        self.dataChanged.emit(changed, changed, [Qt.ItemDataRole.DecorationRole])


class ThumbDelegate(QStyledItemDelegate):
    """A small page with its number below."""

    def sizeHint(self, option: QStyleOptionViewItem, _index: Index) -> QSize:
        return QSize(BOX.width() + 16, BOX.height() + 18 + option.fontMetrics.height())

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        colours, rect = colours_for(option.palette), option.rect
        chosen = bool(option.state & QStyle.StateFlag.State_Selected)
        size: PageSize = index.data(SIZE_ROLE)
        scale = fitting(size)
        width, height = round(size.width * scale), round(size.height * scale)
        left = rect.left() + (rect.width() - width) // 2
        top = rect.top() + 8 + BOX.height() - height
        page = QRect(left, top, width, height)
        painter.save()
        painter.fillRect(page, QColor("white"))
        picture = index.data(Qt.ItemDataRole.DecorationRole)
        if picture is not None:
            painter.drawPixmap(page.topLeft(), picture)
        painter.setPen(QColor(colours["soft"]))
        painter.drawRect(page.adjusted(-1, -1, 0, 0))
        if chosen:
            pen = painter.pen()
            pen.setColor(QColor(colours["accent"]))
            pen.setWidth(3)
            painter.setPen(pen)
            painter.drawRect(page.adjusted(-4, -4, 3, 3))
        painter.setPen(QColor(colours["ink"]))
        font = option.font
        font.setBold(chosen)
        painter.setFont(font)
        foot = QRect(rect.left(), rect.bottom() - option.fontMetrics.height() - 2,
                     rect.width(), option.fontMetrics.height())  # fmt: skip
        painter.drawText(foot, Qt.AlignmentFlag.AlignCenter, index.data())
        painter.restore()


class Thumbs(QListView):
    """The list of small pages; the current one is the page shown."""

    page_asked = Signal(int)

    def __init__(self, work: PageWork, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._marking = False
        self.pages = PagesModel(work, self.devicePixelRatioF(), self)
        self.setModel(self.pages)
        self.setItemDelegate(ThumbDelegate(self))
        self.setUniformItemSizes(True)
        self.setVerticalScrollMode(QListView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOn)
        bar = self.verticalScrollBar().sizeHint().width()
        self.setFixedWidth(BOX.width() + 20 + bar)
        self.setAccessibleName("Pages")
        self.selectionModel().currentChanged.connect(self._turned)

    def show_pages(self, images: PageImages | None) -> None:
        """Show other pages, or none."""
        self.pages.show_pages(images)

    def show_page(self, page: int) -> None:
        """Mark a page as the one shown, without a signal."""
        if self.currentIndex().row() != page:
            self._marking = True
            self.setCurrentIndex(self.pages.index(page))
            self._marking = False

    def _turned(self, now: QModelIndex) -> None:
        if now.isValid() and not self._marking:
            self.page_asked.emit(now.row())


def fitting(size: PageSize) -> float:
    """Logical pixels to one mm of a small page."""
    return min(BOX.width() / size.width, BOX.height() / size.height)
