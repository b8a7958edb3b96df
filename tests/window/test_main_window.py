"""The main window: one design or the start page, menus that follow, nothing unsaved lost."""

from pathlib import Path

import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, QRect, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import QAbstractButton, QApplication, QDockWidget, QToolBar, QWidget
from pytestqt.qtbot import QtBot

from designer.analysis import analyse
from designer.model import edits
from designer.model.design import Design
from designer.model.file import read_design
from designer.model.saving import save
from designer.resources import sample_paths
from designer.sheet.build_sheet import write_build_sheet
from designer.sheet.options import SheetOptions
from designer.window.main_window import MainWindow
from designer.window.shell import Shell
from designer.window.start_page import sample_title
from tests.window.conftest import Asked

MOVED = "Move a bucket"


def moved(window: MainWindow) -> None:
    assert window.document is not None
    window.document.apply(lambda design: edits.move_buckets(design, ["b1"], 25.0), MOVED)


def is_on(window: MainWindow, name: str) -> bool:
    return window.actions_by_name[name].isEnabled()


def do(window: MainWindow, name: str) -> None:
    window.actions_by_name[name].trigger()


@pytest.fixture
def saved(tmp_path: Path, bed: Design) -> Path:
    path = tmp_path / "north-bed.rill"
    save(bed, path)
    return path


# --- start page and design ----------------------------------------------------------------------


def test_a_window_starts_with_the_questions_and_without_panels(window: MainWindow) -> None:
    assert window.stack.currentWidget() is window.start_page
    assert window.document is None
    assert not any(dock.isVisible() for dock in window.docks.values())
    assert not window.findChild(QToolBar).isVisible()
    assert window.windowTitle() == "Rillwright"


def test_drawing_from_the_questions_opens_a_sheet_with_panels(window: MainWindow) -> None:
    window.start_page.draw.click()
    assert window.document is not None
    assert window.stack.currentWidget() is window.sheet
    assert all(dock.isVisible() for dock in window.docks.values())
    assert sum(len(run.buckets) for run in window.document.design.runs) == 8
    assert window.document.analysis.counts["must_fix"] == 0


def test_a_new_design_counts_as_unsaved_work(window: MainWindow, asked: Asked) -> None:
    window.start_page.draw.click()
    assert window.isWindowModified()
    assert not window.files.may_leave()
    assert asked.questions == ["My bucket bed"]


def test_a_sample_opens_as_a_copy_without_a_file(window: MainWindow) -> None:
    path = sample_paths()[0]
    window.start_page.samples[0].click()
    assert window.document is not None
    assert window.document.path is None
    assert window.document.design == read_design(path).design
    assert not window.isWindowModified()


def test_every_sample_gets_its_picture_after_the_first_paint(
    qtbot: QtBot, window: MainWindow
) -> None:
    assert len(window.start_page.samples) == len(sample_paths())
    for row in window.start_page.samples:
        qtbot.waitUntil(lambda row=row: not row.picture.pixmap().isNull())


def test_the_preview_is_drawn_and_said_in_words(qtbot: QtBot, window: MainWindow) -> None:
    preview = window.start_page.preview
    qtbot.waitUntil(lambda: preview.image is not None)
    assert "8 buckets" in preview.accessibleDescription()


def test_the_preview_grows_with_the_window(qtbot: QtBot, window: MainWindow) -> None:
    preview = window.start_page.preview
    window.resize(1000, 700)
    qtbot.waitUntil(lambda: preview.image is not None)
    first = preview.image
    assert first is not None
    window.resize(1300, 860)
    qtbot.waitUntil(lambda: preview.image is not None and preview.image.width() > first.width())


def test_answers_that_do_not_fit_are_told_and_nothing_opens(window: MainWindow) -> None:
    page = window.start_page
    page.questions.count.line.setText("0")
    page.draw.click()
    assert window.document is None
    assert "at least 1" in page.questions.count.reason
    assert not page.problem.isVisible()


