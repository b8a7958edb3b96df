"""Block stacks dragged along the run in the elevation."""

import pytest
from PySide6.QtCore import QEvent, QPointF, Qt

from designer.model import edits


def supports(person):
    return person.document.design.runs[0].stand.supports


@pytest.fixture
def hand(person):
    """Four supports off the pitch, on ground that falls, and the run chosen."""
    made = person()
    stations, ground = (0.0, 640.0, 1333.0, 2100.0), (0.0, -64.0, -133.3, -210.0)
    made.document.apply(
        lambda d: edits.set_run_part(d, "r1", "stand", supports=stations, ground=ground), ""
    )
    made.document.select(["r1"])
    made.sheet.fit()
    return made


def test_supports_have_handles_in_the_elevation_when_their_run_is_chosen(hand):
    found = [h for h in hand.sheet.handles if h.key.startswith("support")]
    assert [h.name for h in found] == [
        f"Support {number}, from the outlet end" for number in (1, 2, 3, 4)
    ]
    assert {h.pane for h in found} == {"elevation"}
    hand.document.select(["b1"])
    assert not any(h.key.startswith("support") for h in hand.sheet.handles)


def test_a_dragged_support_is_one_undo_step_and_finds_its_ground(hand):
    before, steps = supports(hand), hand.steps_back()
    hand.drag(hand.handle("support2:r1"), hand.by(100.0, 0.0), Qt.KeyboardModifier.AltModifier)
    assert supports(hand)[1] == pytest.approx(740.0, abs=1.0 / hand.sheet.camera.zoom)
    assert supports(hand)[1] == round(supports(hand)[1])
    assert (supports(hand)[0], *supports(hand)[2:]) == (before[0], *before[2:])
    assert hand.document.design.runs[0].stand.ground[1] == pytest.approx(
        -supports(hand)[1] / 10, abs=0.1
    )
    assert hand.steps_back() == steps + 1
    assert hand.document.history.undo_label == "Move a support"
    hand.document.undo()
    assert supports(hand) == before


def test_a_whole_pitch_from_the_capped_end_holds_a_support(hand):
    hand.drag(hand.handle("support2:r1"), hand.by(260.0 + 3.0 / hand.sheet.camera.zoom, 0.0))
    assert supports(hand)[1] == 900.0


def test_a_support_stops_before_the_next_one(hand):
    width = hand.document.analysis.run("r1").parts.block.width
    hand.drag(hand.handle("support2:r1"), hand.by(1500.0, 0.0), Qt.KeyboardModifier.AltModifier)
    assert supports(hand)[1] == 1333.0 - width


def test_the_station_is_shown_during_the_drag_and_escape_puts_it_back(hand):
    before, at = supports(hand), hand.handle("support2:r1")
    hand.press(at)
    hand.move(at + QPointF(30, 0))
    station = hand.document.design.runs[0].stand.supports[1]
    assert station > 640.0
    assert hand.sheet.gesture.reading == f"{station:.0f} mm"
    assert hand.sheet.gesture.prompt == "Support 2, from the outlet end"
    hand.keys(Qt.Key.Key_Escape)
    hand.release(at + QPointF(30, 0))
    assert supports(hand) == before


@pytest.mark.parametrize(("units", "grain"), [("metric", 1.0), ("imperial", 25.4 / 16)])
def test_arrows_nudge_a_support_by_a_step_a_person_can_mark(hand, units, grain):
    hand.document.apply(lambda d: edits.set_design(d, units=units), "")
    hand.sheet.focus_handle("support3:r1")
    hand.keys(Qt.Key.Key_Right)
    assert 0 < supports(hand)[2] - 1333.0 <= 1.5 * grain
    assert supports(hand)[2] / grain == pytest.approx(round(supports(hand)[2] / grain), abs=1e-3)
    hand.keys(Qt.Key.Key_Left, Qt.Key.Key_Left)
    assert supports(hand)[2] < 1333.0


def test_a_typed_number_is_the_supports_station(hand):
    hand.sheet.focus_handle("support2:r1")
    hand.keys("8", "1", "0", Qt.Key.Key_Return)
    assert supports(hand)[1] == 810.0


