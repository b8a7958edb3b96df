"""Fields for choosing and for notes: choice box, tick box and text of several lines."""

from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QWheelEvent
from PySide6.QtWidgets import QCheckBox, QComboBox, QPlainTextEdit, QSizePolicy

from designer.window.bounds import Bounds
from designer.window.fields import SEVERAL, SEVERAL_TEXT, Field


class _Notes(QPlainTextEdit):
    left = Signal()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        if event.reason() != Qt.FocusReason.PopupFocusReason:
            self.left.emit()


class NotesField(Field):
    """Several lines of text, entered when the field is left."""

    def __init__(self, label: str, why: str, bounds: Bounds) -> None:
        self.box = _Notes()
        super().__init__(label, why, self.box, beside=False)
        self._bounds = bounds
        self._value = ""
        self.box.setTabChangesFocus(True)
        self.box.setFixedHeight(self.box.fontMetrics().lineSpacing() * 7)
        self.box.left.connect(self.finish)

    def show_value(self, value: str) -> None:
        pending = self.box.toPlainText() != self._value
        changed = value != self._value
        self._value = value
        if changed and not (pending and self.box.hasFocus()):
            self.box.setPlainText(value)

    def finish(self) -> None:
        text = self.box.toPlainText()
        reason = self._bounds.text_refusal(self.label, text) or ""
        self._refuse(reason)
        if not reason and text != self._value:
            self._value = text
            self.entered.emit(text)

    def revert(self) -> None:
        self._refuse("")
        if self.box.toPlainText() != self._value:
            self.box.setPlainText(self._value)


class YesNoField(Field):
    """A tick box."""

    def __init__(self, label: str, why: str) -> None:
        self.box = QCheckBox()
        super().__init__(label, why, self.box, beside=True)
        self.box.setFixedWidth(self.box.sizeHint().width())
        self.box.clicked.connect(self._clicked)

    def show_value(self, value: Any) -> None:
        self._value = value
        self.box.setTristate(value is SEVERAL)
        self.box.setCheckState(
            Qt.CheckState.PartiallyChecked
            if value is SEVERAL
            else Qt.CheckState.Checked
            if value
            else Qt.CheckState.Unchecked
        )
        self.setToolTip(self.why + (f"\n\n({SEVERAL_TEXT})" if value is SEVERAL else ""))

    def _clicked(self) -> None:
        self.box.setTristate(False)
        self.entered.emit(self.box.isChecked())


class _Combo(QComboBox):
    """A choice that the wheel does not change: it scrolls the panel instead.

    `from_list` tells whether the last choice was made in the opened list, not by arrow keys.
    """

    from_list = False

    def showPopup(self) -> None:
        self.from_list = True
        super().showPopup()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        self.from_list = False
        super().keyPressEvent(event)

    def wheelEvent(self, event: QWheelEvent) -> None:
        event.ignore()


Choice = tuple[Any, str, str]
"""A value, its text, and what to say of it in the tooltip."""


class ChoiceField(Field):
    """One of several values; below a line may stand things to do, such as measuring a part."""

    asked = Signal(str)
    """One of the things to do was chosen."""

    def __init__(self, label: str, why: str) -> None:
        self.combo = _Combo()
        super().__init__(label, why, self.combo, beside=False)
        self.combo.setSizeAdjustPolicy(
            QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        )
        self.combo.setMinimumContentsLength(8)
        self.combo.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.combo.setPlaceholderText(SEVERAL_TEXT)
        self.combo.activated.connect(self._activated)
        self._choices: tuple[Choice, ...] = ()
        self._actions: tuple[tuple[str, str], ...] = ()

    def set_choices(
        self, choices: Sequence[Choice], actions: Sequence[tuple[str, str]] = ()
    ) -> None:
        """Set what can be chosen, and the things to do as (name, text)."""
        if tuple(choices) == self._choices and tuple(actions) == self._actions:
            return
        self._choices, self._actions = tuple(choices), tuple(actions)
        self.combo.clear()
        for _, text, tip in self._choices:
            self.combo.addItem(text)
            if tip:
                last = self.combo.count() - 1
                self.combo.setItemData(last, tip, Qt.ItemDataRole.ToolTipRole)
        if self._actions:
            self.combo.insertSeparator(self.combo.count())
            for _, text in self._actions:
                self.combo.addItem(text)
        view = self.combo.view()
        view.setMinimumWidth(view.sizeHintForColumn(0) + 12)
        self.show_value(self._value)

    def show_value(self, value: Any) -> None:
        self._value = value
        found = (i for i, (choice, _, _) in enumerate(self._choices) if choice == value)
        index = -1 if value is SEVERAL else next(found, -1)
        if self.combo.currentIndex() != index:
            self.combo.setCurrentIndex(index)
        tip = self._choices[index][2] if index >= 0 else ""
        self.setToolTip("\n\n".join(filter(None, (self.why, tip))))

    def _activated(self, index: int) -> None:
        if index < len(self._choices):
            value = self._choices[index][0]
            if self._value is SEVERAL or value != self._value:
                self._value = value
                self.entered.emit(value)
            return
        action = self._actions[index - len(self._choices) - 1][0]
        self.show_value(self._value)
        # Arrow keys run through the whole list; they must not open a dialog at its end.
        if self.combo.from_list:
            self.asked.emit(action)
