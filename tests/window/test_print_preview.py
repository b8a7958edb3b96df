"""Preview and print: what is chosen is what is shown, and what is shown is what is printed."""

from collections.abc import Callable
from pathlib import Path

import pytest
import shiboken6
from pypdfium2 import PdfDocument
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QDesktopServices, QWheelEvent
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

import designer.sheet.build_sheet as build_sheet
from designer.model import edits
from designer.model.design import Design
from designer.sheet.calibration import UNCORRECTED, Correction
from designer.sheet.paper import A3, A4, ROLLS
from designer.window import asking, print_preview
from designer.window.choice_fields import ChoiceField
from designer.window.main_window import MainWindow
from designer.window.preview_page import GAP
from designer.window.preview_ruler import WIDTH
from designer.window.print_layout import PrinterLimits
from designer.window.print_options import ROLL
from designer.window.print_preview import PrintPreview
from designer.window.printer_corrections import PrinterCorrections
from tests.window.conftest import Asked

CTRL = Qt.KeyboardModifier.ControlModifier
LEFT = Qt.MouseButton.LeftButton
HALF = Correction(1.005, 0.995)


def settled(qtbot: QtBot, preview: PrintPreview) -> None:
    qtbot.waitUntil(lambda: preview.current and preview.view.drawn, timeout=60_000)


def opened(window: MainWindow) -> PrintPreview:
    window.actions_by_name["print"].trigger()
    return window.findChildren(PrintPreview)[-1]


@pytest.fixture
def preview(qtbot: QtBot, window: MainWindow, bed: Design, tmp_path: Path) -> PrintPreview:
    window.shell.folder = tmp_path
    window.files.begin(bed)
    assert window.document is not None
    # Few pages, so that the tests do not wait for a whole sheet.
    made = PrintPreview(window.document, "North bed", window.shell, window, only_templates=True)
    made.open()
    settled(qtbot, made)
    return made


def choose(field: ChoiceField, value: object) -> None:
    """As a hand would choose it from the list."""
    field.combo.setCurrentIndex([choice[0] for choice in field._choices].index(value))
    field.combo.activated.emit(field.combo.currentIndex())


def count(preview: PrintPreview) -> int:
    return preview.thumbs.model().rowCount()


# --- what is shown --------------------------------------------------------------------------------


def test_ctrl_p_opens_the_whole_sheet_and_escape_closes_it(
    qtbot: QtBot, window: MainWindow, bed: Design
) -> None:
    window.files.begin(bed)
    window.activateWindow()
    qtbot.keyClick(window, Qt.Key.Key_P, CTRL)
    preview = window.findChildren(PrintPreview)[-1]
    assert preview.isVisible()
    settled(qtbot, preview)
    assert count(preview) > 10
    assert "Sheet 1 of" in preview.said.text()
    qtbot.keyClick(preview, Qt.Key.Key_Escape)
    assert not preview.isVisible()


def test_unticking_a_template_leaves_its_pages_out(qtbot: QtBot, preview: PrintPreview) -> None:
    before = count(preview)
    assert "outlet" in preview.options.ticks
    qtbot.mouseClick(preview.options.ticks["drain"], LEFT, pos=QPoint(8, 8))
    settled(qtbot, preview)
    assert 0 < count(preview) < before


def test_a_paper_of_its_own_for_the_templates(qtbot: QtBot, preview: PrintPreview) -> None:
    before = count(preview)
    choose(preview.options.template_paper, "a3")
    settled(qtbot, preview)
    assert count(preview) <= before
    assert preview._images is not None
    sides = {tuple(sorted((round(s.width), round(s.height)))) for s in preview._images.sizes}
    assert sides == {(297, 420)}
    assert "A3" in preview.said.text()


def test_a_strip_from_a_roll_is_one_page_of_the_typed_width(
    qtbot: QtBot, preview: PrintPreview
) -> None:
    assert not preview.options.roll.isVisible()
    choose(preview.options.template_paper, ROLL)
    assert preview.options.roll.isVisible()
    assert preview.options.template_sheet in ROLLS.values()
    line = preview.options.roll.line
    line.setFocus()
    line.selectAll()
    qtbot.keyClicks(line, "500")
    qtbot.keyClick(line, Qt.Key.Key_Return)
    settled(qtbot, preview)
    assert preview.options.template_sheet.width == 500
    assert preview._images is not None
    assert all(500 in (round(s.width), round(s.height)) for s in preview._images.sizes)
    assert preview.isVisible()  # the Enter key entered the width and nothing else


