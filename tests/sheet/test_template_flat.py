"""Templates larger than the page are cut into pieces that join to the whole."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pdfplumber
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pdfminer.pdftypes import resolve1
from shapely import unary_union
from shapely.geometry import Point, box

from designer.drawing.fonts import register_fonts
from designer.sheet.calibration import UNCORRECTED, Correction
from designer.sheet.paper import A3, A4, LETTER, LONGEST, MARGIN, PAPERS, TABLOID, Paper, roll
from designer.sheet.template import Printing, TemplateSheet
from designer.sheet.template_flat import FlatTemplate, flat_grid, flat_template
from designer.sheet.template_grid import OVERLAP, Grid, Tile
from designer.sheet.template_joints import JOINING_STEP
from designer.sheet.template_map import map_size
from designer.sheet.template_page import Area, drawing_area
from designer.sheet.template_window import ink_of
from tests.sheet.flats import HEADING, LINES_ACROSS, LINES_UP, lattice, ring, wordy
from tests.sheet.measure import Ink, bars, render, strokes
from tests.sheet.page_audit import layout_faults
from tests.sheet.page_marks import read_marks
from tests.sheet.printed import print_templates

SHEETS = [A4, LETTER, A3, TABLOID]
EVERY_PAPER = pytest.mark.parametrize(
    "paper", [*SHEETS, roll(610), roll(914.4)], ids=lambda paper: paper.name
)
CORRECTIONS = pytest.mark.parametrize("correction", [UNCORRECTED, Correction(1.0062, 0.9953)])
CORRECTED = Correction(1.0062, 0.9953)
SIDE = st.floats(20.0, 1500.0)
TRUE = 0.05


def printed(
    tmp_path: Path, flat: FlatTemplate, paper: Paper, correction: Correction = UNCORRECTED
) -> tuple[Path, Grid]:
    path = tmp_path / "flat.pdf"
    print_templates(path, [flat_template(flat)], Printing(paper, "metric", correction))
    return path, flat_grid(flat, TemplateSheet(paper, correction))


def area_box(area: Area):
    return box(area.left, area.bottom, area.right, area.top)


def neighbours(grid: Grid) -> Iterator[tuple[Tile, Tile]]:
    """Every piece with that to its right and that below it."""
    for tile in grid.tiles:
        for row, column in ((tile.row, tile.column + 1), (tile.row + 1, tile.column)):
            other = grid.tile(row, column)
            if other is not None:
                yield tile, other


@given(SIDE, SIDE, st.sampled_from([*SHEETS, roll(610)]), st.data())
@settings(max_examples=60, deadline=None)
def test_every_point_lies_on_a_piece_and_neighbours_overlap_as_stated(
    width: float, height: float, paper: Paper, data: st.DataObject
) -> None:
    grid = flat_grid(lattice(width, height), TemplateSheet(paper))
    assert len(grid.tiles) == grid.rows * grid.columns
    whole = unary_union([area_box(tile.window) for tile in grid.tiles])
    point = Point(data.draw(st.floats(0, width)), data.draw(st.floats(0, height)))
    assert whole.distance(point) < 1e-6
    assert whole.bounds == pytest.approx((0, 0, width, height), abs=1e-6)
    for a, b in neighbours(grid):
        if a.row == b.row:
            assert a.window.right - b.window.left == pytest.approx(OVERLAP)
            joint = (a.window.right + b.window.left) / 2
            assert (a.cell.right, b.cell.left) == pytest.approx((joint, joint))
            assert (a.window.bottom, a.window.top) == (b.window.bottom, b.window.top)
        else:
            assert b.window.top - a.window.bottom == pytest.approx(OVERLAP)
            joint = (b.window.top + a.window.bottom) / 2
            assert (a.cell.bottom, b.cell.top) == pytest.approx((joint, joint))
            assert (a.window.left, a.window.right) == (b.window.left, b.window.right)


@given(SIDE, SIDE, st.sampled_from([*SHEETS, roll(610)]), st.sampled_from([UNCORRECTED, CORRECTED]))
@settings(max_examples=60, deadline=None)
def test_pieces_fit_the_page_and_are_as_few_as_either_way_of_holding_it_allows(
    width: float, height: float, paper: Paper, correction: Correction
) -> None:
    sheet = TemplateSheet(paper, correction)
    grid = flat_grid(lattice(width, height), sheet)
    area = drawing_area(grid.sheet, grid.heading)
    for tile in grid.tiles:
        x, y = grid.place(tile)
        assert tile.window.left + x >= area.left - 1e-6
        assert tile.window.right + x <= area.right + 1e-6
        assert tile.window.bottom + y >= area.bottom - 1e-6
        assert tile.window.top + y <= area.top + 1e-6
    assert max(grid.sheet.paper.width, grid.sheet.paper.height) <= LONGEST
    count = len(grid.tiles)
    fewer = [
        (rows, columns)
        for rows in range(1, count)
        for columns in range(1, (count - 1) // rows + 1)
        if any(fits(width, height, rows, columns, way) for way in (sheet, sheet.turned))
    ]
    assert fewer == []


def fits(width: float, height: float, rows: int, columns: int, sheet: TemplateSheet) -> bool:
    """Whether equal pieces, with their overlaps, fit on the page beside words and map."""
    heading = HEADING
    if rows * columns > 1:
        steps, aside = (JOINING_STEP, *HEADING.steps), map_size(rows, columns)
        heading = type(HEADING)(HEADING.title, HEADING.subtitle, steps, HEADING.note, aside=aside)
    area = drawing_area(sheet, heading)
    across = (width + (columns - 1) * OVERLAP) / columns
    up = (height + (rows - 1) * OVERLAP) / rows
    return across <= area.width + 1e-6 and up <= area.height + 1e-6


@given(st.floats(300, 1500), st.floats(5, 60), st.sampled_from(SHEETS))
@settings(max_examples=25, deadline=None)
def test_only_blank_pieces_are_left_out_and_the_others_hang_together(
    size: float, band: float, paper: Paper
) -> None:
    flat = ring(size, band)
    grid = flat_grid(flat, TemplateSheet(paper))
    whole = unary_union([area_box(tile.window).buffer(1e-6) for tile in grid.tiles])
    for line in ink_of(flat.draw):
        assert whole.covers(line)
    joined = {grid.tiles[0]}
    for _ in grid.tiles:
        joined |= {a if b in joined else b for a, b in neighbours(grid) if {a, b} & joined}
    assert joined == set(grid.tiles)


def test_what_was_left_out_is_said_on_every_page(tmp_path: Path) -> None:
    path, grid = printed(tmp_path, ring(900, 30), A4)
    blank = grid.rows * grid.columns - len(grid.tiles)
    assert blank > 1
    with pdfplumber.open(path) as pdf:
        assert len(pdf.pages) == len(grid.tiles)
        for tile, page in zip(grid.tiles, pdf.pages, strict=True):
            text = page.extract_text()
            assert f"{blank} blank pieces are left out" in text
            assert f"This is {tile.name}, one of {len(grid.tiles)} pieces" in text
            assert f"piece {tile.name}" in text.splitlines()[0]


@given(
    st.lists(st.tuples(st.floats(0, 700), st.floats(0, 500), st.booleans()), min_size=1, max_size=8)
)
@settings(max_examples=40, deadline=None)
def test_words_are_whole_on_one_piece_and_on_no_joint(
    places: list[tuple[float, float, bool]],
) -> None:
    register_fonts()
    said = [(x, y, f"Words number {i}", up) for i, (x, y, up) in enumerate(places)]
    flat = wordy(700, 500, said)
    grid = flat_grid(flat, TemplateSheet(A4))
    seen = []
    for tile in grid.tiles:
        for words, zone in words_on(flat, grid, tile):
            seen.append(words)
            assert area_box(finite(tile.cell)).covers(zone)
    assert sorted(seen) == sorted(words for _, _, words, _ in said)


def words_on(flat: FlatTemplate, grid: Grid, tile: Tile):
    """Words a piece shows, with their boxes in the drawing."""
    from unittest import mock

    from designer.sheet.pen import Pen
    from designer.sheet.template_window import WindowPen, text_box

    found = []

    def note(_pen, x, y, words, size, **way):
        found.append((words, area_box(text_box(x, y, words, size, **way))))

    with mock.patch.object(Pen, "text", note):
        flat.draw(WindowPen(None, tile.window, tile.cell, [t.cell for t in grid.tiles]))
    return found


def finite(area: Area) -> Area:
    return Area(
        *(max(-1e6, min(1e6, side)) for side in (area.left, area.bottom)),
        *(max(-1e6, min(1e6, side)) for side in (area.right, area.top)),
    )


def ink_place(ink: Ink, sheet: TemplateSheet, at: tuple[float, float], upward: bool) -> float:
    """Where near a place of the laid-out page a line's ink crosses it, in lengths of the print."""
    right, up = sheet.factors
    x, y = (MARGIN + (at[0] - MARGIN) * right, MARGIN + (at[1] - MARGIN) * up)
    reach = 1.2
    if upward:
        found = y - reach + ink.line_place((x, y - reach), (x, y + reach))
        return MARGIN + (found - MARGIN) / up
    found = x - reach + ink.line_place((x - reach, y), (x + reach, y))
    return MARGIN + (found - MARGIN) / right


