"""The charts of the water: what they show is what was solved, legible and in the person's units."""

import re
from collections.abc import Iterator
from functools import cache
from itertools import pairwise
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from reportlab.graphics.shapes import Circle, Drawing, Group, PolyLine, Rect, Shape, String
from reportlab.pdfbase.pdfmetrics import stringWidth

from designer.analysis import analyse_fully
from designer.drawing.chart_scales import flow_measure, head_measure, number, scale_for
from designer.drawing.charts import (
    chart_svg,
    cycle_chart,
    drain_chart,
    flow_bars,
    grade_chart,
    pump_chart,
)
from designer.drawing.charts_cycle import clock
from designer.drawing.styles import DARK, LIGHT, PRINT
from designer.model import edits
from designer.model.design import Design
from designer.units import UnitSystem, format_flow
from designer.water.bed.feed import LITRES_PER_HOUR
from designer.water.bed.solution import BedWater
from tests.beds import bed
from tests.strategies import designs

LEAST_TEXT = 7.0


@cache
def solved(buckets: int = 6, units: UnitSystem = "metric") -> BedWater:
    return water_of(bed(buckets, units))


def water_of(design: Design) -> BedWater:
    water = analyse_fully(design).water
    assert water is not None
    return water


def charts(water: BedWater, seconds: float | None = 36_000) -> list[Drawing]:
    run_id = next(iter(water.drains))
    return [
        pump_chart(water, 88, 62, PRINT),
        flow_bars(water, 180, 50, PRINT),
        drain_chart(water, run_id, 180, 55, PRINT),
        grade_chart(water, run_id, 88, 62, PRINT),
        cycle_chart(water, 180, 75, PRINT, at_seconds=seconds),
    ]


def shapes(drawing: Drawing) -> Iterator[Shape]:
    def inside(node: object) -> Iterator[Shape]:
        for child in getattr(node, "contents", []):
            if isinstance(child, Group):
                yield from inside(child)
            else:
                yield child

    yield from inside(drawing)


def texts(drawing: Drawing) -> list[str]:
    return [s.text for s in shapes(drawing) if isinstance(s, String)]


def coloured(drawing: Drawing, role: str, kind: type[Shape]) -> list[Shape]:
    from designer.drawing.chart_frame import colour

    wanted = colour(PRINT, role).rgb()  # type: ignore[arg-type]
    return [
        s
        for s in shapes(drawing)
        if isinstance(s, kind) and s.strokeColor is not None and s.strokeColor.rgb() == wanted
    ]


def line_points(line: Shape) -> list[tuple[float, float]]:
    return list(zip(line.points[::2], line.points[1::2], strict=True))


def longest(lines: list[Shape]) -> list[tuple[float, float]]:
    return max((line_points(line) for line in lines), key=len)


def level_at(points: list[tuple[float, float]], x: float) -> float:
    for (x1, y1), (x2, y2) in pairwise(points):
        if x1 <= x <= x2 and x2 > x1:
            return y1 + (y2 - y1) * (x - x1) / (x2 - x1)
    raise AssertionError("the curve does not reach there")


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_the_duty_point_lies_on_both_curves(units: UnitSystem) -> None:
    chart = pump_chart(solved(12, units), 88, 62, PRINT)
    pump = longest(coloured(chart, "water", PolyLine))
    needed = longest(coloured(chart, "must", PolyLine))
    (duty,) = (s for s in shapes(chart) if isinstance(s, Circle))
    assert level_at(pump, duty.cx) == pytest.approx(duty.cy, abs=0.1)
    assert level_at(needed, duty.cx) == pytest.approx(duty.cy, abs=0.01)


