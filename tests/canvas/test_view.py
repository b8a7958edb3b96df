"""Zoom, pan, fit, colours and the size of texts."""

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QColor, QNativeGestureEvent, QPointingDevice, QWheelEvent
from PySide6.QtWidgets import QApplication, QGraphicsSimpleTextItem

from designer.canvas.camera import text_scale
from designer.canvas.grid import bar_length
from designer.canvas.hit import meet
from designer.canvas.snapping import grid_step
from designer.drawing.dimensions import SMALL_TEXT
from designer.drawing.records import extent
from designer.drawing.styles import DARK, LIGHT
from designer.model.design import Obstacle, Point

NONE = Qt.KeyboardModifier.NoModifier
NO_PHASE = Qt.ScrollPhase.NoScrollPhase


NOTCH, NOTHING = QPoint(0, 120), QPoint()


def turn(hand, at, angle=NOTCH, pixels=NOTHING, modifiers=NONE, phase=NO_PHASE):
    viewport = hand.sheet.viewport()
    event = QWheelEvent(
        at, viewport.mapToGlobal(at), pixels, angle, Qt.MouseButton.NoButton, modifiers, phase,
        False,
    )  # fmt: skip
    QApplication.sendEvent(viewport, event)


def test_the_wheel_zooms_about_the_pointer(person):
    hand = person(6)
    at = QPointF(310.5, 222.25)
    before, zoom = hand.sheet.camera.to_scene(at), hand.sheet.camera.zoom
    for _ in range(6):
        turn(hand, at)
    after = hand.sheet.camera.to_scene(at)
    assert hand.sheet.camera.zoom > 2 * zoom
    # a scroll bar holds whole pixels only
    assert abs(after.x() - before.x()) * hand.sheet.camera.zoom <= 1.5
    assert abs(after.y() - before.y()) * hand.sheet.camera.zoom <= 1.5


def test_a_touchpad_pans_by_its_pixels(person):
    hand = person(6)
    at, zoom = QPointF(300, 200), hand.sheet.camera.zoom
    before = hand.sheet.camera.to_scene(at)
    turn(hand, at, QPoint(0, 80), QPoint(12, 34), phase=Qt.ScrollPhase.ScrollUpdate)
    after = hand.sheet.camera.to_scene(at)
    assert hand.sheet.camera.zoom == zoom
    assert (before.x() - after.x()) * zoom == pytest.approx(12, abs=0.01)
    assert (after.y() - before.y()) * zoom == pytest.approx(34, abs=0.01)


def test_a_wheel_event_that_says_nothing_changes_nothing(person):
    hand = person(6)
    zoom = hand.sheet.camera.zoom
    turn(hand, QPointF(300, 200), QPoint())
    assert hand.sheet.camera.zoom == zoom


def test_pinching_zooms_about_the_fingers(person):
    hand = person(6)
    at, zoom = QPointF(300, 200), hand.sheet.camera.zoom
    before = hand.sheet.camera.to_scene(at)
    event = QNativeGestureEvent(
        Qt.NativeGestureType.ZoomNativeGesture, QPointingDevice.primaryPointingDevice(), 2, at, at,
        at, 0.25, QPointF(),
    )  # fmt: skip
    QApplication.sendEvent(hand.sheet.viewport(), event)
    assert hand.sheet.camera.zoom == pytest.approx(1.25 * zoom)
    after = hand.sheet.camera.to_scene(at)
    assert abs(after.x() - before.x()) * zoom <= 1.5


@pytest.mark.parametrize("space", [True, False])
def test_the_middle_button_or_the_space_bar_pans(person, space):
    hand = person(6)
    before, start = hand.document.design, hand.bucket("b3")
    button = Qt.MouseButton.LeftButton if space else Qt.MouseButton.MiddleButton
    under = hand.sheet.camera.to_scene(start)
    if space:
        hand.sheet.hold_space(True)
    hand.drag(start, QPointF(60, 40), button=button)
    assert hand.document.design == before
    moved = hand.sheet.camera.to_viewport(under) - start
    assert (moved.x(), moved.y()) == pytest.approx((60, 40), abs=1)


def test_fit_shows_everything(person):
    hand = person(12)
    hand.sheet.zoom_by(6)
    hand.sheet.fit()
    box = hand.sheet.projection.whole()
    room = hand.sheet.viewport().rect()
    for corner in (QPointF(box[0], box[1]), QPointF(box[2], box[3])):
        assert room.contains(hand.sheet.camera.to_viewport(corner).toPoint())
    wide = (box[2] - box[0]) * hand.sheet.camera.zoom / room.width()
    high = (box[3] - box[1]) * hand.sheet.camera.zoom / room.height()
    assert max(wide, high) > 0.8


def test_zooming_to_a_finding_brings_its_bucket_to_the_middle(person):
    hand = person(12)
    hand.sheet.zoom_to(["b9"])
    middle = hand.sheet.viewport().rect().center()
    away = hand.bucket("b9") - QPointF(middle)
    assert max(abs(away.x()), abs(away.y())) < 60


@pytest.mark.parametrize("view", ["plan", "elevation"])
@pytest.mark.parametrize("subject", ["b9", "r1"])
def test_zooming_to_a_finding_keeps_its_drawing_in_sight(person, view, subject):
    hand = person(12)
    hand.sheet.zoom_to([subject], view)
    pane, room = hand.sheet.panes[view], hand.sheet.viewport().rect()
    left, bottom, right, top = pane.subject_boxes()[subject]
    for corner in (hand.at(view, left, bottom), hand.at(view, right, top)):
        assert room.contains(corner.toPoint())
    middle = hand.sheet.spot(QPointF(room.center()))
    assert middle.pane == view


