"""The audit of printed pages sees each fault, and only faults."""

import io
from collections.abc import Callable

import pytest
from reportlab.lib.colors import Color
from reportlab.pdfgen.canvas import Canvas

from designer.sheet.paper import BOLD, REGULAR, register_fonts
from tests.sheet.page_audit import layout_faults
from tests.sheet.page_marks import read_marks
from tests.sheet.page_numbers import (
    file_faults,
    letters_drawn,
    letters_listed,
)

Drawing = Callable[[Canvas], None]


def printed(*pages: Drawing) -> bytes:
    register_fonts()
    buffer = io.BytesIO()
    canvas = Canvas(buffer, pagesize=(400, 300))
    for draw in pages:
        canvas.setFont(REGULAR, 9)
        draw(canvas)
        canvas.showPage()
    canvas.save()
    return buffer.getvalue()


def faults(draw: Drawing) -> list[str]:
    (page,) = read_marks(printed(draw)).pages
    return [fault.what for fault in layout_faults(page)]


def write(x: float, y: float, words: str, size: float = 9.0) -> Drawing:
    def draw(canvas: Canvas) -> None:
        canvas.setFont(REGULAR, size)
        canvas.drawString(x, y, words)

    return draw


def both(*parts: Drawing) -> Drawing:
    def draw(canvas: Canvas) -> None:
        for part in parts:
            part(canvas)

    return draw


def rule(x1: float, y1: float, x2: float, y2: float, width: float = 0.7) -> Drawing:
    def draw(canvas: Canvas) -> None:
        canvas.setLineWidth(width)
        canvas.line(x1, y1, x2, y2)

    return draw


def patch(x: float, y: float, width: float, height: float, opacity: float = 1.0) -> Drawing:
    def draw(canvas: Canvas) -> None:
        canvas.saveState()
        canvas.setFillColor(Color(1, 1, 1, opacity))
        canvas.rect(x, y, width, height, stroke=0, fill=1)
        canvas.restoreState()

    return draw


def test_two_lines_of_a_paragraph_are_no_fault() -> None:
    assert not faults(both(write(50, 100, "glyphs jumping"), write(50, 89, "over quay fly")))


def test_words_beside_each_other_are_no_fault() -> None:
    assert not faults(both(write(50, 100, "left"), write(68, 100, "right")))


@pytest.mark.parametrize(
    ("x", "y"), [(20, 100), (385, 100), (100, 20), (100, 280)], ids=["left", "right", "foot", "top"]
)
def test_words_in_the_unprinted_edge_are_found(x: float, y: float) -> None:
    assert faults(write(x, y, "word")) == ["outside the margins"]


def test_a_line_in_the_unprinted_edge_is_found() -> None:
    assert faults(rule(50, 20, 90, 20)) == ["outside the margins"]


def test_words_too_small_to_read_are_found() -> None:
    assert faults(write(50, 100, "tiny", 6.5)) == ["only 6.50 pt"]
    assert not faults(write(50, 100, "small", 7.0))


def test_words_made_small_by_a_scale_are_found() -> None:
    def draw(canvas: Canvas) -> None:
        canvas.scale(0.5, 0.5)
        canvas.drawString(200, 200, "half")

    assert faults(draw) == ["only 4.50 pt"]


def test_words_on_words_are_found() -> None:
    assert faults(both(write(50, 100, "12 mm"), write(60, 103, "24 mm"))) == ["on other words"]


def test_upright_words_on_level_words_are_found() -> None:
    def upright(canvas: Canvas) -> None:
        canvas.translate(60, 90)
        canvas.rotate(90)
        canvas.drawString(0, 0, "upright")

    assert faults(both(write(40, 100, "level words"), upright)) == ["on other words"]


def test_a_line_through_words_is_found_and_one_under_them_is_not() -> None:
    assert faults(both(write(50, 100, "300"), rule(40, 103, 90, 103))) == ["crossed by a line"]
    assert faults(both(rule(40, 103, 90, 103), write(50, 100, "300"))) == ["crossed by a line"]
    assert not faults(both(write(50, 100, "300"), rule(40, 98, 90, 98)))


def test_a_frame_that_cuts_words_is_found() -> None:
    def frame(canvas: Canvas) -> None:
        canvas.rect(50, 90, 30, 40)

    assert faults(both(frame, write(60, 100, "wider than it"))) == ["crossed by a line"]
    assert not faults(both(frame, write(55, 100, "fits")))


def test_a_circle_through_words_is_found_and_one_around_them_is_not() -> None:
    def circle(radius: float) -> Drawing:
        return lambda canvas: canvas.circle(60, 103, radius)

    assert faults(both(circle(6), write(50, 100, "letter"))) == ["crossed by a line"]
    assert not faults(both(circle(30), write(50, 100, "letter")))


def test_an_opaque_patch_between_line_and_words_hides_the_line() -> None:
    line, words = rule(40, 103, 90, 103), write(50, 100, "300")
    assert not faults(both(line, patch(48, 98, 22, 12), words))


def test_a_patch_that_is_too_small_too_thin_or_too_early_hides_nothing() -> None:
    line, words = rule(40, 103, 90, 103), write(50, 100, "300 mm")
    assert faults(both(line, patch(48, 98, 8, 12), words)) == ["crossed by a line"]
    assert faults(both(line, patch(48, 98, 60, 12, 0.5), words)) == ["crossed by a line"]
    assert faults(both(patch(48, 98, 60, 12), line, words)) == ["crossed by a line"]


def test_words_under_a_patch_are_found() -> None:
    assert faults(both(write(50, 100, "gone"), patch(55, 98, 30, 12))) == ["covered"]


