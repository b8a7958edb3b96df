"""Every number in a step is the one that the analysis or the take-off has."""

import pytest

from designer.analysis import Analysis
from designer.sheet.steps.build import build_steps
from designer.sheet.steps.step import Step, StepTable
from designer.sheet.words import amount, count_of, diameter, length, saw_size
from designer.takeoff.fill import fill_plan
from designer.takeoff.pieces import cut_list
from designer.takeoff.quantities import manifold_length, take_off
from designer.units import format_jug, format_slope, format_volume
from tests.sheet.steps.test_build import bed

BEDS = [(2, "metric"), (12, "metric"), (12, "imperial"), (60, "imperial")]


def step_of(analysis: Analysis, title: str) -> Step:
    return next(step for step in build_steps(analysis) if step.title == title)


def said(step: Step) -> str:
    return " ".join(action.text for action in step.actions)


def tables_of(step: Step, head: str) -> list[StepTable]:
    return [table for table in step.tables if head in table.heads]


@pytest.mark.parametrize(("buckets", "units"), BEDS)
def test_drilling_has_the_stations_of_every_hole_from_the_capped_end(
    buckets: int, units: str
) -> None:
    analysis = bed(buckets, units)
    step = step_of(analysis, "Drilling")
    tables = tables_of(step, "From the hole before")
    for layout, table in zip(analysis.runs, tables, strict=True):
        assert len(table.rows) == len(layout.places)
        before = 0.0
        for place, row in zip(layout.from_cap, table.rows, strict=True):
            from_cap = layout.run.length - place.station
            gap = length(from_cap - before, layout.units)
            label = analysis.bucket_label(place.bucket.id)
            assert row.cells == (label, place.bucket.side, length(from_cap, layout.units), gap)
            before = from_cap
        assert f"outlet end: {length(layout.run.length - before, layout.units)}." in table.note
        for size in (
            saw_size(layout.parts.drain_saw, layout.units),
            diameter(layout.parts.barb.hole_diameter, layout.units),
            count_of(len(layout.places), "hole"),
        ):
            assert size in said(step)
    (outlets,) = tables_of(step, "Hole above base")
    run = analysis.runs[0]
    height = length(run.run.outlet.height, run.units)
    saw = saw_size(run.parts.outlet_saw, run.units)
    assert outlets.rows[0].cells[1:4] == (height, saw, run.parts.grommet.name)


@pytest.mark.parametrize(("buckets", "units"), BEDS)
def test_the_stand_has_every_support_with_its_blocks_and_shim(buckets: int, units: str) -> None:
    analysis = bed(buckets, units)
    step = step_of(analysis, "Stand and shims")
    tables = tables_of(step, "Shim under the drain")
    for layout, table in zip(analysis.runs, tables, strict=True):
        supports = analysis.stands[layout.run.id].supports
        assert [row.cells[0] for row in reversed(table.rows)] == [
            str(number) for number in range(1, len(supports) + 1)
        ]
        for support, row in zip(supports, reversed(table.rows), strict=True):
            assert row.cells[1] == length(layout.run.length - support.station, layout.units)
            assert row.cells[2] == length(support.station, layout.units)
            shim = length(support.shim, layout.units) if support.shim > 0 else "none"
            assert row.cells[3] == shim
            assert row.cells[4].startswith(str(support.blocks))
        assert length(layout.levels.block_top, layout.units) in said(step)
        assert length(layout.run.stand.height, layout.units) in said(step)
        for offset in layout.rail_offsets:
            assert length(offset, layout.units) in said(step)
    assert analysis.reservoir is not None
    assert length(analysis.reservoir.reservoir.sunk, analysis.design.units) in said(step)
    rails = [piece for piece in cut_list(analysis) if piece.kind == "rail"]
    for piece in rails:
        words = f"Cut {piece.count} of {length(piece.length, analysis.design.units)} from "
        assert f"{words}{piece.part}: {piece.label}." in said(step)
    assert said(step).count("Cut ") == len(rails)


@pytest.mark.parametrize(("buckets", "units"), BEDS)
def test_the_drain_has_its_pieces_its_fall_and_its_end(buckets: int, units: str) -> None:
    analysis = bed(buckets, units)
    step = step_of(analysis, "Drain")
    rows = [row.cells[:2] for table in step.tables for row in table.rows]
    pieces = [piece for piece in cut_list(analysis) if piece.kind == "drain"]
    assert rows == [(p.label, length(p.length, analysis.design.units)) for p in pieces]
    for layout in analysis.runs:
        fall = layout.run.drain.fall
        slope = format_slope(fall / layout.run.length, layout.units)
        assert f"{length(fall, layout.units)}, {slope}." in said(step)
        assert f"Lead it {length(layout.return_length, layout.units)} further" in said(step)
        assert length(abs(layout.outfall_invert), layout.units) in said(step)


