"""A running program for the tests of the window, with questions answered beforehand."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from designer.model.design import Design
from designer.sketch import Answers, sketch
from designer.window import asking
from designer.window.main_window import MainWindow
from designer.window.shell import Shell


class Asked:
    """Stands for the person: what it answers, and what was said to it."""

    def __init__(self) -> None:
        self.said: list[str] = []
        self.questions: list[str] = []
        self.unsaved = "stay"
        self.outside = "stay"
        self.replace = True
        self.open_path: Path | None = None
        self.save_path: Path | None = None


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> Asked:
    person = Asked()

    def unsaved(_parent: object, name: str) -> str:
        person.questions.append(name)
        return person.unsaved

    monkeypatch.setattr(asking, "tell", lambda _parent, sentence: person.said.append(sentence))
    monkeypatch.setattr(asking, "ask_unsaved", unsaved)
    monkeypatch.setattr(asking, "ask_changed_outside", lambda *_: person.outside)
    monkeypatch.setattr(asking, "ask_replace", lambda *_: person.replace)
    monkeypatch.setattr(asking, "ask_open", lambda *_: person.open_path)
    monkeypatch.setattr(asking, "ask_save", lambda *_: person.save_path)
    return person


@pytest.fixture
def shell(qapp: QApplication, tmp_path: Path, asked: Asked) -> Iterator[Shell]:
    made = Shell(qapp, tmp_path / "data")
    made.choose_theme("light")
    yield made
    for window in tuple(made.windows):
        asked.unsaved = "drop"
        window.close()
    made.theme.deleteLater()
    qapp.setStyleSheet("")


@pytest.fixture
def window(qtbot: QtBot, shell: Shell) -> MainWindow:
    made = shell.new_window()
    qtbot.waitExposed(made)
    return made


@pytest.fixture(scope="session")
def bed() -> Design:
    """Eight buckets, every check Good."""
    return sketch(Answers(title="North bed", buckets=8))
