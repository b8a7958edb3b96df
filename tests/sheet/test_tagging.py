"""Structure tags and links as two independent readers find them in the file."""

import io
from collections.abc import Iterator
from typing import Any

import pdfplumber
import pypdfium2
import pytest
from reportlab.pdfgen.canvas import Canvas

from designer.sheet.links import destination, link_to
from designer.sheet.paper import start_canvas
from designer.sheet.tagging import apart, artifact, figure, finish_tags, group, marked, start_tags


@pytest.fixture
def canvas() -> Canvas:
    made = start_canvas("Tags")
    start_tags(made)
    return made


def read(canvas: Canvas) -> pdfplumber.PDF:
    finish_tags(canvas)
    return pdfplumber.open(io.BytesIO(bytes(canvas.getpdfdata())))


def elements(tree: list[dict[str, Any]]) -> Iterator[dict[str, Any]]:
    for element in tree:
        yield element
        yield from elements(element.get("children", []))


def kinds(pdf: pdfplumber.PDF) -> list[str]:
    return [element["type"] for element in elements(pdf.structure_tree)]


def test_elements_are_read_back_in_their_order_with_their_words(canvas: Canvas) -> None:
    with group(canvas, "Sect"):
        with marked(canvas, "H1"):
            canvas.drawString(100, 700, "Cut list")
        with group(canvas, "Table"), group(canvas, "TR"):
            with marked(canvas, "TH"):
                canvas.drawString(100, 600, "Piece")
            with marked(canvas, "TD"):
                canvas.drawString(200, 600, "Tail")
    canvas.showPage()
    pdf = read(canvas)
    assert kinds(pdf) == ["Document", "Sect", "H1", "Table", "TR", "TH", "TD"]
    words: dict[int, str] = {}
    for char in pdf.pages[0].chars:
        words[char["mcid"]] = words.get(char["mcid"], "") + char["text"]
    assert words == {0: "Cut list", 1: "Piece", 2: "Tail"}


def test_pieces_are_numbered_anew_on_each_page(canvas: Canvas) -> None:
    for word in ("one", "two"):
        with marked(canvas, "P"):
            canvas.drawString(100, 600, word)
        canvas.showPage()
    found = [e for e in elements(read(canvas).structure_tree) if e["type"] == "P"]
    assert [(e["page_number"], e["mcids"]) for e in found] == [(1, [0]), (2, [0])]


def test_a_figure_is_one_whole_with_its_alternative_text(canvas: Canvas) -> None:
    with figure(canvas, "A bucket", (100, 100, 200, 200)):
        with marked(canvas, "P"):
            canvas.drawString(110, 110, "A")
        with artifact(canvas), group(canvas, "L"), figure(canvas, "inner"):
            canvas.rect(100, 100, 100, 100)
    canvas.showPage()
    pdf = read(canvas)
    assert kinds(pdf) == ["Document", "Figure"]
    (found,) = (e for e in elements(pdf.structure_tree) if e["type"] == "Figure")
    assert found["alt_text"] == "A bucket"
    assert found["attributes"]["BBox"] == [100, 100, 200, 200]
    assert {char["mcid"] for char in pdf.pages[0].chars} == {0}


def test_artifacts_are_no_part_of_the_structure(canvas: Canvas) -> None:
    with artifact(canvas):
        canvas.drawString(100, 100, "page 1")
    canvas.showPage()
    pdf = read(canvas)
    assert kinds(pdf) == []
    assert {char["tag"] for char in pdf.pages[0].chars} == {"Artifact"}


def test_an_empty_group_is_left_out(canvas: Canvas) -> None:
    with group(canvas, "L"), group(canvas, "LI"):
        pass
    canvas.showPage()
    assert kinds(read(canvas)) == []