@pytest.mark.parametrize(("buckets", "units"), BEDS)
def test_each_bucket_has_its_side_its_place_and_its_tail(buckets: int, units: str) -> None:
    analysis = bed(buckets, units)
    step = step_of(analysis, "Buckets")
    for table in step.tables:
        for row in table.rows:
            for bucket in row.buckets:
                layout, place = analysis.places[bucket]
                assert row.cells[:4] == (
                    place.bucket.side,
                    place.part.name,
                    length(place.assembly.bucket_axis, layout.units),
                    length(layout.tail_length(place), layout.units),
                )
    for layout in analysis.runs:
        nipple = length(layout.run.outlet.nipple_length, layout.units)
        assert f"Cut {count_of(len(layout.places), 'nipple')} of {nipple}" in said(step)
        assert length(layout.tail_limits.reach, layout.units) in said(step)


@pytest.mark.parametrize(("buckets", "units"), BEDS)
def test_the_feed_has_its_tubes_and_where_the_manifold_is_fixed(buckets: int, units: str) -> None:
    analysis = bed(buckets, units)
    step = step_of(analysis, "Feed")
    for layout in analysis.runs:
        manifold, own = layout.run.manifold, layout.units
        assert f"Lay {length(manifold_length(analysis, layout), own)} of " in said(step)
        assert length(manifold.feed_length, own) in said(step)
        assert length(abs(manifold.offset), own) in said(step)
        assert length(abs(manifold.height), own) in said(step)


@pytest.mark.parametrize(("buckets", "units"), BEDS)
def test_the_parts_of_a_step_are_those_of_the_take_off(buckets: int, units: str) -> None:
    analysis = bed(buckets, units)
    headings = {"Stand and shims": "Stand", "Drain": "Drain", "Buckets": "Buckets and outlets"}
    wedges = 2 * sum(len(layout.shims) for layout in analysis.runs)  # one on each side
    beside = {"Drain": (("Timber wedge", str(wedges)),)}
    for title, heading in headings.items():
        taken = step_of(analysis, title).takes
        items = [item for item in take_off(analysis).items if item.heading == heading]
        assert taken == tuple(
            (item.name, ", ".join(amount(one, analysis.design.units) for one in item.amounts))
            for item in items
        ) + beside.get(title, ())


@pytest.mark.parametrize(("buckets", "units"), BEDS)
def test_the_leak_test_expects_the_solved_flows_and_what_runs_back(
    buckets: int, units: str
) -> None:
    analysis = bed(buckets, units)
    water, tank = analysis.water, analysis.reservoir
    assert water is not None
    assert tank is not None
    step, own = step_of(analysis, "Leak test"), analysis.design.units
    (table,) = step.tables
    for row in table.rows:
        for bucket in row.buckets:
            assert row.cells[0] == format_jug(water.buckets[bucket].flow / 60, own)
    assert format_volume(tank.litres_full, own) in said(step)
    assert length(tank.reservoir.freeboard, own) in said(step)
    assert length(tank.reservoir.low_water, own) in said(step)
    assert f"About {format_volume(water.reservoir.drain_back, own)} run back" in said(step)
    assert f"{length(water.reservoir.freeboard, own)} below the rim" in said(step)


@pytest.mark.parametrize(("buckets", "units"), BEDS)
def test_filling_has_the_volumes_of_the_fill_plan(buckets: int, units: str) -> None:
    analysis = bed(buckets, units)
    plan, own = fill_plan(analysis), analysis.design.units
    step = step_of(analysis, "Fill and plant")
    (media,) = tables_of(step, "Pour")
    for alike in plan.buckets:
        cells = (
            alike.part.name,
            alike.medium.name,
            length(alike.depth, own),
            format_volume(alike.settled, own),
            format_volume(alike.poured, own),
        )
        (row,) = [row for row in media.rows if row.cells[:5] == cells]
        assert len(row.buckets) == alike.buckets
    for litres in (plan.volumes.first_fill, plan.volumes.reservoir, plan.volumes.running):
        assert format_volume(litres, own) in said(step)
    (crops,) = tables_of(step, "Crop")
    for row in crops.rows:
        for bucket in row.buckets:
            _, place = analysis.places[bucket]
            assert row.cells[:2] == (place.crop.name, str(place.crop.plants_per_bucket))
