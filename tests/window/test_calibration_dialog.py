"""Calibrating a printer: the page, what the ruler says, what is kept and forgotten."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pypdfium2 import PdfDocument
from PySide6.QtCore import QSettings, Qt
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtWidgets import QLabel
from pytestqt.qtbot import QtBot

from designer.model import edits
from designer.model.design import Design
from designer.sheet.calibration import UNCORRECTED, Correction
from designer.sheet.calibration_page import long_bars
from designer.sheet.paper import A4, LETTER, PAPERS
from designer.window import asking
from designer.window.calibration_dialog import ANOTHER, CalibrationDialog
from designer.window.fields import TypedField
from designer.window.main_window import MainWindow
from designer.window.printer_corrections import PrinterCorrections, correction_words
from tests.window.conftest import Asked

LEFT = Qt.MouseButton.LeftButton
BARS = long_bars(A4, "metric")


@pytest.fixture
def dialog(qtbot: QtBot, window: MainWindow) -> CalibrationDialog:
    made = CalibrationDialog(window.shell, "metric", window)
    made.open()
    qtbot.waitExposed(made)
    return made


def type_in(qtbot: QtBot, field: TypedField, typed: str) -> None:
    field.line.setFocus()
    field.line.selectAll()
    qtbot.keyClicks(field.line, typed)
    qtbot.keyClick(field.line, Qt.Key.Key_Return)


def measure(qtbot: QtBot, dialog: CalibrationDialog, across: float, along: float) -> None:
    """Type bars that came out by these factors."""
    type_in(qtbot, dialog.across, f"{BARS.across * across:.1f}")
    type_in(qtbot, dialog.along, f"{BARS.along * along:.1f}")


def kept(window: MainWindow) -> PrinterCorrections:
    return PrinterCorrections(window.shell.settings)


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_the_paper_offered_first_is_the_one_the_design_is_printed_on(
    qtbot: QtBot, window: MainWindow, bed: Design, paper: str
) -> None:
    window.files.begin(edits.set_design(bed, paper=paper))
    window.actions_by_name["calibrate"].trigger()
    opened = window.findChild(CalibrationDialog)
    assert opened.paper.value == PAPERS[paper].name
    opened.close()


def test_what_the_ruler_says_becomes_a_correction_that_is_kept(
    qtbot: QtBot, window: MainWindow, dialog: CalibrationDialog
) -> None:
    type_in(qtbot, dialog.name, "Desk")
    measure(qtbot, dialog, 0.995, 1.01)
    assert "0.5 % too small across and 1.0 % too large along" in dialog.means.text()
    assert dialog.isVisible()  # the Enter key entered, and did not close
    qtbot.mouseClick(dialog.keep, LEFT)
    found = kept(window).of("Desk", "A4")
    assert found.across == pytest.approx(1 / 0.995, abs=1e-3)
    assert found.along == pytest.approx(1 / 1.01, abs=1e-3)
    assert kept(window).of("Desk", "Letter") == UNCORRECTED
    assert dialog.list.item(0).text().startswith("Desk, A4: 0.5 % larger across")


def test_the_dialog_grows_until_what_it_says_is_read_to_the_end(
    qtbot: QtBot, dialog: CalibrationDialog
) -> None:
    type_in(qtbot, dialog.name, "The printer in the room beside the kitchen")
    measure(qtbot, dialog, 0.995, 1.01)
    qtbot.mouseClick(dialog.keep, LEFT)
    assert dialog.means.text().endswith("on A4.")
    told = [label for label in dialog.findChildren(QLabel) if label.isVisible() and label.text()]

    def all_is_read() -> None:
        for label in told:
            needed = max(label.heightForWidth(label.width()), label.minimumSizeHint().height())
            assert label.height() >= needed, label.text()
        assert dialog.name.line.height() >= dialog.name.line.sizeHint().height()

    qtbot.waitUntil(all_is_read)


def test_a_true_printer_is_said_to_be_true(qtbot: QtBot, dialog: CalibrationDialog) -> None:
    measure(qtbot, dialog, 1.0, 1.0)
    assert dialog.means.text() == "This printer prints true to size."


def test_a_page_that_was_fitted_to_the_paper_is_told_and_not_kept(
    qtbot: QtBot, window: MainWindow, dialog: CalibrationDialog
) -> None:
    type_in(qtbot, dialog.name, "Desk")
    measure(qtbot, dialog, 0.96, 0.96)
    assert "100 %" in dialog.reason.text()
    assert not dialog.keep.isEnabled()
    assert not kept(window).all()


def test_inches_are_understood(qtbot: QtBot, window: MainWindow) -> None:
    dialog = CalibrationDialog(window.shell, "imperial", window)
    dialog.open()
    bars = long_bars(A4, "imperial")
    type_in(qtbot, dialog.across, f"{bars.across / 25.4:.0f}")
    type_in(qtbot, dialog.along, f"{bars.along / 25.4:.0f} 1/16")
    assert "along" in dialog.means.text()
    assert "across" not in dialog.means.text()
    assert dialog.along.line.text().endswith('.0625"')  # no coarser than it was read


@pytest.mark.parametrize("left_out", ["name", "across", "along"])
def test_what_is_missing_is_asked_for(
    qtbot: QtBot, window: MainWindow, dialog: CalibrationDialog, left_out: str
) -> None:
    for name, typed in (("name", "Desk"), ("across", f"{BARS.across}"), ("along", f"{BARS.along}")):
        if name != left_out:
            type_in(qtbot, getattr(dialog, name), typed)
    qtbot.mouseClick(dialog.keep, LEFT)
    assert dialog.reason.text().startswith("Type")
    assert getattr(dialog, left_out).line.hasFocus()
    assert not kept(window).all()


def test_another_paper_has_other_bars_and_drops_what_was_measured(
    qtbot: QtBot, dialog: CalibrationDialog
) -> None:
    measure(qtbot, dialog, 1.0, 1.0)
    dialog.paper.combo.setCurrentIndex(dialog.paper.combo.findText("Letter"))
    dialog.paper.combo.activated.emit(dialog.paper.combo.currentIndex())
    assert dialog.across.value is None
    bars = long_bars(LETTER, "metric")
    assert f"{bars.along:.0f} mm" in dialog.along.line.placeholderText()
    assert not dialog.means.isVisible()


def test_a_correction_can_be_forgotten(qtbot: QtBot, window: MainWindow) -> None:
    kept(window).keep("Desk", "A4", Correction(1.01, 1.0))
    kept(window).keep("Shop", "A4", Correction(0.99, 1.0))
    dialog = CalibrationDialog(window.shell, "metric", window)
    dialog.open()
    assert not dialog.forget.isEnabled()
    dialog.list.setCurrentRow(0)
    qtbot.mouseClick(dialog.forget, LEFT)
    assert [one.printer for one in kept(window).all()] == ["Shop"]
    assert dialog.list.count() == 1


def test_the_calibration_page_is_printed_at_true_size(
    qtbot: QtBot, dialog: CalibrationDialog, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "page.pdf"

    def answered(_parent: object, printer: QPrinter, _pages: int) -> bool:
        printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
        printer.setOutputFileName(str(path))
        printer.setResolution(150)
        return True

    monkeypatch.setattr(asking, "ask_printer", answered)
    qtbot.mouseClick(dialog.print, LEFT)
    qtbot.waitUntil(lambda: dialog.said.text().startswith("Printed"), timeout=30_000)
    width, _ = PdfDocument(path)[0].get_size()
    assert width * 25.4 / 72 == pytest.approx(210, abs=0.2)
    assert dialog.print.isEnabled()


def test_the_printer_taken_in_the_system_s_dialog_is_the_one_measured(
    qtbot: QtBot, dialog: CalibrationDialog, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def answered(_parent: object, printer: QPrinter, _pages: int) -> bool:
        monkeypatch.setattr(QPrinter, "printerName", lambda _: "Desk")
        monkeypatch.setattr(QPrinter, "outputFileName", lambda _: "")
        printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
        printer.setOutputFileName(str(tmp_path / "page.pdf"))
        printer.setResolution(72)
        return True

    monkeypatch.setattr(asking, "ask_printer", answered)
    assert dialog.printer.value == ANOTHER
    qtbot.mouseClick(dialog.print, LEFT)
    assert dialog.printer.value == "Desk"
    assert not dialog.name.isVisible()
    qtbot.waitUntil(dialog.print.isEnabled, timeout=30_000)


def test_the_page_can_be_saved_for_a_print_shop(
    qtbot: QtBot, dialog: CalibrationDialog, tmp_path: Path, monkeypatch: pytest.MonkeyPatch,
    asked: Asked,
) -> None:  # fmt: skip
    monkeypatch.setattr(asking, "ask_export", lambda *_: tmp_path / "page.pdf")
    qtbot.mouseClick(dialog.save, LEFT)
    assert len(PdfDocument(tmp_path / "page.pdf")) == 1


# --- what is kept ---------------------------------------------------------------------------------

FACTORS = st.floats(0.976, 1.024)
NAMES = st.text(min_size=1, max_size=20)


@given(st.lists(st.tuples(NAMES, st.sampled_from(["A4", "A3"]), FACTORS, FACTORS), max_size=6))
def test_what_was_kept_is_found_again_in_another_start(lines) -> None:
    settings = QSettings("Rillwright", "corrections-test")
    settings.clear()
    for printer, paper, across, along in lines:
        PrinterCorrections(settings).keep(printer, paper, Correction(across, along))
    settings.sync()
    again = PrinterCorrections(QSettings("Rillwright", "corrections-test"))
    last = {(printer, paper): (across, along) for printer, paper, across, along in lines}
    assert {(k.printer, k.paper) for k in again.all()} == set(last)
    for (printer, paper), factors in last.items():
        found = again.of(printer, paper)
        assert (found.across, found.along) == factors


@pytest.mark.parametrize(
    "text", ["no json", "{}", "3", '[["Desk"]]', '[["Desk", "A4", "x", 1.0]]', "[null]", '"Desk"']
)
def test_spoilt_settings_are_as_if_nothing_were_kept(text: str) -> None:
    settings = QSettings("Rillwright", "corrections-test")
    settings.setValue("printer_corrections", text)
    assert PrinterCorrections(settings).all() == ()
    PrinterCorrections(settings).keep("Desk", "A4", Correction(1.01, 1.0))
    assert len(PrinterCorrections(settings).all()) == 1


def test_a_correction_in_words() -> None:
    assert correction_words(Correction(1.004, 0.999)) == (
        "0.4 % larger across and 0.1 % smaller along"
    )
    assert correction_words(Correction(1.0, 1.02)) == "2.0 % larger along"
    assert correction_words(UNCORRECTED) == "as they are"