def on_the_rails(hand, station):
    """The place on the rails above a station."""
    layout = hand.document.analysis.run("r1")
    x, _ = hand.sheet.frame.to_view(*layout.frame.at(station))
    level = layout.levels.rail_top(station) - layout.levels.rail_depth / 2
    return hand.at("elevation", x, level)


def double_click(hand, at):
    hand.click(at)
    hand.mouse(QEvent.Type.MouseButtonDblClick, at)
    hand.release(at)


def test_a_double_click_on_the_rails_sets_a_support_there_in_one_step(hand):
    before, steps = supports(hand), hand.steps_back()
    double_click(hand, on_the_rails(hand, 1000.0))
    (added,) = set(supports(hand)) - set(before)
    assert added == pytest.approx(1000.0, abs=1.0 / hand.sheet.camera.zoom + 8.0)
    assert added == round(added)
    assert supports(hand) == tuple(sorted((*before, added)))
    stand = hand.document.design.runs[0].stand
    assert stand.ground[stand.supports.index(added)] == pytest.approx(-added / 10, abs=0.1)
    assert hand.steps_back() == steps + 1
    assert hand.document.history.undo_label == "Add a support"
    assert hand.sheet.focused_handle == f"support{supports(hand).index(added) + 1}:r1"
    hand.document.undo()
    assert supports(hand) == before


def test_a_double_click_near_a_whole_pitch_sets_the_support_on_it(hand):
    double_click(hand, on_the_rails(hand, 1800.0 + 3.0 / hand.sheet.camera.zoom))
    assert 1800.0 in supports(hand)


def test_a_double_click_on_a_bucket_or_beside_the_run_adds_nothing(hand):
    before = supports(hand)
    double_click(hand, hand.bucket("b2", "elevation"))
    double_click(hand, hand.bucket("b2"))
    double_click(hand, on_the_rails(hand, -700.0))
    assert supports(hand) == before


def test_a_stack_is_not_set_on_another_one(hand, qtbot):
    before = supports(hand)
    with qtbot.waitSignal(hand.sheet.hint) as said:
        double_click(hand, on_the_rails(hand, 640.0 + 100.0))
        hand.sheet.put_support("r1", 700.0)
    assert said.args
    assert supports(hand) == before
    assert "no room for a block stack" in hand.sheet._said


def test_insert_sets_a_support_in_the_widest_gap_and_arrows_move_it(hand):
    hand.keys(Qt.Key.Key_Insert)
    assert supports(hand) == (0.0, 640.0, 1333.0, 1716.0, 2100.0)
    assert hand.sheet.focused_handle == "support4:r1"
    hand.keys(Qt.Key.Key_Right)
    assert supports(hand)[3] == 1717.0
    hand.keys(Qt.Key.Key_Escape, Qt.Key.Key_Escape)


def test_delete_takes_away_the_support_that_was_clicked_and_keeps_the_others_ground(hand):
    steps = hand.steps_back()
    hand.click(hand.handle("support2:r1"))
    hand.keys(Qt.Key.Key_Delete)
    stand = hand.document.design.runs[0].stand
    assert stand.supports == (0.0, 1333.0, 2100.0)
    assert stand.ground == (0.0, -133.3, -210.0)
    assert hand.steps_back() == steps + 1
    assert hand.document.history.undo_label == "Remove a support"
    assert hand.sheet.focused_handle is None
    assert hand.document.selection == {"r1"}
    hand.document.undo()
    assert supports(hand) == (0.0, 640.0, 1333.0, 2100.0)


def test_the_last_two_supports_stay(hand):
    for _ in range(2):
        hand.click(hand.handle("support2:r1"))
        hand.keys(Qt.Key.Key_Delete)
    assert supports(hand) == (0.0, 2100.0)
    hand.click(hand.handle("support2:r1"))
    hand.keys(Qt.Key.Key_Delete)
    assert supports(hand) == (0.0, 2100.0)
    assert "two supports" in hand.sheet._said
    assert hand.document.design.runs
