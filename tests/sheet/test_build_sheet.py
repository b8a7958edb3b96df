"""The build sheet: what a builder looks for is on it, and it is true to scale."""

import datetime
import io
import re
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import pdfplumber
import pytest
from hypothesis import given, settings
from pdfplumber.page import Page
from pdfplumber.pdf import PDF

from designer.analysis import Analysis, analyse
from designer.checks.finding import STATE_WORDS
from designer.drawing.section_plane import plane_letters
from designer.model import edits
from designer.model.design import Acceptance, Design, Point
from designer.sheet.build_sheet import build_sheet_bytes, write_build_sheet
from designer.sheet.cautions import load_cautions
from designer.sheet.options import SheetOptions
from designer.sheet.paper import PAPERS, PaperName
from designer.sheet.words import length
from designer.sketch import Answers, sketch
from designer.takeoff.quantities import take_off
from tests.sheet.printed import on
from tests.strategies import designs

MM = 72 / 25.4


@cache
def bed(buckets: int, units: str = "metric") -> Analysis:
    return analyse(sketch(Answers(title="Kitchen bed", buckets=buckets, units=units)))  # type: ignore[arg-type]


@cache
def printed(buckets: int, units: str = "metric", paper: PaperName = "a4") -> PDF:
    return pdf_of(bed(buckets, units), paper)


def pdf_of(analysis: Analysis, paper: PaperName = "a4") -> PDF:
    return pdfplumber.open(io.BytesIO(build_sheet_bytes(analysis, on(paper))))


def run_sheet(pdf: PDF) -> Page:
    """The first sheet that shows a run to scale."""
    return next(
        page
        for page in pdf.pages
        if "SCALE 1:" in page.extract_text() and "Site plan" not in page.extract_text()
    )


def words_of(pages: list[Page]) -> str:
    return " ".join(" ".join((page.extract_text() or "").split()) for page in pages)


def size_of(char: dict[str, Any]) -> float:
    """Size of a letter in points, upright on the page or turned."""
    return float(char["size"] if char["upright"] else char["x1"] - char["x0"])


def letters_of(page: Page) -> set[str]:
    """The bucket letters on a drawing, upright or turned: the only bold words like them."""
    bold = page.filter(lambda o: "Bold" in o.get("fontname", ""))
    level = bold.filter(lambda o: o["upright"])
    turned = bold.filter(lambda o: not o["upright"])
    words = [w["text"] for w in level.extract_words()]
    words += [
        w["text"] for w in turned.extract_words(line_dir_rotated="ltr", char_dir_rotated="btt")
    ]
    return {word for word in words if re.fullmatch(r"\d?[A-Z]{1,2}", word)}


def troubled() -> Design:
    """A bed with too little fall and two holes too close, and a Look again accepted."""
    design = edits.set_fall(sketch(Answers(title="Trouble", buckets=8)), "r1", 10.0)
    run = design.runs[0]
    moved = (replace(run.buckets[0], station=run.buckets[1].station + 20), *run.buckets[1:])
    design = edits.set_run(design, "r1", buckets=moved)
    again = next(f for f in analyse(design).findings if f.state == "look_again")
    accepted = Acceptance(
        rule=again.rule, subjects=again.subjects, reason="Seen, & <fine> with me."
    )
    return replace(design, accepted=(accepted,))


@pytest.mark.parametrize(
    ("buckets", "units", "paper"), [(2, "metric", "a4"), (12, "imperial", "letter")]
)
def test_every_part_of_the_sheet_is_there_in_order(
    buckets: int, units: str, paper: PaperName
) -> None:
    pages = printed(buckets, units, paper).pages
    heads = [page.extract_text().split("\n")[0] for page in pages]
    parts = [
        "Build sheet", "Shopping list", "Cut list", "Cutting", "Step 1: Drilling",
        "Step 2: Stand and shims", "Step 3: Drain", "Step 4: Buckets", "Step 5: Feed",
        "Step 6: Leak test", "Step 7: Fill and plant", "Running card", "Checks", "Cautions",
        "Measure yours", "Sources and assumptions", "How to print the templates", "Outlet hole:",
        "Drain strip:", "Manifold strip:",
    ]  # fmt: skip
    places = [next(i for i, head in enumerate(heads) if head.startswith(part)) for part in parts]
    assert places == sorted(places)
    drawing = next(i for i, page in enumerate(pages) if "SCALE 1:" in page.extract_text())
    assert places[1] < drawing < places[2]


