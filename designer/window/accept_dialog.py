"""Ask for the reason why a Look again is accepted."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QPlainTextEdit, QVBoxLayout, QWidget

from designer.checks.finding import Finding
from designer.model.design import Acceptance
from designer.window.bounds import bounds_of
from designer.window.tints import toned_label


class AcceptDialog(QDialog):
    """Takes a reason of at least one letter; `given` brings it."""

    given = Signal(str)

    def __init__(self, finding: Finding, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle("Accept with a reason")
        self._bounds = bounds_of(Acceptance, "reason")
        self.box = QPlainTextEdit(self)
        self.box.setAccessibleName("Reason")
        self.box.setPlaceholderText("Why it is all right here")
        self.box.setTabChangesFocus(True)
        self.problem = toned_label("", "refused", self)
        self.buttons = QDialogButtonBox(
            QDialogButtonBox.StandardButton.Ok | QDialogButtonBox.StandardButton.Cancel
        )
        self.ok = self.buttons.button(QDialogButtonBox.StandardButton.Ok)
        self.ok.setText("Accept")
        self.buttons.accepted.connect(self._give)
        self.buttons.rejected.connect(self.reject)
        self.box.textChanged.connect(self._judge)
        column = QVBoxLayout(self)
        column.addWidget(toned_label(finding.title, "heading", self))
        column.addWidget(toned_label(f"Now: {finding.measured}", "", self))
        column.addWidget(toned_label(f"Needed: {finding.needed}", "", self))
        column.addWidget(
            toned_label("The reason is kept in the design and printed on the sheet.", "soft", self)
        )
        column.addWidget(self.box, 1)
        column.addWidget(self.problem)
        column.addWidget(self.buttons)
        self.resize(420, 320)
        self._judge()
        self.box.setFocus()

    @property
    def reason(self) -> str:
        """What was typed."""
        return self.box.toPlainText().strip()

    def _judge(self) -> None:
        refusal = self._bounds.text_refusal("The reason", self.reason)
        self.ok.setEnabled(refusal is None)
        self.problem.setText(refusal if refusal and self.reason else "")

    def _give(self) -> None:
        self.given.emit(self.reason)
        self.accept()
