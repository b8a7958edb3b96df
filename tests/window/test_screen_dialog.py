"""True size on the screen: by what the screen says, or by a ruler held to it."""

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from designer.window.main_window import MainWindow
from designer.window.screen_dialog import GAP, ScreenDialog
from designer.window.screen_scale import ScreenScale
from designer.window.shell import Shell

LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def dialog(qtbot: QtBot, window: MainWindow) -> ScreenDialog:
    made = ScreenDialog(window.shell, "metric", window)
    made.open()
    qtbot.waitExposed(made)
    return made


def kept(shell: Shell, window: QWidget) -> float:
    return ScreenScale(shell.settings).per_mm(window.screen())


def test_without_a_ruler_the_screen_is_believed(window: MainWindow) -> None:
    scale, screen = ScreenScale(window.shell.settings), window.screen()
    assert not scale.corrected(screen)
    assert scale.per_mm(screen) == pytest.approx(screen.physicalDotsPerInch() / 25.4)


def test_the_bar_s_end_follows_the_mouse(
    qtbot: QtBot, window: MainWindow, dialog: ScreenDialog
) -> None:
    bar = dialog.bar
    assert not dialog.believe.isVisible()  # there is nothing to forget yet
    qtbot.mousePress(bar, LEFT, pos=bar.end().toPoint())
    qtbot.mouseMove(bar, QPoint(GAP + 300, 40))
    qtbot.mouseRelease(bar, LEFT, pos=QPoint(GAP + 300, 40))
    assert bar.pixels == 300
    qtbot.keyClick(dialog, Qt.Key.Key_Return)
    assert kept(window.shell, window) == pytest.approx(3.0)


def test_arrow_keys_move_it_by_a_pixel(
    qtbot: QtBot, window: MainWindow, dialog: ScreenDialog
) -> None:
    bar, before = dialog.bar, dialog.bar.pixels
    bar.setFocus()
    qtbot.keyClick(bar, Qt.Key.Key_Right)
    qtbot.keyClick(bar, Qt.Key.Key_Right, Qt.KeyboardModifier.ShiftModifier)
    qtbot.keyClick(bar, Qt.Key.Key_Left)
    assert bar.pixels == pytest.approx(before + 10)


def test_what_the_ruler_says_may_be_typed(
    qtbot: QtBot, window: MainWindow, dialog: ScreenDialog
) -> None:
    before = dialog.bar.pixels
    line = dialog.measured.line
    line.selectAll()
    qtbot.keyClicks(line, "80")
    line.clearFocus()
    dialog.measured.finish()
    # What was 80 mm long is drawn longer, so that it is 100 mm long now.
    assert dialog.bar.pixels == pytest.approx(before / 0.8)
    assert dialog.measured.value == 100.0
    dialog.accept()
    assert kept(window.shell, window) == pytest.approx(before / 80)


def test_a_ruler_can_be_forgotten(qtbot: QtBot, window: MainWindow, dialog: ScreenDialog) -> None:
    dialog.bar.show_pixels(300)
    dialog.accept()
    again = ScreenDialog(window.shell, "imperial", window)
    again.open()
    assert again.believe.isVisible()
    qtbot.mouseClick(again.believe, LEFT)
    assert not ScreenScale(window.shell.settings).corrected(window.screen())
    assert not again.isVisible()


@pytest.mark.parametrize("stored", ["nonsense", -1.0, 4000.0])
def test_a_spoilt_setting_is_not_believed(window: MainWindow, stored: object) -> None:
    scale, screen = ScreenScale(window.shell.settings), window.screen()
    scale.keep(screen, 3.0)
    (key,) = [key for key in window.shell.settings.allKeys() if key.startswith("screens/")]
    window.shell.settings.setValue(key, stored)
    assert not scale.corrected(screen)
    assert scale.per_mm(screen) == pytest.approx(scale.stated(screen))


def test_no_screen_is_a_mm_to_the_pixel(window: MainWindow) -> None:
    with pytest.raises(ValueError, match="measure once more"):
        ScreenScale(window.shell.settings).keep(window.screen(), 0.4)
