"""Drill templates are true to size on every paper, and nothing of them is lost at an edge."""

from __future__ import annotations

import math
from itertools import combinations, pairwise
from pathlib import Path
from typing import Literal

import numpy as np
import pdfplumber
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pdfminer.pdftypes import resolve1

from designer.layout.unroll import Frustum
from designer.sheet.calibration import UNCORRECTED, Correction
from designer.sheet.paper import A3, A4, LETTER, MARGIN, TABLOID, Paper, roll
from designer.sheet.pdf_pages import Imprint, pages_pdf
from designer.sheet.template import Printing, TemplateSheet
from designer.sheet.template_page import drawing_area
from designer.sheet.template_pages import template_pages
from designer.sheet.template_patch import BucketPatch, patch_template, place_patch
from designer.sheet.template_strip import strip_template
from designer.sheet.template_tiles import (
    OVERLAP,
    HoleStrip,
    StripHole,
    Tile,
    strip_heading,
    strip_layout,
)
from designer.units import UnitSystem, format_length, style_for
from tests.sheet.measure import (
    Circle,
    bar_length_of_ink,
    bars,
    circles,
    fit_circle,
    render,
    strokes,
)
from tests.sheet.page_audit import layout_faults
from tests.sheet.page_marks import read_marks
from tests.sheet.printed import DAY, print_templates, write_templates

PATCH = BucketPatch(
    "Outlet hole, 20 L bucket",
    260,
    300,
    360,
    50,
    28,
    "28 mm (1 1/8 in)",
    "Measure your own bucket before you print.",
    "Buckets A to H",
)
ALL_PAPERS = pytest.mark.parametrize("paper", [A4, LETTER], ids=lambda paper: paper.name)
EVERY_PAPER = pytest.mark.parametrize(
    "paper", [A4, LETTER, A3, TABLOID, roll(610)], ids=lambda paper: paper.name
)
BOTH_UNITS = pytest.mark.parametrize("units", ["metric", "imperial"])
# Turns away from the centre lines and crosses that pass through a hole's circle.
CLEAR_TURNS = np.radians([q * 90 + a for q in range(4) for a in np.arange(12, 79, 2.0)])


def letter(index: int) -> str:
    first, second = divmod(index, 26)
    return (chr(64 + first) if first else "") + chr(65 + second)


def strip(count: int, pitch: float, kind: str = "drain", first: float = 150.0) -> HoleStrip:
    holes = tuple(StripHole(first + pitch * i, letter(i)) for i in range(count))
    if kind == "drain":
        return HoleStrip(
            "Run 1 drain pipe", 60.33, 32, "32 mm (1 1/4 in)", 0, holes, "drain", "Crown up."
        )
    return HoleStrip("Run 1 manifold tube", 19, 4, "4 mm (5/32 in)", 0, holes, "manifold")


def tiles_on(value: HoleStrip, paper: Paper, units: UnitSystem = "metric") -> tuple[Tile, ...]:
    return strip_layout(value, Printing(paper, units)).tiles


def cut_holes() -> HoleStrip:
    """A strip whose holes stand too close to be kept off the joints of its pieces."""
    holes = tuple(StripHole(30 + 43.7 * i, letter(i)) for i in range(22))
    return HoleStrip("Cut", 60.33, 32, "32 mm", 0, holes, "drain", "Crown up.")


def tile_of(tiles: tuple[Tile, ...], page: int, circle: Circle) -> Tile:
    return next(t for t in tiles if t.page == page and abs(t.centre - circle.y) < 1)


@pytest.fixture(scope="module", params=[A4, LETTER], ids=lambda paper: paper.name)
def printed(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory):
    """One patch and one short strip of each kind, printed on either paper."""
    paper = request.param
    path = tmp_path_factory.mktemp("templates") / f"{paper.name}.pdf"
    write_templates(path, [PATCH], [strip(2, 300), strip(3, 200, "manifold")], paper, "metric")
    return path, paper


def page_sizes(path: Path) -> list[tuple[float, float]]:
    with pdfplumber.open(path) as pdf:
        return [(float(p.width) * 25.4 / 72, float(p.height) * 25.4 / 72) for p in pdf.pages]


