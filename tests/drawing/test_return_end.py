"""The return end: outfall, air gap and reservoir at their true levels."""

from dataclasses import replace

import pytest
from hypothesis import given, settings

from designer.analysis import Analysis, analyse, analyse_fully
from designer.drawing.records import Line, Text, extent
from designer.drawing.return_end import return_end_groups
from designer.drawing.return_plane import ReturnEnd, return_end_of
from designer.drawing.section_dimensions import return_dimension_groups, return_levels
from designer.model.design import Design
from designer.units import format_length, style_for
from tests.beds import bed
from tests.strategies import designs


def end_of(analysis: Analysis) -> ReturnEnd:
    found = return_end_of(analysis)
    assert found is not None
    return found


@settings(max_examples=25, deadline=None)
@given(designs(max_runs=2))
def test_the_return_end_of_any_design_is_the_layouts(design: Design) -> None:
    analysis = analyse(design)
    found = return_end_of(analysis)
    if found is None:
        assert not list(return_end_groups(analysis, None, 10.0))
        return
    tank = found.tank
    assert found.invert(0.0) == pytest.approx(found.layout.outfall_invert)
    assert found.inside.bounds[1] >= tank.floor_level - 1e-6
    assert found.inside.bounds[3] == pytest.approx(tank.rim_level)
    assert found.outside.covers(found.inside.buffer(-1e-6))
    for group in return_end_groups(analysis, None, 10.0):
        group.build()


def test_the_drain_falls_to_the_outfall_on_one_line() -> None:
    found = end_of(analyse(bed(6)))
    layout, long = found.layout, found.layout.return_length
    assert found.invert(long) == pytest.approx(layout.levels.invert(0.0))
    assert found.invert(long + 500) == pytest.approx(layout.levels.invert(500.0))
    assert found.along(*layout.outfall) == 0.0
    assert found.along(layout.run.start.x, layout.run.start.y) == pytest.approx(long)


def test_water_stands_at_the_full_and_low_levels() -> None:
    analysis = analyse_fully(bed(6))
    found = end_of(analysis)
    groups = {group.key: group for group in return_end_groups(analysis, None, 10.0)}
    records = [r for r in groups["return:reservoir"].build() if isinstance(r, Line)]
    (water,) = [r for r in records if r.style == "water"]
    (low,) = [r for r in records if r.style == "low_water"]
    box = extent([water])
    assert box is not None
    assert box[1] == pytest.approx(found.tank.floor_level)
    assert box[3] == pytest.approx(found.tank.full_level)
    assert {y for _, y in low.points} == {found.tank.low_level}


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_the_air_gap_is_from_the_full_level_to_the_outfall(units: str) -> None:
    analysis = analyse(bed(6, units))  # type: ignore[arg-type]
    found = end_of(analysis)
    gap = found.layout.outfall_invert - found.tank.full_level
    said = [
        r.text
        for group in return_dimension_groups(analysis, None, 10.0)
        for r in group.build()
        if isinstance(r, Text)
    ]
    assert f"air gap {format_length(gap, style_for(found.layout.units))}" in said
    levels = {mark.words.rsplit(" ", 1)[-1]: mark.level for mark in return_levels(found, 10.0)}
    assert levels["outfall"] == found.layout.outfall_invert
    assert levels["floor"] == found.tank.floor_level


def test_a_round_reservoir_is_cut_along_its_chord() -> None:
    design = bed(6)
    assert design.reservoir is not None
    drum = replace(design.reservoir, part="drum-200-l")
    found = return_end_of(analyse(replace(design, reservoir=drum)))
    assert found is not None
    left, right = found.chord(found.tank.rim_level)
    assert 0 < right - left <= found.tank.part.rim_length + 1e-6


def test_a_drain_that_comes_round_a_corner_ends_in_an_elbow_there() -> None:
    analysis = analyse(bed(40))
    bent = [layout for layout in analysis.runs if len(layout.return_points) > 2]
    for layout in bent:
        found = return_end_of(analysis, layout.run.id)
        assert found is not None
        groups = {g.key: g for g in return_end_groups(analysis, layout.run.id, 10.0)}
        elbows = [r for r in groups[f"return:{layout.run.id}/drain"].build() if r.style == "elbow"]
        assert bool(elbows) == found.bends
