"""The Take-off panel: list, cutting, cost, comparing; current or plainly not."""

import threading
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QPushButton, QTreeWidgetItem
from pytestqt.qtbot import QtBot

from designer.analysis import analyse
from designer.canvas.document import Document
from designer.model import edits
from designer.model.saving import save
from designer.resources import resource_path
from designer.sketch import Answers, sketch
from designer.takeoff.material import DEPARTMENT_WORDS
from designer.takeoff.materials import shopping_list
from designer.takeoff.prices import parse_prices, read_prices
from designer.takeoff.whole import TakeoffOptions, work_out
from designer.window import asking, takeoff_panel
from designer.window.fields import TypedField
from designer.window.main_window import MainWindow
from designer.window.stick_bar import StickBar
from designer.window.takeoff_cost import INVENTED, NO_BOOK
from designer.window.takeoff_list import ID_ROLE
from designer.window.takeoff_panel import COPIED, CURRENT, TROUBLE, WORKING, TakeoffPanel
from designer.window.takeoff_words import line_words, money_words


@pytest.fixture
def document(qapp: object) -> Document:
    return Document(sketch(Answers(title="North bed", buckets=6, units="metric")))


def shown(document: Document, qtbot: QtBot) -> TakeoffPanel:
    made = TakeoffPanel(document)
    qtbot.addWidget(made)
    made.resize(340, 700)
    made.show()
    qtbot.waitUntil(lambda: made.current and made.work.idle)
    return made


@pytest.fixture
def panel(document: Document, qtbot: QtBot) -> TakeoffPanel:
    return shown(document, qtbot)


def click(qtbot: QtBot, panel: TakeoffPanel, page: int, button: QPushButton) -> None:
    panel.tabs.setCurrentIndex(page)
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)


