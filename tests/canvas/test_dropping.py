"""Parts dropped from the parts bin."""

import pytest
from PySide6.QtCore import QPointF, Qt

from designer.model.design import Design

EMPTY = Design(title="Empty")


def test_a_bucket_dropped_beside_a_run_joins_it_on_that_side_at_the_pitch(person):
    hand = person(4)
    run = hand.document.design.runs[0]
    station = run.length - 3 * run.pitch
    hand.carry("bucket", hand.at("plan", station + 40, -300))
    added = hand.document.design.runs[0].buckets[-1]
    assert len(hand.document.design.runs[0].buckets) == 5
    assert added.side == "right"
    assert added.station == pytest.approx(station)
    assert hand.document.selection == {added.id}
    assert hand.steps_back() == 1


def test_a_bucket_without_a_run_is_refused_with_a_hint(person, qtbot):
    hand = person(design=EMPTY)
    with qtbot.waitSignal(hand.sheet.hint) as said:
        hand.carry("bucket", hand.at("plan", 0, 0))
    assert "run" in said.args[0]
    assert hand.document.design == EMPTY


def test_a_part_dragged_over_the_sheet_is_seen_and_leaves_no_trace(person):
    hand = person(4)
    before = hand.document.design
    at = hand.at("plan", 300, 300)
    seen = []
    hand.document.changed.connect(lambda: seen.append(len(hand.document.design.runs[0].buckets)))
    hand.carry("bucket", at, drop=False)
    assert 5 in seen
    assert hand.document.design == before
    assert hand.steps_back() == 0


def test_a_run_dropped_lies_with_its_middle_under_the_pointer(person):
    hand = person(design=EMPTY)
    hand.carry("run", hand.at("plan", 500, 200))
    (run,) = hand.document.design.runs
    assert run.start.y == pytest.approx(200, abs=1 / hand.sheet.camera.zoom)
    middle = run.start.x + run.length / 2
    assert middle == pytest.approx(500, abs=1 / hand.sheet.camera.zoom)
    assert hand.sheet.projection.divide is not None


def test_a_reservoir_dropped_where_one_is_moves_it(person):
    hand = person(4)
    part = hand.document.design.reservoir.part
    hand.carry("reservoir", hand.at("plan", -800, -500))
    after = hand.document.design.reservoir
    assert after.part == part
    assert after.place.x == pytest.approx(-800, abs=1 / hand.sheet.camera.zoom)
    assert after.place.y == pytest.approx(-500, abs=1 / hand.sheet.camera.zoom)
    assert hand.steps_back() == 1


def test_a_reservoir_dropped_by_runs_takes_their_outfalls(person):
    hand = person(4)
    hand.document.select({"reservoir"})
    hand.sheet.delete()
    hand.carry("reservoir", hand.at("plan", -700, 0))
    layout = hand.document.analysis.reservoir
    x, y = hand.document.analysis.runs[0].outfall
    left, bottom, right, top = layout.rim.bounds
    assert left < x < right
    assert bottom < y < top


@pytest.mark.parametrize("kind", ["wall", "post", "door", "path", "keep_free"])
def test_every_kind_of_obstacle_can_be_dropped(person, kind):
    hand = person(4)
    hand.carry(kind, hand.at("plan", 1000, 900))
    (obstacle,) = hand.document.design.obstacles
    assert obstacle.kind == kind
    assert obstacle.place.y == pytest.approx(900, abs=1 / hand.sheet.camera.zoom)
    assert hand.document.selection == {obstacle.id}


def test_an_outline_dropped_is_a_tenth_larger_than_everything(person):
    hand = person(4)
    hand.carry("outline", hand.at("plan", 0, 0))
    outline = hand.document.analysis.site.outline
    left, bottom, right, top = outline.bounds
    rim = hand.document.analysis.reservoir.rim.bounds
    run = hand.document.analysis.runs[0]
    wide = run.run.length - rim[0]
    assert left < rim[0]
    assert right > run.run.length
    assert right - left == pytest.approx(1.1 * wide, rel=0.03)
    assert top - bottom == pytest.approx(1.1 * 2 * run.half_width, rel=0.03)
    assert hand.document.selection == {"site"}
    assert any(handle.key == "corner1:site" for handle in hand.sheet.handles)


def test_alt_drops_a_bucket_where_the_pointer_is(person):
    hand = person(4)
    run = hand.document.design.runs[0]
    station = run.length - 2.4 * run.pitch
    at = hand.sheet.camera.to_scene(hand.at("plan", station, 300))
    hand.sheet.drop_part("bucket", at, Qt.KeyboardModifier.AltModifier)
    added = hand.document.design.runs[0].buckets[-1]
    assert added.station == pytest.approx(station, abs=1)
    assert added.side == "left"


def test_a_bucket_dropped_in_the_elevation_joins_the_run_on_show(person):
    hand = person(4)
    hand.carry("bucket", hand.at("elevation", 600, 400))
    assert len(hand.document.design.runs[0].buckets) == 5


@pytest.mark.parametrize("kind", ["wall", "post", "run", "reservoir", "outline"])
def test_what_has_no_place_in_the_elevation_is_refused_there_with_a_hint(person, kind):
    hand = person(4)
    before, said = hand.document.design, []
    hand.sheet.hint.connect(said.append)
    divide = hand.sheet.camera.to_viewport(QPointF(1000.0, hand.sheet.projection.divide))
    hand.carry(kind, divide + QPointF(0, 6))
    assert hand.document.design == before
    assert hand.steps_back() == 0
    assert "in the plan" in said[-1]
    hand.carry("post", divide - QPointF(0, 6))
    (post,) = hand.document.design.obstacles
    assert hand.sheet.frame.to_view(post.place.x, post.place.y) == pytest.approx(
        (1000.0, hand.sheet.camera.to_scene(divide - QPointF(0, 6)).y()),
        abs=1 / hand.sheet.camera.zoom,
    )


def test_a_part_is_called_placed_only_when_it_was_let_go(person):
    hand = person(4)
    said = []
    hand.sheet.hint.connect(said.append)
    at = hand.at("plan", 1000, 500)
    hand.carry("wall", at, drop=False)
    assert "Let go to place it here." in said
    assert not any("placed" in text for text in said)
    assert said[-1].startswith("Nothing chosen.")
    hand.carry("wall", at)
    assert said[-1] == "Wall placed."


def test_anything_else_dragged_over_the_sheet_is_not_taken(person):
    hand = person(4)
    before = hand.document.design
    hand.carry("teapot", hand.at("plan", 0, 0))
    assert hand.document.design == before