def test_the_system_curve_rises_from_the_lift_through_the_duty_point() -> None:
    water = solved(12)
    flows, heads = zip(*water.system, strict=True)
    assert flows[0] == pytest.approx(0.0, abs=1e-6)
    assert heads[0] == pytest.approx(water.feed.result.static_head)
    assert list(flows) == sorted(flows)
    at_duty = min(water.system, key=lambda point: abs(point[1] - water.feed.head))
    assert at_duty == pytest.approx((water.feed.flow, water.feed.head), rel=1e-6)
    on_pump = water.feed.curve.head(water.feed.flow * LITRES_PER_HOUR)
    assert on_pump == pytest.approx(water.feed.head, rel=1e-6)


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_the_pump_chart_says_flow_and_head_in_the_persons_units(units: UnitSystem) -> None:
    water = solved(12, units)
    words = texts(pump_chart(water, 88, 62, PRINT))
    head = head_measure(units)
    places = 2 if units == "metric" else 1
    duty = f"{format_flow(water.feed.flow, units)} at {water.feed.head * head.per:.{places}f}"
    assert f"Duty point: {duty} {head.unit}" in words
    assert f"Flow, {flow_measure(units).unit}" in words
    assert f"Head, {head.unit}" in words


@pytest.mark.parametrize("buckets", [2, 12, 60])
def test_there_is_one_bar_for_each_bucket_as_high_as_its_flow(buckets: int) -> None:
    water = solved(buckets)
    chart = flow_bars(water, 180, 50, PRINT)
    bars = [s for s in shapes(chart) if isinstance(s, Rect) and s.strokeColor and s.height > 7]
    assert len(bars) == buckets
    flows = [water.feed.flows[p.bucket.id] for run in water.runs for p in run.from_cap]
    unit = bars[0].height / flows[0]
    assert [bar.height / unit for bar in bars] == pytest.approx(flows)
    words = " ".join(texts(chart))
    assert f"Emission uniformity {water.feed.emission_uniformity:.0f} %" in words
    assert f"Christiansen uniformity {water.feed.christiansen:.0f} %" in words
    assert water.label(water.runs[0].from_cap[0].bucket.id) in texts(chart)


def test_a_bucket_that_is_shut_off_has_a_cross_and_no_bar() -> None:
    water = water_of(edits.set_bucket(bed(6), "b2", feed="tied_off"))
    chart = flow_bars(water, 180, 50, PRINT)
    bars = [s for s in shapes(chart) if isinstance(s, Rect) and s.strokeColor and s.height > 7]
    assert len(bars) == 5
    assert texts(chart).count("×") == 2  # in the key and in place of the bar
    assert "tied off or blocked" in texts(chart)


def test_the_drain_chart_names_every_hole_and_how_much_heights_are_stretched() -> None:
    water = solved(6)
    chart = drain_chart(water, "r1", 180, 55, PRINT)
    assert set("ABCDEF") <= set(texts(chart))
    assert any(re.fullmatch(r"Heights are drawn [\d.]+ times larger.*", t) for t in texts(chart))
    (invert, crown) = (
        line_points(line) for line in coloured(chart, "ink", PolyLine) if len(line.points) > 20
    )
    surface = longest(coloured(chart, "water", PolyLine))
    for (_, low), (_, level), (_, high) in zip(invert, surface, crown, strict=True):
        assert low - 1e-6 <= level <= high + 1e-6


def test_the_stretch_that_is_stated_is_the_stretch_that_is_drawn() -> None:
    water = solved(6)
    chart = drain_chart(water, "r1", 180, 55, PRINT)
    (words,) = (t for t in texts(chart) if t.startswith("Heights are drawn"))
    stated = float(words.split()[3])
    invert = next(line_points(s) for s in coloured(chart, "ink", PolyLine) if len(s.points) > 20)
    profile = water.drains["r1"].profile
    drawn_fall = abs(invert[0][1] - invert[-1][1]) / float(profile.invert[0])
    drawn_length = abs(invert[0][0] - invert[-1][0]) / float(profile.distance[-1])
    assert drawn_fall / drawn_length == pytest.approx(stated, rel=0.02)


