"""The PDF backend: true to scale, in ISO 128's line widths, on embedded fonts."""

import io

import pdfplumber
import pytest
from reportlab.pdfgen.canvas import Canvas

from designer.drawing.pdf import draw_records
from designer.drawing.records import Circle, Line, Record, Text
from designer.drawing.styles import PRINT, STYLES

MM = 72 / 25.4


def page_of(records: list[Record], scale: float) -> pdfplumber.page.Page:
    """The page with records whose origin lies 50 mm right and up."""
    file = io.BytesIO()
    canvas = Canvas(file, pagesize=(200 * MM, 200 * MM))
    draw_records(canvas, records, 50 * MM, 50 * MM, scale)
    canvas.save()
    return pdfplumber.open(file).pages[0]


def test_a_metre_is_100_mm_at_1_to_10() -> None:
    line = page_of([Line(((0, 0), (1000, 0)), "rail")], 10).lines[0]
    assert (line["x1"] - line["x0"]) / MM == pytest.approx(100, abs=0.001)
    assert line["x0"] / MM == pytest.approx(50, abs=0.001)
    assert line["y0"] / MM == pytest.approx(50, abs=0.001)


def test_a_circle_keeps_its_diameter_and_place() -> None:
    circle = page_of([Circle(200, 400, 150, "rim")], 10).curves[0]
    assert (circle["x1"] - circle["x0"]) / MM == pytest.approx(30, abs=0.001)
    assert (circle["x0"] + circle["x1"]) / 2 / MM == pytest.approx(70, abs=0.001)
    assert (circle["y0"] + circle["y1"]) / 2 / MM == pytest.approx(90, abs=0.001)


@pytest.mark.parametrize(("style", "width"), [("rim", 0.5), ("dimension", 0.25)])
@pytest.mark.parametrize("scale", [1, 50])
def test_lines_have_the_widths_of_iso_128_at_any_scale(
    style: str, width: float, scale: float
) -> None:
    line = page_of([Line(((0, 0), (10 * scale, 0)), style)], scale).lines[0]
    assert line["linewidth"] / MM == pytest.approx(width, abs=0.001)


def test_dashes_are_paper_sizes() -> None:
    line = page_of([Line(((0, 0), (5000, 0)), "axis")], 50).lines[0]
    assert [part / MM for part in line["dash"][0]] == pytest.approx(STYLES["axis"].dash, abs=0.001)


def test_a_style_without_a_line_only_fills() -> None:
    shape = Line(((0, 0), (100, 0), (50, 90)), "must_badge", True)
    curve = page_of([shape], 10).curves[0]
    assert curve["fill"]
    assert not curve["stroke"]
    wanted = tuple(int(PRINT["must"][i : i + 2], 16) / 255 for i in (1, 3, 5))
    assert curve["non_stroking_color"] == pytest.approx(wanted, abs=0.01)


def test_an_open_line_of_a_filled_style_is_not_filled() -> None:
    page = page_of([Line(((0, 0), (100, 0), (100, 90)), "rim")], 10)
    assert not page.curves[0]["fill"]


def test_text_has_its_height_on_paper_and_stands_on_its_middle() -> None:
    page = page_of([Text(0, 0, "H", 35, "text", "middle")], 10)
    char = page.chars[0]
    assert char["size"] / MM == pytest.approx(3.5, abs=0.01)
    assert (char["x0"] + char["x1"]) / 2 / MM == pytest.approx(50, abs=0.05)


@pytest.mark.parametrize(("anchor", "edge"), [("start", "x0"), ("end", "x1")])
def test_text_starts_or_ends_at_its_anchor(anchor: str, edge: str) -> None:
    chars = page_of([Text(0, 0, "1030", 35, "text", anchor)], 10).chars  # type: ignore[arg-type]
    at = chars[0 if edge == "x0" else -1][edge]
    assert at / MM == pytest.approx(50, abs=0.05)


def test_the_font_is_embedded_noto_sans() -> None:
    page = page_of([Text(0, 0, "A", 35, "letter"), Text(0, 90, "b", 35)], 10)
    assert {char["fontname"].split("+")[1] for char in page.chars} == {
        "NotoSans-Bold",
        "NotoSans-Regular",
    }
    assert all("+" in char["fontname"] for char in page.chars)


def test_records_are_drawn_in_their_order() -> None:
    page = page_of([Circle(0, 0, 10, "rim"), Circle(0, 0, 20, "rim")], 1)
    widths = [curve["width"] / MM for curve in page.curves]
    assert widths == pytest.approx([20, 40], abs=0.01)
