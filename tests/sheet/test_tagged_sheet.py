"""The whole build sheet as a screen reader and a viewer's lists find it."""

import datetime
import io
import re
from collections import Counter
from collections.abc import Iterator
from functools import cache
from typing import Any

import pdfplumber
import pypdfium2
import pytest
from pdfminer.pdftypes import resolve1
from pdfminer.utils import decode_text
from pdfplumber.pdf import PDF

from designer import __version__
from designer.analysis import Analysis, analyse_fully
from designer.checks.finding import STATE_WORDS
from designer.model.file import read_design
from designer.resources import sample_paths
from designer.sheet.build_sheet import build_sheet_bytes, sheet_pages
from designer.sheet.cautions import load_cautions
from designer.sheet.options import SheetOptions
from designer.sheet.paper import A4, LETTER, Paper

OPTIONS = SheetOptions(date=datetime.date(2026, 3, 1))
SAMPLES = {path.stem: path for path in sample_paths()}
BOTH = [("balcony-pair", LETTER), ("what-is-wrong-here", A4), ("terrace-of-twelve", LETTER)]


@cache
def analysed(sample: str) -> Analysis:
    return analyse_fully(read_design(SAMPLES[sample]).design)


@cache
def printed(sample: str, paper: Paper) -> bytes:
    options = SheetOptions(paper=paper, date=OPTIONS.date)
    return build_sheet_bytes(analysed(sample), options)


@cache
def opened(sample: str, paper: Paper) -> PDF:
    return pdfplumber.open(io.BytesIO(printed(sample, paper)))


def elements(tree: list[dict[str, Any]]) -> Iterator[dict[str, Any]]:
    for element in tree:
        yield element
        yield from elements(element.get("children", []))


def words_of(pdf: PDF, element: dict[str, Any]) -> str:
    """What an element and those inside it say, in the order of the file."""
    wanted = {
        (one["page_number"], mcid) for one in elements([element]) for mcid in one.get("mcids", ())
    }
    pages = sorted({page for page, _ in wanted})
    return "".join(
        char["text"]
        for page in pages
        for char in pdf.pages[page - 1].chars
        if (page, char["mcid"]) in wanted
    )


every_sheet = pytest.mark.parametrize(
    ("sample", "paper"), BOTH, ids=lambda v: getattr(v, "name", v)
)


# -- structure ---------------------------------------------------------------------------------


@every_sheet
def test_all_that_is_drawn_is_an_element_or_an_artifact(sample: str, paper: Paper) -> None:
    for page in opened(sample, paper).pages:
        marks = [*page.chars, *page.lines, *page.curves, *page.rects]
        left = [m for m in marks if m["mcid"] is None and m["tag"] != "Artifact"]
        words = "".join(mark.get("text", "") for mark in left)
        assert not left, f"page {page.page_number}: {len(left)} marks, {words[:60]!r}"


@every_sheet
def test_marked_pieces_are_numbered_once_and_each_belongs_to_one_element(
    sample: str, paper: Paper
) -> None:
    pdf = opened(sample, paper)
    owned = Counter(
        (element["page_number"], mcid)
        for element in elements(pdf.structure_tree)
        for mcid in element.get("mcids", ())
    )
    assert set(owned.values()) == {1}
    drawn = set()
    for page in pdf.pages:
        content = b"".join(stream.get_data() for stream in page.page_obj.contents).decode("latin-1")
        numbers = [int(n) for n in re.findall(r"/MCID (\d+)>> BDC", content)]
        assert numbers == list(range(len(numbers)))
        assert content.count(" BDC\n") + content.count(" BMC\n") == content.count("EMC\n")
        drawn |= {(page.page_number, number) for number in numbers}
    assert drawn == set(owned)