def test_sheets_are_numbered_in_full_and_dated() -> None:
    pdf = printed(12)
    texts = [page.extract_text() for page in pdf.pages]
    total = len(texts)
    templates = [text for text in texts if re.search(r"template page \d+ of \d+, sheet", text)]
    first = total - len(templates)
    for number, text in enumerate(texts[:first], 1):
        assert re.findall(r"(\d+) of (\d+)$", text, re.MULTILINE)[-1] == (str(number), str(total))
        assert "2026-03-01" in text
    assert templates == texts[first:]
    for number, text in enumerate(templates, 1):
        words = f"template page {number} of {len(templates)}, sheet {first + number} of {total}"
        assert words in text


def test_the_cover_carries_the_key_numbers() -> None:
    analysis = bed(12)
    layout, reservoir = analysis.runs[0], analysis.reservoir
    assert reservoir is not None
    text = words_of(printed(12).pages[:1])
    run = layout.run
    for value in (run.length, run.drain.fall, run.stand.height, run.outlet.height):
        assert length(value, "metric") in text
    assert f"Tails {length(run.tails.length, 'metric')} each" in text
    assert f"Drain in all {length(layout.drain_length, 'metric')}" in text
    assert "12 × 20 L bucket" in text
    assert f"{analysis.counts['good']} Good" in text
    assert "0 Must fix" in text
    assert "mm" in text


@pytest.mark.parametrize(
    ("buckets", "units", "paper"), [(2, "metric", "a4"), (12, "imperial", "letter")]
)
def test_the_drawing_is_true_to_its_stated_scale(
    buckets: int, units: str, paper: PaperName
) -> None:
    """Rims and the distances between them, measured on the paper, within 0.05 mm."""
    analysis = bed(buckets, units)
    page = run_sheet(printed(buckets, units, paper))
    scale = int(re.search(r"SCALE 1:(\d+)", page.extract_text())[1])  # type: ignore[index]
    places = sorted(analysis.runs[0].places, key=lambda place: place.station)
    rim = places[0].part.rim_diameter / scale
    rims = sorted(
        (c["x0"] + c["x1"]) / 2 / MM
        for c in page.curves
        if abs(c["width"] / MM - rim) < 0.05 and abs(c["height"] / MM - rim) < 0.05
    )
    assert len(rims) == buckets
    wanted = [(place.station - places[0].station) / scale for place in places]
    assert [x - rims[0] for x in rims] == pytest.approx(wanted, abs=0.05)
    run_length = analysis.runs[0].run.length / scale
    assert any(abs(abs(ln["x1"] - ln["x0"]) / MM - run_length) < 0.05 for ln in page.lines)


@pytest.mark.parametrize("buckets", [2, 12, 60])
def test_every_letter_on_the_drawing_is_in_the_schedule_and_the_reverse(buckets: int) -> None:
    analysis = bed(buckets)
    pdf = printed(buckets)
    letters = {analysis.bucket_label(bucket) for bucket in analysis.places}
    drawn: set[str] = set()
    listed: list[str] = []
    for page in pdf.pages:
        text = page.extract_text()
        if "SCALE 1:" in text and "Site plan" not in text:
            drawn |= letters_of(page)
        listed += re.findall(r"^(\d?[A-Z]{1,2}) (?:left|right) ", text, re.MULTILINE)
    sections = {mark for layout in analysis.runs for mark in plane_letters(layout)}
    assert drawn - sections == letters
    assert sorted(listed) == sorted(letters)


def test_stations_of_the_schedule_add_up() -> None:
    analysis = bed(12)
    rows = []
    for page in printed(12).pages:
        found = re.findall(
            r"^[A-Z]{1,2} (?:left|right) (\d+) mm (\d+) mm$", page.extract_text(), re.MULTILINE,
        )  # fmt: skip
        rows += [tuple(map(int, row)) for row in found]
    assert len(rows) == 12
    sums = 0
    for from_cap, before in rows:
        sums += before
        assert from_cap == sums
    last = re.search(r"to the outlet end: (\d+) mm", words_of(list(printed(12).pages)))
    assert last is not None
    assert sums + int(last[1]) == analysis.runs[0].run.length


def test_sixty_buckets_repeat_the_headings_of_their_tables() -> None:
    pages = [
        p for p in printed(60).pages if re.search(r"^1?2?[A-Z]+ left ", p.extract_text(), re.M)
    ]
    assert len(pages) > 1
    assert all("From the capped end" in page.extract_text() for page in pages)


def test_several_runs_have_a_site_plan_and_a_sheet_each() -> None:
    text = words_of(printed(60).pages)
    assert "Site plan" in text
    assert "Elevation and plan, Run 1" in text
    assert "Elevation and plan, Run 2" in text