def test_every_page_has_the_paper_s_true_size_and_asks_for_full_scale(printed) -> None:
    path, paper = printed
    sides = sorted((paper.width, paper.height))
    with pdfplumber.open(path) as pdf:
        assert resolve1(pdf.doc.catalog["ViewerPreferences"])["PrintScaling"].name == "None"
        assert len(pdf.pages) > 2
        for page in pdf.pages:
            box = [float(value) * 25.4 / 72 for value in page.page_obj.attrs["MediaBox"]]
            assert box[:2] == [0, 0]
            assert sorted(box[2:]) == pytest.approx(sides, abs=0.01)
            assert "CropBox" not in page.page_obj.attrs
            assert "UserUnit" not in page.page_obj.attrs
            assert not page.page_obj.attrs.get("Rotate")


def test_every_page_carries_four_bars_true_by_its_paths(printed) -> None:
    path, _ = printed
    for page in range(len(page_sizes(path))):
        found = bars(path, page)
        for upward in (False, True):
            lengths = sorted(bar.length for bar in found if bar.upward is upward)
            assert lengths == pytest.approx([100, 101.6], abs=0.01)


def test_bars_and_hole_are_true_in_ink(printed) -> None:
    path, _ = printed
    for page, radius in ((0, 14.0), (1, 16.0)):
        ink = render(path, page)
        for bar in bars(path, page):
            assert bar_length_of_ink(ink, bar) == pytest.approx(bar.length, abs=0.05)
        hole = next(c for c in circles(path, page) if abs(c.radius - radius) < 0.05)
        assert hole.radius == pytest.approx(radius, abs=0.01)
        inked = ink.circle(hole, CLEAR_TURNS)
        assert 2 * inked.radius == pytest.approx(2 * radius, abs=0.05)
        assert inked.out_of_round < 0.05
        assert (inked.x, inked.y) == pytest.approx((hole.x, hole.y), abs=0.05)


def test_lines_are_narrow_or_wide_as_iso_128_has_them(printed) -> None:
    path, _ = printed
    widths = {round(s.width, 3) for page in range(3) for s in strokes(path, page)}
    assert widths == {0.25, 0.5}


def test_every_page_tells_to_print_at_full_scale_and_measure(printed) -> None:
    path, paper = printed
    with pdfplumber.open(path) as pdf:
        for number, page in enumerate(pdf.pages, 1):
            text = page.extract_text()
            assert "Print at 100 %, measure the bars first" in text
            assert "Eye protection on" in text
            assert f"{paper.name}, template page {number} of {len(pdf.pages)}" in text


@EVERY_PAPER
@BOTH_UNITS
def test_words_are_legible_apart_and_inside_the_margins(
    paper: Paper, units: UnitSystem, tmp_path: Path
) -> None:
    path = tmp_path / "templates.pdf"
    low = BucketPatch("Low outlet", 150, 200, 200, 14, 25.4, "25.4 mm (1 in)", "", "Bucket R")
    tall = BucketPatch("Tall", 380, 380, 900, 330, 60.3, "60 mm (2 3/8 in)", "", "Buckets J to Q")
    long = BucketPatch(
        "Outlet hole " * 9, 260, 300, 360, 50, 28, "28 mm " * 9, "note " * 90, "A, " * 60
    )
    strips = [
        strip(9, 352.5),
        strip(20, 61),
        strip(12, 38, first=6),
        strip(25, 200, "manifold"),
        strip(2, 1000),
    ]
    write_templates(path, [PATCH, low, tall, long], strips, paper, units)
    edge = MARGIN * 72 / 25.4 - 0.01
    with pdfplumber.open(path) as pdf:
        for page in pdf.pages:
            for char in page.chars:
                across, up = char["x1"] - char["x0"], char["bottom"] - char["top"]
                assert (up if char["upright"] else across) >= 7 - 1e-6
            words = [w for w in page.extract_words() if w["upright"]]
            for word in words:
                assert edge <= word["x0"]
                assert word["x1"] <= page.width - edge
                assert edge <= word["top"]
                assert word["bottom"] <= page.height - edge
            for a, b in combinations(words, 2):
                across = min(a["x1"], b["x1"]) - max(a["x0"], b["x0"])
                # A font's box is taller than its letters, so boxes of near lines may touch.
                down = min(a["bottom"], b["bottom"]) - max(a["top"], b["top"])
                assert across <= 0.1 or down <= 2.5, (page.page_number, a["text"], b["text"])