def test_a_problem_of_several_answers_together_is_told_beside_the_button(
    window: MainWindow,
) -> None:
    page = window.start_page
    page.questions.by.show_value("length")
    page.questions.by.entered.emit("length")
    page.questions.length.line.setText("400 mm")
    page.draw.click()
    assert window.document is None
    assert page.problem.isVisible()
    assert "too short" in page.problem.text()


# --- files --------------------------------------------------------------------------------------


def test_saving_asks_for_a_name_once_and_clears_the_marker(
    window: MainWindow, asked: Asked, tmp_path: Path, bed: Design
) -> None:
    window.files.begin(bed)
    asked.save_path = tmp_path / "south.rill"
    do(window, "save")
    assert read_design(asked.save_path).design == bed
    assert not window.isWindowModified()
    assert window.windowTitle() == "south[*] – Rillwright"
    moved(window)
    assert window.isWindowModified()
    asked.save_path = None
    do(window, "save")
    assert read_design(tmp_path / "south.rill").design != bed
    assert not window.isWindowModified()


def test_save_as_goes_on_with_the_new_file(
    window: MainWindow, asked: Asked, saved: Path, bed: Design
) -> None:
    window.files.open(saved)
    moved(window)
    asked.save_path = saved.with_name("copy.rill")
    do(window, "save_as")
    assert window.document is not None
    assert window.document.path == asked.save_path
    assert read_design(saved).design == bed
    assert window.shell.recent.paths()[0] == asked.save_path


def test_thinking_better_of_a_name_saves_nothing(
    window: MainWindow, asked: Asked, bed: Design
) -> None:
    window.files.begin(bed)
    assert not window.files.save()
    assert window.isWindowModified()


def test_a_save_that_fails_says_one_sentence_and_keeps_the_marker(
    window: MainWindow, asked: Asked, tmp_path: Path, bed: Design
) -> None:
    window.files.begin(bed)
    asked.save_path = tmp_path / "no such folder" / "bed.rill"
    do(window, "save")
    (sentence,) = asked.said
    assert "was not saved" in sentence
    assert "Traceback" not in sentence
    assert window.isWindowModified()


def test_a_file_changed_by_another_program_is_not_written_over_unasked(
    window: MainWindow, asked: Asked, saved: Path
) -> None:
    window.files.open(saved)
    moved(window)
    other = saved.read_text().replace("North bed", "Theirs")
    saved.write_text(other)
    assert not window.files.save()
    assert saved.read_text() == other
    asked.outside = "over"
    assert window.files.save()
    assert saved.read_text() != other


def test_a_file_changed_by_another_program_can_be_opened_again(
    window: MainWindow, saved: Path
) -> None:
    window.files.open(saved)
    saved.write_text(saved.read_text().replace("North bed", "Theirs"))
    assert window.files.open(saved)
    assert window.document is not None
    assert window.document.design.title == "Theirs"


def test_a_failed_open_says_why_and_keeps_the_design(
    window: MainWindow, asked: Asked, bed: Design, tmp_path: Path
) -> None:
    window.files.begin(bed)
    broken = tmp_path / "broken.rill"
    broken.write_text("{")
    assert not window.files.open(broken)
    (sentence,) = asked.said
    assert sentence.startswith("'broken.rill' cannot be opened")
    assert asked.questions == []
    assert window.document is not None
    assert window.document.design == bed


@pytest.mark.parametrize(("answer", "closes"), [("stay", False), ("drop", True), ("save", True)])
def test_closing_asks_about_unsaved_changes(
    window: MainWindow, asked: Asked, saved: Path, bed: Design, answer: str, closes: bool
) -> None:
    window.files.open(saved)
    moved(window)
    asked.unsaved = answer
    assert window.close() is closes
    assert asked.questions == ["north-bed"]
    assert (read_design(saved).design != bed) is (answer == "save")
    assert (window in window.shell.windows) is not closes