def test_the_shim_schedule_has_every_support() -> None:
    analysis = bed(12)
    text = words_of(printed(12).pages)
    for station, thickness in analysis.runs[0].shims:
        from_cap = analysis.runs[0].run.length - station
        shim = length(thickness, "metric") if thickness > 0 else "none"
        row = f"{length(from_cap, 'metric')} {length(station, 'metric')} {shim}"
        assert row in text


def test_every_item_and_piece_of_the_take_off_is_printed() -> None:
    takeoff = take_off(bed(12, "imperial"))
    text = words_of(printed(12, "imperial", "letter").pages)
    squeezed = text.replace(" ", "")
    for item in takeoff.items:
        assert item.name.split(",")[0].replace(" ", "") in squeezed
    for piece in takeoff.pieces:
        assert f"{length(piece.length, 'imperial')} {piece.count} " in text


def test_all_good_is_said_in_words() -> None:
    assert "All checks read Good." in words_of(printed(12).pages)


def test_every_finding_that_is_not_good_is_printed_in_full() -> None:
    analysis = analyse(troubled())
    shown = [finding for finding in analysis.findings if finding.state != "good"]
    assert {finding.state for finding in shown} == {"must_fix", "look_again"}
    text = words_of(pdf_of(analysis).pages)
    assert "All checks read Good." not in text
    for finding in shown:
        accepted = ", accepted" if finding.accepted else ""
        assert f"{STATE_WORDS[finding.state]}{accepted}: {finding.title}" in text
        for said in (finding.measured, finding.needed, finding.why, finding.source):
            assert " ".join(said.split()) in text
        if finding.accepted is None:
            for remedy in finding.remedies:
                assert remedy.label in text
    assert "Accepted because: Seen, & <fine> with me." in text


def test_templates_of_a_bed_that_must_be_mended_say_so() -> None:
    text = words_of(pdf_of(analyse(troubled())).pages)
    assert "DO NOT DRILL YET" in text
    assert "DO NOT DRILL YET" not in words_of(printed(12).pages)


def test_a_template_that_cannot_be_drawn_is_named_and_the_rest_is_printed() -> None:
    design = edits.set_run_part(sketch(Answers(buckets=4)), "r1", "outlet", height=5.0)
    text = words_of(pdf_of(analyse(design)).pages)
    assert "Templates that cannot be drawn" in text
    assert "the hole runs over the edge of the bucket" in text
    assert "Drain strip:" in text


def test_cautions_are_printed_with_their_sources_and_defer_to_codes() -> None:
    lead, cautions = load_cautions()
    text = words_of(printed(2).pages)
    assert " ".join(lead.split()) in text
    assert "local codes" in lead
    assert "licensed electrician" in lead
    for caution in cautions:
        assert caution.title in text
        assert " ".join(caution.text.split()) in text
        assert " ".join(caution.source.split()) in text


def test_cautions_speak_of_water_drilling_dust_lifting_cement_and_the_stand() -> None:
    said = " ".join(caution.text for caution in load_cautions()[1])
    for word in (
        "GFCI",
        "RCD",
        "Eye protection".lower(),
        "dust mask",
        "carry",
        "cure",
        "tip or fall",
    ):
        assert word in said or word.capitalize() in said or word in said.lower()


@pytest.mark.parametrize(
    ("buckets", "units", "paper"),
    [
        (2, "imperial", "letter"),
        (12, "metric", "letter"),
        (12, "metric", "a4"),
        (60, "metric", "a4"),
    ],
)
def test_nothing_is_smaller_than_7_points_or_off_the_paper(
    buckets: int, units: str, paper: PaperName
) -> None:
    sheet = PAPERS[paper]
    for page in printed(buckets, units, paper).pages:
        sizes = sorted((float(page.width) / MM, float(page.height) / MM))
        assert sizes == pytest.approx([sheet.width, sheet.height], abs=0.01)
        for char in page.chars:
            if char["text"] not in "!?":
                assert size_of(char) >= 6.99, (page.page_number, char["text"])
            if char["text"] == " ":  # a blank at the end of a line prints nothing
                continue
            assert char["x0"] >= 10 * MM - 0.5, char["text"]
            assert char["x1"] <= float(page.width) - 10 * MM + 0.5, char["text"]


