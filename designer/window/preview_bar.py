"""Above the page: smaller and larger, the whole page, true size, and the rulers."""

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLabel, QPushButton, QSizePolicy, QWidget

from designer.units import UnitSystem
from designer.window.preview_page import STEP, PageView
from designer.window.screen_scale import ScreenScale

if TYPE_CHECKING:
    from designer.window.shell import Shell

RULERS: tuple[tuple[str, bool, UnitSystem], ...] = (
    ("Rulers in mm", True, "metric"),
    ("Rulers in inches", True, "imperial"),
    ("No rulers", False, "metric"),
)


class PreviewBar(QWidget):
    """The controls of a page view."""

    def __init__(self, view: PageView, shell: "Shell", units: UnitSystem) -> None:
        super().__init__()
        self._view = view
        self._shell = shell
        self._units = units
        self._scale = ScreenScale(shell.settings)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        self.smaller = self._button("−", "Smaller", lambda: view.zoom_by(1 / STEP))
        self.zoom = QLabel()
        self.zoom.setAccessibleName("Zoom")
        self.zoom.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.zoom.setMinimumWidth(self.fontMetrics().horizontalAdvance("1600 %") + 8)
        self.larger = self._button("+", "Larger", lambda: view.zoom_by(STEP))
        self.whole = self._button("&Whole page", "Show the whole page (Ctrl+0)", view.fit)
        self.true = self._button("&1:1 on screen", "As large as on paper (Ctrl+1)", self.true_size)
        self.check = self._button(
            "&Hold a ruler to it…", "Make 1:1 true on this screen", self._measure
        )
        self.rulers = QComboBox()
        self.rulers.setAccessibleName("Rulers")
        self.rulers.addItems([words for words, _, _ in RULERS])
        self.rulers.setCurrentIndex(0 if units == "metric" else 1)
        self.rulers.activated.connect(self._show_rulers)
        for widget in (self.smaller, self.zoom, self.larger, self.whole, self.true, self.check):
            row.addWidget(widget)
        row.addStretch(1)
        row.addWidget(self.rulers)
        view.show_rulers(True, units)
        view.zoomed.connect(self._show_zoom)
        self._show_zoom()

    def true_size(self) -> None:
        """Show the page as large as it is on paper."""
        self._view.show_at(self._scale.per_mm(self.screen()))

    def _button(self, text: str, tip: str, call: object) -> QPushButton:
        button = QPushButton(text)
        button.setToolTip(tip)
        button.setAutoDefault(False)
        if len(text) == 1:
            button.setAccessibleName(tip)
            button.setFixedWidth(button.sizeHint().height() + 6)
        button.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        button.clicked.connect(call)
        return button

    def _show_zoom(self) -> None:
        percent = 100 * self._view.per_mm / self._scale.per_mm(self.screen())
        self.zoom.setText(f"{percent:.0f} %")

    def _show_rulers(self, index: int) -> None:
        _, shown, units = RULERS[index]
        self._view.show_rulers(shown, units)

    def _measure(self) -> None:
        from designer.window.screen_dialog import ScreenDialog

        dialog = ScreenDialog(self._shell, self._units, self.window())
        dialog.accepted.connect(self.true_size)
        dialog.open()
