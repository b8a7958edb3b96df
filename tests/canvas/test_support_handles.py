"""Block stacks dragged along the run in the elevation."""

import pytest
from PySide6.QtCore import QPointF, Qt

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