@ALL_PAPERS
def test_nothing_is_inked_within_10_mm_of_the_edge(paper: Paper, tmp_path: Path) -> None:
    path = tmp_path / "templates.pdf"
    tall = BucketPatch("Tall", 380, 380, 900, 330, 60.3, "60 mm", "", "Buckets J to Q")
    write_templates(path, [PATCH, tall], [cut_holes()], paper, "metric")
    for page in range(len(page_sizes(path))):
        ink = render(path, page, 150)
        clear = [int(MARGIN / pitch) for pitch in ink.pitch]
        inside = ink.dark.copy()
        inside[clear[1] : -clear[1], clear[0] : -clear[0]] = 0
        assert inside.max() < 0.02
        assert ink.dark.max() > 0.9


@EVERY_PAPER
@pytest.mark.parametrize(
    ("count", "pitch", "kind"),
    [(2, 1000, "drain"), (60, 200, "drain"), (60, 457.2, "manifold"), (12, 352.5, "drain")],
)
def test_every_hole_stands_at_its_station(
    paper: Paper, count: int, pitch: float, kind: str, tmp_path: Path
) -> None:
    path = tmp_path / "strip.pdf"
    value = strip(count, pitch, kind)
    write_templates(path, [], [value], paper, "metric")
    tiles = tiles_on(value, paper)
    marked: dict[str, list[float]] = {hole.letter: [] for hole in value.holes}
    punched: set[str] = set()
    for page in range(tiles[-1].page + 1):
        uprights = [
            s.points.mean(axis=0) for s in strokes(path, page) if s.is_line and s.length < 13
        ]
        for circle in circles(path, page):
            tile = tile_of(tiles, page, circle)
            station = circle.x - tile.left + tile.start
            hole = min(value.holes, key=lambda h: abs(h.station - station))
            assert circle.radius == pytest.approx(value.hole_diameter / 2, abs=0.01)
            assert circle.y == pytest.approx(tile.centre, abs=0.01)
            marked[hole.letter].append(station)
            if any(np.hypot(*(p - (circle.x, circle.y))) < 0.01 for p in uprights):
                punched.add(hole.letter)
    for hole in value.holes:
        assert marked[hole.letter], f"hole {hole.letter} is missing"
        assert marked[hole.letter] == pytest.approx(
            [hole.station] * len(marked[hole.letter]), abs=0.01
        )
    assert punched == set(marked)


@ALL_PAPERS
def test_hole_cut_by_two_pieces_coincides_when_they_are_joined(
    paper: Paper, tmp_path: Path
) -> None:
    path = tmp_path / "strip.pdf"
    value = cut_holes()
    write_templates(path, [], [value], paper, "metric")
    tiles = tiles_on(value, paper)
    by_paths: dict[int, list[Circle]] = {}
    by_ink: dict[int, list[Circle]] = {}
    for page in range(tiles[-1].page + 1):
        ink = render(path, page)
        for stroke in (s for s in strokes(path, page) if s.curved):
            circle = fit_circle(stroke.points)
            tile = tile_of(tiles, page, circle)
            assert stroke.points[:, 0].min() >= tile.left - 0.001
            assert stroke.points[:, 0].max() <= tile.x_at(tile.end) + 0.001
            turns = [
                turn
                for turn in CLEAR_TURNS
                if tile.left + 1.2 < circle.x + circle.radius * math.cos(turn)
                and circle.x + circle.radius * math.cos(turn) < tile.x_at(tile.end) - 1.2
                and not near_a_joint(tiles, tile, circle, turn)
            ]
            offset = tile.left - tile.start
            index = min(
                range(len(value.holes)),
                key=lambda i: abs(value.holes[i].station + offset - circle.x),
            )
            by_paths.setdefault(index, []).append(
                Circle(circle.x - offset, circle.y - tile.centre, circle.radius, 0)
            )
            if len(turns) >= 12:
                inked = ink.circle(circle, np.array(turns))
                by_ink.setdefault(index, []).append(
                    Circle(inked.x - offset, inked.y - tile.centre, inked.radius, 0)
                )
    shared = [i for i, found in by_paths.items() if len(found) == 2]
    assert len(shared) >= 3
    for index in shared:
        for found, tolerance in ((by_paths, 0.01), (by_ink, 0.05)):
            for circle in found[index]:
                station = value.holes[index].station
                assert circle.x == pytest.approx(station, abs=tolerance)
                assert circle.y == pytest.approx(0, abs=tolerance)
                assert circle.radius == pytest.approx(16, abs=tolerance)
    assert any(len(by_ink[index]) == 2 for index in shared)