def test_opening_and_starting_anew_ask_about_unsaved_changes(
    window: MainWindow, asked: Asked, saved: Path, bed: Design
) -> None:
    window.files.begin(bed)
    assert not window.files.open(saved)
    do(window, "new")
    assert window.document is not None
    assert len(asked.questions) == 2
    asked.unsaved = "drop"
    do(window, "new")
    assert window.document is None
    assert window.stack.currentWidget() is window.start_page


def test_nothing_is_asked_when_nothing_changed(
    window: MainWindow, asked: Asked, saved: Path
) -> None:
    window.files.open(saved)
    moved(window)
    do(window, "undo")
    do(window, "new")
    assert asked.questions == []


def test_recent_files_are_in_menu_and_start_page(window: MainWindow, saved: Path) -> None:
    window.files.open(saved)
    do(window, "new")
    menu = window.menus["recent"]
    menu.aboutToShow.emit()
    entry = menu.actions()[0]
    assert "north-bed" in entry.text()
    entry.trigger()
    assert window.document is not None
    assert window.document.path == saved


def drop_file(target: QWidget, path: Path) -> None:
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(path))])
    left, none = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
    enter = QDragEnterEvent(QPoint(5, 5), Qt.DropAction.CopyAction, data, left, none)
    QApplication.sendEvent(target, enter)
    assert enter.isAccepted()
    drop = QDropEvent(QPointF(5, 5), Qt.DropAction.CopyAction, data, left, none)
    QApplication.sendEvent(target, drop)


def test_a_file_dropped_on_the_start_page_is_opened(
    qtbot: QtBot, window: MainWindow, saved: Path
) -> None:
    drop_file(window.start_page, saved)
    qtbot.waitUntil(lambda: window.document is not None)
    assert window.document is not None
    assert window.document.path == saved


def test_a_file_dropped_on_the_sheet_is_opened_in_its_place(
    qtbot: QtBot, window: MainWindow, asked: Asked, bed: Design, saved: Path
) -> None:
    window.files.begin(bed)
    asked.unsaved = "drop"
    assert window.sheet is not None
    assert window.document is not None
    first = window.document
    drop_file(window.sheet.viewport(), saved)
    qtbot.waitUntil(lambda: window.document is not first)
    assert window.document is not None
    assert window.document.path == saved


# --- the design inside a PDF ----------------------------------------------------------------------


@pytest.fixture
def shared(bed: Design, tmp_path: Path) -> Path:
    """Drill templates that carry the design."""
    path = tmp_path / "shared.pdf"
    write_build_sheet(analyse(bed), path, SheetOptions(only_templates=True))
    return path


def test_a_pdf_opens_as_a_copy_and_saving_asks_for_a_name(
    window: MainWindow, asked: Asked, shared: Path, bed: Design
) -> None:
    printed = shared.read_bytes()
    assert window.files.open(shared)
    assert window.document is not None
    assert window.document.path is None
    assert window.document.design == bed
    assert not window.isWindowModified()
    assert window.files.name == "North bed"
    moved(window)
    do(window, "save")
    assert window.isWindowModified()
    asked.save_path = shared.with_name("mine.rill")
    do(window, "save")
    assert window.document.path == asked.save_path
    assert read_design(asked.save_path).design == window.document.design
    assert shared.read_bytes() == printed


def test_a_design_is_never_saved_over_a_pdf(window: MainWindow, asked: Asked, shared: Path) -> None:
    printed = shared.read_bytes()
    window.files.open(shared)
    asked.save_path = shared
    do(window, "save")
    assert asked.said == [
        "'shared.pdf' was not saved: that is a PDF's name; save it under one that ends in .rill."
    ]
    assert shared.read_bytes() == printed


def test_a_pdf_can_be_dropped_and_is_among_the_recent_files(
    qtbot: QtBot, window: MainWindow, shared: Path, bed: Design
) -> None:
    drop_file(window.start_page, shared)
    qtbot.waitUntil(lambda: window.document is not None)
    assert window.document is not None
    assert window.document.design == bed
    do(window, "new")
    menu = window.menus["recent"]
    menu.aboutToShow.emit()
    entry = menu.actions()[0]
    assert "shared.pdf" in entry.text()
    entry.trigger()
    assert window.document is not None
    assert window.document.path is None


