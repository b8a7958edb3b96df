"""Rulers along the top and left edge of a page view, their zero in the page's corner."""

from PySide6.QtCore import QPoint, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QPainter, QPalette, QPen

from designer.units import UnitSystem
from designer.window.page_ruler import ticks
from designer.window.tints import colours_for

WIDTH = 28


def paint_rulers(
    painter: QPainter,
    room: QRectF,
    page: QRectF,
    pixels_per_mm: float,
    units: UnitSystem,
    palette: QPalette,
    pointer: QPoint | None,
) -> None:
    """Both rulers over the edges of `room`; `page` is where the page lies, in the same pixels.

    They measure the page only. `pointer` is marked on both.
    """
    colours = colours_for(palette)
    ink, ground = QColor(colours["ink"]), QColor(colours["sheet"])
    font = QFont(painter.font())
    font.setPixelSize(11)
    painter.setFont(font)
    for along in (False, True):
        painter.save()
        length = room.height() if along else room.width()
        if along:  # the same ruler turned: x runs down, y runs in from the left
            painter.translate(room.left(), room.top())
            painter.rotate(90)
            painter.scale(1, -1)
            start, size = page.top() - room.top(), page.height()
        else:
            painter.translate(room.left(), room.top())
            start, size = page.left() - room.left(), page.width()
        painter.fillRect(QRectF(0, 0, length, WIDTH), ground)
        painter.setClipRect(QRectF(WIDTH, 0, length - WIDTH, WIDTH))
        painter.setPen(QPen(ink, 1))
        first = max(0.0, (WIDTH - start) / pixels_per_mm)
        last = min(size, length - start) / pixels_per_mm
        for tick in ticks(first, max(first, last), pixels_per_mm, units):
            x = round(start + tick.at * pixels_per_mm) + 0.5
            painter.drawLine(QPointF(x, WIDTH), QPointF(x, WIDTH - 3 - 9 * tick.share))
            if tick.number:
                _number(painter, x, tick.number, along)
        if pointer is not None:
            at = pointer.y() - room.top() if along else pointer.x() - room.left()
            painter.setPen(QPen(QColor(colours["accent"]), 2))
            painter.drawLine(QPointF(at, 0), QPointF(at, WIDTH))
        painter.setPen(QPen(QColor(colours["soft"]), 1))
        painter.drawLine(QPointF(0, WIDTH - 0.5), QPointF(length, WIDTH - 0.5))
        painter.restore()
    painter.fillRect(QRectF(room.left(), room.top(), WIDTH - 1, WIDTH - 1), ground)
    painter.setPen(QColor(colours["soft"]))
    corner = QRectF(room.left(), room.top(), WIDTH, WIDTH)
    painter.drawText(corner, Qt.AlignmentFlag.AlignCenter, "mm" if units == "metric" else "in")


def _number(painter: QPainter, x: float, number: str, along: bool) -> None:
    painter.save()
    painter.translate(x, 7)
    if along:  # turned so that it reads up the edge
        painter.scale(-1, 1)
    box = QRectF(-40, -8, 80, 16)
    painter.drawText(box, Qt.AlignmentFlag.AlignCenter, number)
    painter.restore()
