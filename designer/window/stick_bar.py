"""One stick drawn to scale: its cuts in order from the left, the offcut hatched."""

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from designer.takeoff.sticks import PlannedStick
from designer.window.theme import mix
from designer.window.tints import colours_for

_PALE = 0.35


class StickBar(QWidget):
    """A bar as long as `stick` is of `longest` (mm)."""

    def __init__(self, stick: PlannedStick, longest: float, described: str) -> None:
        super().__init__()
        self.stick = stick
        self._longest = max(longest, stick.stock, 1.0)
        self.setAccessibleName("Stick")
        self.setAccessibleDescription(described)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def sizeHint(self) -> QSize:
        """One line of text high."""
        return QSize(180, self.fontMetrics().height() + 8)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Pieces with their marks where these fit; every mark also stands in the words below."""
        colours, metrics = colours_for(self.palette()), self.fontMetrics()
        sheet, ink = colours["sheet"], colours["ink"]
        painter = QPainter(self)
        if not self.isEnabled():
            painter.setOpacity(_PALE)
        scale, high = (self.width() - 2) / self._longest, self.height() - 3
        whole = QRectF(1, 1, self.stick.stock * scale, high)
        painter.fillRect(whole, QColor(sheet))
        painter.fillRect(whole, QBrush(QColor(mix(sheet, ink, 0.4)), Qt.BrushStyle.BDiagPattern))
        # The saw's cuts and the trimmed end lie between the pieces.
        gone = self.stick.stock - self.stick.offcut - sum(c.length for c in self.stick.cuts)
        saw, x = gone / max(len(self.stick.cuts), 1), 1.0
        for cut in self.stick.cuts:
            box = QRectF(x, 1, cut.length * scale, high)
            painter.fillRect(box, QColor(mix(sheet, colours["wood"], 0.35)))
            painter.setPen(QPen(QColor(ink), 1))
            painter.drawRect(box)
            for text in (cut.mark, cut.mark.rpartition(" ")[2]):
                if metrics.horizontalAdvance(text) + 6 <= box.width():
                    painter.drawText(box, Qt.AlignmentFlag.AlignCenter, text)
                    break
            x += (cut.length + saw) * scale
        painter.setPen(QPen(QColor(ink), 1))
        painter.drawRect(whole)
        painter.end()
