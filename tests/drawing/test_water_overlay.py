"""The water over plan and elevation: at its true place, and redrawn only where it changed."""

from dataclasses import replace
from functools import cache

import pytest
from hypothesis import given, settings
from shapely import LineString, box

from designer.analysis import Analysis, analyse, analyse_fully
from designer.drawing.elevation import elevation_groups
from designer.drawing.flow_classes import ABOVE, BELOW, FAR_BELOW, NEAR, SHUT, flow_class
from designer.drawing.records import Circle, Group, Line, Record, Text, text_box
from designer.drawing.styles import STYLES
from designer.drawing.water import water_elevation_groups, water_plan_groups
from designer.model import edits
from designer.model.design import Design
from designer.units import UnitSystem, format_flow
from designer.water.bed.feed import node_name
from tests.beds import bed
from tests.strategies import designs

NOON = 12 * 3600.0


@cache
def solved(buckets: int = 6) -> Analysis:
    return analyse_fully(bed(buckets))


def plan(analysis: Analysis) -> dict[str, Group]:
    return {g.key: g for g in water_plan_groups(analysis, "r1", 10)}


def elevation(analysis: Analysis, seconds: float | None = None) -> dict[str, Group]:
    return {g.key: g for g in water_elevation_groups(analysis, "r1", 10, seconds)}


def lines(group: Group, style: str) -> list[Line]:
    return [r for r in group.build() if isinstance(r, Line) and r.style == style]


def words(group: Group) -> list[str]:
    return [r.text for r in group.build() if isinstance(r, Text)]


def test_every_bucket_carries_its_flow_and_the_tint_of_its_class() -> None:
    analysis = solved()
    assert analysis.water is not None
    groups = plan(analysis)
    assert set(groups) == {f"water:b{i}" for i in range(1, 7)}
    for bucket_id, flow in analysis.water.feed.flows.items():
        records = groups[f"water:{bucket_id}"].build()
        assert words(groups[f"water:{bucket_id}"]) == [format_flow(flow, "metric")]
        assert isinstance(records[0], Circle)
        place = analysis.places[bucket_id][1]
        assert records[0].radius < place.part.rim_diameter / 2


def test_classes_differ_without_colour() -> None:
    assert len({one.strokes for one in (FAR_BELOW, BELOW, NEAR, ABOVE)}) == 4
    assert [flow_class(f, 100, False) for f in (79, 80, 94, 95, 104, 105, 200)] == [
        FAR_BELOW, BELOW, BELOW, NEAR, NEAR, ABOVE, ABOVE,
    ]  # fmt: skip
    assert flow_class(100, 100, True) is SHUT
    assert flow_class(0, 0, False) is FAR_BELOW


@pytest.mark.parametrize(("feed", "text"), [("tied_off", "tied off"), ("blocked", "blocked")])
def test_a_bucket_that_is_shut_off_is_crossed_and_says_so(feed: str, text: str) -> None:
    group = plan(analyse_fully(edits.set_bucket(bed(6), "b2", feed=feed)))["water:b2"]
    assert len(lines(group, "flow_shut")) == 4
    assert words(group) == [text]


def test_the_water_in_the_drain_lies_between_invert_and_crown_at_its_station() -> None:
    analysis = solved(12)
    assert analysis.water is not None
    layout, drain = analysis.runs[0], analysis.water.drains["r1"]
    (body,) = lines(elevation(analysis)["water:elev:r1/drain"], "water")
    (surface,) = lines(elevation(analysis)["water:elev:r1/drain"], "water_now")
    assert set(surface.points) <= set(body.points)
    inside = layout.parts.drain.bore
    for (x, level), (station, depth, _, _) in zip(surface.points, drain.points, strict=True):
        if station < 0:
            continue
        invert = layout.levels.invert(station)
        assert x == pytest.approx(layout.run.start.x + station)
        assert level == pytest.approx(invert + min(depth, inside))
        assert invert <= level <= layout.levels.crown(station)


def test_the_pressure_line_stands_where_the_feed_has_its_head() -> None:
    analysis = solved(12)
    assert analysis.water is not None
    group = elevation(analysis)["water:elev:r1/grade"]
    (line,) = lines(group, "grade_line")
    heads = analysis.water.feed.result.node_heads
    assert line.points[0][1] == pytest.approx(heads[node_name("r1")] * 1e3)
    assert line.points[-1][1] == pytest.approx(heads["r1/b1"] * 1e3)
    assert words(group) == ["Pressure line of the feed"]


