"""The Fill page of the Take-off panel: typed by hand, kept in the design, undone like any edit."""

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from designer.canvas.document import Document
from designer.model import edits
from designer.model.design import Fill
from designer.sketch import Answers, sketch
from designer.takeoff.fill import fill_plan
from designer.takeoff.fill_words import crop_lines, medium_lines, solution_lines
from designer.window.fields import TypedField
from designer.window.takeoff_fill import MEDIUM, NUTRIENT, SOLUTION, SOURCES, WINDOWS, FillPage
from designer.window.takeoff_panel import TakeoffPanel


@pytest.fixture
def document(qapp: object) -> Document:
    return Document(sketch(Answers(title="North bed", buckets=6, units="metric")))


@pytest.fixture
def panel(document: Document, qtbot: QtBot) -> TakeoffPanel:
    made = TakeoffPanel(document)
    qtbot.addWidget(made)
    made.resize(340, 800)
    made.show()
    made.tabs.setCurrentIndex(2)
    settled(qtbot, made)
    return made


def settled(qtbot: QtBot, panel: TakeoffPanel) -> None:
    qtbot.waitUntil(
        lambda: panel.current and panel.work.idle and panel.document.analysis.complete,
        timeout=20_000,
    )


def type_in(qtbot: QtBot, page: FillPage, label: str, typed: str) -> TypedField:
    field = page.form.field(label)
    assert isinstance(field, TypedField)
    field.line.setFocus()
    qtbot.keyClick(field.line, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
    qtbot.keyClick(field.line, Qt.Key.Key_Backspace)
    qtbot.keyClicks(field.line, typed)
    qtbot.keyClick(field.line, Qt.Key.Key_Return)
    return field


def test_medium_and_solution_are_there_without_a_word_typed(
    document: Document, panel: TakeoffPanel
) -> None:
    plan = fill_plan(document.analysis)
    for title, lines in ((MEDIUM, medium_lines), (SOLUTION, solution_lines)):
        for line in lines(plan, "metric"):
            assert f"{line.label}: {line.text}" in panel.fill.lines[title].text
    for line in crop_lines(plan):
        assert line.text in panel.fill.lines[WINDOWS].text
    assert "mS/cm" in panel.fill.lines[SOURCES].text


def test_the_drains_water_joins_what_goes_round_once_it_is_worked_out(
    document: Document, panel: TakeoffPanel
) -> None:
    assert document.analysis.water is not None
    assert "tubes and drain" in panel.fill.lines[SOLUTION].text


def test_typed_bags_are_counted_kept_in_the_design_and_undone(
    document: Document, panel: TakeoffPanel, qtbot: QtBot
) -> None:
    type_in(qtbot, panel.fill, "Bags it is sold in", "100; 10 L")
    settled(qtbot, panel)
    assert document.design.fill.bags == (10.0, 100.0)
    assert " × 100 L" in panel.fill.lines[MEDIUM].text
    document.undo()
    settled(qtbot, panel)
    assert document.design.fill == Fill()
    assert "100 L" not in panel.fill.lines[MEDIUM].text


def test_bags_that_cannot_be_read_are_refused_and_change_nothing(
    document: Document, panel: TakeoffPanel, qtbot: QtBot
) -> None:
    field = type_in(qtbot, panel.fill, "Bags it is sold in", "100 L; big")
    assert "such as 50 L" in field.reason
    assert document.design.fill == Fill()


def test_the_dose_appears_as_its_numbers_are_typed(
    document: Document, panel: TakeoffPanel, qtbot: QtBot
) -> None:
    assert "type the label’s rate" in panel.fill.lines[NUTRIENT].text
    type_in(qtbot, panel.fill, "Rate on its label, ml or g", "2")
    settled(qtbot, panel)
    assert "Nutrient by its label: 2 ml a litre" in panel.fill.lines[NUTRIENT].text
    type_in(qtbot, panel.fill, "EC this rate adds", "0.8 mS/cm")
    type_in(qtbot, panel.fill, "EC of plain water", "0,4")
    type_in(qtbot, panel.fill, "EC you aim at", "2")
    settled(qtbot, panel)
    assert document.design.fill == Fill(label_rate=2, rate_ec=0.8, water_ec=0.4, target_ec=2)
    assert "Nutrient to 2.0 mS/cm: 4 ml a litre" in panel.fill.lines[NUTRIENT].text
    type_in(qtbot, panel.fill, "EC you aim at", "")
    settled(qtbot, panel)
    assert "type the EC you aim at" in panel.fill.lines[NUTRIENT].text


def test_a_target_that_no_source_allows_is_said(
    document: Document, panel: TakeoffPanel, qtbot: QtBot
) -> None:
    type_in(qtbot, panel.fill, "EC you aim at", "9")
    settled(qtbot, panel)
    assert "No source allows the 9.0 mS/cm you aim at" in panel.fill.lines[WINDOWS].text


def test_gallons_and_cubic_feet_in_the_other_units(
    document: Document, panel: TakeoffPanel, qtbot: QtBot
) -> None:
    document.apply(lambda design: edits.set_design(design, units="imperial"), "Units")
    settled(qtbot, panel)
    type_in(qtbot, panel.fill, "Bags it is sold in", "4")
    type_in(qtbot, panel.fill, "Rate on its label, ml or g", "8")
    settled(qtbot, panel)
    assert document.design.fill.bags == (pytest.approx(113.267, abs=0.001),)
    assert document.design.fill.label_rate == pytest.approx(8 / 3.785411784)
    assert "× 4 cu ft" in panel.fill.lines[MEDIUM].text
    assert "8 ml a gallon" in panel.fill.lines[NUTRIENT].text
    assert " gal" in panel.fill.lines[SOLUTION].text
