"""Makes the screen true to size: a bar is compared with a ruler held to the glass."""

from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QColor, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QPushButton, QVBoxLayout, QWidget

from designer.units import MM_PER_INCH, UnitSystem, format_length, style_for
from designer.window.bounds import Bounds
from designer.window.fields import LengthField
from designer.window.screen_scale import ScreenScale
from designer.window.tints import colours_for, toned_label

if TYPE_CHECKING:
    from designer.window.shell import Shell

GAP = 26


def bar_length(units: UnitSystem) -> float:
    """Length of the bar to compare, mm: 100 mm, or 4 in."""
    return 100.0 if units == "metric" else 4 * MM_PER_INCH


class ScreenBar(QWidget):
    """A bar whose right end follows the mouse and the arrow keys."""

    changed = Signal(float)
    """Its length now, logical pixels."""

    def __init__(self, pixels: float, words: str, most: float, parent: QWidget | None = None):
        super().__init__(parent)
        self._pixels = pixels
        self._words = words
        self._most = most
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(f"Bar of {words}")
        self.setCursor(Qt.CursorShape.SizeHorCursor)
        self.setMinimumHeight(96)
        self.setMinimumWidth(round(min(max(pixels * 1.15, 320), 900)) + 2 * GAP)

    @property
    def pixels(self) -> float:
        """The bar's length, logical pixels."""
        return self._pixels

    def end(self) -> QPointF:
        """Where its right end stands."""
        return QPointF(GAP + self._pixels, self.height() / 2)

    def show_pixels(self, pixels: float) -> None:
        """Draw it so long."""
        self._pixels = min(max(pixels, 20.0), self._most)
        self.update()

    def _pull(self, pixels: float) -> None:
        self.show_pixels(pixels)
        self.changed.emit(self._pixels)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self.mouseMoveEvent(event)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        if event.buttons() & Qt.MouseButton.LeftButton:
            self._pull(event.position().x() - GAP)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        step = 10.0 if event.modifiers() & Qt.KeyboardModifier.ShiftModifier else 1.0
        if event.key() in (Qt.Key.Key_Right, Qt.Key.Key_Up):
            self._pull(self._pixels + step)
        elif event.key() in (Qt.Key.Key_Left, Qt.Key.Key_Down):
            self._pull(self._pixels - step)
        else:
            super().keyPressEvent(event)

    def paintEvent(self, _event: QPaintEvent) -> None:
        colours = colours_for(self.palette())
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setBrush(QColor(colours["sheet"]))
        edge = QColor(colours["accent" if self.hasFocus() else "soft"])
        painter.setPen(QPen(edge, 2 if self.hasFocus() else 1))
        painter.drawRoundedRect(QRectF(self.rect()).adjusted(1, 1, -1, -1), 8, 8)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        middle, end = self.height() / 2, self.end()
        painter.setPen(QPen(QColor(colours["ink"]), 1))
        painter.drawLine(QPointF(GAP, middle), end)
        for x in (GAP, end.x()):
            painter.drawLine(QPointF(x, middle - 22), QPointF(x, middle + 22))
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(colours["accent"]))
        painter.drawEllipse(end + QPointF(0, 28), 7, 7)
        painter.setPen(QColor(colours["ink"]))
        room = QRectF(GAP, middle + 4, self._pixels, 30)
        painter.drawText(room, Qt.AlignmentFlag.AlignCenter, self._words)
        painter.end()


class ScreenDialog(QDialog):
    """Asks what a ruler says of a bar on this screen, and keeps it."""

    def __init__(self, shell: "Shell", units: UnitSystem, parent: QWidget) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle("True size on this screen")
        self._scale = ScreenScale(shell.settings)
        self._screen = parent.screen()
        self._true = bar_length(units)
        words = format_length(self._true, style_for(units))
        column = QVBoxLayout(self)
        column.setSpacing(12)
        column.addWidget(
            toned_label(
                f"Hold a ruler to the screen. Drag the dot, or press the arrow keys, until the bar "
                f"is {words} long from tick to tick. Or type what your ruler says of it.",
                "soft",
            )
        )
        per_mm = self._scale.per_mm(self._screen)
        most = self._screen.availableGeometry().width() * 0.9
        self.bar = ScreenBar(per_mm * self._true, words, most)
        column.addWidget(self.bar)
        self.measured = LengthField(
            "My ruler says",
            "The length of the bar from tick to tick",
            Bounds(at_least=self._true / 4, at_most=self._true * 4),
            units,
            places=1,
        )
        self.measured.show_value(self._true)
        self.measured.entered.connect(self._typed)
        column.addWidget(self.measured)
        self.reason = toned_label("", "refused")
        self.reason.hide()
        column.addWidget(self.reason)
        column.addStretch(1)
        foot = QDialogButtonBox(QDialogButtonBox.StandardButton.Cancel)
        keep = foot.addButton("&Keep", QDialogButtonBox.ButtonRole.AcceptRole)
        self.believe = QPushButton("&Forget mine")
        self.believe.setToolTip("Believe what the screen says of itself")
        self.believe.clicked.connect(self._forget)
        foot.addButton(self.believe, QDialogButtonBox.ButtonRole.ResetRole)
        # Only now, for the box shows what is added to it.
        self.believe.setVisible(self._scale.corrected(self._screen))
        foot.accepted.connect(self.accept)
        foot.rejected.connect(self.reject)
        column.addWidget(foot)
        # Only now, for a button that is not in its dialog yet does not become the default one.
        keep.setDefault(True)

    def _typed(self, says: float) -> None:
        """Draw the bar so that it is as long as it should be."""
        self.bar.show_pixels(self.bar.pixels * self._true / says)
        self.measured.show_value(self._true)

    def _forget(self) -> None:
        self._scale.forget(self._screen)
        super().accept()

    def accept(self) -> None:
        self.measured.finish()
        if self.measured.reason:
            return
        try:
            self._scale.keep(self._screen, self.bar.pixels / self._true)
        except ValueError as error:
            self.reason.setText(str(error))
            self.reason.show()
            return
        super().accept()
