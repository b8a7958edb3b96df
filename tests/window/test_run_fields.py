"""Fields of a run in the Dimensions panel that may stand empty."""

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from designer.canvas.document import Document
from designer.model import edits
from designer.window.dimensions import DimensionsPanel
from designer.window.fields import TypedField
from tests.beds import bed


def test_the_hole_in_the_lid_can_be_typed_and_left_to_the_crop(qapp: object, qtbot: QtBot) -> None:
    document = Document(bed(6))
    panel = DimensionsPanel(document)
    qtbot.addWidget(panel)
    panel.resize(340, 900)
    panel.show()
    document.select(["r1"])
    assert panel.form is not None
    panel.form.boxes["Run"].heading.setChecked(True)
    hole = panel.form.field("Hole in the lid")
    assert isinstance(hole, TypedField)
    assert hole.line.placeholderText() == "by the crop"

    def enter(text: str) -> float | None:
        hole.line.setFocus()
        qtbot.keyClick(hole.line, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
        qtbot.keyClick(hole.line, Qt.Key.Key_Delete)
        qtbot.keyClicks(hole.line, text)
        qtbot.keyClick(hole.line, Qt.Key.Key_Return)
        return document.design.runs[0].plant_hole

    assert enter("82 mm") == 82.0
    assert enter("0") == 82.0
    assert hole.property("refused") or hole.line.property("refused")
    document.apply(lambda design: edits.set_design(design, units="imperial"), "")
    assert enter("3 in") == pytest.approx(76.2)
    assert enter("") is None
