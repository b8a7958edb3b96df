"""Typing a distance during a drag, or instead of one."""

import pytest
from PySide6.QtCore import QPointF, Qt

ENTER, ESCAPE = Qt.Key.Key_Return, Qt.Key.Key_Escape


def station(hand, bucket_id):
    return hand.document.analysis.places[bucket_id][1].station


def from_cap(hand, bucket_id):
    return hand.document.design.runs[0].length - station(hand, bucket_id)


def begin(hand, bucket_id, by):
    at = hand.bucket(bucket_id)
    hand.press(at)
    hand.move(at + by)
    return at + by


@pytest.mark.parametrize("way", [1, -1])
def test_a_number_typed_while_dragging_is_how_far_the_bucket_goes_the_way_of_the_hand(person, way):
    hand = person(6)
    before = station(hand, "b3")
    end = begin(hand, "b3", hand.by(way * 400, 0))
    assert hand.sheet.hand.entry.isVisible()
    shown = hand.sheet.hand.entry.accessibleDescription()
    assert shown.startswith("Moved: ")
    assert shown.endswith(" mm from the capped end, on the pitch")
    hand.keys("123", ENTER)
    assert station(hand, "b3") == pytest.approx(before + way * 123)
    assert hand.steps_back() == 1
    assert not hand.sheet.hand.entry.isVisible()
    hand.move(end + hand.by(300, 0))
    hand.release(end)
    assert station(hand, "b3") == pytest.approx(before + way * 123)
    assert hand.steps_back() == 1


def test_two_typed_while_dragging_moves_a_bucket_two_inches_and_minus_two_back(person):
    hand = person(6, "imperial")
    before = station(hand, "b3")
    end = begin(hand, "b3", hand.by(400, 0))
    hand.keys("2")
    assert station(hand, "b3") == pytest.approx(before + 2 * 25.4)
    assert "from the capped end" in hand.sheet.hand.entry.accessibleDescription()
    hand.keys(Qt.Key.Key_Backspace, "-2", ENTER)
    hand.release(end)
    assert station(hand, "b3") == pytest.approx(before - 2 * 25.4)


@pytest.mark.parametrize("sign", ["=", "@"])
def test_after_an_equals_sign_a_number_is_the_distance_from_the_capped_end(person, sign):
    hand = person(6)
    begin(hand, "b3", hand.by(400, 0))
    hand.keys(f"{sign}1234")
    assert hand.sheet.hand.entry.accessibleDescription().startswith("From the capped end: 1234")
    hand.keys(ENTER)
    assert from_cap(hand, "b3") == pytest.approx(1234)


def test_taking_the_typed_number_back_gives_the_bucket_back_to_the_hand(person):
    hand = person(6)
    end = begin(hand, "b3", hand.by(400, 0))
    dragged = station(hand, "b3")
    hand.keys("5", Qt.Key.Key_Backspace)
    assert station(hand, "b3") == dragged
    hand.release(end)
    assert station(hand, "b3") == dragged


def test_what_is_no_length_is_refused_with_a_sentence_and_not_read_as_another_number(person):
    hand = person(6, "imperial")
    before = hand.document.committed
    end = begin(hand, "b3", hand.by(400, 0))
    said = []
    hand.sheet.hint.connect(said.append)
    hand.keys("4x9", ENTER)
    assert said[-1] == "Unknown unit 'x'; use mm, cm, m, in or ft."
    assert hand.sheet.gesture is not None
    assert hand.document.committed == before
    hand.keys(ESCAPE)
    hand.release(end)
    assert hand.document.committed == before


def test_a_typed_decimal_keeps_the_way_of_the_hand(person):
    hand = person(4)
    before = hand.document.design.reservoir.place
    at = hand.at("plan", before.x - 100, before.y + 60)
    hand.press(at)
    hand.move(at + hand.by(0, 200))
    hand.keys("0.5 m", ENTER)
    after = hand.document.design.reservoir.place
    assert (after.x - before.x, after.y - before.y) == pytest.approx((0, 500))


def test_feet_and_inches_are_read_as_a_person_types_them(person):
    hand = person(6, "imperial")
    begin(hand, "b3", hand.by(400, 0))
    hand.keys("=3' 4 1/2\"", ENTER)
    assert from_cap(hand, "b3") == pytest.approx(40.5 * 25.4)


def test_letting_go_while_typing_waits_for_enter(person):
    hand = person(6)
    end = begin(hand, "b3", hand.by(400, 0))
    hand.keys("=12")
    hand.release(end)
    assert hand.steps_back() == 0
    hand.keys("50", ENTER)
    assert from_cap(hand, "b3") == pytest.approx(1250)
    assert hand.steps_back() == 1


def test_escape_while_typing_leaves_everything_as_it_was(person):
    hand = person(6)
    before = hand.document.design
    end = begin(hand, "b3", hand.by(400, 0))
    hand.keys("77", ESCAPE)
    hand.release(end)
    assert hand.document.design == before
    assert hand.steps_back() == 0


def test_what_cannot_be_read_is_said_and_nothing_changes_until_it_can(person):
    hand = person(6)
    before = hand.document.committed
    begin(hand, "b3", hand.by(400, 0))
    hand.keys("3 1/", ENTER)
    assert hand.sheet.gesture is not None
    assert hand.document.committed == before
    hand.keys(*[Qt.Key.Key_Backspace] * 4)
    hand.keys("=900", ENTER)
    assert from_cap(hand, "b3") == pytest.approx(900)


def test_plus_counts_from_where_the_value_was(person):
    hand = person(6)
    fall = hand.document.design.runs[0].drain.fall
    at = hand.handle("fall:r1")
    hand.press(at)
    hand.move(at + QPointF(0, -30))
    hand.keys("+7", ENTER)
    assert hand.document.design.runs[0].drain.fall == pytest.approx(fall + 7)


def test_the_live_value_is_shown_while_a_handle_is_dragged(person):
    hand = person(6)
    at = hand.handle("stand:r1")
    hand.press(at)
    hand.move(at + QPointF(0, -10))
    hand.move(at + QPointF(0, -20))
    shown = hand.sheet.hand.entry.accessibleDescription()
    height = hand.document.design.runs[0].stand.height
    assert shown == f"Height of the stand: {height:.0f} mm"
    hand.release(at)


def test_a_digit_types_the_distance_of_a_chosen_bucket_without_a_drag(person):
    hand = person(6)
    hand.click(hand.bucket("b4"))
    hand.keys("650", ENTER)
    assert from_cap(hand, "b4") == pytest.approx(650)
    assert hand.document.analysis.places["b4"][1].bucket.side == "right"
    assert hand.steps_back() == 1


def test_the_entry_stays_inside_the_sheet(person):
    hand = person(6)
    entry, room = hand.sheet.hand.entry, hand.sheet.rect()
    begin(hand, "b1", hand.by(400, 0))
    for corner in (room.topLeft(), room.topRight(), room.bottomLeft(), room.bottomRight()):
        entry.place_near(corner)
        assert room.contains(entry.geometry())
    hand.keys(ESCAPE)


def test_a_slip_of_the_keys_cannot_put_a_bucket_off_its_run_or_a_thing_out_of_the_world(person):
    hand = person(6)
    hand.click(hand.bucket("b4"))
    hand.keys("9 km", ENTER)
    hand.keys(ESCAPE)
    hand.keys("999999", ENTER)
    assert station(hand, "b4") == 0
    hand.document.select({"reservoir"})
    hand.keys("9000000", ENTER)
    assert abs(hand.document.design.reservoir.place.x) < 110_000
