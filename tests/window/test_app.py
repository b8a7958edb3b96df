"""Starting and failing: quick to the first window, no traceback to a person, the work kept."""

import gc
import logging
import subprocess
import sys
import threading
import weakref
from collections.abc import Iterator
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from designer.model import edits
from designer.model.design import Design
from designer.window import app
from designer.window.garbage import Collector
from designer.window.main_window import MainWindow
from designer.window.shell import Shell
from tests.window.conftest import Asked


@pytest.fixture
def failing(
    shell: Shell, monkeypatch: pytest.MonkeyPatch, tmp_path: Path, asked: Asked
) -> Iterator[Path]:
    """Failures are caught as in the running program; returns the log's folder."""
    monkeypatch.setattr(app, "tell", lambda _parent, sentence: asked.said.append(sentence))
    monkeypatch.setattr(app, "qInstallMessageHandler", lambda _handler: None)
    hooks = sys.excepthook, threading.excepthook
    log = logging.getLogger("designer")
    app.write_log(tmp_path / "log")
    app.catch_failures(shell)
    yield tmp_path / "log"
    sys.excepthook, threading.excepthook = hooks
    log.propagate = True
    for handler in log.handlers[:]:
        handler.close()
        log.removeHandler(handler)


def fail() -> None:
    try:
        raise RuntimeError("inside")
    except RuntimeError as error:
        sys.excepthook(type(error), error, error.__traceback__)


def test_a_failure_says_one_sentence_keeps_the_work_and_is_logged(
    qtbot: QtBot, failing: Path, window: MainWindow, shell: Shell, bed: Design, asked: Asked
) -> None:
    window.files.begin(bed)
    assert window.document is not None
    window.document.apply(lambda d: edits.set_design(d, notes="Precious"), "Change notes")
    fail()
    qtbot.waitUntil(lambda: bool(asked.said))
    assert asked.said == [app.FAILED.format(log=shell.log)]
    assert asked.said[0].endswith("rillwright.log")
    (journal,) = (shell.data / "unsaved").glob("*.rill-journal")
    assert "Precious" in journal.read_text()
    log = (failing / "rillwright.log").read_text()
    assert "RuntimeError: inside" in log


def test_a_failure_that_repeats_is_told_once_at_a_time(
    qtbot: QtBot, failing: Path, window: MainWindow, asked: Asked
) -> None:
    for _ in range(5):
        fail()
    qtbot.waitUntil(lambda: bool(asked.said))
    qtbot.wait(20)
    assert len(asked.said) == 1
    assert (failing / "rillwright.log").read_text().count("RuntimeError: inside") == 5


def test_the_program_works_where_no_log_can_be_written(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    app.write_log(tmp_path / "file" / "log")
    assert logging.getLogger("designer").handlers == []


_PROBE = """
import sys
from PySide6.QtWidgets import QApplication
from designer.window.shell import Shell
from pathlib import Path
app = QApplication([])
shell = Shell(app, Path(sys.argv[1]))
shell.new_window()
print(" ".join(m for m in ("reportlab", "designer.canvas.sheet", "pdfplumber") if m in sys.modules))
"""


def test_the_first_window_comes_without_the_sheet_and_the_printing(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-c", _PROBE, str(tmp_path)],
        capture_output=True, text=True, check=True,
    )  # fmt: skip
    assert done.stdout.strip() == ""


class _Ring:
    """Garbage that only a collection frees."""

    def __init__(self) -> None:
        self.self = self


def test_garbage_is_collected_in_the_windows_thread_only(qtbot: QtBot) -> None:
    collector = Collector()
    ring = weakref.ref(_Ring())
    filler: list[list[object]] = []

    def allocate() -> None:
        filler.extend([] for _ in range(5000))

    worker = threading.Thread(target=allocate)
    worker.start()
    worker.join()
    assert ring() is not None  # the worker allocated enough for a collection, and started none
    collector.collect()
    assert ring() is None
    collector.stop()
    assert gc.isenabled()
