"""The sheets of a run: as large as the paper allows, and true about what stands around."""

import re
from dataclasses import replace

import pytest
from shapely.geometry import box

from designer.analysis import Analysis, analyse
from designer.drawing.records import Line, Text, text_box
from designer.layout.site import bed_footprint
from designer.model.design import Design, Obstacle, Point
from designer.sheet.drawings import drawing_pages
from designer.sheet.paper import A4, LETTER, Paper
from designer.sheet.run_sheets import RunSheets, run_sheets
from designer.sheet.site_dimensions import clearances, site_dimensions
from designer.sheet.views import Fitted, box_of, fits
from designer.sketch import Answers, sketch
from designer.units import format_length, style_for
from tests.sheet.odd_beds import many_runs

PAPERS = [A4, LETTER]


def sheets_of(analysis: Analysis, paper: Paper) -> RunSheets:
    return run_sheets(analysis, analysis.runs[0], paper)


def sketched(buckets: int, units: str = "imperial") -> Analysis:
    return analyse(sketch(Answers(buckets=buckets, units=units)))  # type: ignore[arg-type]


def with_post(design: Design, x: float, y: float) -> Design:
    post = Obstacle(id="o1", kind="post", name="Post", place=Point(x, y), width=90.0, depth=90.0)
    return replace(design, obstacles=(post,))


def words(sheet: Fitted) -> list[str]:
    return [r.text for _, view in sheet.views for r in view if isinstance(r, Text)]


@pytest.mark.parametrize("paper", PAPERS, ids=lambda paper: paper.name)
@pytest.mark.parametrize("units", ["metric", "imperial"])
@pytest.mark.parametrize(("buckets", "scale"), [(12, 20), (30, 20)])
def test_a_run_is_drawn_as_large_as_the_paper_allows(
    buckets: int, scale: int, units: str, paper: Paper
) -> None:
    sheets = sheets_of(sketched(buckets, units), paper)
    assert {sheet.scale for sheet in sheets.sheets} == {scale}
    assert sheets.parted == (buckets == 30)
    for sheet in sheets.sheets:
        assert sheets.parted or sheet.paper == paper.turned
        assert fits(sheet.views, sheet.scale, sheet.paper)


def test_views_that_are_too_tall_for_one_sheet_get_one_each() -> None:
    tall = replace(A4, height=150.0)
    sheets = sheets_of(sketched(4, "metric"), tall)
    names = [[name for name, _ in sheet.views] for sheet in sheets.sheets]
    assert names == [["Plan"], ["Elevation"]]
    parted = sheets_of(sketched(12, "metric"), tall)
    assert parted.parted
    shown = [tuple(name for name, _ in sheet.views) for sheet in parted.sheets]
    assert shown == sorted(shown, key=shown.index), "what has the same views is one stretch"


def test_a_reservoir_that_is_broken_off_is_whole_on_the_site_plan() -> None:
    analysis = sketched(12)
    sheets = sheets_of(analysis, LETTER)
    assert sheets.broken
    assert analysis.reservoir is not None
    (sheet,) = sheets.sheets
    plan = dict(sheet.views)["Plan"]
    rim = next(r for r in plan if isinstance(r, Line) and r.style == "reservoir")
    left, _, right, _ = analysis.reservoir.rim.bounds
    shown = [x for x, _ in rim.points]
    assert min(shown) > left + 200
    assert max(shown) == pytest.approx(right)
    outfall = analysis.runs[0].outfall[0]
    assert min(shown) < outfall - 50
    assert drawing_pages(analysis, LETTER)[0].section == "Site plan"


def test_a_short_run_shows_its_whole_reservoir() -> None:
    assert not sheets_of(sketched(2), LETTER).broken
    assert not sheets_of(sketched(30), LETTER).broken


