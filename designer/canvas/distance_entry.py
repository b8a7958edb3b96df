"""The small box by the pointer that shows a gesture's value and takes a typed one."""

from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QFrame, QLabel, QVBoxLayout, QWidget

from designer.drawing.styles import Colours
from designer.units import LengthError, UnitSystem, parse_length

_STARTERS = "0123456789.,+-"
_OUTRIGHT = "=@"


class DistanceEntry(QFrame):
    """Shows "Moved: 50 mm" and under it "914 mm from the capped end"; typed digits take the value's
    place.

    It never takes the keyboard: the sheet hands it the keys, so that a drag goes on meanwhile.
    """

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setObjectName("distanceEntry")
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setAccessibleName("Distance")
        self._line = QLabel(self)
        self._line.setTextFormat(Qt.TextFormat.PlainText)
        self._besides = QLabel(self)
        self._besides.setTextFormat(Qt.TextFormat.PlainText)
        self._note = QLabel(self)
        self._note.setTextFormat(Qt.TextFormat.PlainText)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(9, 5, 9, 5)
        layout.setSpacing(1)
        layout.addWidget(self._line)
        layout.addWidget(self._besides)
        layout.addWidget(self._note)
        self._units: UnitSystem = "metric"
        self._takes_outright = False
        self.text = ""
        """What has been typed."""
        self.hide()

    def set_colours(self, colours: Colours) -> None:
        """Use the colours of the sheet."""
        self.setStyleSheet(
            f"#distanceEntry {{ background: {colours['sheet']}; border: 1px solid "
            f"{colours['chosen']}; border-radius: 4px; }}"
            f"#distanceEntry QLabel {{ color: {colours['ink']}; }}"
            f"#distanceEntry QLabel#note {{ color: {colours['soft']}; }}"
        )
        self._note.setObjectName("note")

    def start(self, units: UnitSystem, takes_outright: bool = False) -> None:
        """Begin anew; nothing is typed. `takes_outright`: "=" and a number means another thing
        than a number alone."""
        self._units, self._takes_outright, self.text = units, takes_outright, ""

    @property
    def outright(self) -> bool:
        """Whether what is typed begins with "=", or with "@" which is as good."""
        return self.text[:1] in tuple(_OUTRIGHT)

    def show_reading(self, prompt: str, reading: str, besides: str, note: str) -> None:
        """Show the value of the gesture, or what is typed in its place, and what else is known;
        under them a note on the keys."""
        value = f"{self.text.lstrip(_OUTRIGHT)}▏" if self.text else reading
        self._line.setText(f"{prompt}: {value}")
        for label, text in ((self._besides, besides), (self._note, note)):
            label.setText(text)
            label.setVisible(bool(text))
        said = [self._line.text(), besides]
        self.setAccessibleDescription(", ".join(text for text in said if text))
        self.adjustSize()

    def place_near(self, spot: QPoint) -> None:
        """Stand beside a point of the parent, wholly inside it."""
        room = self.parentWidget().size()
        x = (
            spot.x() + 18
            if spot.x() + 24 + self.width() < room.width()
            else (spot.x() - 18 - self.width())
        )
        y = min(max(4, spot.y() + 14), room.height() - self.height() - 4)
        self.move(max(4, x), y)
        self.show()
        self.raise_()

    def takes(self, text: str) -> bool:
        """Whether typed text belongs into the entry. After the first letter everything does, for
        what was left out in silence would make another number: 49 of 4x9."""
        if self.text:
            return text.isprintable() and bool(text)
        starters = _STARTERS + (_OUTRIGHT if self._takes_outright else "")
        return bool(text) and all(letter in starters for letter in text)

    def type(self, text: str) -> None:
        """Add typed text."""
        self.text += text

    def rub_out(self) -> None:
        """Take the last letter back."""
        self.text = self.text[:-1]

    def value(self, start: float) -> float:
        """The typed length in mm; after + or - it counts from `start`. LengthError says what is
        wrong with it."""
        text = self.text.lstrip(_OUTRIGHT).strip()
        if text[:1] in ("+", "-"):
            by = parse_length(text[1:], self._units)
            return start + by if text[0] == "+" else start - by
        return parse_length(text, self._units)

    def problem(self) -> str:
        """What is wrong with the typed text; empty when nothing is."""
        try:
            self.value(0.0)
        except LengthError as error:
            return str(error)
        return ""