def near_a_joint(tiles: tuple[Tile, ...], tile: Tile, circle: Circle, turn: float) -> bool:
    """Whether a ray of the circle would read the ink of a joint line or cross instead."""
    x = circle.x + circle.radius * math.cos(turn)
    joints = [tile.start + OVERLAP / 2, tile.end - OVERLAP / 2]
    return any(abs(x - tile.x_at(joint)) < 4 for joint in joints)


@given(
    st.lists(st.floats(0, 4000), min_size=1, max_size=14),
    st.sampled_from([A4, LETTER, A3, TABLOID]),
)
@settings(max_examples=60, deadline=None)
def test_keeping_holes_off_joints_takes_no_further_page(
    stations: list[float], paper: Paper
) -> None:
    holes = tuple(StripHole(s, letter(i)) for i, s in enumerate(sorted(stations)))
    value = HoleStrip("Strip", 60.33, 32, "32 mm", 0, holes)
    layout = strip_layout(value, Printing(paper, "metric"))
    tiles = layout.tiles
    room = drawing_area(layout.sheet, strip_heading(value, "metric")).width
    rows = 1 + max(tile.row for tile in tiles)
    plain = max(1, math.ceil((value.end - OVERLAP) / (room - OVERLAP) - 1e-9))
    pages = tiles[-1].page + 1
    assert pages == math.ceil(plain / rows)
    for before, after in pairwise(tiles):
        assert before.end - after.start == pytest.approx(OVERLAP)
        assert before.end - before.start <= room + 1e-6


@EVERY_PAPER
def test_a_hole_is_kept_off_a_joint_where_the_page_has_room(paper: Paper) -> None:
    long = strip(100 if paper.roll else 60, 61)
    room = max(tile.end - tile.start for tile in tiles_on(long, paper))
    for beside in (-25.0, -15.0, 0.0, 8.0):
        holes = (StripHole(60.0, "A"), StripHole(room + beside, "B"), StripHole(room + 90.0, "C"))
        tiles = tiles_on(HoleStrip("Strip", 60.33, 32, "32 mm", 0, holes), paper)
        assert len(tiles) > 1
        for before, after in pairwise(tiles):
            for hole in holes:
                assert not after.start < hole.station + 16 or not hole.station - 16 < before.end


@ALL_PAPERS
def test_joint_crosses_of_neighbouring_pieces_coincide(paper: Paper, tmp_path: Path) -> None:
    path = tmp_path / "strip.pdf"
    value = strip(4, 300)
    write_templates(path, [], [value], paper, "metric")
    tiles = tiles_on(value, paper)
    lines = {
        page: [s.points for s in strokes(path, page) if s.is_line and abs(s.length - 4) < 0.01]
        for page in range(tiles[-1].page + 1)
    }
    for before, after in pairwise(tiles):
        assert before.end - after.start >= 10
        joint = before.end - OVERLAP / 2
        marks = []
        for tile in (before, after):
            centres = [
                points.mean(axis=0) - (tile.left - tile.start, tile.centre)
                for points in lines[tile.page]
            ]
            at_joint = {
                (round(float(x), 2), round(float(y), 2))
                for x, y in centres
                if abs(x - joint) < 0.05 and abs(y) < value.width / 2
            }
            assert len(at_joint) == 2, "one cross at each side of the joint"
            marks.append(sorted(at_joint))
        assert np.abs(np.array(marks[0]) - np.array(marks[1])).max() <= 0.02


