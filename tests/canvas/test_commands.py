"""Copy, paste, mirror, repeat and the other commands on what is chosen."""

import pytest

from designer.model.design import Obstacle, Point


def stations(hand):
    return {i: p.station for i, (_, p) in hand.document.analysis.places.items()}


def test_repeat_at_a_pitch_goes_on_towards_the_outlet_end(person):
    hand = person(2)
    run = hand.document.design.runs[0]
    hand.document.select({"b1", "b2"})
    hand.sheet.repeat(2 * run.pitch, 3)
    made = hand.document.design.runs[0].buckets[2:]
    assert len(made) == 6
    first = stations(hand)["b1"]
    lefts = sorted((b.station for b in made if b.side == "left"), reverse=True)
    assert lefts == pytest.approx([first - 2 * run.pitch * n for n in (1, 2, 3)])
    assert len(hand.document.selection) == 8
    assert hand.steps_back() == 1


def test_pasted_buckets_stand_beyond_the_copied_ones_each_time(person):
    hand = person(4)
    hand.document.select({"b1", "b2"})
    pitch = hand.document.design.runs[0].pitch
    before = stations(hand)
    hand.sheet.copy()
    hand.sheet.paste()
    hand.sheet.paste()
    after = stations(hand)
    assert after["b5"] == pytest.approx(before["b1"] - 2 * pitch)
    assert after["b7"] == pytest.approx(before["b1"] - 4 * pitch)
    assert hand.document.selection == {"b7", "b8"}
    assert hand.steps_back() == 2


def test_what_was_copied_can_be_pasted_after_it_is_deleted(person):
    hand = person(4)
    hand.document.select({"b3"})
    hand.sheet.copy()
    hand.sheet.delete()
    hand.sheet.paste()
    assert len(stations(hand)) == 4


def test_a_duplicated_run_stands_beside_the_first_with_its_buckets(person):
    hand = person(4)
    hand.document.select({"r1"})
    hand.sheet.duplicate()
    first, second = hand.document.analysis.runs
    assert len(second.places) == 4
    gap = abs(second.run.start.y - first.run.start.y) - first.half_width - second.half_width
    assert gap >= 600
    assert hand.document.selection == {second.run.id}


def test_a_duplicated_obstacle_is_another_one_aside(person):
    post = Obstacle(
        id="o1", kind="post", name="Post", place=Point(900.0, 900.0), width=100.0, depth=100.0
    )
    hand = person(2, obstacles=(post,))
    hand.document.select({"o1"})
    hand.sheet.duplicate()
    assert [o.id for o in hand.document.design.obstacles] == ["o1", "o2"]
    assert hand.document.design.obstacles[1].place != post.place


def test_mirror_turns_buckets_end_for_end(person):
    hand = person(3)
    before = stations(hand)
    hand.document.select({"b1", "b2", "b3"})
    hand.sheet.mirror()
    after = stations(hand)
    assert after["b1"] == pytest.approx(before["b3"])
    assert after["b2"] == pytest.approx(before["b2"])


def test_flip_align_and_spread(person):
    hand = person(4)
    hand.document.select({"b2"})
    hand.sheet.flip()
    assert hand.document.analysis.places["b2"][1].bucket.side == "left"
    pitch = hand.document.design.runs[0].pitch
    before = stations(hand)["b2"]
    hand.document.apply(lambda d: _moved(d, "b2", 37.0), "Move")
    hand.sheet.align()
    assert stations(hand)["b2"] == pytest.approx(before)
    hand.document.apply(lambda d: _moved(d, "b2", 37.0), "Move")
    hand.document.select({"b1", "b2", "b3"})
    hand.sheet.spread()
    after = stations(hand)
    assert after["b1"] - after["b2"] == pytest.approx(pitch)


def _moved(design, bucket_id, by):
    from designer.model import edits

    return edits.move_buckets(design, [bucket_id], by)


def test_a_command_that_needs_buckets_says_so(person, qtbot):
    hand = person(2)
    hand.document.select({"reservoir"})
    for command in (hand.sheet.flip, hand.sheet.mirror, hand.sheet.align, hand.sheet.spread):
        with qtbot.waitSignal(hand.sheet.hint) as said:
            command()
        assert "Choose" in said.args[0]
    assert hand.steps_back() == 0


def test_select_all_chooses_every_bucket(person):
    hand = person(5)
    hand.sheet.select_all()
    assert hand.document.selection == {"b1", "b2", "b3", "b4", "b5"}
