"""Dragging parts and handles by the mouse."""

import pytest
from PySide6.QtCore import QEvent, QPointF, Qt

from designer.model import edits
from designer.model.design import Obstacle, Point
from designer.sketch import Answers, fresh_run, sketch

ALT = Qt.KeyboardModifier.AltModifier
SHIFT = Qt.KeyboardModifier.ShiftModifier
CONTROL = Qt.KeyboardModifier.ControlModifier


def bucket(person, bucket_id):
    design = person.document.design
    return next(b for run in design.runs for b in run.buckets if b.id == bucket_id)


def test_a_dragged_bucket_rests_a_whole_pitch_from_the_capped_end(person):
    hand = person(6)
    run = hand.document.design.runs[0]
    before = bucket(hand, "b6").station
    hand.drag(hand.bucket("b6"), hand.by(-run.pitch * 0.8, 0))
    after = bucket(hand, "b6").station
    assert after == pytest.approx(max(before - run.pitch, 0), abs=0.01)
    assert (run.length - after) / run.pitch == pytest.approx(
        round((run.length - after) / run.pitch)
    )


def test_one_drag_is_one_undo_step(person):
    hand = person(6)
    start = hand.document.committed
    hand.drag(hand.bucket("b3"), hand.by(600, 0))
    assert hand.document.committed != start
    assert hand.steps_back() == 1
    hand.document.undo()
    assert hand.document.committed == start
    assert hand.steps_back() == 0


def test_escape_puts_the_bucket_back_and_leaves_no_step(person):
    hand = person(6)
    start, at = hand.document.design, hand.bucket("b3")
    hand.press(at)
    hand.move(at + hand.by(600, 0))
    assert hand.document.design != start
    hand.keys(Qt.Key.Key_Escape)
    assert hand.document.design == start
    hand.move(at + hand.by(700, 0))
    hand.release(at + hand.by(700, 0))
    assert hand.document.design == start
    assert hand.steps_back() == 0


def test_a_bucket_dragged_across_the_axis_changes_side(person):
    hand = person(6)
    place = hand.document.analysis.places["b3"][1]
    assert place.bucket.side == "left"
    hand.drag(hand.bucket("b3"), hand.by(0, -2 * place.offset))
    assert bucket(hand, "b3").side == "right"
    assert bucket(hand, "b3").station == place.station


def test_a_hand_that_only_slides_does_not_change_the_side(person):
    hand = person(6)
    offset = hand.document.analysis.places["b3"][1].offset
    hand.drag(hand.bucket("b3"), hand.by(900, -offset * 0.8))
    assert bucket(hand, "b3").side == "left"


@pytest.mark.parametrize(("units", "grain"), [("metric", 1.0), ("imperial", 25.4 / 16)])
def test_alt_frees_the_snap_to_a_step_a_person_can_mark(person, units, grain):
    hand = person(6, units)
    run = hand.document.design.runs[0]
    before = bucket(hand, "b3").station
    hand.drag(hand.bucket("b3"), hand.by(run.pitch * 0.37, 0), ALT)
    after = bucket(hand, "b3").station
    assert after == pytest.approx(before + run.pitch * 0.37, abs=2 / hand.sheet.camera.zoom)
    assert abs(after / run.pitch - round(after / run.pitch)) > 0.01
    assert after / grain == pytest.approx(round(after / grain), abs=1e-3)


def test_a_neighbour_off_the_pitch_holds_the_bucket_in_line(person):
    hand = person(6)
    run = hand.document.design.runs[0]
    hand.drag(hand.bucket("b2"), hand.by(run.pitch * 0.5, 0), ALT)
    other = bucket(hand, "b2").station
    mine = bucket(hand, "b3").station
    hand.drag(hand.bucket("b3"), hand.by(other - mine + 3 / hand.sheet.camera.zoom, 0))
    assert bucket(hand, "b3").station == other


def test_several_chosen_buckets_slide_together_and_keep_their_distances(person):
    hand = person(6)
    before = {i: bucket(hand, i).station for i in ("b2", "b3")}
    hand.click(hand.bucket("b2"))
    hand.click(hand.bucket("b3"), SHIFT)
    assert hand.document.selection == {"b2", "b3"}
    hand.drag(hand.bucket("b3"), hand.by(-hand.document.design.runs[0].pitch, 0))
    moved = {i: bucket(hand, i).station - before[i] for i in before}
    assert moved["b2"] == pytest.approx(moved["b3"])
    assert moved["b3"] == pytest.approx(-hand.document.design.runs[0].pitch)
    assert hand.document.selection == {"b2", "b3"}


def test_control_click_takes_one_of_several_back(person):
    hand = person(6)
    hand.click(hand.bucket("b2"))
    hand.click(hand.bucket("b3"), CONTROL)
    hand.click(hand.bucket("b2"), CONTROL)
    assert hand.document.selection == {"b3"}