@EVERY_PAPER
@BOTH_UNITS
def test_letters_distances_and_joins_are_written(
    paper: Paper, units: UnitSystem, tmp_path: Path
) -> None:
    path = tmp_path / "strip.pdf"
    value = strip(8, 333.3)
    write_templates(path, [], [value], paper, units)
    tiles = tiles_on(value, paper, units)
    with pdfplumber.open(path) as pdf:
        text = "\n".join(page.extract_text() for page in pdf.pages)
    for hole in value.holes:
        assert format_length(hole.station, style_for(units)) in text
    for tile in tiles[:-1]:
        assert f"joins piece {tile.piece}" in text
        assert f"Piece {tile.piece + 1} follows" in text
    assert "This is the last piece." in text
    assert "capped end" in text


@EVERY_PAPER
def test_pieces_cover_the_strip_in_order_without_a_gap(paper: Paper) -> None:
    value = strip(60, 200)
    tiles = tiles_on(value, paper)
    assert tiles[0].start == 0
    assert tiles[-1].end >= value.end > value.holes[-1].station + value.hole_diameter / 2
    assert [tile.piece for tile in tiles] == list(range(1, len(tiles) + 1))
    places = [(tile.page, tile.row) for tile in tiles]
    assert places == sorted(set(places))
    assert max(tile.row for tile in tiles) >= 2, "three rows to a page save paper"


def test_ten_metre_strip_takes_at_most_sixteen_sheets() -> None:
    for paper in (A4, LETTER):
        for kind, most in (("drain", 16), ("manifold", 10)):
            pages = strip_template(strip(29, 350, kind)).pages(Printing(paper, "metric"))
            assert len(pages) <= most


def test_hole_at_the_capped_end_is_drawn_as_far_as_the_pipe_goes(tmp_path: Path) -> None:
    path = tmp_path / "strip.pdf"
    write_templates(path, [], [strip(1, 0, first=6.0)], A4, "metric")
    tile = tiles_on(strip(1, 0, first=6.0), A4)[0]
    (arc,) = (s for s in strokes(path, 0) if s.curved)
    assert arc.points[:, 0].min() == pytest.approx(tile.left, abs=0.01)
    assert fit_circle(arc.points).x == pytest.approx(tile.left + 6, abs=0.01)