def test_a_width_that_no_roll_has_is_refused_and_nothing_changes(
    qtbot: QtBot, preview: PrintPreview
) -> None:
    choose(preview.options.template_paper, ROLL)
    settled(qtbot, preview)
    line = preview.options.roll.line
    line.setFocus()
    line.selectAll()
    qtbot.keyClicks(line, "5")
    qtbot.keyClick(line, Qt.Key.Key_Return)
    assert "roll" in preview.options.roll.reason
    assert preview.current
    assert preview.options.template_sheet.width > 280


def test_the_templates_go_along_with_the_paper_until_they_have_their_own(
    preview: PrintPreview,
) -> None:
    options = preview.options
    choose(options.what, "sheet")
    choose(options.paper, "letter")
    assert options.template_paper.value == "letter"
    choose(options.template_paper, "a3")
    choose(options.paper, "a4")
    assert options.options().paper == A4
    assert options.options().template_paper == A3


def test_the_chosen_buckets_may_be_asked_for_alone(window: MainWindow, bed: Design) -> None:
    window.files.begin(bed)
    assert window.document is not None
    some = frozenset(sorted(window.document.analysis.places)[:2])
    window.document.select(some)
    preview = opened(window)
    choose(preview.options.buckets, some)
    assert preview.options.options().buckets == some
    choose(preview.options.what, "reading")
    assert preview.options.options().templates == frozenset()
    assert not preview.options.buckets.isVisible()
    preview.close()


def test_nothing_to_drill_is_told_in_place_of_the_pages(
    qtbot: QtBot, window: MainWindow, bed: Design
) -> None:
    window.files.begin(edits.set_design(bed, runs=()))
    preview = opened(window)
    choose(preview.options.what, "templates")
    qtbot.waitUntil(lambda: "no template" in preview.note.text(), timeout=60_000)
    assert preview.pages.currentIndex() == 0
    assert not preview.print.isEnabled()
    preview.close()


def test_a_failure_inside_is_one_sentence(
    qtbot: QtBot, window: MainWindow, bed: Design, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object) -> bytes:
        raise RuntimeError("page of 3 mm")

    monkeypatch.setattr(build_sheet, "build_sheet_bytes", broken)
    window.files.begin(bed)
    preview = opened(window)
    qtbot.waitUntil(lambda: "inside Rillwright" in preview.note.text())
    assert "3 mm" not in preview.note.text()
    preview.close()


def test_making_the_pages_can_be_stopped_and_begun_again(
    qtbot: QtBot, window: MainWindow, bed: Design, monkeypatch: pytest.MonkeyPatch
) -> None:
    real, endless = build_sheet.build_sheet_bytes, [True]

    def slow(analysis, options, progress) -> bytes:
        while endless[0]:
            progress(1, 9)
        return real(analysis, options, progress)

    monkeypatch.setattr(build_sheet, "build_sheet_bytes", slow)
    window.files.begin(bed)
    preview = opened(window)
    qtbot.waitUntil(lambda: preview.progress.maximum() == 9)
    qtbot.mouseClick(preview.stop, LEFT)
    assert "not made" in preview.note.text()
    assert preview.stop.text() == "&Make them again"
    endless[0] = False
    qtbot.mouseClick(preview.stop, LEFT)
    settled(qtbot, preview)
    assert not preview.stop.isVisible()
    preview.close()


def test_closing_it_stops_the_work_at_once(
    qtbot: QtBot, window: MainWindow, bed: Design, monkeypatch: pytest.MonkeyPatch
) -> None:
    ended: list[bool] = []

    def endless(_analysis, _options, progress) -> bytes:
        try:
            while True:
                progress(1, 9)
        finally:
            ended.append(True)

    monkeypatch.setattr(build_sheet, "build_sheet_bytes", endless)
    window.files.begin(bed)
    preview = opened(window)
    qtbot.waitUntil(lambda: preview.progress.maximum() == 9)
    preview.close()
    qtbot.waitUntil(lambda: bool(ended))


# --- looking at pages -----------------------------------------------------------------------------


def test_small_pages_are_drawn_only_when_they_come_into_view(
    qtbot: QtBot, preview: PrintPreview
) -> None:
    choose(preview.options.what, "sheet")
    settled(qtbot, preview)
    drawn = preview.thumbs.pages
    qtbot.waitUntil(lambda: drawn.drawn >= 3)
    qtbot.wait(100)
    assert drawn.drawn < count(preview)
    preview.thumbs.scrollToBottom()
    before = drawn.drawn
    qtbot.waitUntil(lambda: drawn.drawn > before)


