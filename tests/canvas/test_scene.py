"""The scene keeps what did not change; hits and outlines by plain geometry."""

import pytest
from PySide6.QtWidgets import QGraphicsScene

from designer.canvas.hit import distance, inside, main_outline, within
from designer.canvas.painter import Ink
from designer.canvas.scene import Pane
from designer.drawing.records import Circle, Group, Line, Text
from designer.drawing.styles import LIGHT, STYLES


@pytest.fixture
def pane(qapp):
    scene = QGraphicsScene()
    yield Pane(scene, Ink(LIGHT))
    scene.clear()


def disc(key, x, token=0, radius=100.0, subject=None):
    def build():
        return [Circle(x, 0.0, radius, "rim"), Text(x, 0.0, key, 20.0, "letter")]

    return Group(key, subject or key, (x, token, radius), build)


def test_an_update_builds_only_the_groups_that_differ(pane):
    pane.update([disc("a", 0), disc("b", 300), disc("c", 600)], 1.0)
    assert pane.built == ["a", "b", "c"]
    pane.update([disc("a", 0), disc("b", 350), disc("c", 600)], 1.0)
    assert pane.built == ["b"]
    pane.update([disc("a", 0), disc("c", 600)], 1.0)
    assert pane.built == []
    assert set(pane.subject_boxes()) == {"a", "c"}


def test_the_topmost_thing_under_the_pointer_is_hit(pane):
    pane.update([disc("a", 0), disc("b", 100)], 1.0)
    assert pane.subject_at(50, 0, 4) == "b"
    pane.update([disc("b", 100), disc("a", 0)], 1.0)
    assert pane.subject_at(50, 0, 4) == "a"
    assert pane.subject_at(-103, 0, 4) == "a"
    assert pane.subject_at(-110, 0, 4) is None


def test_a_pane_that_is_shifted_is_hit_in_its_own_frame(pane):
    pane.update([disc("a", 0)], 1.0)
    pane.set_shift(-5000)
    assert pane.subject_at(0, 0, 4) == "a"


def test_what_is_only_drawn_for_information_cannot_be_hit(pane):
    pane.update([Group("dim", None, 0, lambda: [Line(((0, 0), (100, 0)), "rail")])], 1.0)
    assert pane.subject_at(50, 0, 4) is None
    canopy = Group("c", "c", 0, lambda: [Circle(0, 0, 100, "canopy")])
    pane.update([canopy], 1.0)
    assert pane.subject_at(100, 0, 4) is None


def test_distance_to_shapes_lines_and_texts():
    square = ((0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0))
    assert distance(Line(square, "wall", True), 50, 50) == 0
    assert distance(Line(square, "outline", True), 50, 50) == 50
    assert distance(Line(square[:2], "feed"), 50, 30) == 30
    assert distance(Circle(0, 0, 10, "look_ring"), 0, 4) == 6
    assert distance(Text(0, 0, "AB", 10.0), 0, 25) == 20
    assert inside(square, 99, 1)
    assert not inside(square, 101, 1)


def test_a_thing_is_shown_as_chosen_by_its_body():
    rim, canopy = Circle(0, 0, 100, "rim"), Circle(0, 0, 400, "canopy")
    assert main_outline([canopy, rim, Circle(0, 0, 80, "base")]) == [rim]
    feed = Line(((0.0, 0.0), (9.0, 0.0)), "manifold")
    assert main_outline([feed]) == [feed]
    assert within((1, 1, 2, 2), (0, 0, 3, 3))
    assert not within((1, 1, 4, 2), (0, 0, 3, 3))


def test_every_style_has_a_pen_that_stays_crisp(qapp):
    ink = Ink(LIGHT)
    for name in STYLES:
        pen = ink.pen(name)
        assert pen.isCosmetic() or pen.style().name == "NoPen"
        assert pen.widthF() <= 2