def test_the_water_in_a_bucket_stands_within_its_band() -> None:
    analysis = solved()
    assert analysis.water is not None
    bucket = analysis.water.buckets["b1"]
    invert = bucket.vessel.invert_level
    levels = [
        line.points[0][1]
        for style in ("water_line", "low_water")
        for line in lines(elevation(analysis)["water:elev:b1"], style)
    ]
    expected = [(invert + bucket.band.low) * 1e3, (invert + bucket.band.high) * 1e3]
    assert levels == pytest.approx(expected)


def test_at_a_time_of_the_day_the_levels_are_those_of_that_time() -> None:
    analysis = solved()
    assert analysis.water is not None
    moment = analysis.water.at(NOON + 300)
    groups = elevation(analysis, NOON + 300)
    (level,) = lines(groups["water:elev:reservoir"], "water_now")
    assert level.points[0][1] == pytest.approx(moment.reservoir_level)
    (gone,) = lines(groups["water:elev:reservoir"], "water_gone")
    assert analysis.reservoir is not None
    assert max(y for _, y in gone.points) == pytest.approx(analysis.reservoir.full_level)
    (line,) = lines(groups["water:elev:b1"], "water_line")
    invert = analysis.water.buckets["b1"].vessel.invert_level * 1e3
    assert line.points[0][1] == pytest.approx(invert + moment.bucket_levels["b1"])


def test_while_the_pump_rests_there_is_no_pressure_and_the_drain_runs_out() -> None:
    analysis = solved()
    running, resting = elevation(analysis), elevation(analysis, NOON + 17 * 60)
    assert "water:elev:r1/grade" in running
    assert "water:elev:r1/grade" not in resting
    (full,) = lines(running["water:elev:r1/drain"], "water_now")
    (less,) = lines(resting["water:elev:r1/drain"], "water_now")
    lower = [b[1] <= a[1] + 1e-6 for a, b in zip(full.points, less.points, strict=True)]
    assert all(lower)
    assert less.points != full.points


def test_only_what_changed_is_drawn_again() -> None:
    before = solved()
    same = analyse_fully(before.design)
    for key, group in (plan(before) | elevation(before, NOON)).items():
        assert (plan(same) | elevation(same, NOON))[key].token == group.token
    shut = analyse_fully(edits.set_bucket(before.design, "b2", feed="tied_off"))
    assert plan(shut)["water:b2"].token != plan(before)["water:b2"].token
    later = elevation(before, NOON + 900)
    assert (
        later["water:elev:reservoir"].token != elevation(before, NOON)["water:elev:reservoir"].token
    )


def test_no_water_is_shown_before_it_is_solved_or_once_it_is_old() -> None:
    assert not plan(analyse(bed(6)))
    assert not elevation(analyse(bed(6)))
    old = replace(solved(), water_current=False)
    assert not plan(old)
    assert not elevation(old)


@given(designs())
@settings(max_examples=15)
def test_any_bed_can_show_its_water(design: Design) -> None:
    analysis = analyse_fully(design)
    for layout in analysis.runs:
        run_id = layout.run.id
        groups = [*water_plan_groups(analysis, run_id, 10)]
        groups += water_elevation_groups(analysis, run_id, 10)
        groups += water_elevation_groups(analysis, run_id, 10, NOON)
        keys = [g.key for g in groups]
        assert len(set(keys[: len(analysis.places)])) == min(len(analysis.places), len(keys))
        for group in groups:
            built: list[Record] = group.build()
            assert all(r.style in STYLES for r in built)


@pytest.mark.parametrize("units", ["metric", "imperial"])
@pytest.mark.parametrize("buckets", [2, 6, 20])
def test_the_pressure_line_runs_through_no_words_of_the_elevation(
    buckets: int, units: UnitSystem
) -> None:
    analysis = analyse_fully(bed(buckets, units))
    for scale in (5.0, 10.0, 20.0, 50.0):
        water = {g.key: g for g in water_elevation_groups(analysis, "r1", scale)}
        (line,) = lines(water["water:elev:r1/grade"], "grade_line")
        said = [
            record
            for group in elevation_groups(analysis, "r1", scale)
            for record in group.build()
            if isinstance(record, Text)
        ]
        assert any(record.text.startswith("fall") for record in said)
        crossed = [r.text for r in said if LineString(line.points).intersects(box(*text_box(r)))]
        assert not crossed