def crosses(path: Path, page: int, sheet: TemplateSheet) -> np.ndarray:
    """Centres of the slanted crosses of a page, in lengths of the print."""
    right, up = sheet.factors
    centres = []
    for stroke in strokes(path, page):
        across, rise = np.abs(stroke.points[-1] - stroke.points[0])
        if stroke.is_line and abs(across / right - 4) < 0.01 and abs(rise / up - 4) < 0.01:
            centres.append(stroke.points.mean(axis=0))
    printed_at = MARGIN + (np.array(centres) - MARGIN) / (right, up)
    return np.unique(printed_at.round(4), axis=0)


@pytest.mark.parametrize("paper", [A4, LETTER], ids=lambda paper: paper.name)
@CORRECTIONS
def test_pieces_laid_cross_on_cross_join_to_the_whole(
    paper: Paper, correction: Correction, tmp_path: Path
) -> None:
    path, grid = printed(tmp_path, lattice(330, 300), paper, correction)
    assert grid.rows >= 2 <= grid.columns
    sheet = grid.sheet
    number = {tile: i for i, tile in enumerate(grid.tiles)}
    inks = {tile: render(path, i) for tile, i in number.items()}
    joints = 0
    for a, b in neighbours(grid):
        level = a.row != b.row
        # As a person lays them: the move that brings the two crosses of the joint on each other.
        (ax, ay), (bx, by) = grid.place(a), grid.place(b)
        own = [p for p in crosses(path, number[a], sheet) if on_joint(p - (ax, ay), a, level)]
        others = [p for p in crosses(path, number[b], sheet) if on_joint(p - (bx, by), a, level)]
        assert len(own) == len(others) == 2
        moves = np.array(own) - np.array(others)
        assert np.abs(moves[0] - moves[1]).max() < 0.01
        move = moves.mean(axis=0)
        joint = a.cell.bottom if level else a.cell.right
        lines = LINES_UP if level else LINES_ACROSS
        low, high = (a.window.left, a.window.right) if level else (a.window.bottom, a.window.top)
        for line in (line for line in lines if low + 14 < line < high - 14):
            for beside in (-4.5, 4.5):
                spot = (line, joint + beside) if level else (joint + beside, line)
                on_a = (spot[0] + ax, spot[1] + ay)
                on_b = (spot[0] + bx, spot[1] + by)
                here = ink_place(inks[a], sheet, on_a, not level)
                there = ink_place(inks[b], sheet, on_b, not level)
                assert there + move[0 if level else 1] == pytest.approx(here, abs=TRUE)
                assert here == pytest.approx(on_a[0 if level else 1], abs=TRUE)
                joints += 1
    assert joints >= 16


