"""Going by keys from panel to panel, and to the sheet between them."""

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QWidget

if TYPE_CHECKING:
    from designer.window.main_window import MainWindow

SHEET = "sheet"
ORDER = ("parts", SHEET, "dimensions", "checks", "water", "takeoff")
"""The way round, from the left."""


class PanelWalk:
    """The places of one window where keys can go."""

    def __init__(self, window: "MainWindow") -> None:
        self._window = window

    def go(self, name: str) -> None:
        """Show a panel, or the sheet, and give it the keys."""
        sheet = self._window.sheet
        if sheet is None:
            return
        if name == SHEET:
            sheet.setFocus(Qt.FocusReason.ShortcutFocusReason)
            return
        dock = self._window.docks[name]
        dock.show()
        dock.raise_()
        panel = dock.widget()
        stop = first_stop(panel) if panel is not None else None
        if stop is not None:
            stop.setFocus(Qt.FocusReason.TabFocusReason)

    def step(self, by: int) -> None:
        """Go to the next place, or to the one before with -1; closed panels are left out."""
        docks = self._window.docks
        open_ones = [name for name in ORDER if name == SHEET or not docks[name].isHidden()]
        here = self._here()
        at = open_ones.index(here) if here in open_ones else -1 if by > 0 else 0
        self.go(open_ones[(at + by) % len(open_ones)])

    def _here(self) -> str:
        focus = QApplication.focusWidget()
        if focus is None:
            return ""
        for name, dock in self._window.docks.items():
            if dock.isAncestorOf(focus):
                return name
        return SHEET if focus is self._window.sheet else ""


def first_stop(panel: QWidget) -> QWidget | None:
    """Where Tab comes to first inside a panel."""
    if panel.focusProxy() is not None:
        return panel.focusProxy()
    widget = panel.nextInFocusChain()
    while widget is not None and widget is not panel:
        takes = bool(widget.focusPolicy() & Qt.FocusPolicy.TabFocus)
        if panel.isAncestorOf(widget) and takes and widget.isVisible() and widget.isEnabled():
            return widget
        widget = widget.nextInFocusChain()
    return None