def test_a_post_beside_the_bed_is_on_the_runs_sheet_and_a_far_one_is_not() -> None:
    base = sketch(Answers(buckets=4))
    near = sheets_of(analyse(with_post(base, -60.0, 600.0)), A4).sheets[0]
    far = sheets_of(analyse(with_post(base, 0.0, 9000.0)), A4).sheets[0]
    assert "Post" in words(near)
    assert "Post" not in words(far)
    plan = dict(near.views)["Plan"]
    assert any(isinstance(r, Line) and r.style == "post" for r in plan)


def test_what_stands_near_covers_no_words() -> None:
    base = sketch(Answers(buckets=4))
    for y in range(300, 900, 60):
        sheet = sheets_of(analyse(with_post(base, 300.0, float(y))), A4).sheets[0]
        plan = dict(sheet.views)["Plan"]
        posts = [box(*box_of([r])) for r in plan if isinstance(r, Line) and r.style == "post"]
        for post in posts:
            over = [
                r.text
                for r in plan
                if isinstance(r, Text) and r.text != "Post" and post.intersects(box(*text_box(r)))
            ]
            assert not over


def test_the_site_plan_tells_how_far_walls_and_posts_are_from_the_bed() -> None:
    analysis = analyse(with_post(sketch(Answers(buckets=4)), 300.0, 1000.0))
    gap = bed_footprint(analysis.runs[0]).distance(analysis.site.obstacles["o1"])
    line = f"Post: {format_length(gap, style_for('metric'))} from the bed's rims"
    assert clearances(analysis) == [line]
    assert line in [r.text for r in site_dimensions(analysis, 50.0) if isinstance(r, Text)]


def test_the_overall_length_takes_in_the_blocks_at_the_end() -> None:
    analysis = sketched(4, "metric")
    layout, tank = analysis.runs[0], analysis.reservoir
    assert tank is not None
    end = max(layout.run.stand.supports) + layout.parts.block.width / 2
    whole = format_length(end - tank.rim.bounds[0], style_for("metric"))
    assert whole in [r.text for r in site_dimensions(analysis, 50.0) if isinstance(r, Text)]


@pytest.mark.parametrize("buckets", [2, 12, 30])
def test_the_reservoirs_levels_take_no_width_beside_it(buckets: int) -> None:
    analysis = sketched(buckets, "metric")
    sheet = sheets_of(analysis, A4).sheets[-1]
    elevation = dict(sheet.views)["Elevation"]
    said = " ".join(r.text for r in elevation if isinstance(r, Text))
    assert re.search(r"sunk \d+ mm", said)
    assert re.search(r"rim \d+ mm above the ground", said)
    tank = min(
        x for r in elevation if isinstance(r, Line) and r.style == "reservoir" for x, _ in r.points
    )
    assert box_of(elevation)[0] >= tank - 6 * sheet.scale


def test_dimensions_beside_the_bed_stand_clear_of_its_last_block() -> None:
    analysis = sketched(2, "metric")
    layout = analysis.runs[0]
    end = layout.run.length + layout.past_cap
    views = [r for s in sheets_of(analysis, A4).sheets for _, view in s.views for r in view]
    beside = [r for r in views if isinstance(r, Text) and r.angle and r.x > layout.run.length]
    assert beside
    levels = layout.levels.block_top
    for text in beside:
        left, bottom, _, _ = text_box(text)
        assert left >= end or bottom > levels


def test_runs_alike_that_stand_too_close_for_their_words_are_one_dimension() -> None:
    analysis = analyse(many_runs("metric", 6, 2))
    said = [r.text for r in site_dimensions(analysis, 200.0) if isinstance(r, Text)]
    assert "4 × 1500 mm" in said
    assert "1500 mm" not in said
    wide = [r.text for r in site_dimensions(analysis, 50.0) if isinstance(r, Text)]
    assert wide.count("1500 mm") == 4


def test_runs_of_one_name_are_told_apart_in_the_file() -> None:
    analysis = analyse(many_runs("metric", 3, 2))
    sections = [page.section for page in drawing_pages(analysis, A4)]
    for number in (1, 2, 3):
        assert any(f"Run 1 ({number})" in section for section in sections)