def on_joint(point: np.ndarray, earlier: Tile, level: bool) -> bool:
    if level:
        return abs(point[1] - earlier.cell.bottom) < 0.1
    return abs(point[0] - earlier.cell.right) < 0.1


@EVERY_PAPER
@CORRECTIONS
def test_every_page_is_true_clear_of_the_margins_and_legible(
    paper: Paper, correction: Correction, tmp_path: Path
) -> None:
    path, grid = printed(tmp_path, lattice(760, 640), paper, correction)
    right, up = grid.sheet.factors
    held = grid.sheet.paper
    pages = read_marks(path.read_bytes()).pages
    for number, marks in enumerate(pages):
        assert (marks.width * 25.4 / 72, marks.height * 25.4 / 72) == pytest.approx(
            (held.width, held.height), abs=0.01
        )
        found = bars(path, number)
        for upward, factor in ((False, right), (True, up)):
            lengths = sorted(bar.length for bar in found if bar.upward is upward)
            assert lengths == pytest.approx([100 * factor, 101.6 * factor], abs=0.01)
        assert correction.stated in marks.said
        ink = render(path, number, 75 if paper.roll else 150)
        clear = [int(MARGIN / pitch) for pitch in ink.pitch]
        inside = ink.dark.copy()
        inside[clear[1] : -clear[1], clear[0] : -clear[0]] = 0
        assert inside.max() < 0.02
        # Drawn smaller where the printer prints larger, words are of full size on paper.
        smaller = f"only {7 * min(right, up):.2f} pt"
        faults = [fault for fault in layout_faults(marks) if fault.what != smaller]
        assert faults == [], "\n".join(map(str, faults[:3]))