@every_sheet
def test_from_each_piece_the_way_leads_back_to_its_element(sample: str, paper: Paper) -> None:
    """The parent tree (ISO 32000-1, 14.7.4.4), which a reader uses for what is pointed at."""
    pdf = opened(sample, paper)
    catalog = pdf.doc.catalog
    assert resolve1(catalog["MarkInfo"])["Marked"] is True
    numbers = resolve1(resolve1(catalog["StructTreeRoot"])["ParentTree"])["Nums"]
    parents = dict(zip(numbers[::2], numbers[1::2], strict=True))
    assert list(parents) == list(range(len(parents)))
    links = 0
    for page in pdf.pages:
        attributes = page.page_obj.attrs
        assert attributes["Tabs"].name == "S"
        for mcid, reference in enumerate(resolve1(parents[attributes["StructParents"]])):
            element = resolve1(reference)
            kids = resolve1(element["K"])
            assert mcid in (kids if isinstance(kids, list) else [kids])
            assert element["Pg"].objid == page.page_obj.pageid
        for annotation in map(resolve1, resolve1(attributes.get("Annots", []))):
            element = resolve1(parents[annotation["StructParent"]])
            assert element["S"].name == "Link"
            links += 1
    assert len(parents) == len(pdf.pages) + links


@every_sheet
def test_every_figure_says_in_words_what_it_shows(sample: str, paper: Paper) -> None:
    pdf = opened(sample, paper)
    figures = [e for e in elements(pdf.structure_tree) if e["type"] == "Figure"]
    assert all(len(figure.get("alt_text", "")) > 12 for figure in figures)
    assert all(len(figure["attributes"]["BBox"]) == 4 for figure in figures)
    told = " ".join(figure["alt_text"] for figure in figures)
    for layout in analysed(sample).runs:
        count = len(layout.places)
        assert f"{count} bucket" in told
        assert f"Plan of {layout.run.name}" in told
        assert f"Elevation of {layout.run.name}" in told
    templates = sum(not page.title_block for page in sheet_pages(analysed(sample), OPTIONS))
    assert told.count("at full size") >= min(templates, 1)


@every_sheet
def test_each_section_begins_with_its_heading_and_no_level_is_skipped(
    sample: str, paper: Paper
) -> None:
    pdf = opened(sample, paper)
    (document,) = pdf.structure_tree
    assert document["type"] == "Document"
    pages = sheet_pages(analysed(sample), SheetOptions(paper=paper, date=OPTIONS.date))
    names = list(dict.fromkeys(page.section for page in pages))
    assert len(document["children"]) == len(names)
    level = 0
    for name, section in zip(names, document["children"], strict=True):
        assert section["type"] == "Sect"
        first = section["children"][0]
        assert first["type"] in ("H1", "H2"), name
        if first["type"] == "H1":
            assert words_of(pdf, first) == name
        for element in elements([section]):
            if re.fullmatch(r"H\d", element["type"]):
                assert int(element["type"][1]) <= level + 1
                level = int(element["type"][1])


@every_sheet
def test_tables_have_even_rows_and_name_their_columns(sample: str, paper: Paper) -> None:
    tables = tables_of(opened(sample, paper).doc.catalog["StructTreeRoot"])
    found = [[[cell for cell, _ in row] for _, row in rows] for rows in tables]
    assert len(found) > 5
    for first, *rows in found:
        assert set(first) == {"TH"}
        assert rows
        for row in rows:
            assert row == ["TD"] * len(first)


def tables_of(element: object) -> Iterator[list[tuple[str, Any]]]:
    """The rows of every table below an element of the file, as kinds and what is in them.

    Read from the objects themselves: pdfplumber leaves empty cells out.
    """
    kids = resolve1(resolve1(element).get("K", []))
    for kid in map(resolve1, kids if isinstance(kids, list) else [kids]):
        if isinstance(kid, dict) and "S" in kid:
            if kid["S"].name == "Table":
                yield kinds_below(kid)
            else:
                yield from tables_of(kid)


def kinds_below(element: dict[str, Any]) -> list[tuple[str, Any]]:
    kids = resolve1(element.get("K", []))
    found = map(resolve1, kids if isinstance(kids, list) else [kids])
    return [(k["S"].name, kinds_below(k)) for k in found if isinstance(k, dict) and "S" in k]


def test_states_are_read_as_words_not_as_shapes() -> None:
    pdf = opened("what-is-wrong-here", A4)
    headings = [words_of(pdf, e) for e in elements(pdf.structure_tree) if e["type"] in ("H1", "H2")]
    for finding in analysed("what-is-wrong-here").findings:
        if finding.state != "good":
            words = STATE_WORDS[finding.state]
            assert any(h.startswith(words) and h.endswith(finding.title) for h in headings)


