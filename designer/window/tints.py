"""What the panels share of the look: toned labels, and the colours and symbols of the checks."""

from PySide6.QtCore import Qt
from PySide6.QtGui import QIcon, QPalette
from PySide6.QtWidgets import QLabel, QWidget

from designer.checks.finding import State
from designer.drawing.styles import DARK, LIGHT, Colours, Role
from designer.window.icons import icon

STATE_ROLES: dict[State, Role] = {"must_fix": "must", "look_again": "look", "good": "good"}


def colours_for(palette: QPalette) -> Colours:
    """The light or the dark table of colours, whichever suits a palette's window."""
    window = palette.color(QPalette.ColorRole.Window)
    return DARK if window.lightness() < 128 else LIGHT


def toned_label(text: str, tone: str, parent: QWidget | None = None) -> QLabel:
    """A wrapping label in one of the tones of the window's style sheet: soft, refused, heading."""
    label = QLabel(text, parent)
    label.setProperty("tone", tone)
    label.setWordWrap(True)
    label.setTextFormat(Qt.TextFormat.PlainText)
    return label


def state_icon(state: State, palette: QPalette) -> QIcon:
    """A check's symbol: filled diamond with "!", open triangle with "?", tick. The shapes tell the
    states apart without the colour."""
    return icon(state, colours_for(palette)[STATE_ROLES[state]])
