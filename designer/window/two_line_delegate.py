"""Rows of a list or tree with a symbol, a bold title, and a softer text that wraps below it."""

from PySide6.QtCore import (
    QEvent,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    QRect,
    QSize,
    Qt,
)
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontMetrics,
    QGuiApplication,
    QIcon,
    QPainter,
    QPalette,
    QPen,
)
from PySide6.QtWidgets import (
    QAbstractItemView,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTreeView,
)

from designer.window.theme import mix
from designer.window.tints import colours_for

DETAIL_ROLE = Qt.ItemDataRole.UserRole + 1
"""The text below the title; none when empty."""
PLAIN_ROLE = Qt.ItemDataRole.UserRole + 2
"""True where the title is not bold."""
MARGIN = 4
PALE = 0.45
"""Opacity of the rows of a view that is not enabled."""
_WRAP = Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop

Index = QModelIndex | QPersistentModelIndex


class TwoLineDelegate(QStyledItemDelegate):
    """Draws the rows of one view, as wide as it shows them and as high as their texts need."""

    def __init__(self, view: QAbstractItemView, symbol_size: int) -> None:
        super().__init__(view)
        self._view = view
        self._symbol = symbol_size
        self._soften_selection()
        view.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if watched is not self._view:
            return super().eventFilter(watched, event)
        if event.type() == QEvent.Type.PaletteChange:
            self._soften_selection()
        return False

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        width = self._view.viewport().width() - self._indent(index)
        title, detail = self._heights(index, self._text_width(width))
        return QSize(width, max(self._symbol, title + detail) + 2 * MARGIN)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        self.initStyleOption(option, index)
        icon, option.text, option.icon = QIcon(option.icon), "", QIcon()
        option.features &= ~QStyleOptionViewItem.ViewItemFeature.HasDecoration
        style = self._view.style()
        style.drawControl(QStyle.ControlElement.CE_ItemViewItem, option, painter, self._view)
        box = option.rect.adjusted(MARGIN, MARGIN, -MARGIN, -MARGIN)
        icon.paint(painter, QRect(box.topLeft(), QSize(self._symbol, self._symbol)))
        box.setLeft(box.left() + self._symbol + 2 * MARGIN)
        title, _ = self._heights(index, box.width())
        colours = colours_for(self._view.palette())
        painter.save()
        if not option.state & QStyle.StateFlag.State_Enabled:
            painter.setOpacity(PALE)
        if option.state & QStyle.StateFlag.State_HasFocus:
            painter.setPen(QPen(QColor(colours["accent"]), 2))
            painter.drawRect(option.rect.adjusted(1, 1, -1, -1))
        painter.setFont(self._font(index))
        painter.setPen(QColor(colours["ink"]))
        painter.drawText(QRect(box.topLeft(), QSize(box.width(), title)), _WRAP, _title(index))
        if detail := _detail(index):
            painter.setFont(self._view.font())
            painter.setPen(QColor(colours["soft"]))
            painter.drawText(box.adjusted(0, title, 0, 0), _WRAP, detail)
        painter.restore()

    def _soften_selection(self) -> None:
        """Mark the chosen row with a light tint, on which symbols and texts keep their contrast."""
        palette, given = self._view.palette(), QGuiApplication.palette()
        base = given.color(QPalette.ColorRole.Base).name()
        tint = QColor(mix(base, given.color(QPalette.ColorRole.Highlight).name(), 0.16))
        # Setting a palette brings another change event; the comparison ends the chain.
        if palette.color(QPalette.ColorRole.Highlight) != tint:
            palette.setColor(QPalette.ColorRole.Highlight, tint)
            self._view.setPalette(palette)

    def _indent(self, index: Index) -> int:
        if not isinstance(self._view, QTreeView):
            return 0
        depth = 1
        while (index := index.parent()).isValid():
            depth += 1
        return depth * self._view.indentation()

    def _text_width(self, width: int) -> int:
        return max(40, width - self._symbol - 4 * MARGIN)

    def _font(self, index: Index) -> QFont:
        font = QFont(self._view.font())
        font.setBold(not index.data(PLAIN_ROLE))
        return font

    def _heights(self, index: Index, width: int) -> tuple[int, int]:
        room = QRect(0, 0, width, 10_000)
        title = QFontMetrics(self._font(index)).boundingRect(room, _WRAP, _title(index)).height()
        detail = _detail(index)
        if not detail:
            return title, 0
        return title, self._view.fontMetrics().boundingRect(room, _WRAP, detail).height()


def _title(index: Index) -> str:
    return str(index.data(Qt.ItemDataRole.DisplayRole) or "")


def _detail(index: Index) -> str:
    return str(index.data(DETAIL_ROLE) or "")