def test_a_foreign_pdf_says_why_it_is_not_opened(
    window: MainWindow, asked: Asked, tmp_path: Path
) -> None:
    other = tmp_path / "letter.pdf"
    other.write_bytes(b"%PDF-1.7 nothing")
    assert not window.files.open(other)
    (sentence,) = asked.said
    assert sentence.startswith("'letter.pdf' cannot be opened: it is damaged, or not a PDF")
    assert window.document is None


def test_other_things_dropped_are_not_taken(window: MainWindow, tmp_path: Path) -> None:
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(tmp_path / "photo.png")), QUrl("https://a.b/c.rill")])
    left, none = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
    enter = QDragEnterEvent(QPoint(5, 5), Qt.DropAction.CopyAction, data, left, none)
    QApplication.sendEvent(window, enter)
    assert not enter.isAccepted()


# --- several windows ----------------------------------------------------------------------------


def test_windows_hold_designs_of_their_own(
    window: MainWindow, shell: Shell, bed: Design, saved: Path
) -> None:
    window.files.begin(bed)
    do(window, "new_window")
    first, second = shell.windows
    assert first is window
    assert second.document is None
    second.files.open(saved)
    moved(second)
    assert first.document is not None
    assert first.document.design == bed


def test_a_file_open_in_another_window_is_not_opened_twice(
    window: MainWindow, shell: Shell, saved: Path
) -> None:
    window.files.open(saved)
    other = shell.new_window()
    assert other.files.open(saved)
    assert other.document is None


def test_quitting_stops_at_a_window_that_is_to_stay(
    window: MainWindow, shell: Shell, asked: Asked, bed: Design
) -> None:
    window.files.begin(bed)
    shell.new_window()
    do(window, "quit")
    assert window in shell.windows
    asked.unsaved = "drop"
    do(window, "quit")
    assert shell.windows == []


# --- menus and bars -----------------------------------------------------------------------------


def test_undo_and_redo_name_their_steps(window: MainWindow, bed: Design) -> None:
    window.files.begin(bed)
    undo, redo = window.actions_by_name["undo"], window.actions_by_name["redo"]
    assert not undo.isEnabled()
    assert not redo.isEnabled()
    moved(window)
    assert undo.text() == "&Undo: move a bucket"
    undo.trigger()
    assert window.document is not None
    assert window.document.design == bed
    assert not undo.isEnabled()
    assert redo.text() == "&Redo: move a bucket"
    redo.trigger()
    assert window.document.design != bed


def test_a_hundred_steps_can_all_be_undone(window: MainWindow, bed: Design) -> None:
    window.files.begin(bed)
    for _ in range(100):
        moved(window)
    for _ in range(100):
        do(window, "undo")
    assert window.document is not None
    assert window.document.design == bed
    assert not is_on(window, "undo")


def test_entries_can_be_used_when_there_is_something_for_them(
    window: MainWindow, bed: Design
) -> None:
    assert is_on(window, "open")
    assert is_on(window, "about")
    assert not is_on(window, "save")
    assert not is_on(window, "units_metric")
    window.files.begin(bed)
    assert window.document is not None
    assert is_on(window, "save")
    assert is_on(window, "select_all")
    assert not is_on(window, "delete")
    assert not is_on(window, "flip")
    window.document.select(["reservoir"])
    assert is_on(window, "delete")
    assert not is_on(window, "flip")
    window.document.select(["b2"])
    assert is_on(window, "flip")


def test_units_and_paper_change_in_one_step_each(window: MainWindow, bed: Design) -> None:
    window.files.begin(bed)
    do(window, "units_imperial")
    do(window, "paper_letter")
    assert window.document is not None
    design = window.document.design
    assert (design.units, design.paper) == ("imperial", "letter")
    do(window, "undo")
    do(window, "undo")
    assert window.document.design == bed
    assert window.actions_by_name["units_metric"].isChecked()
    assert window.actions_by_name["paper_a4"].isChecked()


