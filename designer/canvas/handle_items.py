"""Shows handles in the scene, always of the same size on the screen."""

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainterPath, QPen, QPolygonF, QTransform
from PySide6.QtWidgets import QGraphicsItem, QGraphicsPathItem

from designer.canvas.gestures import PaneName
from designer.canvas.handles import AnyHandle, HandleShape
from designer.canvas.painter import Ink
from designer.canvas.scene import Pane

HANDLE_REACH = 13.0
"""Pixels from a handle's middle within which the pointer takes hold of it: a target of 26 px."""
HANDLE_SHAPE = 7.1
"""Pixels from a handle's middle to the corner of its drawn square."""
_ABOVE = 2e9

CURSORS = {
    "upright": Qt.CursorShape.SizeVerCursor,
    "level": Qt.CursorShape.SizeHorCursor,
    "corner": Qt.CursorShape.CrossCursor,
}


def _shape(kind: HandleShape) -> QPainterPath:
    path = QPainterPath()
    if kind == "corner":
        path.addRect(QRectF(-5, -5, 10, 10))
        return path
    arrow = [(0, -10), (6, -3), (2, -3), (2, 3), (6, 3), (0, 10), (-6, 3), (-2, 3), (-2, -3)]
    polygon = QPolygonF([QPointF(x, y) for x, y in [*arrow, (-6, -3)]])
    if kind == "level":
        polygon = QTransform().rotate(90).map(polygon)
    path.addPolygon(polygon)
    path.closeSubpath()
    return path


class HandleItems:
    """The items of the handles on show, by key."""

    def __init__(self, panes: dict[PaneName, Pane]) -> None:
        self._panes = panes
        self._items: dict[str, tuple[str, QGraphicsPathItem]] = {}
        self._ring: QGraphicsPathItem | None = None

    def show(self, handles: list[AnyHandle], focused: str | None, ink: Ink) -> None:
        """Show these handles, one of them with the ring of the keyboard's focus."""
        wanted = {handle.key: handle for handle in handles}
        for key in [k for k in self._items if k not in wanted]:
            _, item = self._items.pop(key)
            item.scene().removeItem(item)
        if self._ring is not None:
            self._ring.scene().removeItem(self._ring)
            self._ring = None
        for key, handle in wanted.items():
            root = self._panes[handle.pane].root
            if key not in self._items:
                self._items[key] = (handle.pane, _new_item(_shape(handle.shape), root))
            _, item = self._items[key]
            item.setPos(handle.x, handle.y)
            item.setPen(QPen(ink.colour("sheet"), 1.5))
            item.setBrush(ink.colour("chosen"))
            if handle.shape == "corner":
                item.setPen(QPen(ink.colour("chosen"), 2))
                item.setBrush(ink.colour("sheet"))
            if key == focused:
                circle = QPainterPath()
                circle.addEllipse(QPointF(0, 0), 14, 14)
                self._ring = _new_item(circle, root)
                self._ring.setPos(handle.x, handle.y)
                self._ring.setPen(QPen(ink.colour("chosen"), 2.5))


def _new_item(path: QPainterPath, parent: QGraphicsItem) -> QGraphicsPathItem:
    item = QGraphicsPathItem(path, parent)
    item.setFlag(QGraphicsItem.GraphicsItemFlag.ItemIgnoresTransformations)
    item.setZValue(_ABOVE)
    return item
