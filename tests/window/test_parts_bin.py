"""The Parts bin: what a drag carries, and placing without a mouse."""

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QDrag
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from designer.canvas.document import Document
from designer.canvas.drops import PART_MIME
from designer.model import edits
from designer.sketch import Answers, sketch
from designer.window.parts_bin import PARTS, PartsBin, mime_of


@pytest.fixture
def document(qapp: object) -> Document:
    return Document(sketch(Answers(title="North bed", buckets=4, units="metric", paper="a4")))


@pytest.fixture
def parts(document: Document, qtbot: QtBot) -> PartsBin:
    shown = PartsBin(document)
    qtbot.addWidget(shown)
    shown.resize(180, 640)
    with qtbot.waitExposed(shown):
        shown.show()
    return shown


def middle(parts: PartsBin, row: int) -> QPoint:
    return parts.list.visualItemRect(parts.list.item(row)).center()


@pytest.mark.parametrize("kind", [kind for kind, _, _ in PARTS])
def test_a_drag_carries_the_kind_of_its_part(kind: str) -> None:
    data = mime_of(kind)
    assert data.formats() == [PART_MIME]
    assert bytes(data.data(PART_MIME).data()).decode() == kind


def test_every_part_has_an_icon_a_name_and_a_hint(parts: PartsBin) -> None:
    assert parts.list.count() == len(PARTS) == 9
    for row, (_, name, hint) in enumerate(PARTS):
        item = parts.list.item(row)
        assert not item.icon().isNull()
        assert item.text() == name
        assert item.data(Qt.ItemDataRole.AccessibleTextRole) == f"{name}. {hint}"


def test_pulling_a_row_drags_its_part(
    parts: PartsBin, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    dragged: list[str] = []

    def exec_(drag: QDrag, _: Qt.DropAction) -> Qt.DropAction:
        dragged.append(bytes(drag.mimeData().data(PART_MIME).data()).decode())
        return Qt.DropAction.CopyAction

    monkeypatch.setattr(QDrag, "exec", exec_)
    view, start = parts.list.viewport(), middle(parts, 2)
    QTest.mousePress(view, Qt.MouseButton.LeftButton, pos=start)
    for step in (10, 30, 60):
        QTest.mouseMove(view, start + QPoint(step, 0))
    QTest.mouseRelease(view, Qt.MouseButton.LeftButton, pos=start + QPoint(60, 0))
    assert dragged == ["reservoir"]


def test_enter_and_a_double_click_place_the_part(parts: PartsBin, qtbot: QtBot) -> None:
    placed: list[str] = []
    parts.place.connect(placed.append)
    parts.list.setFocus()
    qtbot.keyClick(parts.list, Qt.Key.Key_Return)
    qtbot.keyClick(parts.list, Qt.Key.Key_Down)
    qtbot.keyClick(parts.list, Qt.Key.Key_Enter)
    assert placed == ["bucket", "run"]
    view = parts.list.viewport()
    qtbot.mouseClick(view, Qt.MouseButton.LeftButton, pos=middle(parts, 4))
    qtbot.mouseDClick(view, Qt.MouseButton.LeftButton, pos=middle(parts, 4))
    assert placed == ["bucket", "run", "post"]


def test_the_note_says_what_a_new_bucket_will_be(document: Document, parts: PartsBin) -> None:
    assert parts.note.text() == "New buckets are as those of Run 1: 20 L bucket."
    document.apply(lambda d: edits.set_run(d, "r1", bucket="bucket-10-l"), "")
    assert parts.note.text().endswith("10 L bucket.")
    document.apply(lambda d: edits.delete(d, ["r1"]), "")
    assert parts.note.text() == "Place a run first: buckets stand along it."


def test_hints_fit_the_narrowest_bin(parts: PartsBin) -> None:
    parts.resize(160, 700)
    parts.list.doItemsLayout()
    width = parts.list.viewport().width()
    for row in range(parts.list.count()):
        assert parts.list.visualItemRect(parts.list.item(row)).right() <= width
