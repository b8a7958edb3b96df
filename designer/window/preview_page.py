"""One page, large: zoomed, moved by hand, keys or wheel, with rulers along its edges."""

from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import QEvent, QPoint, QPointF, QRect, QRectF, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QKeyEvent,
    QMouseEvent,
    QNativeGestureEvent,
    QPainter,
    QPaintEvent,
    QPixmap,
    QResizeEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QAbstractScrollArea, QWidget

from designer.units import UnitSystem
from designer.window.page_images import PageImages, PageSize, Raster
from designer.window.page_work import PageWork
from designer.window.preview_ruler import WIDTH, paint_rulers
from designer.window.tints import colours_for

GAP = 14
"""Pixels between the page and the edge of its room."""
LEAST_PER_MM, MOST_PER_MM = 0.2, 60.0
STEP = 1.25
KEY = "page"


@dataclass(frozen=True, slots=True)
class _Piece:
    """What is drawn of a page: a box of it at `scale` screen pixels to one mm."""

    page: int
    scale: float
    box: tuple[int, int, int, int]
    pixmap: QPixmap

    def covers(self, page: int, scale: float, box: QRect) -> bool:
        return self.page == page and self.scale == scale and QRect(*self.box).contains(box)


class PageView(QAbstractScrollArea):
    """Shows one page of several. What is seen, and a little round it, is drawn beside the window;
    until it is there, what was drawn before stands in its place."""

    page_asked = Signal(int)
    """The person turned to another page."""
    zoomed = Signal()

    def __init__(self, work: PageWork, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._work = work
        self._work.came.connect(self._take)
        self._images: PageImages | None = None
        self._piece: _Piece | None = None
        self._asked: tuple[Any, ...] | None = None
        self._scale = 1.0
        self._fits = True
        self._page = 0
        self._grip: QPoint | None = None
        self._pointer: QPoint | None = None
        self._turned = 0
        self.rulers_shown = True
        self.units: UnitSystem = "metric"
        self.setAccessibleName("Page")
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.viewport().setMouseTracking(True)
        self.viewport().setCursor(Qt.CursorShape.OpenHandCursor)
        self.setMinimumSize(260, 260)

    # --- what is shown --------------------------------------------------------------------------

    @property
    def page(self) -> int:
        """The page shown, from 0."""
        return self._page

    @property
    def per_mm(self) -> float:
        """Logical pixels to one mm of the page."""
        return self._scale

    @property
    def fits(self) -> bool:
        """Whether the whole page is kept in view."""
        return self._fits

    @property
    def drawn(self) -> bool:
        """Whether all that is seen is drawn as it is to be."""
        seen = self._seen()
        return self._piece is not None and self._piece.covers(self._page, self._real(), seen)

    def show_pages(self, images: PageImages | None, page: int = 0) -> None:
        """Show other pages, or none."""
        self._images = images
        self._piece = self._asked = None
        self._page = min(page, len(images.sizes) - 1) if images else 0
        self._lay_out()

    def show_page(self, page: int, at_foot: bool = False) -> None:
        """Turn to a page, at its head."""
        self._page = page
        self._lay_out()
        bar = self.verticalScrollBar()
        bar.setValue(bar.maximum() if at_foot else 0)

    def show_rulers(self, shown: bool, units: UnitSystem) -> None:
        """Show or hide the rulers, in mm or inches."""
        self.rulers_shown, self.units = shown, units
        self._lay_out()

    def fit(self) -> None:
        """Show the whole page."""
        self._fits = True
        self._lay_out()

    def show_at(self, per_mm: float) -> None:
        """Show it at so many logical pixels to one mm, its middle staying where it is."""
        self._zoom(per_mm, QPointF(self._room().center()))

    def zoom_by(self, factor: float) -> None:
        """Larger or smaller."""
        self.show_at(self._scale * factor)

    # --- where it lies --------------------------------------------------------------------------

    @property
    def _size(self) -> PageSize:
        return self._images.sizes[self._page] if self._images else PageSize(210.0, 297.0)

    def _room(self) -> QRect:
        """The viewport without the rulers."""
        strip = WIDTH if self.rulers_shown else 0
        return self.viewport().rect().adjusted(strip, strip, 0, 0)

    def page_rect(self) -> QRectF:
        """Where the page lies in the viewport."""
        room, size = self._room(), self._size
        width, height = size.width * self._scale, size.height * self._scale
        across, down = self.horizontalScrollBar(), self.verticalScrollBar()
        left = GAP - across.value() if across.maximum() else (room.width() - width) / 2
        top = GAP - down.value() if down.maximum() else (room.height() - height) / 2
        return QRectF(room.left() + round(left), room.top() + round(top), width, height)

    def _lay_out(self) -> None:
        room, size = self._room(), self._size
        if self._fits:
            wide, high = max(room.width() - 2 * GAP, 1), max(room.height() - 2 * GAP, 1)
            self._scale = max(min(wide / size.width, high / size.height), LEAST_PER_MM)
        for bar, whole, seen in (
            (self.horizontalScrollBar(), size.width * self._scale, room.width()),
            (self.verticalScrollBar(), size.height * self._scale, room.height()),
        ):
            bar.setPageStep(seen)
            bar.setSingleStep(40)
            bar.setRange(0, 0 if self._fits else max(0, round(whole + 2 * GAP - seen)))
        self._draw()
        self.zoomed.emit()

    def _zoom(self, per_mm: float, about: QPointF) -> None:
        """Take a scale; the spot of the page under `about` stays there where it can."""
        before = self.page_rect()
        spot = (about - before.topLeft()) / self._scale
        self._fits = False
        self._scale = min(max(per_mm, LEAST_PER_MM), MOST_PER_MM)
        self._lay_out()
        moved = self.page_rect().topLeft() + spot * self._scale - about
        for bar, by in (
            (self.horizontalScrollBar(), moved.x()),
            (self.verticalScrollBar(), moved.y()),
        ):
            bar.setValue(bar.value() + round(by))

    # --- drawing --------------------------------------------------------------------------------

    def _real(self) -> float:
        """Pixels of the screen itself to one mm."""
        return self._scale * self.devicePixelRatioF()

    def _seen(self, more: float = 0.0) -> QRect:
        """What is seen of the page in pixels of the screen, and `more` of the view round it."""
        ratio, page, room = self.devicePixelRatioF(), self.page_rect(), QRectF(self._room())
        wide, high = more * room.width(), more * room.height()
        seen = room.adjusted(-wide, -high, wide, high).translated(-page.topLeft())
        real = QRectF(seen.topLeft() * ratio, seen.size() * ratio).toAlignedRect()
        whole = QRect(0, 0, round(page.width() * ratio), round(page.height() * ratio))
        return real.intersected(whole)

    def _draw(self) -> None:
        """Ask for what is seen, if it is not there yet."""
        self.viewport().update()
        images, page, scale = self._images, self._page, self._real()
        if images is None or self._seen().isEmpty() or self.drawn:
            return
        seen = self._seen(0.5)
        box = seen.x(), seen.y(), seen.width(), seen.height()
        if self._asked == (page, scale, box):
            return
        self._asked = page, scale, box
        self._work.ask(KEY, lambda: (page, scale, box, images.raster(page, scale, box)))

    def _take(self, key: object, answer: Any) -> None:
        if key != KEY or answer[:3] != self._asked:
            return
        page, scale, box, raster = answer
        assert isinstance(raster, Raster)
        self._piece = _Piece(page, scale, box, QPixmap.fromImage(raster.image()))
        self._asked = None
        self._draw()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self.viewport())
        colours, page = colours_for(self.palette()), self.page_rect()
        painter.fillRect(self.viewport().rect(), self.palette().window())
        if self._images is not None:
            painter.save()
            painter.setClipRect(self._room())
            painter.fillRect(page.translated(3, 3), QColor(0, 0, 0, 60))
            painter.fillRect(page, QColor("white"))
            if self._piece is not None and self._piece.page == self._page:
                piece, by = self._piece, self._scale / self._piece.scale
                left, top, width, height = (side * by for side in piece.box)
                to = QRectF(page.left() + left, page.top() + top, width, height)
                rough = piece.scale != self._real()
                painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform, rough)
                painter.drawPixmap(to, piece.pixmap, QRectF(piece.pixmap.rect()))
            painter.setPen(QColor(colours["soft"]))
            painter.drawRect(page.adjusted(-0.5, -0.5, 0.5, 0.5))
            painter.restore()
            if self.rulers_shown:
                room, pointer = QRectF(self.viewport().rect()), self._pointer
                paint_rulers(painter, room, page, self._scale, self.units, self.palette(), pointer)
        painter.end()

    def scrollContentsBy(self, _dx: int, _dy: int) -> None:
        self._draw()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._lay_out()

    # --- the hand -------------------------------------------------------------------------------

    def turn(self, by: int, at_foot: bool = False) -> bool:
        """Turn so many pages on; False where there is none."""
        there = self._page + by
        if self._images is None or not 0 <= there < len(self._images.sizes):
            return False
        self.show_page(there, at_foot)
        self.page_asked.emit(there)
        return True

    def keyPressEvent(self, event: QKeyEvent) -> None:
        bar, last = self.verticalScrollBar(), len(self._images.sizes) - 1 if self._images else 0
        match event.key():
            case Qt.Key.Key_PageDown if bar.value() == bar.maximum():
                self.turn(1)
            case Qt.Key.Key_PageUp if bar.value() == 0:
                self.turn(-1, at_foot=True)
            case Qt.Key.Key_Home:
                self.turn(-self._page)
            case Qt.Key.Key_End:
                self.turn(last - self._page)
            case Qt.Key.Key_Plus | Qt.Key.Key_Equal:
                self.zoom_by(STEP)
            case Qt.Key.Key_Minus:
                self.zoom_by(1 / STEP)
            case _:
                super().keyPressEvent(event)

    def wheelEvent(self, event: QWheelEvent) -> None:
        if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self._zoom(self._scale * STEP ** (event.angleDelta().y() / 120), event.position())
        elif self.verticalScrollBar().maximum() or event.modifiers():
            super().wheelEvent(event)
        else:  # the whole page is seen: the wheel turns pages
            self._turned += event.angleDelta().y()
            while abs(self._turned) >= 120:
                on = -1 if self._turned > 0 else 1
                self._turned += 120 * on
                self.turn(on)
        event.accept()

    def viewportEvent(self, event: QEvent) -> bool:
        if isinstance(event, QNativeGestureEvent):
            if event.gestureType() == Qt.NativeGestureType.ZoomNativeGesture:
                self._zoom(self._scale * (1 + event.value()), event.position())
            return True
        if event.type() == QEvent.Type.Leave:
            self._pointer = None
            self.viewport().update()
        return super().viewportEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        if event.button() == Qt.MouseButton.LeftButton:
            self._grip = event.position().toPoint()
            self.viewport().setCursor(Qt.CursorShape.ClosedHandCursor)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        self._pointer = at = event.position().toPoint()
        if self._grip is not None:
            by, self._grip = at - self._grip, at
            across, down = self.horizontalScrollBar(), self.verticalScrollBar()
            across.setValue(across.value() - by.x())
            down.setValue(down.value() - by.y())
        self.viewport().update()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        self._grip = None
        self.viewport().setCursor(Qt.CursorShape.OpenHandCursor)
