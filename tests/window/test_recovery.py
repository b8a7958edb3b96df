"""After a crash the unsaved work is offered, once, and nothing of it is lost meanwhile."""

import json
import os
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication, QLabel, QPushButton
from pytestqt.qtbot import QtBot

from designer.model import edits
from designer.model.design import Design
from designer.model.file import format_design, parse_design
from designer.model.journal import Journal
from designer.model.saving import SaveError, save
from designer.window.main_window import MainWindow
from designer.window.recovery import RecoveryDialog
from designer.window.shell import Shell
from tests.window.conftest import Asked


def kept(shell: Shell) -> list[dict[str, object]]:
    return [json.loads(p.read_bytes()) for p in (shell.data / "unsaved").glob("*.rill-journal")]


def move(window: MainWindow, by: float = 25.0) -> None:
    assert window.document is not None
    window.document.apply(lambda d: edits.move_buckets(d, ["b1"], by), "Move a bucket")


@pytest.fixture
def crashed(shell: Shell, bed: Design, tmp_path: Path) -> Path:
    """A journal left by a process that is gone; returns the file its design belongs to."""
    path = tmp_path / "north.rill"
    save(bed, path)
    Journal(shell.data / "unsaved").write("one", path, format_design(changed(bed)))
    (journal,) = (shell.data / "unsaved").glob("*.rill-journal")
    record = json.loads(journal.read_bytes())
    record["process"], record["started"] = ended_process(), "0"
    journal.write_text(json.dumps(record))
    return path


def changed(bed: Design) -> Design:
    return edits.set_design(bed, notes="Not saved yet")


def ended_process() -> int:
    process = os.fork()
    if process == 0:
        os._exit(0)
    os.waitpid(process, 0)
    return process


def offered(window: MainWindow) -> RecoveryDialog:
    window.offer_recovery()
    dialog = window.findChild(RecoveryDialog)
    assert dialog is not None
    assert dialog.isVisible()
    return dialog


def press(dialog: RecoveryDialog, words: str) -> None:
    (button,) = (b for b in dialog.findChildren(QPushButton) if b.text().startswith(words))
    button.click()


def test_unsaved_work_is_in_the_journal_within_seconds(
    qtbot: QtBot, window: MainWindow, shell: Shell, bed: Design
) -> None:
    window.files.begin(bed)
    move(window)
    assert window.document is not None
    design = window.document.design
    qtbot.waitUntil(
        lambda: any(parse_design(str(r["text"])) == design for r in kept(shell)), timeout=10_000
    )


def test_a_gesture_under_way_is_not_kept_half_done(
    window: MainWindow, shell: Shell, bed: Design
) -> None:
    window.files.begin(bed)
    assert window.document is not None
    window.document.preview(edits.set_fall(bed, "r1", 99.0))
    window.keep()
    (record,) = kept(shell)
    assert parse_design(str(record["text"])) == bed


def test_the_journal_goes_when_the_work_is_saved_undone_or_given_up(
    window: MainWindow, shell: Shell, bed: Design, asked: Asked, tmp_path: Path
) -> None:
    window.files.begin(bed)
    assert len(kept(shell)) == 1
    asked.save_path = tmp_path / "bed.rill"
    window.files.save()
    window.keep()
    assert kept(shell) == []
    move(window)
    window.keep()
    assert len(kept(shell)) == 1
    assert window.document is not None
    window.document.undo()
    window.keep()
    assert kept(shell) == []
    move(window)
    window.keep()
    asked.unsaved = "drop"
    window.close()
    assert kept(shell) == []


def test_a_full_disk_is_told_in_the_status_bar_and_the_work_goes_on(
    window: MainWindow, shell: Shell, bed: Design, monkeypatch: pytest.MonkeyPatch
) -> None:
    window.files.begin(bed)

    def full(*_: object) -> None:
        raise SaveError("Unsaved work could not be kept aside: the disk is full.")

    monkeypatch.setattr(shell.journal, "write", full)
    move(window)
    window.keep()
    assert "disk is full" in window.statusBar().currentMessage()


def test_nothing_is_offered_after_a_clean_end(window: MainWindow) -> None:
    window.offer_recovery()
    assert window.findChild(RecoveryDialog) is None


def test_work_left_by_a_crash_is_offered_with_its_name(window: MainWindow, crashed: Path) -> None:
    dialog = offered(window)
    words = " ".join(label.text() for label in dialog.findChildren(QLabel))
    assert "North bed" in words
    assert "north.rill" in words


def test_work_brought_back_is_unsaved_and_saves_over_its_file(
    window: MainWindow, shell: Shell, crashed: Path, bed: Design
) -> None:
    press(offered(window), "&Bring back")
    assert window.document is not None
    assert window.document.design == changed(bed)
    assert window.isWindowModified()
    assert shell.journal.abandoned() == ()
    assert len(kept(shell)) == 1
    assert window.files.save()
    assert parse_design(crashed.read_text()) == changed(bed)


def test_work_brought_back_opens_beside_a_design_that_is_open(
    window: MainWindow, shell: Shell, crashed: Path, bed: Design
) -> None:
    window.files.begin(bed)
    press(offered(window), "&Bring back")
    assert window.document is not None
    assert window.document.design == bed
    other = shell.windows[1]
    assert other.document is not None
    assert other.document.design == changed(bed)


def test_work_thrown_away_is_not_offered_again(
    window: MainWindow, shell: Shell, crashed: Path
) -> None:
    press(offered(window), "&Throw away")
    assert shell.journal.abandoned() == ()


def test_deciding_later_keeps_it_for_the_next_start(
    window: MainWindow, shell: Shell, crashed: Path
) -> None:
    press(offered(window), "Decide &later")
    assert len(shell.journal.abandoned()) == 1


def test_a_damaged_journal_says_so_and_can_be_thrown_away(
    qapp: QApplication, window: MainWindow, shell: Shell, crashed: Path
) -> None:
    (journal,) = (shell.data / "unsaved").glob("*.rill-journal")
    record = json.loads(journal.read_bytes())
    journal.write_text(json.dumps(record | {"text": "{"}))
    dialog = offered(window)
    assert not [b for b in dialog.findChildren(QPushButton) if b.text() == "&Bring back"]
    press(dialog, "&Throw away")
    assert shell.journal.abandoned() == ()