def test_editing_entries_act_on_the_sheet(window: MainWindow, bed: Design) -> None:
    window.files.begin(bed)
    document = window.document
    assert document is not None
    document.select(["b1"])
    side = document.design.run_of("b1").buckets[0].side
    do(window, "flip")
    assert document.design.run_of("b1").buckets[0].side != side
    do(window, "delete")
    assert len(document.design.runs[0].buckets) == 7


def test_cutting_deletes_and_pasting_brings_back(window: MainWindow, bed: Design) -> None:
    window.files.begin(bed)
    document = window.document
    assert document is not None
    document.select(["b1", "b2"])
    do(window, "cut")
    assert len(document.design.runs[0].buckets) == 6
    do(window, "paste")
    assert len(document.design.runs[0].buckets) == 8


def test_the_status_bar_counts_the_checks_with_words_and_symbols(
    window: MainWindow, bed: Design
) -> None:
    window.files.begin(bed)
    assert window.document is not None
    counts = window.document.analysis.counts
    texts = {button.text() for button in window.statusBar().findChildren(QAbstractButton)}
    assert {"Must fix 0", f"Look again {counts['look_again']}", f"Good {counts['good']}"} <= texts
    assert "Lengths in mm" in texts
    window.document.apply(lambda design: edits.set_fall(design, "r1", -20.0), "Tilt")
    texts = {button.text() for button in window.statusBar().findChildren(QAbstractButton)}
    assert f"Must fix {window.document.analysis.counts['must_fix']}" in texts
    assert window.document.analysis.counts["must_fix"] > 0


def test_a_hint_of_the_sheet_stands_in_the_status_bar(window: MainWindow, bed: Design) -> None:
    window.files.begin(bed)
    assert window.sheet is not None
    window.sheet.hint.emit("Drag it along the drain")
    assert window._hint.text() == "Drag it along the drain"


def test_the_grid_is_switched_and_remembered(window: MainWindow, shell: Shell, bed: Design) -> None:
    window.files.begin(bed)
    before = window.sheet.grid_shown
    do(window, "grid")
    assert window.sheet.grid_shown is not before
    other = shell.new_window()
    other.files.begin(bed)
    assert other.sheet.grid_shown is not before
    assert other.actions_by_name["grid"].isChecked() is not before


def test_the_look_is_changed_in_every_window(window: MainWindow, shell: Shell, bed: Design) -> None:
    window.files.begin(bed)
    other = shell.new_window()
    do(other, "theme_dark")
    assert window.actions_by_name["theme_dark"].isChecked()
    assert shell.theme.is_dark
    do(window, "theme_light")
    assert other.actions_by_name["theme_light"].isChecked()


def test_panels_closed_once_stay_closed_at_the_next_start(
    window: MainWindow, shell: Shell, bed: Design, asked: Asked
) -> None:
    window.files.begin(bed)
    window.docks["parts"].close()
    asked.unsaved = "drop"
    window.close()
    again = shell.new_window()
    again.files.begin(bed)
    assert not again.docks["parts"].isVisible()
    assert again.docks["checks"].isVisible()


def test_everything_that_takes_the_focus_has_a_name(window: MainWindow, bed: Design) -> None:
    window.files.begin(bed)
    for dock in window.findChildren(QDockWidget):
        assert dock.accessibleName()
    assert window.sheet.accessibleName()
    for bar in (window.toolbar, window.statusBar()):
        for button in bar.findChildren(QAbstractButton):
            if button.isVisible() and button.focusPolicy() != Qt.FocusPolicy.NoFocus:
                assert button.accessibleName() or button.text()


