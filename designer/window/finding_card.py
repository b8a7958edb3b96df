"""One finding in full: what is, what is needed, why, and what would mend it."""

from collections.abc import Callable

from PySide6.QtCore import QEvent, QSize, Qt, Signal
from PySide6.QtGui import QFocusEvent, QMouseEvent, QMoveEvent, QResizeEvent
from PySide6.QtWidgets import QLabel, QPushButton, QSizePolicy, QVBoxLayout, QWidget

from designer.checks.finding import Case, Finding, Remedy
from designer.window.findings_model import names_of
from designer.window.tints import toned_label

_BY_KEYS = (
    Qt.FocusReason.TabFocusReason,
    Qt.FocusReason.BacktabFocusReason,
    Qt.FocusReason.ShortcutFocusReason,
)
POINT = "Point at a remedy to see it on trial; press it to do it."


class WrapButton(QPushButton):
    """A button whose words wrap, so that they are never cut off in a narrow panel."""

    def __init__(self, text: str) -> None:
        super().__init__(text)
        self.words = text
        self.setAccessibleName(text)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def minimumSizeHint(self) -> QSize:
        return QSize(100, self.sizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        lines = [""]
        for word in self.words.split():
            longer = f"{lines[-1]} {word}".strip()
            if lines[-1] and self.fontMetrics().horizontalAdvance(longer) > self.width() - 34:
                lines.append(word)
            else:
                lines[-1] = longer
        wrapped = "\n".join(lines).replace("&", "&&")
        if wrapped != self.text():
            self.setText(wrapped)


class RemedyButton(WrapButton):
    """Shows what its remedy would do while the mouse or the keyboard is on it."""

    tried = Signal()
    left = Signal()

    def __init__(self, remedy: Remedy) -> None:
        super().__init__(remedy.label)
        self.remedy = remedy
        self.pointed = False
        self.setMouseTracking(True)
        self.setAccessibleDescription(POINT)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        # Not on enter: a button that comes up under a resting mouse must not try anything.
        self.pointed = True
        self.tried.emit()
        super().mouseMoveEvent(event)

    def leaveEvent(self, event: QEvent) -> None:
        self.leave()
        super().leaveEvent(event)

    def leave(self) -> None:
        """The mouse is not on it any more."""
        self.pointed = False
        self.left.emit()

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        if event.reason() in _BY_KEYS:
            self.tried.emit()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.left.emit()


class FindingCard(QWidget):
    """Shows a finding, or one case of it, and says which of its buttons is used."""

    tried = Signal(object)
    """The remedy that is pointed at."""
    left = Signal()
    done = Signal(object)
    """The remedy that was pressed."""
    accept_asked = Signal()
    take_back_asked = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.finding: Finding | None = None
        self.buttons: list[RemedyButton] = []
        self.title = toned_label("", "", self)
        bold = self.title.font()
        bold.setBold(True)
        self.title.setFont(bold)
        self.about = toned_label("", "", self)
        self.texts: dict[str, QLabel] = {}
        self._column = column = QVBoxLayout(self)
        column.setContentsMargins(4, 4, 4, 4)
        column.setSpacing(3)
        column.addWidget(self.title)
        self._add_text("Now")
        self._add_text("Needed")
        self.accepted = toned_label("", "", self)
        self.accept = WrapButton("Accept with a reason…")
        self.take_back = WrapButton("Take back the acceptance")
        self.trying = toned_label("", "soft", self)
        self._remedies = QVBoxLayout()
        column.addWidget(self.accepted)
        column.addSpacing(3)
        column.addLayout(self._remedies)
        for button in (self.accept, self.take_back):
            column.addWidget(button)
        self.accept.clicked.connect(self.accept_asked)
        self.take_back.clicked.connect(self.take_back_asked)
        column.addWidget(self.trying)
        column.addWidget(self.about)
        self._add_text("Why")
        self._add_text("Source")
        column.addStretch(1)

    def _add_text(self, name: str) -> None:
        self.texts[name] = toned_label("", "", self)
        self._column.addWidget(self.texts[name])

    def show_finding(self, finding: Finding, case: Case | None, name: Callable[[str], str]) -> None:
        """Show a finding; with a case, its numbers instead of those of all cases."""
        self.finding = finding
        shown = case or finding
        self.title.setText(finding.title)
        self.about.setText(f"Concerns: {names_of(shown.subjects, name)}")
        for label, text in (
            ("Now", shown.measured),
            ("Needed", shown.needed),
            ("Why", finding.why),
            ("Source", finding.source),
        ):
            self.texts[label].setText(f"{label}: {text}")
        self.accepted.setText(f"Accepted: {finding.accepted}")
        self.accepted.setVisible(finding.accepted is not None)
        self.accept.setVisible(finding.state == "look_again" and finding.accepted is None)
        self.take_back.setVisible(finding.accepted is not None)
        self.say_trying("")
        self.trying.setVisible(bool(finding.remedies))
        self._show_remedies(finding.remedies)

    def say_trying(self, text: str) -> None:
        """What the remedy on trial would change; how to try one when empty. It stands below the
        buttons, so that none of them moves away from the mouse."""
        self.trying.setText(text or POINT)

    def height_to_remedies(self, width: int) -> int:
        """How high it must be at a width to be seen down to what is said below its buttons."""
        layout = self._column
        layout.activate()
        whole = max(layout.heightForWidth(width), layout.minimumSize().height())
        below = (self.about, self.texts["Why"], self.texts["Source"])
        inner = width - layout.contentsMargins().left() - layout.contentsMargins().right()
        return whole - sum(w.heightForWidth(inner) + layout.spacing() for w in below)

    def moveEvent(self, event: QMoveEvent) -> None:
        """A button that is scrolled away from the mouse is not pointed at any more."""
        super().moveEvent(event)
        for button in self.buttons:
            if button.pointed:
                button.leave()

    def _show_remedies(self, remedies: tuple[Remedy, ...]) -> None:
        if [b.words for b in self.buttons] == [r.label for r in remedies]:
            for button, remedy in zip(self.buttons, remedies, strict=True):
                button.remedy = remedy
            return
        for button in self.buttons:
            button.hide()
            self._remedies.removeWidget(button)
            button.deleteLater()
        self.buttons = []
        for remedy in remedies:
            button = RemedyButton(remedy)
            button.tried.connect(lambda b=button: self.tried.emit(b.remedy))
            button.left.connect(self.left)
            button.clicked.connect(lambda _=False, b=button: self.done.emit(b.remedy))
            self._remedies.addWidget(button)
            self.buttons.append(button)
