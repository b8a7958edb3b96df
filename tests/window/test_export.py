"""Export: the window stays awake, a stop leaves nothing behind, the reason of a failure is told."""

from pathlib import Path

import pytest
from pypdfium2 import PdfDocument
from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QGuiApplication, QImage
from PySide6.QtWidgets import QLabel
from pytestqt.qtbot import QtBot

import designer.sheet.build_sheet as build_sheet
from designer.analysis import analyse
from designer.drawing.styles import DARK
from designer.model import edits
from designer.model.design import Design
from designer.sheet.calibration import Correction
from designer.sheet.options import SheetOptions
from designer.sheet.paper import LETTER
from designer.sketch import Answers, sketch
from designer.window.export_dialog import ExportDialog
from designer.window.export_job import CancelledError, Export, write
from designer.window.main_window import MainWindow
from designer.window.print_preview import PrintPreview
from designer.window.printer_corrections import PrinterCorrections
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
    write(
        analyse(bed), Export("templates", path, SheetOptions(LETTER, only_templates=True)), ignore
    )
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
    kind = dialog.options.kind
    kind.show_value(".svg")
    kind.entered.emit(".svg")
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
    for field in (dialog.file, dialog.options.paper.combo):
        qtbot.waitUntil(lambda field=field: field.height() >= field.sizeHint().height())
    assert dialog.reason.height() >= dialog.reason.heightForWidth(dialog.reason.width())


def chosen(field, value: object) -> None:
    field.show_value(value)
    field.entered.emit(value)


@pytest.fixture
def picture(qtbot: QtBot, window: MainWindow, bed: Design, tmp_path: Path) -> ExportDialog:
    window.shell.folder = tmp_path
    window.files.begin(bed)
    return opened(window, "export_picture")


def test_a_file_name_goes_with_the_view_until_one_is_typed(
    picture: ExportDialog, tmp_path: Path
) -> None:
    chosen(picture.options.view, "section")
    assert Path(picture.file.text()) == tmp_path / "North bed section.png"
    picture.file.setText(str(tmp_path / "mine.png"))
    chosen(picture.options.view, "plan")
    chosen(picture.options.kind, ".svg")
    assert Path(picture.file.text()) == tmp_path / "mine.svg"


@pytest.mark.parametrize("view", ["plan", "elevation", "both", "section"])
def test_every_view_becomes_a_picture_of_the_typed_width(
    qtbot: QtBot, picture: ExportDialog, tmp_path: Path, view: str
) -> None:
    chosen(picture.options.view, view)
    line = picture.options.pixels.line
    line.selectAll()
    qtbot.keyClicks(line, "900")
    qtbot.keyClick(picture, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: picture.pages.currentIndex() == 2, timeout=30_000)
    (path,) = tmp_path.glob("*.png")
    image = QImage(str(path))
    assert image.width() == 900
    colours = {image.pixel(x, y) for x in range(0, 900, 3) for y in range(0, image.height(), 3)}
    assert len(colours) > 3  # something is drawn


def test_a_width_that_cannot_be_stays_in_its_field(
    qtbot: QtBot, picture: ExportDialog, tmp_path: Path
) -> None:
    line = picture.options.pixels.line
    line.selectAll()
    qtbot.keyClicks(line, "3")
    qtbot.mouseClick(picture.start, Qt.MouseButton.LeftButton)
    assert picture.pages.currentIndex() == 0
    assert "at least 100" in picture.options.pixels.reason
    assert not list(tmp_path.glob("*.png"))


def test_a_picture_for_paper_is_as_wide_as_typed(picture: ExportDialog, tmp_path: Path) -> None:
    chosen(picture.options.sized, "paper")
    assert picture.options.paper.isVisible()
    picture.options.paper.show_value(101.6)
    write(picture._analysis, picture.options.export(tmp_path / "bed"), ignore)
    image = QImage(str(tmp_path / "bed.png"))
    assert image.width() == 1200  # 4 in at 300 dots
    assert image.width() / image.dotsPerMeterX() == pytest.approx(0.1016, abs=1e-5)
    chosen(picture.options.kind, ".svg")
    write(picture._analysis, picture.options.export(tmp_path / "bed"), ignore)
    assert 'width="101.6mm"' in (tmp_path / "bed.svg").read_text("utf-8")


def test_a_run_may_be_chosen_where_there_are_several(window: MainWindow) -> None:
    window.files.begin(sketch(Answers(buckets=60)))
    options = opened(window, "export_picture").options
    assert options.run.isVisible()
    ids = [run.id for run in window.document.design.runs]
    assert options.picture().run_id == ids[0]
    chosen(options.run, ids[1])
    assert options.picture().run_id == ids[1]


def test_copying_puts_pixels_and_drawing_on_the_clipboard(
    qtbot: QtBot, picture: ExportDialog, tmp_path: Path
) -> None:
    QGuiApplication.clipboard().clear()
    qtbot.mouseClick(picture.other, Qt.MouseButton.LeftButton)
    data = QGuiApplication.clipboard().mimeData()
    assert QImage(data.imageData()).width() == 2400
    assert b"</svg>" in bytes(data.data("image/svg+xml"))
    assert not list(tmp_path.glob("*.png"))


def test_edit_copy_picture(window: MainWindow, bed: Design) -> None:
    QGuiApplication.clipboard().clear()
    window.files.begin(bed)
    window.actions_by_name["copy_picture"].trigger()
    assert QGuiApplication.clipboard().mimeData().hasImage()
    assert "clipboard" in window.statusBar().currentMessage()


def test_the_preview_is_reached_from_the_export(
    qtbot: QtBot, window: MainWindow, bed: Design
) -> None:
    window.files.begin(bed)
    dialog = opened(window, "export_templates")
    qtbot.mouseClick(dialog.other, Qt.MouseButton.LeftButton)
    preview = window.findChildren(PrintPreview)[-1]
    assert preview.isVisible()
    assert preview.options.what.value == "templates"
    preview.close()


def test_the_export_uses_the_printer_s_correction(
    qtbot: QtBot, window: MainWindow, bed: Design, tmp_path: Path
) -> None:
    window.shell.folder = tmp_path
    window.files.begin(bed)
    half = Correction(1.005, 0.995)
    PrinterCorrections(window.shell.settings).keep("Desk", "A4", half)
    dialog = opened(window, "export_templates")
    chosen(dialog.options.printer, "Desk")
    dialog.start.click()
    qtbot.waitUntil(lambda: dialog.pages.currentIndex() == 2, timeout=60_000)
    page = PdfDocument(tmp_path / "North bed templates.pdf")[0]
    assert half.stated in " ".join(page.get_textpage().get_text_range().split())
