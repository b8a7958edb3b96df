"""The SVG backend: well formed, true to scale, readable by any viewer."""

from xml.etree import ElementTree

import pytest

from designer.analysis import analyse
from designer.drawing.plan import plan_groups
from designer.drawing.records import Circle, Group, Line, Record, Text
from designer.drawing.styles import DARK
from designer.drawing.svg import MARGIN, svg_text
from designer.sketch import Answers, sketch

NS = "{http://www.w3.org/2000/svg}"


def drawn(*records: Record, scale: float = 10.0, title: str = "") -> ElementTree.Element:
    group = Group("plan:b1", "b1", None, lambda: list(records))
    return ElementTree.fromstring(svg_text([group], scale, title=title).encode())


def test_one_unit_is_a_millimetre_of_paper_and_y_points_down() -> None:
    root = drawn(Line(((0, 0), (1000, 500)), "rail"))
    line = root.find(f".//{NS}polyline")
    assert line is not None
    assert line.get("points") == "0,0 100,-50"
    assert root.get("width") == f"{100 + 2 * MARGIN:g}mm"
    assert root.get("viewBox") == "-5 -55 110 60"


def test_closed_lines_are_filled_by_their_style() -> None:
    shape = drawn(Line(((0, 0), (10, 0), (5, 9)), "rail", True)).find(f".//{NS}polygon")
    assert shape is not None
    assert shape.get("fill-opacity") == "0.5"
    assert shape.get("stroke-width") == "0.25"


def test_circles_and_dashes() -> None:
    circle = drawn(Circle(100, 200, 50, "canopy")).find(f".//{NS}circle")
    assert circle is not None
    assert (circle.get("cx"), circle.get("cy"), circle.get("r")) == ("10", "-20", "5")
    assert circle.get("stroke-dasharray") == "0.6 1.4"
    assert circle.get("fill") is None


def test_upright_text_reads_from_the_right() -> None:
    text = drawn(Text(100, 0, "300 mm", 35, angle=90)).find(f".//{NS}text")
    assert text is not None
    assert text.get("transform") == "rotate(-90 10 0)"
    assert text.get("font-size") == "3.5"


def test_any_words_make_a_well_formed_picture() -> None:
    nasty = 'a <b> & "c" \x00\x1b\ufffe'
    root = drawn(Text(0, 0, nasty, 35), title=nasty)
    assert root.find(f".//{NS}text").text == 'a <b> & "c" '  # type: ignore[union-attr]
    assert root.find(f"{NS}title").text == 'a <b> & "c" '  # type: ignore[union-attr]


def test_the_font_family_falls_back_to_any_sans_serif() -> None:
    assert drawn(Text(0, 0, "A", 35)).get("font-family", "").endswith("sans-serif")


def test_groups_carry_their_key_and_subject() -> None:
    group = drawn(Text(0, 0, "A", 35)).find(f"{NS}g")
    assert group is not None
    assert group.get("data-key") == "plan:b1"
    assert group.get("data-subject") == "b1"


def test_nothing_to_draw_gives_an_empty_sheet() -> None:
    root = ElementTree.fromstring(svg_text([], 10).encode())
    assert root.findall(f"{NS}g") == []


@pytest.mark.parametrize("scale", [10, 50])
def test_every_letter_of_a_bed_is_in_its_picture(scale: int) -> None:
    analysis = analyse(sketch(Answers(buckets=4)))
    text = svg_text(plan_groups(analysis, "r1", scale), scale, DARK)
    words = {t.text for t in ElementTree.fromstring(text.encode()).iter(f"{NS}text")}
    assert set(analysis.runs[0].letters.values()) <= words