def sheet(number: int, count: int, kind: str, *more: Drawing) -> Drawing:
    """A page with heading and title block."""

    def draw(canvas: Canvas) -> None:
        canvas.bookmarkPage(f"p{number}")
        canvas.bookmarkPage(f"also p{number}")
        canvas.setFont(BOLD, 15)
        canvas.drawString(50, 250, kind)
        canvas.setFont(REGULAR, 7)
        canvas.drawString(200, 60, "Document type")
        canvas.setFont(BOLD, 10)
        canvas.drawString(200, 48, kind)
        canvas.drawString(300, 48, f"{number} of {count}")
        for part in more:
            canvas.setFont(REGULAR, 9)
            part(canvas)

    return draw


def contents(*rows: tuple[str, int]) -> Drawing:
    def draw(canvas: Canvas) -> None:
        canvas.setFont(BOLD, 9)
        canvas.drawString(50, 220, "In this file")
        canvas.drawRightString(190, 220, "Sheet")
        canvas.setFont(REGULAR, 9)
        for i, (name, number) in enumerate(rows, 1):
            canvas.drawString(50, 220 - 14 * i, name)
            canvas.drawRightString(190, 220 - 14 * i, str(number))

    return draw


def bookmark(words: str, number: int) -> Drawing:
    return lambda canvas: canvas.addOutlineEntry(words, f"p{number}", 0)


def link(y: float, number: int) -> Drawing:
    return lambda canvas: canvas.linkAbsolute("", f"p{number}", (50, y - 4, 190, y + 9))


def file_says(*pages: Drawing) -> list[str]:
    return [fault.what for fault in file_faults(read_marks(printed(*pages)))]


GOOD = (
    sheet(
        1, 3, "Cover",
        contents(("Plan", 2), ("Water", 3)), bookmark("Cover", 1), link(206, 2), link(192, 3),
    ),
    sheet(2, 3, "Plan", bookmark("Plan", 2)),
    sheet(3, 3, "Water", bookmark("Water", 3)),
)  # fmt: skip


def test_a_file_that_agrees_with_itself_has_no_fault() -> None:
    assert not file_says(*GOOD)


def test_a_wrong_sheet_number_is_found() -> None:
    for wrong in (sheet(4, 2, "Water"), sheet(2, 3, "Water")):
        assert file_says(sheet(1, 2, "Cover"), wrong) == ["wrong sheet number"]
    assert file_says(sheet(1, 1, "Cover", write(50, 100, "1 of 2"))) == [
        "says 2 times which sheet it is",
        "wrong sheet number",
    ]


def test_a_line_of_the_contents_that_leads_astray_is_found() -> None:
    cover = sheet(1, 3, "Cover", contents(("Plan", 3), ("Water", 3)))
    assert "contents: not on sheet 3" in file_says(cover, *GOOD[1:])


def test_a_page_that_the_contents_leave_out_is_found() -> None:
    cover = sheet(1, 3, "Cover", contents(("Plan", 2)))
    assert "not in the contents" in file_says(cover, *GOOD[1:])


def test_a_bookmark_that_leads_astray_is_found() -> None:
    def astray(canvas: Canvas) -> None:
        canvas.addOutlineEntry("Water", "also p2", 0)

    cover = sheet(1, 3, "Cover", bookmark("Cover", 1), astray)
    assert "bookmark 'Water' leads here" in file_says(cover, *GOOD[1:])


def test_a_link_of_the_contents_that_leads_astray_is_found() -> None:
    cover = sheet(1, 3, "Cover", contents(("Plan", 2), ("Water", 3)), link(206, 3))
    assert "its link leads to 3" in file_says(cover, *GOOD[1:])


def test_letters_are_read_from_drawing_and_schedule() -> None:
    def drawn(canvas: Canvas) -> None:
        canvas.drawString(300, 30, "SCALE 1:20")
        canvas.setFont(BOLD, 12)
        canvas.drawString(100, 150, "1A")
        canvas.drawString(150, 150, "B")
        canvas.drawString(150, 180, "Plan")
        canvas.drawString(150, 200, "Section X–X")
        canvas.drawString(180, 150, "X")

    def listed(canvas: Canvas) -> None:
        canvas.setFont(BOLD, 9)
        canvas.drawString(50, 220, "Hole")
        canvas.setFont(REGULAR, 9)
        canvas.drawString(50, 206, "1A")
        canvas.drawString(50, 192, "C")
        canvas.drawString(90, 192, "D")

    file = read_marks(printed(drawn, listed))
    assert letters_drawn(file) == {"1A", "B"}
    assert letters_listed(file) == ["1A", "C"]


def balloon(number: str, target: int | None = None) -> Drawing:
    def draw(canvas: Canvas) -> None:
        canvas.setFillGray(1)
        canvas.circle(100, 150, 9, fill=1)
        canvas.setFillGray(0)
        canvas.drawCentredString(100, 147, number)
        canvas.setFont(REGULAR, 9)
        canvas.drawString(220, 30, "SCALE 1:10")
        if target is not None:
            canvas.linkAbsolute("", f"p{target}", (91, 141, 109, 159))

    return draw


def parts_listed(canvas: Canvas) -> None:
    canvas.setFont(BOLD, 9)
    canvas.drawString(80, 220, "No.")
    canvas.setFont(REGULAR, 9)
    canvas.drawString(80, 206, "7")


def test_a_balloon_leads_to_its_line_of_the_list_of_parts() -> None:
    parts = sheet(2, 2, "Parts", parts_listed)

    def said(number: str, target: int | None = None) -> list[str]:
        return file_says(sheet(1, 2, "Section", balloon(number, target)), parts)

    assert not said("7", 2)
    assert said("8", 2) == ["not in the list of parts"]
    assert said("7", 1) == ["leads to [1], not to 2"]
    assert said("7") == ["leads to [], not to 2"]
