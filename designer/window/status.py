"""The right end of the status bar: how the checks stand, and the units."""

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QMenu, QToolButton, QWidget

from designer.analysis import Analysis
from designer.checks.finding import STATE_WORDS, STATES, State
from designer.window.findings_model import waiting_for_water
from designer.window.tints import state_icon, toned_label

WAITING = "Being worked out… "


class CheckCounts(QWidget):
    """ "Must fix 1, Look again 2, Good 31", each with its symbol. A press asks for the checks."""

    asked = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        line = QHBoxLayout(self)
        line.setContentsMargins(0, 0, 6, 0)
        line.setSpacing(2)
        self._waiting = toned_label("", "soft")
        self._waiting.setWordWrap(False)
        line.addWidget(self._waiting)
        self._buttons: dict[State, QToolButton] = {}
        for state in STATES:
            button = QToolButton()
            button.setAutoRaise(True)
            button.setIconSize(QSize(16, 16))
            button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
            button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
            button.setToolTip("Show the checks")
            button.clicked.connect(self.asked)
            line.addWidget(button)
            self._buttons[state] = button

    def show_counts(self, analysis: Analysis) -> None:
        """Show how many findings of an analysis are in each state, and whether some of them are
        being worked out again."""
        self._waiting.setText(WAITING if waiting_for_water(analysis.findings) else "")
        for state, button in self._buttons.items():
            text = f"{STATE_WORDS[state]} {analysis.counts[state]}"
            if button.text() != text:
                button.setText(text)
                button.setAccessibleName(f"Checks, {text}")

    def show_colours(self) -> None:
        """Draw the symbols in the colours of the theme in force."""
        for state, button in self._buttons.items():
            button.setIcon(state_icon(state, self.palette()))


class UnitsButton(QToolButton):
    """The units in use, with the menu to change them."""

    def __init__(self, menu: QMenu, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAutoRaise(True)
        self.setMenu(menu)
        self.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        self.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextOnly)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setToolTip("Change the units")

    def show_units(self, units: str) -> None:
        """Show "metric" or "imperial" in plain words."""
        text = "Lengths in mm" if units == "metric" else "Lengths in feet and inches"
        self.setText(text)
        self.setAccessibleName(text)
