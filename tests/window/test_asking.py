"""The questions put to the person: plain buttons, Enter is safe, Esc goes back."""

from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QFileDialog, QMessageBox, QWidget
from pytestqt.qtbot import QtBot

from designer.window import asking


@pytest.fixture
def parent(qtbot: QtBot) -> QWidget:
    widget = QWidget()
    qtbot.addWidget(widget)
    return widget


def then(act: Callable[[QMessageBox], None]) -> None:
    """Do something with the box that the next call shows."""

    def when_shown() -> None:
        box = QApplication.activeModalWidget()
        if isinstance(box, QMessageBox):
            act(box)
        else:
            QTimer.singleShot(5, when_shown)

    QTimer.singleShot(0, when_shown)


def press(words: str) -> Callable[[QMessageBox], None]:
    def act(box: QMessageBox) -> None:
        next(b for b in box.buttons() if b.text().replace("&", "").startswith(words)).click()

    return act


def key(code: Qt.Key) -> Callable[[QMessageBox], None]:
    return lambda box: QTest.keyClick(box, code)


@pytest.mark.parametrize(
    ("act", "answer"),
    [
        (press("Save"), "save"),
        (press("Don’t save"), "drop"),
        (press("Go back"), "stay"),
        (key(Qt.Key.Key_Escape), "stay"),
        (key(Qt.Key.Key_Return), "save"),
    ],
)
def test_unsaved_changes_can_be_saved_dropped_or_kept_open(
    parent: QWidget, act: Callable[[QMessageBox], None], answer: str
) -> None:
    then(act)
    assert asking.ask_unsaved(parent, "bed") == answer


@pytest.mark.parametrize(
    ("act", "answer"),
    [
        (press("Save as"), "as"),
        (press("Save over"), "over"),
        (key(Qt.Key.Key_Escape), "stay"),
        (key(Qt.Key.Key_Return), "as"),
    ],
)
def test_enter_never_writes_over_what_another_program_wrote(
    parent: QWidget, act: Callable[[QMessageBox], None], answer: str
) -> None:
    then(act)
    assert asking.ask_changed_outside(parent, "bed.rill") == answer


@pytest.mark.parametrize(
    ("act", "answer"),
    [
        (press("Replace"), True),
        (press("Go back"), False),
        (key(Qt.Key.Key_Return), False),
        (key(Qt.Key.Key_Escape), False),
    ],
)
def test_enter_never_replaces_a_file(
    parent: QWidget, act: Callable[[QMessageBox], None], answer: bool
) -> None:
    then(act)
    assert asking.ask_replace(parent, "sheet.pdf") is answer


def test_telling_shows_the_sentence_and_waits_for_it_to_be_read(parent: QWidget) -> None:
    read: list[str] = []

    def act(box: QMessageBox) -> None:
        read.append(box.text())
        box.accept()

    then(act)
    asking.tell(parent, "The disk is full.")
    assert read == ["The disk is full."]


def test_a_name_typed_without_suffix_gets_ours(
    parent: QWidget, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    def typed(dialog: QFileDialog) -> int:
        assert dialog.selectedFiles() == [str(tmp_path / "North bed.rill")]
        dialog.selectFile("south")
        return 1

    monkeypatch.setattr(QFileDialog, "exec", typed)
    assert asking.ask_save(parent, tmp_path / "North bed.rill") == tmp_path / "south.rill"


def test_thinking_better_of_a_file_gives_none(
    parent: QWidget, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(QFileDialog, "exec", lambda _self: 0)
    monkeypatch.setattr(QFileDialog, "getOpenFileName", lambda *_: ("", ""))
    assert asking.ask_save(parent, tmp_path / "a.rill") is None
    assert asking.ask_open(parent, tmp_path) is None