def test_a_rubber_band_chooses_the_buckets_wholly_in_it(person):
    hand = person(6)
    a, c = hand.bucket("b1"), hand.bucket("b3")
    radius = hand.document.analysis.places["b1"][1].part.rim_diameter / 2
    start = c + hand.by(-1.6 * radius, 3 * radius)
    end = a + hand.by(1.3 * radius, -1.3 * radius)
    hand.drag(start, end - start)
    assert hand.document.selection == {"b1", "b3"}
    hand.click(start)
    assert hand.document.selection == frozenset()


def test_a_bucket_slides_in_the_elevation_too(person):
    hand = person(6)
    run, before = hand.document.design.runs[0], bucket(hand, "b6").station
    hand.drag(hand.bucket("b6", "elevation"), hand.by(-run.pitch, 0))
    assert bucket(hand, "b6").station == pytest.approx(max(0, before - run.pitch))


def test_dragging_the_capped_end_in_the_elevation_sets_the_fall(person):
    hand = person(6)
    before = hand.document.design.runs[0].drain.fall
    zoom = hand.sheet.camera.zoom
    hand.drag(hand.handle("fall:r1"), QPointF(0, -20))
    fall = hand.document.design.runs[0].drain.fall
    assert fall == pytest.approx(before + 20 / zoom, abs=1)
    assert fall == round(fall)
    assert hand.steps_back() == 1


def test_dragging_the_rails_sets_the_height_of_the_stand(person):
    hand = person(6)
    before = hand.document.design.runs[0].stand.height
    hand.drag(hand.handle("stand:r1"), QPointF(0, -25))
    raised = hand.document.design.runs[0].stand.height - before
    assert raised == pytest.approx(25 / hand.sheet.camera.zoom, abs=1)


def test_dragging_the_reservoir_down_in_the_elevation_sinks_it(person):
    hand = person(6)
    before = hand.document.design.reservoir.sunk
    hand.drag(hand.handle("sunk:reservoir"), QPointF(0, -25))
    raised = before - hand.document.design.reservoir.sunk
    assert raised == pytest.approx(25 / hand.sheet.camera.zoom, abs=1)
    middle = hand.document.analysis.reservoir
    x, _ = hand.sheet.frame.to_view(middle.reservoir.place.x, middle.reservoir.place.y)
    body = hand.at("elevation", x, (middle.floor_level + middle.low_level) / 2)
    hand.drag(body, QPointF(0, 10))
    assert hand.document.design.reservoir.sunk > before - raised


def test_dragging_the_capped_end_in_the_plan_sets_the_length_of_the_run(person):
    hand = person(6)
    before = hand.document.design.runs[0]
    hand.drag(hand.handle("length:r1"), hand.by(500, 0))
    after = hand.document.design.runs[0]
    assert after.length == pytest.approx(before.length + 500, abs=1 / hand.sheet.camera.zoom)
    assert after.stand.supports[-1] == after.length


def test_dragging_the_drain_moves_the_run_but_not_the_outfall(person):
    hand = person(6)
    before = hand.document.design.runs[0]
    middle = hand.at("plan", before.start.x + before.length - before.pitch * 0.4, before.start.y)
    hand.drag(middle, hand.by(0, 300))
    after = hand.document.design.runs[0]
    assert after.start.y == pytest.approx(before.start.y + 300, abs=1 / hand.sheet.camera.zoom)
    assert after.start.x == before.start.x
    assert after.return_path[-1] == before.return_path[-1]
    assert [b.station for b in after.buckets] == [b.station for b in before.buckets]


def test_dragging_the_reservoir_in_the_plan_takes_the_outfall_along(person):
    hand = person(6)
    before = hand.document.design
    place = before.reservoir.place
    hand.drag(hand.at("plan", place.x - 100, place.y + 60), hand.by(-200, 150))
    after = hand.document.design
    dx = after.reservoir.place.x - place.x
    assert dx == pytest.approx(-200, abs=1 / hand.sheet.camera.zoom)
    old, new = before.runs[0].return_path[-1], after.runs[0].return_path[-1]
    assert new.x - old.x == pytest.approx(dx)


@pytest.fixture
def wall():
    return Obstacle(
        id="o1", kind="wall", name="Wall", place=Point(600.0, 1400.0), width=2000.0, depth=300.0
    )


def test_dragging_an_obstacle_moves_it(person, wall):
    hand = person(4, obstacles=(wall,))
    hand.drag(hand.at("plan", 900, 1400), hand.by(0, 200))
    after = hand.document.design.obstacles[0]
    assert after.place.y == pytest.approx(1600, abs=1 / hand.sheet.camera.zoom)
    assert after.place.x == 600