def type_in(qtbot: QtBot, field: TypedField, typed: str) -> None:
    field.line.setFocus()
    qtbot.keyClick(field.line, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
    qtbot.keyClick(field.line, Qt.Key.Key_Backspace)
    qtbot.keyClicks(field.line, typed)
    qtbot.keyClick(field.line, Qt.Key.Key_Return)


def rows(panel: TakeoffPanel) -> dict[str, list[QTreeWidgetItem]]:
    tree = panel.shopping.tree
    groups = [tree.topLevelItem(i) for i in range(tree.topLevelItemCount())]
    return {g.text(0): [g.child(i) for i in range(g.childCount())] for g in groups}


def settled(qtbot: QtBot, panel: TakeoffPanel) -> None:
    qtbot.waitUntil(lambda: panel.current and panel.work.idle)


def test_the_list_is_grouped_and_counted_as_the_take_off_is(
    document: Document, panel: TakeoffPanel
) -> None:
    expected = shopping_list(work_out(document.analysis).materials)
    found = rows(panel)
    assert list(found) == [DEPARTMENT_WORDS[department] for department in expected]
    for department, lines in expected.items():
        texts = [row.text(0) for row in found[DEPARTMENT_WORDS[department]]]
        assert texts == [line_words(line, "metric") for line in lines]
    assert any(row.text(0) == "6 × 20 L bucket" for some in found.values() for row in some)


def test_a_line_opens_by_key_and_says_why_it_is_there(panel: TakeoffPanel, qtbot: QtBot) -> None:
    row = next(r for r in rows(panel)["Plumbing"] if r.data(0, ID_ROLE)[0] == "elbow-20-mm")
    panel.shopping.tree.setCurrentItem(row)
    panel.shopping.tree.setFocus()
    qtbot.keyClick(panel.shopping.tree, Qt.Key.Key_Right)
    assert row.isExpanded()
    assert row.child(0).text(0).startswith("Two to a bucket")
    assert "12 pieces needed, 1 piece to spare" in row.child(0).text(0)


def test_what_was_opened_or_closed_stays_so_after_an_edit(
    document: Document, panel: TakeoffPanel, qtbot: QtBot
) -> None:
    panel.shopping.tree.topLevelItem(0).child(1).setExpanded(True)
    panel.shopping.tree.topLevelItem(1).setExpanded(False)
    document.apply(lambda design: edits.move_buckets(design, ["b1"], 25.0), "Move")
    settled(qtbot, panel)
    assert panel.shopping.tree.topLevelItem(0).child(1).isExpanded()
    assert not panel.shopping.tree.topLevelItem(1).isExpanded()


def test_an_edit_makes_the_list_pale_at_once_and_an_older_answer_is_dropped(
    document: Document, panel: TakeoffPanel, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    begun, go_on, asked = threading.Event(), threading.Event(), []

    def slow(analysis: Any, options: Any) -> Any:
        asked.append(analysis)
        begun.set()
        assert go_on.wait(30)
        return work_out(analysis, options)

    monkeypatch.setattr(takeoff_panel, "work_out", slow)
    document.apply(lambda design: edits.delete(design, ["b6"]), "Delete")
    assert panel.status.text() == WORKING
    assert not panel.current
    assert not panel.shopping.tree.isEnabled()
    assert not panel.shopping.copy.isEnabled()
    assert not any(box.drawing.isEnabled() for box in panel.cutting.boxes.values())
    qtbot.waitUntil(begun.is_set)
    document.apply(lambda design: edits.delete(design, ["b5"]), "Delete")
    answers: list[str] = []
    panel.work.came.connect(lambda name, _: answers.append(name))
    go_on.set()
    settled(qtbot, panel)
    assert len(asked) == 2
    assert answers == ["list"]
    assert panel.status.text() == CURRENT
    assert panel.shopping.tree.isEnabled()
    texts = [row.text(0) for some in rows(panel).values() for row in some]
    assert "4 × 20 L bucket" in texts


def test_nothing_is_worked_out_while_the_panel_is_hidden(document: Document, qtbot: QtBot) -> None:
    panel = TakeoffPanel(document)
    qtbot.addWidget(panel)
    assert panel.work.idle
    assert not panel.current
    panel.show()
    settled(qtbot, panel)


def test_what_cannot_be_worked_out_is_said_in_one_sentence(
    document: Document, panel: TakeoffPanel, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr(takeoff_panel, "work_out", broken)
    document.apply(lambda design: edits.delete(design, ["b6"]), "Delete")
    qtbot.waitUntil(lambda: panel.status.text() == TROUBLE)
    assert not panel.current
    assert not panel.shopping.tree.isEnabled()


def test_a_typed_kerf_changes_the_plan_and_is_remembered(
    document: Document, panel: TakeoffPanel, qtbot: QtBot
) -> None:
    assert panel.takeoff is not None
    assert panel.takeoff.plan.kerf == 3.0
    before = panel.takeoff.plan.parts[0].sticks[0]
    panel.tabs.setCurrentIndex(1)
    type_in(qtbot, panel.cutting.kerf, "5")
    assert not panel.current
    settled(qtbot, panel)
    after = panel.takeoff.plan.parts[0].sticks[0]
    assert panel.takeoff.plan.kerf == 5.0
    assert after.offcut == pytest.approx(before.offcut - 2.0 * len(before.cuts))
    words = panel.cutting.boxes["pvc-20-mm"].findChild(StickBar).accessibleDescription()
    assert f"Offcut {after.offcut:.0f} mm" in words
    again = shown(document, qtbot)
    assert again.takeoff is not None
    assert again.takeoff.plan.kerf == 5.0
    assert again.cutting.kerf.line.text() == "5 mm"


def test_a_kerf_that_no_saw_has_is_refused(panel: TakeoffPanel, qtbot: QtBot) -> None:
    panel.tabs.setCurrentIndex(1)
    type_in(qtbot, panel.cutting.kerf, "50")
    assert panel.cutting.kerf.reason
    assert panel.current


def test_each_stick_is_drawn_with_its_cuts_and_told_to_be_proven(panel: TakeoffPanel) -> None:
    assert panel.takeoff is not None
    for part in panel.takeoff.plan.parts:
        box = panel.cutting.boxes[part.part_id]
        drawn = [bar.stick for bar in box.findChildren(StickBar)]
        assert drawn == list(dict.fromkeys(part.sticks))
        assert box.proof.text() == "Proven: no plan needs less."
    words = panel.cutting.boxes["pvc-20-mm"].findChild(StickBar).accessibleDescription()
    assert "Nipple A, B, C, D, E, F 150 mm each" in words


def test_own_offcuts_and_stick_lengths_typed_are_cut_up(panel: TakeoffPanel, qtbot: QtBot) -> None:
    panel.tabs.setCurrentIndex(1)
    type_in(qtbot, panel.cutting.boxes["pvc-20-mm"].offcuts, "700; 700")
    settled(qtbot, panel)
    type_in(qtbot, panel.cutting.boxes["pvc-20-mm"].sticks, "2000")
    settled(qtbot, panel)
    assert panel.takeoff is not None
    part = next(p for p in panel.takeoff.plan.parts if p.part_id == "pvc-20-mm")
    assert [stick.stock for stick in part.sticks if stick.owned] == [700.0, 700.0]
    assert [length for length, _ in part.bought_lengths] in ([], [2000.0])
    assert "2 of your own" in panel.cutting.boxes["pvc-20-mm"].buy.text()


def test_shorter_sticks_split_the_drain_and_the_rails_and_the_stand_is_spoken_of(
    document: Document, panel: TakeoffPanel, qtbot: QtBot
) -> None:
    panel.tabs.setCurrentIndex(1)
    parts = document.analysis.runs[0].parts
    rails, drain = (panel.cutting.boxes[p.id] for p in (parts.rail, parts.drain))
    assert not rails.note.isVisible()
    for box in (rails, drain):
        type_in(qtbot, box.sticks, "1200")
        settled(qtbot, panel)
        assert not box.unplaced.isVisible()
    assert rails.note.isVisible()
    assert not drain.note.isVisible()
    assert panel.takeoff is not None
    needed = {line.id: line.needed for line in panel.takeoff.materials}
    assert needed[f"{parts.drain.id}-coupling"] >= 1


def test_a_price_book_gives_the_total_and_one_more_bucket(
    document: Document,
    panel: TakeoffPanel,
    qtbot: QtBot,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    path = tmp_path / "mine.csv"
    path.write_text("item,price,unit,currency\nbucket-20-l,6.50,each,EUR\nelbow-20-mm,1,each,EUR\n")
    monkeypatch.setattr(asking, "ask_table", lambda *_: path)
    assert panel.cost.book.text() == NO_BOOK
    click(qtbot, panel, 3, panel.cost.open)
    settled(qtbot, panel)
    assert "mine.csv" in panel.cost.book.text()
    assert panel.cost.facts["total"].value.text() == "52.00 EUR"  # 6 buckets and 13 elbows
    assert panel.cost.facts["each"].value.text() == "8.67 EUR"
    assert panel.cost.facts["more"].value.text() == "8.50 EUR"
    assert "pump" in panel.cost.missing.text()
    assert panel.cost.invented.isHidden()
    assert shown(document, qtbot).cost.facts["total"].value.text() == "52.00 EUR"


def test_sample_prices_are_marked_as_invented(
    document: Document, panel: TakeoffPanel, qtbot: QtBot
) -> None:
    click(qtbot, panel, 3, panel.cost.sample)
    settled(qtbot, panel)
    book = read_prices(resource_path("prices-sample.csv"))
    expected = work_out(document.analysis, TakeoffOptions(book=book)).cost
    assert expected is not None
    assert panel.cost.facts["total"].value.text() == money_words(expected.total, "EUR")
    assert panel.cost.invented.isVisible()
    assert panel.cost.invented.text() == INVENTED


def test_a_bad_price_book_is_refused_in_one_sentence_that_names_the_line(
    panel: TakeoffPanel, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "bad.csv"
    path.write_text("item,price,unit\nbucket-20-l,6.50,each\nelbow-20-mm,cheap,each\n")
    monkeypatch.setattr(asking, "ask_table", lambda *_: path)
    click(qtbot, panel, 3, panel.cost.open)
    assert panel.cost.trouble.isVisible()
    assert "Line 3" in panel.cost.trouble.text()
    assert "'cheap'" in panel.cost.trouble.text()
    assert panel.cost.book.text() == NO_BOOK
    assert panel.current


def test_a_blank_price_book_names_every_item_and_can_be_read(
    panel: TakeoffPanel, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "prices.csv"
    monkeypatch.setattr(asking, "ask_export", lambda *_: path)
    click(qtbot, panel, 3, panel.cost.blank)
    assert panel.takeoff is not None
    text = path.read_text("utf-8")
    assert all(f"\n{line.id}," in text for line in panel.takeoff.materials)
    assert parse_prices(text).prices == ()


def test_copy_puts_the_list_on_the_clipboard(panel: TakeoffPanel, qtbot: QtBot) -> None:
    click(qtbot, panel, 0, panel.shopping.copy)
    text = QGuiApplication.clipboard().text()
    assert text.startswith("North bed: shopping list")
    assert "\nPlumbing\n" in text
    assert "- 6 × 20 L bucket\n" in text
    assert panel.status.text() == COPIED


def test_the_list_is_saved_as_a_table(
    panel: TakeoffPanel, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(asking, "ask_export", lambda *_: tmp_path / "list")
    click(qtbot, panel, 0, panel.shopping.export)
    assert "bucket-20-l,20 L bucket,6," in (tmp_path / "list.csv").read_text("utf-8-sig")


def test_another_design_stands_beside_this_one(
    document: Document,
    panel: TakeoffPanel,
    qtbot: QtBot,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    other = sketch(Answers(title="South bed", buckets=10, units="metric"))
    save(other, tmp_path / "South bed.rill", None)
    monkeypatch.setattr(asking, "ask_open", lambda *_: tmp_path / "South bed.rill")
    click(qtbot, panel, 4, panel.compare.choose)
    assert panel.compare.words.text() == WORKING
    qtbot.waitUntil(lambda: "South bed" in panel.compare.words.text(), timeout=20_000)
    table = panel.compare.table
    items = [table.topLevelItem(i) for i in range(table.topLevelItemCount())]
    found = {item.text(0): (item.text(1), item.text(2)) for item in items}
    assert found["Buckets"] == ("6", "10")
    assert found["Sticks to buy"] == tuple(
        str(work_out(analyse(design)).plan.sticks) for design in (document.design, other)
    )
    here, there = found["All buckets, wet"]
    assert here.endswith(" kg")
    assert float(there.split()[0]) / float(here.split()[0]) == pytest.approx(10 / 6, rel=0.01)
    assert len(set(found["Heaviest bucket, wet"])) == 1
    bold = {item.text(0) for item in items if item.font(0).bold()}
    assert "Buckets" in bold
    assert "Must fix" not in bold
    document.apply(lambda design: edits.delete(design, ["b6"]), "Delete")
    assert not table.isEnabled()
    assert panel.compare.words.text() == WORKING


def test_lengths_follow_the_units(document: Document, panel: TakeoffPanel, qtbot: QtBot) -> None:
    document.apply(lambda design: edits.set_design(design, units="imperial"), "Units")
    settled(qtbot, panel)
    assert panel.cutting.kerf.line.placeholderText() == '1/8"'
    assert "'" in panel.cutting.boxes["pvc-20-mm"].buy.text()


def test_everything_has_a_name_to_be_read_aloud(panel: TakeoffPanel) -> None:
    assert panel.shopping.tree.accessibleName() == "Shopping list"
    assert panel.compare.table.accessibleName()
    for bar in panel.findChildren(StickBar):
        assert bar.accessibleDescription()


def test_the_panel_is_a_tab_beside_checks_and_water_and_reached_by_key(
    window: MainWindow, qtbot: QtBot, bed: Any
) -> None:
    window.files.begin(bed)
    docks = window.docks
    assert docks["takeoff"] in window.tabifiedDockWidgets(docks["checks"])
    window.actions_by_name["go_takeoff"].trigger()
    panel = docks["takeoff"].widget()
    assert isinstance(panel, TakeoffPanel)
    settled(qtbot, panel)
    assert panel.status.text() == CURRENT
