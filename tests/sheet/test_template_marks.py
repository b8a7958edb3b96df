"""Pitch jigs and support strips: marks as far apart as the design has them, joined and measured."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from designer.analysis import analyse
from designer.model import edits
from designer.sheet.paper import A4, LETTER, Paper
from designer.sheet.steps.build import build_steps
from designer.sheet.template import Printing
from designer.sheet.template_jig import EDGE, jig_strip
from designer.sheet.template_marks import MarkStrip
from designer.sheet.template_strip import strip_template
from designer.sheet.template_supports import support_strip
from designer.sheet.template_tiles import strip_layout
from designer.sheet.template_values import templates_of
from tests.beds import bed
from tests.sheet.measure import circles, render, strokes
from tests.sheet.printed import print_templates

ALL_PAPERS = pytest.mark.parametrize("paper", [A4, LETTER], ids=lambda paper: paper.name)
PITCHES = [(300.0,), (304.8,), (85.0,), (457.2,), (120.0, 180.0)]


def printed(path: Path, strip: MarkStrip, paper: Paper) -> Printing:
    printing = Printing(paper, "metric")
    print_templates(path, [strip_template(strip)], printing)
    return printing


def joint_lines(page: list) -> list[np.ndarray]:
    """Crosses of the joints, which have arms of 2 mm: the places where pieces are laid together."""
    return [
        s.points.mean(axis=0)
        for s in page
        if s.is_line and abs(s.length - 4) < 0.01 and abs(s.points[0][0] - s.points[1][0]) < 1e-3
    ]


@ALL_PAPERS
@pytest.mark.parametrize("spacings", PITCHES)
def test_the_pin_and_the_marks_of_a_jig_are_the_pitch_apart(
    spacings: tuple[float, ...], paper: Paper, tmp_path: Path
) -> None:
    """Rows are joined as a person does it: upright cross on upright cross, left on right."""
    strip = jig_strip(spacings, "buckets A to F", "", "metric")
    path = tmp_path / "jig.pdf"
    printing = printed(path, strip, paper)
    tiles = strip_layout(strip, printing).tiles
    assert {tile.page for tile in tiles} == {0}
    page = strokes(path, 0)
    rings = circles(path, 0)
    found, shift, right = [], 0.0, 0.0
    for tile in tiles:
        row = [c for c in joint_lines(page) if abs(c[1] - tile.centre) < 13]
        if tile.piece > 1:
            shift += right - min(c[0] for c in row)
        right = max((c[0] for c in row), default=0.0)
        found += [ring.x + shift for ring in rings if abs(ring.y - tile.centre) < 0.1]
    places = np.unique(np.round(found, 2))
    places = places[np.insert(np.diff(places) > 0.1, 0, True)]
    once = spacings * 2 if len(spacings) == 1 and spacings[0] <= 100 else spacings
    assert np.diff(places) == pytest.approx(once, abs=0.05)
    first = next(s for s in page if abs(s.width - 0.5) < 1e-3 and s.is_line)
    assert places[0] - first.points[0][0] == pytest.approx(EDGE, abs=0.02)


@ALL_PAPERS
def test_a_jig_s_pin_is_true_in_ink(paper: Paper, tmp_path: Path) -> None:
    path = tmp_path / "jig.pdf"
    printed(path, jig_strip((85.0,), "all", "", "metric"), paper)
    ink = render(path, 0)
    places = []
    for ring in sorted(circles(path, 0), key=lambda ring: ring.x):
        # The cross reaches beyond its ring; it is read above it.
        y = ring.y + 4.0
        places.append(ring.x - 1.5 + ink.line_place((ring.x - 1.5, y), (ring.x + 1.5, y)))
    assert np.diff(places) == pytest.approx([85.0, 85.0], abs=0.05)


@ALL_PAPERS
def test_supports_stand_at_their_stations_and_as_wide_as_a_block(
    paper: Paper, tmp_path: Path
) -> None:
    stations = [0.0, 702.5, 1405.0, 2107.5]
    strip = support_strip("Supports", stations[::-1], 194.0, "", "metric")
    assert [mark.name for mark in strip.marks] == [f"Support {i}" for i in range(4, 0, -1)]
    path = tmp_path / "supports.pdf"
    printing = printed(path, strip, paper)
    tiles = strip_layout(strip, printing).tiles
    middles, sides = set(), set()
    for tile in tiles:
        for s in strokes(path, tile.page):
            if s.is_line and abs(s.points[0][0] - s.points[1][0]) < 1e-3:
                (x, y) = s.points.mean(axis=0)
                if abs(y - tile.centre) < 0.05:
                    at = round(float(x) - tile.left + tile.start, 2)
                    if abs(s.length - 13) < 0.01:
                        (middles if abs(s.width - 0.5) < 1e-3 else sides).add(at)
    assert sorted(middles) == pytest.approx(stations, abs=0.05)
    wanted = sorted(s + d for s in stations for d in (-97, 97) if s + d >= 0)
    assert sorted(sides) == pytest.approx(wanted, abs=0.05)


@ALL_PAPERS
def test_the_middles_and_sides_of_stacks_are_true_in_ink(paper: Paper, tmp_path: Path) -> None:
    strip = support_strip("Supports", [120.0, 480.0], 90.0, "", "metric")
    path = tmp_path / "supports.pdf"
    layout = strip_layout(strip, printed(path, strip, paper))
    found = set()
    for tile in layout.tiles:
        ink = render(path, tile.page)
        for station in (75.0, 120.0, 165.0, 435.0, 480.0, 525.0):
            if tile.start + 2 < station < tile.end - 2:
                x, y = tile.x_at(station), tile.centre + 6.2
                at = station - 1.0 + ink.line_place((x - 1.0, y), (x + 1.0, y))
                assert at == pytest.approx(station, abs=0.05)
                found.add(station)
    assert len(found) == 6


def test_a_sketched_bed_has_one_jig_of_its_pitch_for_all_buckets() -> None:
    found = templates_of(analyse(bed(6)), ["jig"])
    (template,) = found.templates
    assert template.title == "Pitch jig: 300 mm"
    assert template.buckets == {f"b{i}" for i in range(1, 7)}


def test_a_bucket_set_by_hand_is_left_out_of_the_jig() -> None:
    design = edits.move_buckets(bed(6), ["b1"], 17.0)
    (template,) = templates_of(analyse(design), ["jig"]).templates
    assert template.title == "Pitch jig: 300 mm"
    assert template.buckets == {f"b{i}" for i in range(2, 7)}


def test_two_buckets_have_no_jig() -> None:
    found = templates_of(analyse(bed(2)), ["jig"])
    assert (found.templates, found.problems) == ((), ())


def test_marks_that_cannot_be_are_refused_in_words() -> None:
    with pytest.raises(ValueError, match="spacing must be more than zero"):
        jig_strip((0.0,), "", "", "metric")
    with pytest.raises(ValueError, match="nothing to mark"):
        support_strip("Supports", [], 190, "", "metric")
    with pytest.raises(ValueError, match="Support 2 lies beyond the capped end"):
        support_strip("Supports", [500, -3], 190, "", "metric")


def test_a_jig_for_a_foot_says_so_to_a_tenth_of_a_mm_and_not_305() -> None:
    strip = jig_strip((304.8,), "buckets A to F", "", "metric")
    assert strip.title == "Pitch jig: 304.8 mm"
    assert strip.marks[-1].words == "304.8 mm from the pin"


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_a_support_goes_by_one_number_on_the_strip_and_in_the_shim_schedule(units: str) -> None:
    analysis = analyse(bed(6, units))
    layout = analysis.runs[0]
    step = next(step for step in build_steps(analysis) if step.title == "Stand and shims")
    schedule = next(table for table in step.tables if table.title.startswith("Shim schedule"))
    stations = [layout.run.length - station for station in layout.run.stand.supports]
    strip = support_strip("Supports", stations, 190.0, "", layout.units)
    assert len(strip.marks) > 2
    assert [(mark.name, mark.words) for mark in strip.marks] == [
        (f"Support {row.cells[0]}", f"middle at {row.cells[1]}") for row in schedule.rows
    ]
