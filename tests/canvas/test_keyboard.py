"""The sheet without a mouse."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLineEdit, QVBoxLayout, QWidget

from designer.canvas.document import Document
from designer.canvas.sheet import SheetView
from designer.model import edits
from designer.model.design import Design
from designer.sketch import Answers, sketch

LEFT, RIGHT, UP, DOWN = Qt.Key.Key_Left, Qt.Key.Key_Right, Qt.Key.Key_Up, Qt.Key.Key_Down
TAB, ENTER, ESCAPE = Qt.Key.Key_Tab, Qt.Key.Key_Return, Qt.Key.Key_Escape
SHIFT = Qt.KeyboardModifier.ShiftModifier


def place(hand, bucket_id):
    return hand.document.analysis.places[bucket_id][1]


def test_a_bed_of_four_buckets_can_be_built_with_keys_alone(person):
    hand = person(design=Design(title="By keys"))
    hand.sheet.place_at_centre("run")
    for _ in range(4):
        hand.sheet.place_at_centre("bucket")
    hand.sheet.place_at_centre("reservoir")
    design = hand.document.design
    (run,) = design.runs
    assert [b.side for b in run.buckets] == ["left", "right", "left", "right"]
    assert [(run.length - b.station) / run.pitch for b in run.buckets] == pytest.approx(
        [1, 2, 3, 4]
    )
    assert hand.document.analysis.reservoir is not None
    x, _ = hand.document.analysis.runs[0].outfall
    left, _, right, _ = hand.document.analysis.reservoir.rim.bounds
    assert left < x < right
    last = run.buckets[-1]
    assert hand.document.selection == {"reservoir"}
    hand.document.select({last.id})
    hand.keys(LEFT, modifiers=SHIFT)
    assert place(hand, last.id).station == pytest.approx(last.station - run.pitch)
    hand.keys(UP)
    assert place(hand, last.id).bucket.side == "left"
    assert hand.steps_back() == 8


@pytest.mark.parametrize(("units", "grain"), [("metric", 1.0), ("imperial", 25.4 / 16)])
def test_an_arrow_nudges_a_bucket_by_the_step_of_its_units(person, units, grain):
    hand = person(6, units)
    before = place(hand, "b3").station
    hand.click(hand.bucket("b3"))
    hand.keys(RIGHT, RIGHT, RIGHT, LEFT)
    assert place(hand, "b3").station == pytest.approx(before + 2 * grain, abs=1e-3)


def test_up_and_down_take_a_bucket_across_the_drain(person):
    hand = person(6)
    hand.click(hand.bucket("b3"))
    hand.keys(UP)
    assert place(hand, "b3").bucket.side == "left"
    assert hand.steps_back() == 0
    hand.keys(DOWN)
    assert place(hand, "b3").bucket.side == "right"


def test_arrows_move_other_things_on_the_sheet_too(person):
    hand = person(4)
    before = hand.document.design.reservoir.place
    hand.document.select({"reservoir"})
    hand.keys(LEFT)
    hand.keys(UP, modifiers=SHIFT)
    after = hand.document.design.reservoir.place
    assert (after.x - before.x, after.y - before.y) == pytest.approx((-1, 100))


def test_tab_walks_through_every_part_and_handle_and_then_leaves(qtbot):
    window = QWidget()
    sheet, field = SheetView(Document(sketch(Answers(buckets=4)))), QLineEdit()
    layout = QVBoxLayout(window)
    layout.addWidget(sheet)
    layout.addWidget(field)
    qtbot.addWidget(window)
    window.show()
    window.activateWindow()
    sheet.setFocus()
    qtbot.waitUntil(sheet.hasFocus)
    seen = []
    for _ in range(40):
        qtbot.keyClick(sheet, TAB)
        if field.hasFocus():
            break
        seen.append(sheet.keyboard.stop)
    assert field.hasFocus()
    design = sheet.document.design
    parts = ["r1", *(b.id for b in design.runs[0].buckets), "reservoir"]
    assert set(parts) <= set(seen)
    assert {"fall:r1", "stand:r1", "length:r1", "sunk:reservoir"} <= set(seen)
    assert [s for s in seen if s.startswith("b")] == ["b1", "b2", "b3", "b4"]
    assert len(seen) == len(set(seen))


def test_escape_and_then_tab_leaves_the_sheet_at_once(qtbot):
    window = QWidget()
    sheet, field = SheetView(Document(sketch(Answers(buckets=4)))), QLineEdit()
    layout = QVBoxLayout(window)
    layout.addWidget(sheet)
    layout.addWidget(field)
    qtbot.addWidget(window)
    window.show()
    window.activateWindow()
    sheet.setFocus()
    qtbot.waitUntil(sheet.hasFocus)
    sheet.document.select({"b2"})
    qtbot.keyClick(sheet, ESCAPE)
    assert sheet.document.selection == frozenset()
    qtbot.keyClick(sheet, ESCAPE)
    qtbot.keyClick(sheet, TAB)
    assert field.hasFocus()
    sheet.setFocus()
    sheet.document.select({"b2"})
    qtbot.keyClick(sheet, TAB, Qt.KeyboardModifier.ControlModifier)
    assert field.hasFocus()


def test_a_handle_reached_by_tab_is_changed_by_arrows_and_by_typing(person):
    hand = person(4)
    fall = hand.document.design.runs[0].drain.fall
    while hand.sheet.keyboard.stop != "fall:r1":
        hand.keys(TAB)
    hand.keys(UP)
    assert hand.document.design.runs[0].drain.fall == pytest.approx(fall + 1)
    hand.keys(DOWN, modifiers=SHIFT)
    assert hand.document.design.runs[0].drain.fall == pytest.approx(fall - 9)
    hand.keys(ENTER)
    hand.keys("42", ENTER)
    assert hand.document.design.runs[0].drain.fall == pytest.approx(42)
    assert hand.steps_back() == 3
    assert "Fall of the drain, 42 mm" in hand.sheet.accessibleDescription()


def test_letters_fit_the_sheet_and_change_the_side(person):
    hand = person(4)
    hand.sheet.zoom_by(4)
    zoomed = hand.sheet.camera.zoom
    hand.keys("f")
    assert hand.sheet.camera.zoom < zoomed
    hand.keys("+")
    hand.keys(Qt.Key.Key_Home)
    hand.click(hand.bucket("b1"))
    hand.keys("s")
    assert place(hand, "b1").bucket.side == "right"
    hand.keys(Qt.Key.Key_Delete)
    assert "b1" not in hand.document.analysis.places


def test_delete_at_a_handle_deletes_nothing_and_says_so(person):
    hand = person(4)
    before = hand.document.design
    hand.click(hand.handle("stand:r1"))
    hand.document.select({"r1"})
    assert hand.sheet.focused_handle == "stand:r1"
    said = []
    hand.sheet.hint.connect(said.append)
    hand.keys(Qt.Key.Key_Delete)
    assert hand.document.design == before
    assert said[-1].startswith("Height of the stand cannot be deleted.")
    hand.keys(ESCAPE, Qt.Key.Key_Delete)
    assert hand.document.design.runs == ()


def test_the_hint_tells_of_the_present_after_undo_and_redo(person):
    hand = person(design=Design(title="Empty"))
    said = []
    hand.sheet.hint.connect(said.append)
    hand.sheet.place_at_centre("run")
    assert said[-1] == "Run 1 placed."
    hand.document.undo()
    assert said[-1] == "Nothing chosen. The sheet has no run yet."
    hand.document.redo()
    assert "The sheet has no run yet" not in said[-1]


def test_the_hint_tells_of_the_present_after_any_edit(person):
    hand = person(6)
    said = []
    hand.sheet.hint.connect(said.append)
    hand.click(hand.bucket("b1"))
    assert said[-1].startswith("Bucket A, left, 300 mm")
    hand.sheet.flip()
    assert said[-1].startswith("Bucket A, right, 300 mm")
    hand.document.apply(lambda d: edits.move_buckets(d, ["b1"], -45.0), "A remedy")
    assert said[-1].startswith("Bucket A, right, 345 mm")
    hand.document.undo()
    assert said[-1].startswith("Bucket A, right, 300 mm")
    hand.click(hand.handle("fall:r1"))
    hand.document.apply(lambda d: edits.set_fall(d, "r1", 61.0), "A remedy")
    assert said[-1].startswith("Fall of the drain, 61 mm.")
    assert hand.sheet.accessibleDescription() == said[-1]


def test_the_sheet_says_what_is_chosen_and_what_its_checks_say(person, qtbot):
    hand = person(6, "imperial")
    with qtbot.waitSignal(hand.sheet.hint) as said:
        hand.click(hand.bucket("b3"))
    expected = "Bucket C, left, 3 ft 0 in from the capped end"
    assert said.args[0] == expected
    assert hand.sheet.accessibleDescription() == expected
    hand.keys(RIGHT, modifiers=SHIFT)
    hand.keys(DOWN)
    assert "; Must fix: " in hand.sheet.accessibleDescription()


def test_no_edit_of_the_window_cuts_into_a_drag(person):
    hand = person(6)
    at = hand.bucket("b3")
    hand.press(at)
    hand.move(at + hand.by(600, 0))
    hand.keys(Qt.Key.Key_Delete, TAB, "f")
    assert "b3" in hand.document.analysis.places
    hand.release(at + hand.by(600, 0))
    assert hand.steps_back() == 1