@CORRECTIONS
def test_lines_of_a_piece_end_at_its_edge(correction: Correction, tmp_path: Path) -> None:
    path, grid = printed(tmp_path, lattice(330, 300), A4, correction)
    right, up = grid.sheet.factors
    for number, tile in enumerate(grid.tiles):
        ink = render(path, number, 150)
        x, y = grid.place(tile)
        dark = ink.dark > 0.2
        # Between the bars at the left and the paper's edge there is nothing but the piece.
        rows = (tile.window.bottom + y + 1, tile.window.top + y - 1)
        columns = (MARGIN + (tile.window.right + x + 0.6 - MARGIN) * right) / ink.pitch[0]
        top = len(dark) - int((MARGIN + (rows[1] - MARGIN) * up) / ink.pitch[1])
        bottom = len(dark) - int((MARGIN + (rows[0] - MARGIN) * up) / ink.pitch[1])
        assert not dark[top:bottom, int(columns) + 1 :].any()


@EVERY_PAPER
def test_pages_ask_for_full_scale_and_have_neither_crop_nor_user_unit(
    paper: Paper, tmp_path: Path
) -> None:
    path, _ = printed(tmp_path, lattice(400, 300), paper, CORRECTED)
    with pdfplumber.open(path) as pdf:
        assert resolve1(pdf.doc.catalog["ViewerPreferences"])["PrintScaling"].name == "None"
        for page in pdf.pages:
            box_ = [float(side) for side in page.page_obj.attrs["MediaBox"]]
            assert box_[:2] == [0, 0]
            assert max(box_) <= 14_400
            for member in ("CropBox", "UserUnit", "Rotate"):
                assert not page.page_obj.attrs.get(member)


def test_longer_than_a_page_can_be_is_cut_in_pieces_on_a_roll() -> None:
    grid = flat_grid(lattice(12_000, 300), TemplateSheet(roll(610)))
    assert (grid.rows, grid.columns) == (1, 3)
    assert flat_grid(lattice(4500, 300), TemplateSheet(roll(610))).columns == 1


def test_a_drawing_without_size_is_refused() -> None:
    with pytest.raises(ValueError, match="no size"):
        lattice(0, 100)
    with pytest.raises(ValueError, match="no size"):
        lattice(100, float("nan"))


def test_papers_are_known_by_name() -> None:
    assert PAPERS["a3"] == A3
    assert (TABLOID.width, TABLOID.height) == pytest.approx((11 * 25.4, 17 * 25.4))