def test_a_click_on_a_small_page_shows_it_large(qtbot: QtBot, preview: PrintPreview) -> None:
    thumbs = preview.thumbs
    place = thumbs.visualRect(thumbs.model().index(1)).center()
    qtbot.mouseClick(thumbs.viewport(), LEFT, pos=place)
    assert preview.view.page == 1
    assert "Sheet 2 of" in preview.said.text()
    assert preview.view.accessibleDescription() == preview.said.text()


def test_keys_turn_the_pages_and_the_small_ones_follow(qtbot: QtBot, preview: PrintPreview) -> None:
    view, last = preview.view, count(preview) - 1
    for key, page in (
        (Qt.Key.Key_PageDown, 1), (Qt.Key.Key_PageDown, 2), (Qt.Key.Key_PageUp, 1),
        (Qt.Key.Key_End, last), (Qt.Key.Key_PageDown, last), (Qt.Key.Key_Home, 0),
        (Qt.Key.Key_PageUp, 0),
    ):  # fmt: skip
        qtbot.keyClick(view, key)
        assert view.page == page == preview.thumbs.currentIndex().row()


def wheel(preview: PrintPreview, at: QPointF, turn: int, keys=Qt.KeyboardModifier.NoModifier):
    viewport = preview.view.viewport()
    event = QWheelEvent(
        at, QPointF(viewport.mapToGlobal(at.toPoint())), QPoint(), QPoint(0, turn),
        Qt.MouseButton.NoButton, keys, Qt.ScrollPhase.NoScrollPhase, False,
    )  # fmt: skip
    QApplication.sendEvent(viewport, event)


def test_the_wheel_turns_whole_pages_and_moves_a_large_one(
    qtbot: QtBot, preview: PrintPreview
) -> None:
    middle = QPointF(preview.view.viewport().rect().center())
    wheel(preview, middle, -120)
    assert preview.view.page == 1
    wheel(preview, middle, 120)
    assert preview.view.page == 0
    preview.view.show_at(4.0)
    before = preview.view.verticalScrollBar().value()
    wheel(preview, middle, -120)
    assert preview.view.page == 0
    assert preview.view.verticalScrollBar().value() > before


def test_ctrl_and_wheel_zoom_about_the_pointer(qtbot: QtBot, preview: PrintPreview) -> None:
    view = preview.view
    view.show_at(3.0)
    at = QPointF(view.viewport().rect().center()) + QPointF(30, -40)
    spot = (at - view.page_rect().topLeft()) / view.per_mm
    wheel(preview, at, 120, CTRL)
    assert view.per_mm == pytest.approx(3.75)
    now = view.page_rect().topLeft() + spot * view.per_mm
    assert (now - at).manhattanLength() <= 3
    settled(qtbot, preview)


def test_the_hand_moves_a_large_page(qtbot: QtBot, preview: PrintPreview) -> None:
    view = preview.view
    view.show_at(6.0)
    before, middle = view.page_rect().topLeft(), view.viewport().rect().center()
    qtbot.mousePress(view.viewport(), LEFT, pos=middle)
    qtbot.mouseMove(view.viewport(), middle + QPoint(-30, -20))
    qtbot.mouseRelease(view.viewport(), LEFT, pos=middle + QPoint(-30, -20))
    assert view.page_rect().topLeft() - before == QPointF(-30, -20)


def test_one_to_one_is_the_size_of_the_paper_on_this_screen(
    qtbot: QtBot, preview: PrintPreview
) -> None:
    qtbot.mouseClick(preview.bar.true, LEFT)
    per_mm = preview.screen().physicalDotsPerInch() / 25.4
    size = preview._images.sizes[0]
    assert preview.view.page_rect().width() == pytest.approx(size.width * per_mm)
    assert preview.bar.zoom.text() == "100 %"
    qtbot.keyClick(preview, Qt.Key.Key_0, CTRL)
    assert preview.view.fits
    qtbot.keyClick(preview, Qt.Key.Key_1, CTRL)
    assert preview.bar.zoom.text() == "100 %"