def test_dragging_a_corner_sizes_an_obstacle_and_keeps_the_corner_across(person, wall):
    hand = person(4, obstacles=(wall,))
    hand.click(hand.at("plan", 900, 1400))
    corner = hand.handle("corner3:o1")
    hand.drag(corner, hand.by(400, 250))
    after = hand.document.design.obstacles[0]
    slack = 1.5 / hand.sheet.camera.zoom
    assert after.width == pytest.approx(2400, abs=slack)
    assert after.depth == pytest.approx(550, abs=slack)
    assert after.place.x - after.width / 2 == pytest.approx(600 - 1000)
    assert after.place.y - after.depth / 2 == pytest.approx(1400 - 150)


def small_post(x, y):
    return Obstacle(id="o1", kind="post", name="Post", place=Point(x, y), width=100.0, depth=100.0)


def test_a_small_chosen_post_is_moved_and_not_sized_by_a_drag(person):
    hand = person(4, obstacles=(small_post(600.0, 700.0),))
    hand.document.select({"o1"})
    assert not any(h.subject == "o1" for h in hand.sheet.handles)
    hand.drag(hand.at("plan", 640, 660), hand.by(300, 0))
    post = hand.document.design.obstacles[0]
    assert (post.width, post.depth) == (100.0, 100.0)
    assert post.place.x == pytest.approx(900, abs=1 / hand.sheet.camera.zoom)


def test_handles_come_with_room_for_them_and_leave_the_body_to_move_it(person):
    hand = person(4, obstacles=(small_post(600.0, 700.0),))
    hand.document.select({"o1"})
    hand.sheet.zoom_by(60 / 100 / hand.sheet.camera.zoom)
    hand.sheet.zoom_to(["o1"])
    assert sum(h.subject == "o1" for h in hand.sheet.handles) == 4
    zoom = hand.sheet.camera.zoom
    # well inside, yet within the reach of the corner's handle
    hand.drag(hand.at("plan", 650 - 9 / zoom, 750 - 9 / zoom), hand.by(40, 0))
    post = hand.document.design.obstacles[0]
    assert (post.width, post.depth) == (100.0, 100.0)
    assert post.place.x == pytest.approx(640, abs=1.5 / zoom)


def test_a_chosen_obstacle_under_the_drain_is_dragged_and_not_the_run(person):
    hand = person(6, obstacles=(small_post(1650.0, 0.0),))
    before = hand.document.design
    at = hand.at("plan", 1650, 0)
    assert hand.sheet.pointing.subject_at(at) == "r1"
    hand.document.select({"o1"})
    hand.drag(at, hand.by(0, 300))
    after = hand.document.design
    assert after.runs[0].start == before.runs[0].start
    assert after.obstacles[0].place.y == pytest.approx(300, abs=1 / hand.sheet.camera.zoom)
    hand.document.undo()
    hand.click(at)
    assert hand.document.selection == {"r1"}


def test_a_bucket_on_a_chosen_run_is_still_dragged_alone(person):
    hand = person(6)
    hand.document.select({"r1"})
    start = hand.document.design.runs[0].start
    hand.click(hand.bucket("b3"))
    assert hand.document.selection == {"b3"}
    hand.drag(hand.bucket("b3"), hand.by(0, -2 * hand.document.analysis.places["b3"][1].offset))
    assert hand.document.design.runs[0].start == start
    assert bucket(hand, "b3").side == "right"


def test_only_a_station_of_whole_pitches_is_called_on_the_pitch(person):
    hand = person(6)
    hand.document.apply(lambda d: edits.move_buckets(d, ["b3"], 37.0), "Off the pitch")
    at = hand.bucket("b3")
    hand.press(at)
    hand.move(at + QPointF(0, 6))
    entry = hand.sheet.hand.entry
    assert "on the pitch" not in entry.accessibleDescription()
    hand.move(at + hand.by(-37, 0))
    assert entry.accessibleDescription().endswith("900 mm from the capped end, on the pitch")
    hand.release(at)


def test_a_round_obstacle_has_a_handle_for_its_diameter(person, wall):
    post = Obstacle(
        id="o1", kind="post", name="Post", shape="round", place=Point(600.0, 1400.0),
        width=400.0, depth=400.0,
    )  # fmt: skip
    hand = person(4, obstacles=(post,))
    hand.click(hand.at("plan", 600, 1400))
    hand.drag(hand.handle("width:o1"), hand.by(100, 0))
    after = hand.document.design.obstacles[0]
    assert after.width == pytest.approx(600, abs=3 / hand.sheet.camera.zoom)
    assert after.place == post.place


