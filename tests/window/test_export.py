"""Export: the window stays awake, a stop leaves nothing behind, the reason of a failure is told."""

from pathlib import Path

import pytest
from pypdfium2 import PdfDocument
from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QLabel
from pytestqt.qtbot import QtBot

import designer.sheet.build_sheet as build_sheet
from designer.analysis import analyse
from designer.drawing.styles import DARK
from designer.model import edits
from designer.model.design import Design
from designer.window.export_dialog import ExportDialog
from designer.window.export_job import CancelledError, Export, write
from designer.window.main_window import MainWindow
from tests.window.conftest import Asked


def ignore(_done: int, _total: int) -> None:
    pass


@pytest.fixture
def dialog(qtbot: QtBot, window: MainWindow, bed: Design, tmp_path: Path) -> ExportDialog:
    window.shell.folder = tmp_path
    window.files.begin(bed)
    return opened(window, "export_sheet")


def opened(window: MainWindow, name: str) -> ExportDialog:
    window.actions_by_name[name].trigger()
    return window.findChildren(ExportDialog)[-1]


def test_the_build_sheet_is_written_page_by_page_and_reported(
    qtbot: QtBot, dialog: ExportDialog, tmp_path: Path
) -> None:
    assert Path(dialog.file.text()) == tmp_path / "North bed build sheet.pdf"
    awake: list[int] = []
    ticks = QTimer(interval=5)
    ticks.timeout.connect(lambda: awake.append(dialog.pages.currentIndex()))
    ticks.start()
    dialog.start.click()
    qtbot.waitUntil(lambda: dialog.pages.currentIndex() == 2, timeout=60_000)
    assert 1 in awake  # the window went on while it was made
    assert len(PdfDocument(tmp_path / "North bed build sheet.pdf")) > 5
    assert dialog.made.text() == "North bed build sheet.pdf"
    assert dialog.bar.value() == dialog.bar.maximum() > 5


def test_the_enter_key_exports_and_escape_gives_up(
    qtbot: QtBot, dialog: ExportDialog, tmp_path: Path
) -> None:
    qtbot.keyClick(dialog, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: dialog.pages.currentIndex() == 2, timeout=60_000)
    assert (tmp_path / "North bed build sheet.pdf").exists()
    qtbot.keyClick(dialog, Qt.Key.Key_Escape)
    assert not dialog.isVisible()


def test_templates_come_on_the_paper_that_was_chosen(bed: Design, tmp_path: Path) -> None:
    path = tmp_path / "t.pdf"
    write(analyse(bed), Export("templates", path, paper="letter"), ignore)
    width, height = PdfDocument(path)[0].get_size()
    assert sorted((round(width), round(height))) == [612, 792]