@every_sheet
def test_words_of_two_lines_are_not_run_together(sample: str, paper: Paper) -> None:
    pdf = opened(sample, paper)
    lead, cautions = load_cautions()
    told = " ".join(
        words_of(pdf, e) for e in elements(pdf.structure_tree) if e["type"] in ("P", "TD")
    )
    for words in (lead, *(caution.text for caution in cautions)):
        assert " ".join(words.split()) in " ".join(told.split())
    assert "Source: " in told


# -- links, page labels and what the file says of itself ---------------------------------------


@every_sheet
def test_the_contents_list_leads_to_the_sheets_it_names(sample: str, paper: Paper) -> None:
    pages = sheet_pages(analysed(sample), SheetOptions(paper=paper, date=OPTIONS.date))
    pdf = opened(sample, paper)
    numbers = {page.page_obj.pageid: page.page_number for page in pdf.pages}
    names = set()
    cover = pdf.pages[0]
    for link in map(resolve1, resolve1(cover.page_obj.attrs["Annots"])):
        leads = decode_text(link["Contents"])
        sheet, name = re.fullmatch(r"Sheet (\d+), (.+)", leads).groups()  # type: ignore[union-attr]
        assert numbers[link["Dest"][0].objid] == int(sheet)
        page = pages[int(sheet) - 1]
        assert name == (page.entry or page.section)
        assert link["Border"] == [0, 0, 0]
        left, bottom, right, top = link["Rect"]
        box = (left, float(cover.height) - top, right, float(cover.height) - bottom)
        assert " ".join(cover.crop(box).extract_text().split()) == name
        names.add(name)
    assert names >= {page.entry or page.section for page in pages if page.section != "Build sheet"}


@every_sheet
def test_page_labels_are_the_sheet_numbers_and_templates_count_on_their_own(
    sample: str, paper: Paper
) -> None:
    pages = sheet_pages(analysed(sample), SheetOptions(paper=paper, date=OPTIONS.date))
    document = pypdfium2.PdfDocument(printed(sample, paper))
    labels = [document.get_page_label(i) for i in range(len(document))]
    document.close()
    templates = 0
    for number, (page, label) in enumerate(zip(pages, labels, strict=True), 1):
        templates += not page.title_block
        assert label == (str(number) if page.title_block else f"T{templates}")


@every_sheet
def test_every_section_and_template_has_its_bookmark(sample: str, paper: Paper) -> None:
    pages = sheet_pages(analysed(sample), SheetOptions(paper=paper, date=OPTIONS.date))
    document = pypdfium2.PdfDocument(printed(sample, paper))
    found = []
    for bookmark in document.get_toc():
        place = bookmark.get_dest()
        assert place is not None
        found.append((bookmark.level, bookmark.get_title(), place.get_index()))
    document.close()
    wanted: dict[tuple[int, str], int] = {}
    for index, page in enumerate(pages):
        wanted.setdefault((0, page.section), index)
        if page.entry:
            wanted.setdefault((1, page.entry), index)
    assert {(level, title): index for level, title, index in found} == wanted


def test_the_file_says_what_it_is_and_names_nobody() -> None:
    document = pypdfium2.PdfDocument(printed("balcony-pair", LETTER))
    facts = document.get_metadata_dict()
    document.close()
    assert facts["Title"] == "Balcony pair: build sheet"
    assert facts["Subject"] == "Build sheet of a bucket bed"
    assert facts["Creator"] == f"Rillwright {__version__}"
    assert facts["Author"] == ""
    assert facts["CreationDate"].startswith("D:20260301")
    catalog = opened("balcony-pair", LETTER).doc.catalog
    assert catalog["Lang"] == b"en"
    metadata = resolve1(catalog["Metadata"]).get_data().decode("utf-8")
    assert "Balcony pair: build sheet" in metadata
    assert f"<xmp:CreatorTool>Rillwright {__version__}<" in metadata
    assert b"anonymous" not in printed("balcony-pair", LETTER)


def test_the_identifier_follows_from_what_is_on_the_pages() -> None:
    found = {
        re.search(rb"/ID\s*\[<([0-9a-f]{32})>", printed(*one))[1]  # type: ignore[index]
        for one in [*BOTH, ("balcony-pair", A4)]
    }
    assert len(found) == 4
