"""The two looks: texts and edges can be told from their ground."""

import pytest
from PySide6.QtGui import QColor, QPalette
from PySide6.QtWidgets import QApplication, QComboBox
from pytestqt.qtbot import QtBot

from designer.drawing.styles import DARK, LIGHT, Colours
from designer.window.shell import Shell
from designer.window.theme import (
    Mode,
    contrast,
    edge_of,
    ground_of,
    mix,
    palette_of,
    style_sheet,
)

TABLES = pytest.mark.parametrize("colours", [LIGHT, DARK], ids=["light", "dark"])


@pytest.mark.parametrize(
    ("a", "b", "expected"),
    [("#000000", "#ffffff", 21.0), ("#777777", "#ffffff", 4.48), ("#ffffff", "#ffffff", 1.0)],
)
def test_contrast_agrees_with_known_values_of_wcag(a: str, b: str, expected: float) -> None:
    assert contrast(a, b) == pytest.approx(expected, abs=0.01)
    assert contrast(b, a) == contrast(a, b)


@TABLES
def test_every_text_of_the_widgets_has_a_contrast_of_four_and_a_half(colours: Colours) -> None:
    palette = palette_of(colours)
    role = QPalette.ColorRole
    pairs = [
        (role.WindowText, role.Window),
        (role.Text, role.Base),
        (role.Text, role.AlternateBase),
        (role.ButtonText, role.Button),
        (role.ToolTipText, role.ToolTipBase),
        (role.PlaceholderText, role.Base),
        (role.PlaceholderText, role.Window),
        (role.HighlightedText, role.Highlight),
        (role.Link, role.Window),
    ]
    for text, ground in pairs:
        assert contrast(palette.color(text).name(), palette.color(ground).name()) >= 4.5, text


@TABLES
def test_edges_focus_marks_and_states_stand_out_from_sheet_and_ground(colours: Colours) -> None:
    for ground in (colours["sheet"], ground_of(colours)):
        for mark in (
            edge_of(colours),
            *(colours[r] for r in ("chosen", "accent", "must", "look", "good")),
        ):
            assert contrast(mark, ground) >= 3.0


@TABLES
def test_refusals_and_soft_words_can_be_read_on_both_grounds(colours: Colours) -> None:
    for ground in (colours["sheet"], ground_of(colours)):
        assert contrast(colours["must"], ground) >= 4.5
        assert contrast(colours["soft"], ground) >= 4.5


@TABLES
def test_headings_grow_with_the_system_font(colours: Colours) -> None:
    assert "font-size: 17.0pt" in style_sheet(colours, 10.0)
    assert "font-size: 34.0pt" in style_sheet(colours, 20.0)


def test_mixing_goes_from_one_colour_to_the_other() -> None:
    assert mix("#102030", "#ffffff", 0.0) == "#102030"
    assert mix("#102030", "#ffffff", 1.0) == "#ffffff"
    assert mix("#000000", "#ffffff", 0.5) in ("#7f7f7f", "#808080")


def test_a_chosen_look_is_in_force_at_once_and_remembered(qapp: QApplication, shell: Shell) -> None:
    shell.choose_theme("dark")
    ground = qapp.palette().color(QPalette.ColorRole.Window)
    assert ground == QColor(ground_of(DARK))
    assert shell.theme.colours is DARK
    assert shell.theme.is_dark
    assert Shell(qapp, shell.data).theme.mode == "dark"
    shell.choose_theme("light")
    assert shell.theme.colours is LIGHT


def test_as_the_system_is_light_where_the_system_does_not_say(shell: Shell) -> None:
    shell.choose_theme("dark")
    shell.choose_theme("system")
    assert shell.theme.colours is LIGHT


@pytest.mark.parametrize("mode", ["light", "dark"])
@pytest.mark.parametrize("count", [2, 8])
def test_an_opened_list_shows_its_last_line_whole(
    qtbot: QtBot, shell: Shell, mode: Mode, count: int
) -> None:
    shell.choose_theme(mode)
    box = QComboBox()
    qtbot.addWidget(box)
    box.addItems([f"Choice {n}" for n in range(count)])
    box.show()
    box.showPopup()
    view = box.view()
    qtbot.waitUntil(view.isVisible)
    last = view.visualRect(box.model().index(count - 1, 0))
    assert last.height() >= 24
    assert view.viewport().rect().contains(last)
    assert view.verticalScrollBar().maximum() == 0
    box.hidePopup()