def test_a_corrected_screen_changes_what_one_to_one_is(qtbot: QtBot, preview: PrintPreview) -> None:
    preview.bar._scale.keep(preview.screen(), 5.0)
    preview.bar.true_size()
    assert preview.view.per_mm == 5.0


@pytest.mark.parametrize("zoom", [0.4, 2.0, 12.0, 45.0])
def test_what_is_seen_is_drawn_sharp_at_any_zoom(
    qtbot: QtBot, preview: PrintPreview, zoom: float
) -> None:
    preview.view.show_at(zoom)
    settled(qtbot, preview)
    bars = preview.view.verticalScrollBar(), preview.view.horizontalScrollBar()
    for bar in bars:
        bar.setValue(bar.maximum())
    settled(qtbot, preview)


def test_the_rulers_zero_is_the_corner_of_the_page(qtbot: QtBot, preview: PrintPreview) -> None:
    view = preview.view
    view.show_at(3.0)
    for bar in (view.horizontalScrollBar(), view.verticalScrollBar()):
        bar.setValue(0)
    settled(qtbot, preview)
    assert view.page_rect().topLeft() == QPointF(WIDTH + GAP, WIDTH + GAP)
    picture = view.viewport().grab().toImage()
    ratio = picture.devicePixelRatio()
    # The ruler's foot beside the tick at 0, and its ticks every 5 mm between.
    row = round((WIDTH - 3) * ratio)
    darks = [x for x in range(WIDTH + 2, WIDTH + GAP + 60)
             if picture.pixelColor(round(x * ratio), row).lightness() < 110]  # fmt: skip
    assert darks[0] == WIDTH + GAP
    assert darks[1] - darks[0] == 15


# --- printing -------------------------------------------------------------------------------------


