"""Long runs on several sheets: nothing is lost between them, and each says where it goes on."""

import itertools
from functools import cache

import pytest
from hypothesis import given
from hypothesis import strategies as st

from designer.analysis import Analysis, analyse
from designer.drawing.records import Circle, Line, Record, Text
from designer.sheet.match_lines import KeyPlan, key_plans, part_of
from designer.sheet.paper import A3, A4, LETTER, TABLOID, Paper
from designer.sheet.run_sheets import RunSheets, run_sheets
from designer.sheet.views import Fitted, fits
from designer.sketch import Answers, sketch
from designer.units import format_length, style_for


@cache
def long_run(units: str) -> Analysis:
    return analyse(sketch(Answers(buckets=30, units=units)))  # type: ignore[arg-type]


@cache
def sheets(units: str, paper: Paper) -> RunSheets:
    analysis = long_run(units)
    return run_sheets(analysis, analysis.runs[0], paper)


def view(sheet: Fitted, name: str) -> list[Text]:
    records = dict(sheet.views).get(name, [])
    return [r for r in records if isinstance(r, Text)]


CASES = pytest.mark.parametrize(
    ("units", "paper"),
    [("metric", A4), ("imperial", LETTER), ("metric", A3), ("imperial", TABLOID)],
)


@CASES
def test_a_long_run_is_never_drawn_smaller_than_1_to_20(units: str, paper: Paper) -> None:
    made = sheets(units, paper)
    assert made.parted
    for sheet in made.sheets:
        assert sheet.scale == 20
        assert fits(sheet.views, 20, sheet.paper)


@CASES
def test_every_bucket_is_named_on_one_plan_only(units: str, paper: Paper) -> None:
    layout = long_run(units).runs[0]
    named = [
        text.text
        for sheet in sheets(units, paper).sheets
        for text in view(sheet, "Plan")
        if text.text in layout.letters.values()
    ]
    assert sorted(named) == sorted(layout.letters.values())


@CASES
def test_numbers_run_on_from_the_capped_end(units: str, paper: Paper) -> None:
    layout = long_run(units).runs[0]
    style = style_for(layout.units)
    wanted = [format_length(layout.run.length - p.station, style) for p in layout.from_cap]
    said: list[str] = []
    for sheet in sheets(units, paper).sheets:
        upright = [t for t in view(sheet, "Plan") if t.angle == 90 and t.text in wanted]
        said += [t.text for t in sorted(upright, key=lambda t: -t.x)]
    assert said == wanted


@CASES
def test_each_match_line_is_on_the_two_sheets_it_joins(units: str, paper: Paper) -> None:
    for name in ("Plan", "Elevation"):
        shown = [
            {t.text for t in view(sheet, name) if t.text.startswith("M") and t.text[1:].isdigit()}
            for sheet in sheets(units, paper).sheets
            if name in dict(sheet.views)
        ]
        wanted = [{f"M{i}", f"M{i + 1}"} for i in range(len(shown))]
        wanted[0].discard("M0")
        wanted[-1].discard(f"M{len(shown)}")
        assert shown == wanted


@CASES
def test_every_sheet_states_the_fall_and_the_whole_length(units: str, paper: Paper) -> None:
    layout = long_run(units).runs[0]
    whole = format_length(layout.run.length, style_for(layout.units))
    for sheet in sheets(units, paper).sheets:
        if "Plan" in dict(sheet.views):
            assert any(whole in text.text for text in view(sheet, "Plan"))
        if "Elevation" in dict(sheet.views):
            assert any(text.text.startswith("fall ") for text in view(sheet, "Elevation"))
            assert any(text.text.startswith("invert ") for text in view(sheet, "Elevation"))


def test_parts_are_numbered_as_the_tape_runs() -> None:
    keys = [sheet.key for sheet in sheets("metric", A3).sheets]
    assert [key.words for key in keys if key] == ["part 1 of 2", "part 2 of 2"]
    first, second = keys
    assert first is not None
    assert second is not None
    assert first.own[0] == second.own[1]


@given(
    st.floats(1000, 60_000),
    st.lists(st.floats(0, 60_000), min_size=1, max_size=80),
    st.sampled_from([3000.0, 5000.0, 8000.0]),
)
def test_parts_cover_the_whole_and_go_on_the_sheet(
    long: float, joints: list[float], width: float
) -> None:
    parts = key_plans((0.0, 0.0, long, 100.0), joints, width, 20.0)
    if not parts:
        return
    assert parts[0].own[0] <= 0.0
    assert parts[-1].own[1] >= long
    for one, other in itertools.pairwise(parts):
        assert one.own[1] == other.own[0]
    for plan in parts:
        low, high = plan.shown(20.0)
        assert high - low <= width + 1e-6


def test_what_is_cut_is_on_both_sheets_and_words_on_one() -> None:
    plans = [KeyPlan((0.0, 100.0, 200.0), i) for i in (0, 1)]
    records: list[Record] = [
        Line(((10.0, 0.0), (190.0, 0.0)), "drain"),
        Circle(100.0, 10.0, 20.0, "rim"),
        Text(99.0, 30.0, "A", 5.0, "letter"),
    ]
    left, right = (part_of(records, plan, 1.0) for plan in plans)
    assert [type(r) for r in left] == [Line, Line, Text]
    assert [type(r) for r in right] == [Line, Line]
    assert max(x for r in left if isinstance(r, Line) for x, _ in r.points) <= 106.001
    assert min(x for r in right if isinstance(r, Line) for x, _ in r.points) >= 93.999