def test_no_button_is_smaller_than_24_px(window: MainWindow, bed: Design) -> None:
    window.files.begin(bed)
    for button in (
        *window.toolbar.findChildren(QAbstractButton),
        *window.statusBar().findChildren(QAbstractButton),
        *window.findChildren(QAbstractButton, options=Qt.FindChildOption.FindChildrenRecursively),
    ):
        if button.isVisible() and button.objectName() != "qt_toolbar_ext_button":
            assert min(button.width(), button.height()) >= 24, button.accessibleName()


def test_no_two_entries_share_a_shortcut(window: MainWindow) -> None:
    keys = [
        sequence.toString()
        for action in window.actions_by_name.values()
        for sequence in action.shortcuts()
    ]
    assert len(keys) == len(set(keys))


def test_status_bar_and_checks_tell_the_same_numbers_while_a_remedy_is_on_trial(
    qtbot: QtBot, window: MainWindow, bed: Design
) -> None:
    window.files.begin(edits.set_fall(bed, "r1", 2.0))
    document = window.document
    assert document is not None
    qtbot.waitUntil(lambda: document.analysis.complete)
    before = {state: button.text() for state, button in window._counts._buttons.items()}
    document.try_out(bed)
    assert {state: button.text() for state, button in window._counts._buttons.items()} == before
    document.cancel()
    document.preview(bed)
    assert window._counts._buttons["must_fix"].text() == "Must fix 0"
    document.cancel()


def test_closing_the_only_window_s_design_goes_to_the_start_page(
    window: MainWindow, shell: Shell, bed: Design
) -> None:
    window.files.begin(bed, unsaved=False)
    do(window, "close")
    assert window.isVisible()
    assert window.document is None
    assert window.stack.currentWidget() is window.start_page
    window.files.begin(bed, unsaved=False)
    shell.new_window()
    do(window, "close")
    assert window not in shell.windows


def test_samples_are_in_the_file_menu(window: MainWindow) -> None:
    actions = window.menus["samples"].actions()
    assert [action.text() for action in actions] == [sample_title(path) for path in sample_paths()]
    actions[0].trigger()
    assert window.document is not None
    assert window.document.path is None


def test_after_new_the_first_tab_goes_to_the_first_question(
    qtbot: QtBot, window: MainWindow, bed: Design
) -> None:
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    window.files.begin(bed, unsaved=False)
    do(window, "new")
    qtbot.keyClick(window.focusWidget(), Qt.Key.Key_Tab)
    assert window.start_page.questions.title.entry.hasFocus()


def test_keys_go_to_every_panel_and_to_the_sheet(
    qtbot: QtBot, window: MainWindow, bed: Design
) -> None:
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    window.files.begin(bed)
    assert window.sheet is not None
    window.docks["water"].close()
    for name in ("parts", "dimensions", "checks", "water", "takeoff"):
        do(window, f"go_{name}")
        focus = QApplication.focusWidget()
        assert focus is not None
        assert window.docks[name].isAncestorOf(focus)
    do(window, "go_sheet")
    assert window.sheet.hasFocus()
    passed = []
    for _ in range(6):
        do(window, "go_next")
        focus = QApplication.focusWidget()
        passed += [name for name, dock in window.docks.items() if dock.isAncestorOf(focus)]
    assert passed[:5] == ["dimensions", "checks", "water", "takeoff", "parts"]
    do(window, "go_sheet")
    do(window, "go_back")
    assert window.docks["parts"].isAncestorOf(QApplication.focusWidget())


def test_tab_never_stops_at_what_stands_behind_another_panel(
    qtbot: QtBot, window: MainWindow, bed: Design
) -> None:
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    window.files.begin(bed)
    window.docks["checks"].raise_()
    qtbot.wait(50)
    seen = QRect(window.mapToGlobal(QPoint(0, 0)), window.size())
    do(window, "go_checks")
    for _ in range(40):
        window.focusNextChild()
        focus = window.focusWidget()
        assert not window.docks["water"].isAncestorOf(focus)
        assert seen.contains(focus.mapToGlobal(focus.rect().center()))