@pytest.fixture
def to_file(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    """The system's dialog answered with printing into a file."""
    path = tmp_path / "printed.pdf"

    def answered(_parent: object, printer: QPrinter, _pages: int) -> bool:
        printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
        printer.setOutputFileName(str(path))
        printer.setResolution(150)
        return True

    monkeypatch.setattr(asking, "ask_printer", answered)
    return path


def test_all_pages_are_printed_on_their_own_paper(
    qtbot: QtBot, preview: PrintPreview, to_file: Path
) -> None:
    preview.thumbs.setFocus()
    qtbot.mouseClick(preview.print, LEFT)
    qtbot.waitUntil(lambda: preview.said.text().startswith("Printed"), timeout=60_000)
    assert "check bars" in preview.said.text()
    assert preview._images is not None
    for page, size in zip(PdfDocument(to_file), preview._images.sizes, strict=True):
        printed = [side * 25.4 / 72 for side in page.get_size()]
        assert printed == pytest.approx([size.width, size.height], abs=0.2)
    assert preview.print.isEnabled()
    assert preview.options.isEnabled()


def test_printing_can_be_stopped(qtbot: QtBot, preview: PrintPreview, to_file: Path) -> None:
    qtbot.mouseClick(preview.print, LEFT)
    assert not preview.print.isEnabled()
    qtbot.mouseClick(preview.stop, LEFT)
    assert preview.said.text() == "Printing was stopped."
    assert preview.print.isEnabled()


def test_closing_while_it_prints_ends_both(
    qtbot: QtBot, preview: PrintPreview, to_file: Path
) -> None:
    qtbot.mouseClick(preview.print, LEFT)
    preview.close()
    qtbot.waitUntil(lambda: not shiboken6.isValid(preview))


def test_nothing_is_printed_when_the_person_thinks_better_of_it(
    preview: PrintPreview, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(asking, "ask_printer", lambda *_: False)
    said = preview.said.text()
    preview.print.click()
    assert preview.said.text() == said


def test_other_paper_in_the_printer_is_asked_about(
    preview: PrintPreview, monkeypatch: pytest.MonkeyPatch
) -> None:
    heard: list[tuple[str, str]] = []

    def answered(_parent: object, printer: QPrinter, _pages: int) -> bool:
        from PySide6.QtGui import QPageSize

        printer.setPageSize(QPageSize(QPageSize.PageSizeId.A5))
        return True

    def other(_parent: object, chosen: str, ours: str) -> bool:
        heard.append((chosen, ours))
        return False

    monkeypatch.setattr(asking, "ask_printer", answered)
    monkeypatch.setattr(asking, "ask_other_paper", other)
    preview.print.click()
    assert heard == [("A5", "A4")]
    assert preview.print.isEnabled()


def test_the_system_s_viewer_gets_the_same_pages(
    preview: PrintPreview, window: MainWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    shown: list[Path] = []

    def open_url(url) -> bool:
        shown.append(Path(url.toLocalFile()))
        return True

    monkeypatch.setattr(QDesktopServices, "openUrl", open_url)
    preview.opens.click()
    assert shown[0].name == "North bed templates.pdf"
    assert len(PdfDocument(shown[0])) == count(preview)


def test_the_pages_are_saved_where_the_person_wants(
    preview: PrintPreview, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, asked: Asked
) -> None:
    proposed: list[Path] = []

    def answer(_parent: object, path: Path, _kinds: str) -> Path:
        proposed.append(path)
        return tmp_path / "mine"

    monkeypatch.setattr(asking, "ask_export", answer)
    preview.save.click()
    assert proposed == [tmp_path / "North bed templates.pdf"]
    assert len(PdfDocument(tmp_path / "mine.pdf")) == count(preview)
    asked.replace = False
    (tmp_path / "mine.pdf").write_text("earlier")
    preview.save.click()
    assert (tmp_path / "mine.pdf").read_text() == "earlier"


def test_what_a_printer_cannot_do_is_told_beside_the_pages(
    qtbot: QtBot, preview: PrintPreview, monkeypatch: pytest.MonkeyPatch
) -> None:
    limits = PrinterLimits("Desk", 12.7, ((210.0, 297.0),))
    monkeypatch.setattr(print_preview, "limits_of", lambda _: limits)
    assert not preview.warned.isVisible()
    preview.options.choose_printer("Desk")
    assert preview.warned.isVisible()
    assert "12.7 mm" in preview.warned.text()
    choose(preview.options.template_paper, "a3")
    settled(qtbot, preview)
    assert "A3 paper" in preview.warned.text()


# --- corrections ----------------------------------------------------------------------------------


@pytest.fixture
def desk(window: MainWindow) -> PrinterCorrections:
    """A printer called Desk that is corrected on A4."""
    kept = PrinterCorrections(window.shell.settings)
    kept.keep("Desk", "A4", HALF)
    return kept


def test_the_correction_of_printer_and_paper_is_used_said_and_switched_off(
    qtbot: QtBot, desk: PrinterCorrections, preview: PrintPreview
) -> None:
    options = preview.options
    assert options.correction == UNCORRECTED
    assert not options.corrected.isVisible()
    choose(options.printer, "Desk")
    assert options.options().correction == HALF
    assert "0.5 % larger across and 0.5 % smaller along" in options.words.text()
    settled(qtbot, preview)
    text = PdfDocument(preview._pdf)[0].get_textpage().get_text_range()
    assert HALF.stated in " ".join(text.split())
    qtbot.mouseClick(options.corrected.box, LEFT)
    assert options.options().correction == UNCORRECTED
    assert "switched off" in options.words.text()
    choose(options.template_paper, "a3")
    assert "No correction" in options.words.text()


def test_the_printer_chosen_last_is_proposed_again(
    qtbot: QtBot, desk: PrinterCorrections, preview: PrintPreview, window: MainWindow
) -> None:
    choose(preview.options.printer, "Desk")
    preview.close()
    assert opened(window).options.printer_name == "Desk"


def test_another_printer_taken_in_the_system_s_dialog_has_its_own_correction(
    qtbot: QtBot,
    desk: PrinterCorrections,
    preview: PrintPreview,
    monkeypatch: pytest.MonkeyPatch,
    asked: Asked,
) -> None:
    monkeypatch.setattr(asking, "ask_printer", lambda *_: True)
    monkeypatch.setattr(QPrinter, "printerName", lambda _: "Desk")
    preview.print.click()
    assert "another correction" in asked.said[0]
    assert preview.options.printer_name == "Desk"
    assert not preview.print.isEnabled()  # its pages are being made
    settled(qtbot, preview)
    assert preview.options.correction == HALF


def test_choices_follow_each_other_fast_and_the_last_one_stands(
    qtbot: QtBot, preview: PrintPreview
) -> None:
    papers: list[Callable[[], None]] = [
        lambda name=name: choose(preview.options.template_paper, name)
        for name in ("letter", "a3", "tabloid", "letter")
    ]
    for choice in papers:
        choice()
        qtbot.wait(20)
    settled(qtbot, preview)
    assert preview._images is not None
    assert {round(min(s.width, s.height)) for s in preview._images.sizes} == {216}
