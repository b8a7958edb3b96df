"""Water drawn over the sheet: off unless asked for, current or absent, moved by the time."""

import pytest

from designer.canvas.sheet import SheetView
from designer.drawing import water as water_drawing
from designer.model import edits


def water_keys(sheet: SheetView) -> set[str]:
    return {key for pane in sheet.panes.values() for key in pane._kept if key.startswith("water:")}


def built(sheet: SheetView) -> set[str]:
    return {key for pane in sheet.panes.values() for key in pane.built}


def move(sheet: SheetView, by: float) -> None:
    sheet.document.apply(lambda design: edits.move_buckets(design, ["b1"], by), "Move")


@pytest.fixture
def sheet(person, qtbot) -> SheetView:
    made = person(6).sheet
    qtbot.waitUntil(lambda: made.document.analysis.water_current)
    return made


def test_the_water_is_off_and_costs_nothing_until_it_is_asked_for(sheet, monkeypatch):
    def never(*_: object):
        raise AssertionError("the water was drawn without being asked for")

    monkeypatch.setattr(water_drawing, "water_plan_groups", never)
    monkeypatch.setattr(water_drawing, "water_elevation_groups", never)
    assert not sheet.water_shown
    move(sheet, 25.0)
    sheet.water_time = 3600.0
    assert water_keys(sheet) == set()


def test_the_water_comes_over_both_views_and_goes_again(sheet, qtbot):
    with qtbot.waitSignal(sheet.water_changed) as told:
        sheet.water_shown = True
    assert told.args == [True]
    keys = water_keys(sheet)
    assert {f"water:b{n}" for n in range(1, 7)} <= keys
    assert any(key.startswith("water:elev") for key in keys)
    assert built(sheet) == keys, "nothing but the water is built anew"
    sheet.water_shown = False
    assert water_keys(sheet) == set()
    assert built(sheet) == set()


def test_after_an_edit_the_water_is_absent_until_it_is_current(sheet, qtbot):
    sheet.water_shown = True
    move(sheet, 25.0)
    assert water_keys(sheet) == set()
    qtbot.waitUntil(lambda: sheet.document.analysis.water_current)
    assert "water:b1" in water_keys(sheet)


def test_the_time_of_the_day_moves_the_water_in_the_reservoir(sheet, qtbot):
    document = sheet.document
    sheet.water_shown = True
    with qtbot.waitSignal(document.day_came, timeout=20_000):
        document.want_day(True)
    records = {}
    for hours in (6, 18):
        sheet.water_time = hours * 3600.0
        records[hours] = sheet.panes["elevation"]._kept["water:elev:reservoir"].records
        water = document.analysis.water
        assert water is not None
        level = water.at(hours * 3600.0).reservoir_level
        heights = {y for r in records[hours] if hasattr(r, "points") for _, y in r.points}
        assert any(abs(y - level) < 0.01 for y in heights)
    assert records[6] != records[18]
    assert "water:b1" not in built(sheet), "the plan does not change with the time"
    sheet.water_time = None
    assert "water:elev:reservoir" not in water_keys(sheet)


def test_a_day_that_is_not_worked_out_yet_is_not_waited_for(sheet):
    sheet.water_shown = True
    sheet.water_time = 6 * 3600.0
    assert not sheet.document.day_known
    assert "water:elev:reservoir" not in water_keys(sheet)
    assert "water:b1" in water_keys(sheet)


def test_a_hand_reaches_through_the_water(person, qtbot):
    hand = person(6)
    sheet = hand.sheet
    qtbot.waitUntil(lambda: hand.document.analysis.water_current)
    boxes = {name: pane.subject_boxes() for name, pane in sheet.panes.items()}
    sheet.water_shown = True
    assert {name: pane.subject_boxes() for name, pane in sheet.panes.items()} == boxes
    before = hand.document.design.runs[0].buckets[2].station
    hand.drag(hand.bucket("b3"), hand.by(200, 0))
    assert hand.document.design.runs[0].buckets[2].station == before + 300
    assert hand.document.selection == {"b3"}
    assert hand.steps_back() == 1