def test_without_tags_the_same_calls_only_draw() -> None:
    canvas = start_canvas("Plain")
    with group(canvas, "Sect"), marked(canvas, "Link"):
        canvas.drawString(100, 100, "go")
        link_to(canvas, "nowhere", (100, 100, 120, 112), "Nowhere")
    with artifact(canvas), figure(canvas, "A line"):
        canvas.line(0, 0, 10, 10)
    canvas.showPage()
    pdf = read(canvas)
    assert "StructTreeRoot" not in pdf.doc.catalog
    assert pdf.pages[0].extract_text() == "go"
    assert pdf.pages[0].annots == []


def test_a_link_leads_to_its_place_is_not_seen_and_says_where_it_leads(canvas: Canvas) -> None:
    canvas.translate(50, 0)
    with marked(canvas, "Link"):
        canvas.drawString(0, 500, "Cut list")
        link_to(canvas, "cut list", (0, 498, 60, 512), "Sheet 2, Cut list")
    canvas.showPage()
    destination(canvas, "cut list", 300)
    canvas.showPage()
    finish_tags(canvas)
    data = bytes(canvas.getpdfdata())
    with pdfplumber.open(io.BytesIO(data)) as pdf:
        (link,) = pdf.pages[0].annots
        assert (link["x0"], link["y0"], link["x1"], link["y1"]) == (50, 498, 110, 512)
        assert link["contents"] == "Sheet 2, Cut list"
        assert link["data"]["Border"] == [0, 0, 0]
        assert "StructParent" in link["data"]
        assert kinds(pdf) == ["Document", "Link"]
    document = pypdfium2.PdfDocument(data)
    raw = pypdfium2.raw
    page = document[0]
    found = raw.FPDFLink_GetLinkAtPoint(page, 80, 505)
    place = raw.FPDFLink_GetDest(document, found)
    assert raw.FPDFDest_GetDestPageIndex(document, place) == 1
    page.close()
    document.close()


def test_a_link_to_a_place_the_file_does_not_have_is_left_out(canvas: Canvas) -> None:
    with marked(canvas, "Link"):
        canvas.drawString(0, 500, "Cut list")
        link_to(canvas, "cut list", (0, 498, 60, 512), "Sheet 2, Cut list")
    with figure(canvas, "A drawing"):
        link_to(canvas, "item pump", (0, 498, 60, 512), "Pump")
    canvas.showPage()
    pdf = read(canvas)
    assert pdf.pages[0].annots == []
    assert kinds(pdf) == ["Document", "Span", "Figure"]


def test_two_places_may_not_have_the_same_name(canvas: Canvas) -> None:
    destination(canvas, "sheet 1")
    with pytest.raises(ValueError, match="'sheet 1'"):
        destination(canvas, "sheet 1")


def test_words_apart_from_a_figure_are_read_before_it(canvas: Canvas) -> None:
    with figure(canvas, "A template"):
        canvas.drawString(100, 700, "bar")
        with apart(canvas), marked(canvas, "H2"):
            canvas.drawString(100, 650, "Heading")
        canvas.drawString(100, 600, "hole")
        with apart(canvas), artifact(canvas):
            canvas.drawString(100, 20, "foot")
    canvas.showPage()
    pdf = read(canvas)
    assert kinds(pdf) == ["Document", "H2", "Figure"]
    heading, drawn = list(elements(pdf.structure_tree))[1:]
    words: dict[int | None, str] = {}
    for char in pdf.pages[0].chars:
        words[char["mcid"]] = words.get(char["mcid"], "") + char["text"]
    assert [words[mcid] for mcid in heading["mcids"]] == ["Heading"]
    assert "".join(words.get(mcid, "") for mcid in drawn["mcids"]) == "barhole"
    assert words[None] == "foot"


def test_apart_from_an_artifact_there_is_nothing(canvas: Canvas) -> None:
    with artifact(canvas), apart(canvas), marked(canvas, "P"):
        canvas.drawString(100, 20, "foot")
    canvas.showPage()
    assert kinds(read(canvas)) == []