@pytest.mark.parametrize(
    ("buckets", "units", "paper"),
    [
        (2, "metric", "a4"),
        (2, "imperial", "letter"),
        (12, "metric", "a4"),
        (12, "imperial", "letter"),
        (30, "imperial", "letter"),
        (60, "metric", "a4"),
        (60, "imperial", "letter"),
    ],
)
def test_words_of_a_drawing_do_not_cover_each_other(
    buckets: int, units: str, paper: PaperName
) -> None:
    for page in printed(buckets, units, paper).pages:
        if "SCALE 1:" not in page.extract_text():
            continue
        chars = [c for c in page.chars if c["text"].strip()]
        for i, a in enumerate(chars):
            for b in chars[i + 1 :]:
                wide = min(a["x1"], b["x1"]) - max(a["x0"], b["x0"])
                high = min(a["bottom"], b["bottom"]) - max(a["top"], b["top"])
                # The box of a letter is taller than its ink by a third.
                small = min(size_of(a), size_of(b))
                assert not (wide > 0.3 * small and high > 0.5 * small), (a["text"], b["text"])


def test_the_same_design_and_date_give_the_same_bytes() -> None:
    first = build_sheet_bytes(bed(4), on())
    assert build_sheet_bytes(bed(4), on()) == first
    assert build_sheet_bytes(bed(4), SheetOptions(date=datetime.date(2026, 3, 2))) != first


def test_the_paper_is_the_designs_own_unless_another_is_asked_for() -> None:
    design = replace(sketch(Answers(buckets=2)), paper="letter")
    own = pdfplumber.open(io.BytesIO(build_sheet_bytes(analyse(design)))).pages[0]
    other = pdf_of(analyse(design), "a4").pages[0]
    assert own.width == pytest.approx(215.9 * MM)
    assert other.width == pytest.approx(210 * MM)


def test_progress_counts_every_page(tmp_path: Path) -> None:
    seen: list[tuple[int, int]] = []
    path = tmp_path / "bed.pdf"
    write_build_sheet(bed(4), path, progress=lambda *at: seen.append(at))
    with pdfplumber.open(path) as pdf:
        pages = len(pdf.pages)
    assert seen == [(i, pages) for i in range(1, pages + 1)]


class Stop(Exception):  # noqa: N818 - not an error
    pass


@pytest.mark.parametrize("at", [1, 4, 9])
def test_a_cancelled_sheet_leaves_nothing_and_an_older_one_as_it_was(
    tmp_path: Path, at: int
) -> None:
    def cancel(done: int, total: int) -> None:
        if done == at:
            raise Stop

    old = tmp_path / "old.pdf"
    old.write_bytes(b"older")
    for path in (tmp_path / "new.pdf", old):
        with pytest.raises(Stop):
            write_build_sheet(bed(4), path, progress=cancel)
    assert [p.name for p in tmp_path.iterdir() if p.suffix in (".pdf", ".saving")] == ["old.pdf"]
    assert old.read_bytes() == b"older"


def test_only_templates_leaves_the_rest_out(tmp_path: Path) -> None:
    path = tmp_path / "templates.pdf"
    write_build_sheet(bed(4), path, SheetOptions(only_templates=True))
    with pdfplumber.open(path) as pdf:
        assert all("template page" in page.extract_text() for page in pdf.pages)
        assert len(pdf.pages) < len(printed(4).pages)


def test_only_templates_of_a_bed_without_buckets_is_refused_in_words(tmp_path: Path) -> None:
    path = tmp_path / "templates.pdf"
    with pytest.raises(ValueError, match="no template to print yet"):
        write_build_sheet(analyse(Design(title="")), path, SheetOptions(only_templates=True))
    assert not path.exists()


def test_an_empty_design_and_a_run_without_buckets_still_print() -> None:
    empty = pdf_of(analyse(Design(title="")))
    assert "Bucket bed" in words_of(empty.pages)
    design = sketch(Answers(buckets=2))
    bare = replace(design, runs=(replace(design.runs[0], buckets=()),), reservoir=None)
    assert "Elevation" in words_of(pdf_of(analyse(bare)).pages)


def test_a_long_title_and_long_notes_wrap_onto_more_pages() -> None:
    design = replace(
        sketch(Answers(buckets=2)), title="Wiiide " * 17, notes="A note that goes on. " * 800
    )
    pdf = pdf_of(analyse(design))
    assert words_of(pdf.pages).split().count("goes") == 800


