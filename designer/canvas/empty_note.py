"""What an empty sheet says in its middle."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel, QWidget

from designer.drawing.styles import Colours
from designer.model.design import Design

_TEXT = (
    "Drag a run here from the parts bin,\nor choose it there and press Enter.\n"
    "Buckets, reservoir and walls come next."
)


class EmptyNote(QLabel):
    """A line of advice that lies on the sheet while nothing stands on it."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(_TEXT, parent)
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.hide()

    def set_colours(self, colours: Colours) -> None:
        """Use the colours of the sheet."""
        self.setStyleSheet(f"color: {colours['soft']}; font-size: 14px; background: transparent;")
        self.adjustSize()

    def show_for(self, design: Design) -> None:
        """Show the note while a design is empty, in the middle of the sheet."""
        empty = not (design.runs or design.obstacles or design.outline or design.reservoir)
        if empty:
            room = self.parentWidget().rect().center() - self.rect().center()
            self.move(room)
        self.setVisible(empty)