@EVERY_PAPER
def test_base_line_is_the_bucket_s_own_arc_below_the_hole(paper: Paper, tmp_path: Path) -> None:
    path = tmp_path / "patch.pdf"
    write_templates(path, [PATCH], [], paper, "metric")
    (hole,) = circles(path, 0)
    base = next(s.points for s in strokes(path, 0) if len(s.points) > 10 and not s.curved)
    frustum = Frustum(260, 300, 360)
    middle = base[len(base) // 2]
    assert middle[0] == pytest.approx(hole.x, abs=0.01)
    assert hole.y - middle[1] == pytest.approx(frustum.along_wall(50), abs=0.01)
    apex = middle - (0, frustum.rho_inner)
    assert np.hypot(*(base - apex).T) == pytest.approx(frustum.rho_inner, abs=0.01)
    with pdfplumber.open(path) as pdf:
        text = pdf.pages[0].extract_text()
    assert "Hole centre 50 mm above" in text
    assert "Hole saw 28 mm (1 1/8 in)" in text
    assert "Buckets A to H" in text


@ALL_PAPERS
@BOTH_UNITS
def test_hole_too_high_for_one_sheet_is_measured_from_a_raised_line(
    paper: Paper, units: UnitSystem, tmp_path: Path
) -> None:
    path = tmp_path / "patch.pdf"
    tall = BucketPatch("Tall barrel", 360, 400, 900, 420, 60.3, "60 mm", "", "Bucket A")
    write_templates(path, [tall], [], paper, units)
    place = place_patch(tall, TemplateSheet(paper), units)
    assert place.edge_height + place.below == pytest.approx(tall.frustum.along_wall(420))
    (hole,) = circles(path, 0)
    edge = next(s.points for s in strokes(path, 0) if len(s.points) > 10 and not s.curved)
    assert hole.y - edge[len(edge) // 2][1] == pytest.approx(place.below, abs=0.01)
    step = 10 if units == "metric" else 25.4
    assert place.edge_height / step == pytest.approx(round(place.edge_height / step), abs=1e-9)
    assert len(bars(path, 0)) == 4


@pytest.mark.parametrize("height", [10, 355])
def test_hole_over_the_edge_of_the_bucket_is_refused(height: float) -> None:
    with pytest.raises(ValueError, match="another height"):
        BucketPatch("Bucket", 260, 300, 360, height, 28, "28 mm", "", "A")


def test_impossible_strip_is_refused() -> None:
    with pytest.raises(ValueError, match="no hole"):
        HoleStrip("Pipe", 60, 30, "30 mm", 500, ())
    with pytest.raises(ValueError, match="beyond the capped end"):
        HoleStrip("Pipe", 60, 30, "30 mm", 500, (StripHole(-1, "A"),))
    with pytest.raises(ValueError, match="as wide as the pipe"):
        HoleStrip("Pipe", 30, 30, "30 mm", 500, (StripHole(100, "A"),))


@given(
    st.lists(st.floats(0, 1500), min_size=1, max_size=14),
    st.sampled_from([A4, LETTER, A3, TABLOID, roll(610)]),
    st.sampled_from([UNCORRECTED, Correction(1.02, 1.01), Correction(1.0, 1.013)]),
    st.sampled_from([("drain", 60.33, 32.0), ("drain", 40.0, 25.4), ("manifold", 19.0, 4.0)]),
)
@settings(max_examples=25, deadline=None)
def test_holes_anywhere_are_named_and_no_words_meet(
    stations: list[float],
    paper: Paper,
    correction: Correction,
    pipe: tuple[Literal["drain", "manifold"], float, float],
) -> None:
    kind, outside, saw = pipe
    holes = tuple(StripHole(s, letter(i)) for i, s in enumerate(sorted(stations)))
    value = HoleStrip("Strip", outside, saw, f"{saw:g} mm", 0, holes, kind)
    printing = Printing(paper, "metric", correction)
    pages = template_pages([strip_template(value)], printing)
    marks = read_marks(pages_pdf(pages, Imprint("Strip", "templates", DAY.isoformat(), "mm"))).pages
    named = {word for page in marks for words in page.words for word in words.text.split(", ")}
    assert named >= {hole.letter for hole in holes}
    faults = [fault for page in marks for fault in layout_faults(page)]
    tight = [f for f in faults if crowded(f.words, holes) and crowded(f.other, holes)]
    assert [f for f in faults if f not in tight] == []


def crowded(words: str, holes: tuple[StripHole, ...]) -> bool:
    """Whether these are letters of holes that run into each other, or such a hole's line."""
    names = words.split(", ")
    near = {
        hole.letter
        for hole in holes
        if any(other is not hole and abs(other.station - hole.station) < 48 for other in holes)
    }
    return not words or "line" in words or set(names) <= near


@ALL_PAPERS
def test_holes_drawn_for_a_printer_that_is_off_are_true_in_ink(
    paper: Paper, tmp_path: Path
) -> None:
    path = tmp_path / "corrected.pdf"
    printing = Printing(paper, "metric", Correction(1.0145, 0.9911))
    templates = [patch_template(PATCH), strip_template(strip(2, 300))]
    print_templates(path, templates, printing)
    pages = [page for template in templates for page in template.pages(printing)]
    for number, radius in ((0, 14.0), (1, 16.0)):
        right, up = pages[number].sheet.factors
        assert right != up
        ink = render(path, number)
        round_one = next(c for c in circles(path, number) if abs(c.radius - radius) < 0.5)
        for turn in CLEAR_TURNS:
            edge = np.array([radius * right * math.cos(turn), radius * up * math.sin(turn)])
            ray = edge / np.hypot(*edge)
            start, end = (np.array([round_one.x, round_one.y]) + edge + ray * k for k in (-1, 1))
            assert ink.line_place(tuple(start), tuple(end)) == pytest.approx(1.0, abs=0.05)