def test_a_bed_turned_on_the_site_is_drawn_level() -> None:
    design = sketch(Answers(buckets=4))
    turned = edits.set_run(design, "r1", heading=37.0, start=Point(5000.0, -3000.0))
    page = run_sheet(pdf_of(analyse(turned)))
    scale = int(re.search(r"SCALE 1:(\d+)", page.extract_text())[1])  # type: ignore[index]
    along = turned.runs[0].length / scale
    assert any(
        abs(abs(ln["x1"] - ln["x0"]) / MM - along) < 0.05 and abs(ln["y1"] - ln["y0"]) < 0.01
        for ln in page.lines
    )


def test_the_file_carries_title_language_and_bookmarks() -> None:
    pdf = printed(2)
    assert pdf.metadata["Title"] == "Kitchen bed: build sheet"
    catalog = pdf.doc.catalog
    assert catalog["Lang"] == b"en"
    titles = [title for _, title, *_ in pdf.doc.get_outlines()]
    assert titles[0] == "Build sheet"
    assert titles[-3].startswith("Outlet hole:")
    assert "Drill templates" in titles


@pytest.mark.parametrize(
    ("buckets", "units", "paper"), [(2, "metric", "a4"), (12, "imperial", "letter")]
)
def test_the_cover_lists_what_is_in_the_file_and_on_which_sheet(
    buckets: int, units: str, paper: PaperName
) -> None:
    pdf = printed(buckets, units, paper)
    cover = words_of(pdf.pages[:1])
    listed_in = contents_of(pdf.pages[0])
    outlines = list(pdf.doc.get_outlines())
    listed = [title for _, title, *_ in outlines if title not in ("Build sheet", "Drill templates")]
    assert len(listed) >= 9
    for title in listed:
        name = title.split(":")[0]
        first = next(
            i
            for i, page in enumerate(pdf.pages, 1)
            if i > 1 and name in page.extract_text() and starts_with(page, name)
        )
        assert listed_in[title.replace(" ", "")] == str(first)
    templates = sum("template page" in p.extract_text() for p in pdf.pages[1:])
    assert f"{templates} drill template pages: print them at 100 %." in cover


def contents_of(cover: Page) -> dict[str, str]:
    """The contents: each name, without spaces, and its sheet. A name may take two lines."""
    found: dict[str, str] = {}
    words = cover.extract_words()
    top = next(w["bottom"] for w in words if w["text"] == "Sheet") + 2
    foot = -2 + next(w["top"] for w in words if w["text"] in ("What", "Sheets") and w["top"] > top)
    ends = [w["x1"] + 1 for w in words if w["text"] == "Sheet" and abs(w["bottom"] + 2 - top) < 3]
    left = 20 * MM
    for end in ends:
        column = cover.crop((left, top, end, foot)).extract_words()
        # the sheets are set flush right, level with the first line of their name
        sheets = [word for word in column if word["x1"] > end - 4 * MM]
        for i, sheet in enumerate(sheets):
            below = sheets[i + 1]["top"] if i + 1 < len(sheets) else foot
            lines = [w for w in column if sheet["top"] - 2 < w["top"] < below - 2]
            name = "".join(w["text"] for w in lines if w is not sheet)
            found[name] = sheet["text"]
        left = end
    return found


def starts_with(page: Page, name: str) -> bool:
    """Whether a page is headed so, or is a drawing whose document type is this."""
    text = page.extract_text()
    begins = " ".join(name.split()[:2])
    return bool(text.startswith(name) or ("SCALE" in text and begins in text))


def test_a_very_long_file_says_so_on_its_cover() -> None:
    assert "Print each template once" not in words_of(printed(12).pages[:1])
    analysis = analyse(sketch(Answers(buckets=200)))
    pdf = pdf_of(analysis)
    assert len(pdf.pages) > 60
    assert f"This file has {len(pdf.pages)} sheets." in words_of(pdf.pages[:2])


def test_checks_that_read_good_are_named_once_and_what_they_rest_on_is_told() -> None:
    analysis = bed(12)
    pages = printed(12).pages
    named = words_of([p for p in pages if p.extract_text().startswith("Checks")])
    told = words_of([p for p in pages if p.extract_text().startswith("Sources and")])
    good = [finding for finding in analysis.findings if finding.state == "good"]
    assert len(good) > 10
    for finding in good:
        assert named.count(f"{finding.title};") + named.count(f"{finding.title}.") == 1
        assert finding.title in told
        assert finding.source[1:].rstrip(".").replace(" ", "") in told.replace(" ", "")


@given(designs())
@settings(max_examples=12)
def test_any_design_that_a_file_may_hold_is_printed(design: Design) -> None:
    data = build_sheet_bytes(analyse(design), on())
    with pdfplumber.open(io.BytesIO(data)) as pdf:
        assert "Build sheet" in pdf.pages[0].extract_text()