def test_dragging_a_corner_of_the_outline_moves_only_that_corner(person):
    corners = (Point(-1500, -1500), Point(4000, -1500), Point(4000, 1500), Point(-1500, 1500))
    hand = person(4, outline=corners)
    hand.click(hand.at("plan", 1000, 1500))
    assert hand.document.selection == {"site"}
    hand.drag(hand.handle("corner3:site"), hand.by(-500, -400))
    after = hand.document.design.outline
    assert after[:2] + after[3:] == corners[:2] + corners[3:]
    assert after[2].x == pytest.approx(3500, abs=1 / hand.sheet.camera.zoom)


def test_a_corner_of_the_outline_comes_into_line_with_the_next_ones(person):
    corners = (Point(-1500, -1500), Point(4000, -1500), Point(4000, 1500), Point(-1500, 1500))
    hand = person(4, outline=corners)
    hand.click(hand.at("plan", 1000, 1500))
    hand.drag(hand.handle("corner3:site"), hand.by(300, 3 / hand.sheet.camera.zoom))
    assert hand.document.design.outline[2].y == 1500


def test_the_elevation_stands_still_and_the_scale_stays_during_a_drag(person):
    hand = person(6)
    shift, scale = hand.sheet.projection.elevation.shift, hand.sheet.scale_now
    at = hand.at("plan", 0, 0) + hand.by(
        hand.document.design.runs[0].length - hand.document.design.runs[0].pitch * 0.4, 0
    )
    hand.press(at)
    for step in (-200, -900, -2000):
        hand.move(at + hand.by(0, step))
        assert hand.sheet.projection.elevation.shift == shift
        assert hand.sheet.scale_now == scale
    hand.release(at + hand.by(0, -2000))
    assert hand.sheet.projection.elevation.shift < shift


def test_pressing_a_bucket_of_a_turned_run_does_not_turn_the_sheet_under_the_hand(person):
    design = sketch(Answers(buckets=4))
    turned = fresh_run(design, Point(-2000.0, 2500.0), 40.0)
    design = edits.add_run(design, turned)
    design, bucket_id = edits.add_bucket(design, turned.id, 1000.0, "left")
    hand = person(design=design)
    at = hand.bucket(bucket_id)
    hand.press(at)
    assert hand.sheet.frame.angle == 0
    hand.release(at)
    assert hand.sheet.frame.angle == 40
    assert hand.document.selection == {bucket_id}


def test_only_the_moved_bucket_is_drawn_again(person):
    hand = person(30)
    at = hand.bucket("b15")
    hand.press(at)
    hand.move(at + hand.by(0, -20))
    offset = hand.document.analysis.places["b15"][1].offset
    hand.move(at + hand.by(0, -2 * offset))
    built = hand.sheet.projection.plan.built + hand.sheet.projection.elevation.built
    hand.release(at + hand.by(0, -2 * offset))
    assert "plan:b15" in built
    # the neighbours it now stands against are marked, and nothing else is touched
    others = {key for key in built if "b15" not in key}
    assert others <= {f"mark:{view}{i}" for view in ("", "elev:") for i in ("b14", "b16", "r1")}


def test_every_handle_has_a_name_a_hint_and_a_target_of_24_pixels(person, wall):
    hand = person(4, obstacles=(wall,))
    hand.document.select({"o1"})
    assert {h.key for h in hand.sheet.handles} >= {"length:r1", "fall:r1", "sunk:reservoir"}
    for handle in hand.sheet.handles:
        at = hand.at(handle.pane, handle.x, handle.y)
        assert handle.name
        assert handle.hint in hand.sheet.pointing.tip_at(at.toPoint())
        for edge in (QPointF(11, 0), QPointF(0, -11)):
            assert hand.sheet.pointing.handle_at(at + edge) is not None
        hand.mouse(QEvent.Type.MouseMove, at)
        assert hand.sheet.viewport().cursor().shape() != Qt.CursorShape.ArrowCursor


def test_a_drag_from_the_rails_draws_a_rubber_band_and_one_from_the_drain_moves_the_run(person):
    hand = person(6)
    before, layout = hand.document.design, hand.document.analysis.runs[0]
    a, c = hand.bucket("b1"), hand.bucket("b3")
    radius = layout.places[0].part.rim_diameter / 2
    on_rail = hand.at("plan", layout.run.length - 1.95 * layout.run.pitch, layout.rail_offsets[0])
    assert hand.sheet.pointing.subject_at(on_rail) == "r1"
    hand.drag(on_rail, a + hand.by(1.3 * radius, 1.3 * radius) - on_rail)
    assert hand.document.design == before
    hand.click(on_rail)
    assert hand.document.selection == {"r1"}
    hand.drag(on_rail, c - a)
    assert hand.document.design.runs[0].start != before.runs[0].start