def test_what_the_elevation_does_not_draw_is_shown_in_the_plan(person):
    post = Obstacle(
        id="o1", kind="post", name="Post", place=Point(500.0, 1200.0), width=100.0, depth=100.0
    )
    hand = person(4, obstacles=(post,))
    hand.sheet.zoom_to(["o1"], "elevation")
    assert hand.sheet.viewport().rect().contains(hand.at("plan", 500, 1200).toPoint())
    assert hand.sheet.camera.zoom > 0.3


@pytest.mark.parametrize("zoom", [0.004, 0.02, 0.07, 0.13, 0.31, 0.8, 2.5, 9.0])
def test_dimension_texts_stay_between_11_and_20_pixels_high(zoom):
    height = 3.5 * text_scale(zoom) * zoom
    assert 11 <= height <= 20


def test_zooming_to_and_fro_a_little_does_not_lay_texts_out_again():
    scale = text_scale(0.2)
    assert text_scale(0.2 * 1.1, scale) == scale
    assert text_scale(0.2 / 1.1, scale) == scale
    assert text_scale(0.2 * 2, scale) != scale


def test_texts_stand_upright_and_the_smallest_are_left_out(person):
    hand = person(30)
    texts = [i for i in hand.sheet.scene().items() if isinstance(i, QGraphicsSimpleTextItem)]
    flip = hand.sheet.viewportTransform()
    for text in texts:
        turned = text.sceneTransform() * flip
        # upright, or turned a quarter to be read from the right: never mirrored
        assert turned.determinant() > 0
    hand.sheet.zoom_by(0.05)
    letters = [t for t in hand.sheet.scene().items() if isinstance(t, QGraphicsSimpleTextItem)]
    small = [t for t in letters if t.text() in ("A", "B", "C")]
    assert small
    assert not any(t.isVisible() for t in small)


@pytest.mark.parametrize("colours", [LIGHT, DARK])
def test_the_sheet_is_drawn_in_the_chosen_colours(person, colours):
    hand = person(4)
    hand.sheet.set_colours(colours)
    hand.sheet.grid_shown = False
    image = hand.sheet.grab().toImage()
    assert image.pixelColor(30, 30) == QColor(colours["sheet"])
    found = {image.pixelColor(x, y).name() for x in range(0, 1200, 3) for y in range(0, 800, 3)}
    assert colours["ink"] in found


def test_the_grid_can_be_put_away(person):
    hand = person(4)

    def colours():
        image = hand.sheet.grab().toImage()
        return {image.pixelColor(x, 12).name() for x in range(20, 500)}

    assert len(colours()) > 1
    hand.sheet.grid_shown = False
    assert colours() == {LIGHT["sheet"]}


@pytest.mark.parametrize("units", ["metric", "imperial"])
@pytest.mark.parametrize("zoom", [0.003, 0.05, 0.3, 2.0, 20.0])
def test_the_scale_bar_and_the_grid_have_round_lengths_of_a_fair_size(units, zoom):
    mm, text = bar_length(zoom, units)
    assert 8 <= mm * zoom <= 160
    assert text
    step, _ = grid_step(zoom, units)
    assert 14 <= step * zoom <= 160


def test_on_a_small_sheet_the_texts_do_not_crowd_out_the_drawing(person):
    hand = person(8)
    sheet = hand.sheet
    for size in ((500, 460), (380, 300), (500, 460)):
        sheet.resize(*size)
        sheet.fit()
        zoom = sheet.camera.zoom
        width, _ = sheet.projection.size_alone()
        assert width * zoom > 0.2 * sheet.viewport().width()
        sheet.fit()
        assert sheet.camera.zoom == pytest.approx(zoom)


def test_a_resized_sheet_stays_fitted_until_it_is_moved(person):
    hand = person(6)
    zoom = hand.sheet.camera.zoom
    hand.sheet.resize(700, 500)
    assert hand.sheet.camera.zoom < zoom
    hand.sheet.zoom_by(3)
    zoom = hand.sheet.camera.zoom
    hand.sheet.resize(1000, 700)
    assert hand.sheet.camera.zoom == zoom


def test_dimension_lines_follow_a_dragged_bucket(person):
    hand = person(4)
    run = hand.document.design.runs[0]
    at = hand.bucket("b4")
    hand.press(at)
    hand.move(at + hand.by(-10, 0))
    hand.move(at + hand.by(-run.pitch, 0))
    texts = {i.text() for i in hand.sheet.scene().items() if isinstance(i, QGraphicsSimpleTextItem)}
    assert f"{run.pitch * 5:.0f} mm" in texts
    hand.release(at + hand.by(-run.pitch, 0))


@pytest.mark.parametrize("units", ["metric", "imperial"])
@pytest.mark.parametrize(
    ("buckets", "size"), [(4, (700, 560)), (8, (700, 560)), (12, (1000, 700)), (30, (1300, 850))]
)
def test_running_distances_can_be_read_when_everything_is_shown(person, units, buckets, size):
    hand = person(buckets, units)
    hand.sheet.resize(*size)
    hand.sheet.fit()
    assert SMALL_TEXT * hand.sheet.scale_now * hand.sheet.camera.zoom >= 10.0
    box, zoom = hand.sheet.projection.whole(), hand.sheet.camera.zoom
    used = max((box[2] - box[0]) * zoom / size[0], (box[3] - box[1]) * zoom / size[1])
    assert used > 0.85


def test_the_captions_of_the_views_stand_clear_of_what_is_drawn(person):
    hand = person(12)
    for pane in hand.sheet.panes.values():
        area = pane._caption.box
        kept = [extent([r]) for k in pane._kept.values() for r in k.records]
        assert not any(meet(box, area) for box in kept)