def test_stopping_leaves_the_earlier_file_and_nothing_else(
    qtbot: QtBot, dialog: ExportDialog, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    earlier = tmp_path / "North bed build sheet.pdf"
    earlier.write_text("earlier")
    real = build_sheet.write_build_sheet

    def stopped_early(analysis, path, options, progress) -> None:
        # The stop is asked for before the first page is done.
        dialog._job.requestInterruption()
        real(analysis, path, options, progress)

    monkeypatch.setattr(build_sheet, "write_build_sheet", stopped_early)
    dialog.start.click()
    qtbot.waitUntil(lambda: dialog.pages.currentIndex() == 1)
    qtbot.waitUntil(lambda: dialog.pages.currentIndex() == 0, timeout=60_000)
    assert earlier.read_text() == "earlier"
    assert [path.name for path in tmp_path.glob("*.pdf")] == [earlier.name]
    assert not list(tmp_path.glob(".*ing"))


def test_the_stop_button_and_closing_ask_the_work_to_stop(
    qtbot: QtBot, dialog: ExportDialog, monkeypatch: pytest.MonkeyPatch
) -> None:
    def endless(analysis, path, options, progress) -> None:
        while True:
            progress(1, 9)

    monkeypatch.setattr(build_sheet, "write_build_sheet", endless)
    dialog.start.click()
    qtbot.waitUntil(lambda: dialog.bar.maximum() == 9)
    dialog.close()
    assert dialog.isVisible()
    dialog.cancel.click()
    qtbot.waitUntil(lambda: dialog.pages.currentIndex() == 0)
    dialog.reject()
    assert not dialog.isVisible()


def test_a_folder_that_is_not_there_is_told_before_any_work(
    dialog: ExportDialog, tmp_path: Path
) -> None:
    dialog.file.setText(str(tmp_path / "gone" / "x.pdf"))
    dialog.start.click()
    assert dialog.pages.currentIndex() == 0
    assert "folder is not there" in dialog.reason.text()


def test_a_file_that_is_there_is_not_replaced_unasked(
    dialog: ExportDialog, asked: Asked, tmp_path: Path
) -> None:
    (tmp_path / "North bed build sheet.pdf").write_text("earlier")
    asked.replace = False
    dialog.start.click()
    assert dialog.pages.currentIndex() == 0
    assert (tmp_path / "North bed build sheet.pdf").read_text() == "earlier"


@pytest.mark.parametrize(
    "error", [PermissionError(13, "Permission denied"), RuntimeError("page of 3 mm")]
)
def test_a_failure_is_one_sentence_and_the_choices_come_back(
    qtbot: QtBot, dialog: ExportDialog, monkeypatch: pytest.MonkeyPatch, error: Exception
) -> None:
    def fails(*_: object) -> None:
        raise error

    monkeypatch.setattr(build_sheet, "write_build_sheet", fails)
    dialog.start.click()
    qtbot.waitUntil(lambda: bool(dialog.reason.text()))
    assert dialog.pages.currentIndex() == 0
    assert "Traceback" not in dialog.reason.text()
    assert "page of 3 mm" not in dialog.reason.text()


def test_a_design_with_faults_says_so_before_it_is_printed(window: MainWindow, bed: Design) -> None:
    window.files.begin(edits.set_fall(bed, "r1", -20.0))
    texts = [label.text() for label in opened(window, "export_sheet").findChildren(QLabel)]
    assert any("“Must fix”" in text for text in texts)


def test_no_templates_without_buckets_is_told(
    qtbot: QtBot, window: MainWindow, bed: Design, tmp_path: Path
) -> None:
    window.shell.folder = tmp_path
    window.files.begin(edits.set_design(bed, runs=()))
    dialog = opened(window, "export_templates")
    dialog.start.click()
    qtbot.waitUntil(lambda: bool(dialog.reason.text()))
    assert "no template" in dialog.reason.text()
    assert not list(tmp_path.glob("*.pdf"))


def test_a_picture_has_the_width_and_colours_asked_for(bed: Design, tmp_path: Path) -> None:
    path = tmp_path / "bed.png"
    write(analyse(bed), Export("picture", path, width=1600, dark=True), ignore)
    image = QImage(str(path))
    assert image.width() == 1600
    assert image.pixelColor(2, 2).name() == DARK["sheet"]


def test_both_views_in_svg_are_one_picture(bed: Design, tmp_path: Path) -> None:
    write(analyse(bed), Export("picture", tmp_path / "bed.svg"), ignore)
    text = (tmp_path / "bed.svg").read_text("utf-8")
    assert 'data-key="plan:b1"' in text
    assert 'data-key="elev:b1"' in text
    assert [path.name for path in tmp_path.iterdir()] == ["bed.svg"]


def test_a_picture_stopped_leaves_nothing_behind(bed: Design, tmp_path: Path) -> None:
    def stop(done: int, _total: int) -> None:
        if done:
            raise CancelledError

    with pytest.raises(CancelledError):
        write(analyse(bed), Export("picture", tmp_path / "bed.svg", view="plan"), stop)
    assert list(tmp_path.iterdir()) == []


def test_choosing_svg_changes_the_file_name(qtbot: QtBot, window: MainWindow, bed: Design) -> None:
    window.files.begin(bed)
    dialog = opened(window, "export_picture")
    kind = dialog.options["kind"]
    kind.show_value(0)
    kind.entered.emit(0)
    assert dialog.file.text().endswith(".svg")


def test_a_failure_inside_says_so_and_where_the_log_is_and_squashes_nothing(
    window: MainWindow, dialog: ExportDialog, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object) -> None:
        raise RuntimeError("inside")

    monkeypatch.setattr("designer.window.export_job.write", broken)
    dialog.start.click()
    qtbot.waitUntil(lambda: bool(dialog.reason.text()))
    assert "inside Rillwright" in dialog.reason.text()
    assert "Your design is safe" in dialog.reason.text()
    assert str(window.shell.log) in dialog.reason.text()
    for field in (dialog.file, dialog.options["paper"].combo):
        qtbot.waitUntil(lambda field=field: field.height() >= field.sizeHint().height())
    assert dialog.reason.height() >= dialog.reason.heightForWidth(dialog.reason.width())