def test_the_pressure_line_falls_away_from_the_pump_and_stands_over_open_ends() -> None:
    chart = grade_chart(solved(12), "r1", 88, 62, PRINT)
    line = longest(coloured(chart, "water", PolyLine))
    assert all(a[1] >= b[1] - 1e-9 for a, b in pairwise(line))
    ends = [s for s in shapes(chart) if isinstance(s, Circle)][1:]  # the first is in the key
    assert len(ends) == 12
    assert all(end.cy < level_at(line, end.cx) for end in ends)


def test_the_cycle_chart_shows_the_pumps_times_and_the_moment_asked_for() -> None:
    water = solved(6)
    chart = cycle_chart(water, 180, 75, PRINT, hours=6, at_seconds=7_500)
    assert "at 2:05" in texts(chart)
    bands = [s for s in shapes(chart) if isinstance(s, Rect) and s.strokeColor is None][2:]
    assert len(bands) == 3 * 6  # quarter of an hour in each, on three plots
    assert "Hour of the day" in texts(chart)
    later = cycle_chart(water, 180, 75, PRINT, hours=6, at_seconds=50_000)
    assert len(list(shapes(later))) == len(list(shapes(chart))) - 3  # beyond the chart: no mark


def test_a_moment_of_the_day_is_what_the_day_was_at_that_time() -> None:
    water = solved(6)
    day, k = water.day, 200
    moment = water.at(float(day.time[k]))
    assert moment.reservoir_level == pytest.approx(float(day.reservoir_level[k]) * 1e3)
    assert moment.bucket_levels["b1"] == pytest.approx(float(day.bucket_level[k, 0]) * 1e3)
    assert set(moment.bucket_levels) == set(water.buckets)
    assert water.at(60).pump_on
    assert not water.at(20 * 60).pump_on
    assert water.at(14 * 60).drain_share == pytest.approx(1, abs=0.02)
    assert water.at(-5).seconds == 0
    assert water.at(1e9).seconds == pytest.approx(24 * 3600)


@pytest.mark.parametrize("units", ["metric", "imperial"])
@pytest.mark.parametrize("buckets", [2, 12, 60])
def test_words_are_large_enough_and_inside_the_chart(buckets: int, units: UnitSystem) -> None:
    for chart in charts(solved(buckets, units)):
        for word in (s for s in shapes(chart) if isinstance(s, String)):
            assert word.fontSize >= LEAST_TEXT
            wide = stringWidth(word.text, word.fontName, word.fontSize)
            left = word.x - {"start": 0, "middle": wide / 2, "end": wide}[word.textAnchor]
            assert left >= -0.5
            assert left + wide <= chart.width + 0.5, word.text
            assert -0.5 <= word.y <= chart.height


def test_the_svg_is_well_formed_in_our_letters_and_the_colours_asked_for() -> None:
    for colours in (LIGHT, DARK):
        text = chart_svg(pump_chart(solved(6), 88, 62, colours))
        root = ElementTree.fromstring(text.encode())
        assert root.tag.endswith("svg")
        assert "Noto Sans" in text
        assert "Rillwright" not in text
        assert "fill: None" not in text
        for role in ("water", "must", "sheet", "ink"):
            code = colours[role]  # type: ignore[index]
            percent = (int(int(code[i : i + 2], 16) / 255 * 100) for i in (1, 3, 5))
            assert "rgb({}%,{}%,{}%)".format(*percent) in text


def test_axes_carry_round_numbers_that_hold_every_value() -> None:
    for values in ((0.0, 0.37), (-3.0, 8.2), (412.5, 420.0), (5.0, 5.0), ()):
        scale = scale_for("x", values)
        assert scale.step > 0
        assert all(scale.low <= v <= scale.high for v in values)
        assert scale.high > scale.low
    assert [number(v) for v in (0.30000000000000004, -0.0, 1200.0)] == ["0.3", "0", "1200"]
    assert (clock(0), clock(7_500), clock(86_400)) == ("0:00", "2:05", "24:00")


@given(designs())
@settings(max_examples=15)
def test_any_bed_with_water_has_its_charts(design: Design) -> None:
    water = analyse_fully(design).water
    if water is None:
        return
    for chart in charts(water):
        assert "nan" not in chart_svg(chart)
