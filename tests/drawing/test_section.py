"""The cross-section and its detail: what is drawn stands where the layout says."""

import itertools
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon, box

from designer.analysis import Analysis, analyse, analyse_fully
from designer.drawing.cut_faces import cut_face, hatching
from designer.drawing.level_marks import level_column, spread
from designer.drawing.records import Group, Line, Text, extent
from designer.drawing.section import section_groups
from designer.drawing.section_dimensions import section_dimension_groups, section_levels
from designer.drawing.section_plane import Section, plane_letters, section_of
from designer.drawing.tail_detail import tail_detail_groups
from designer.layout.outlet import outside_diameter_at
from designer.model import edits
from designer.model.design import Design
from designer.units import format_length, style_for
from tests.beds import bed
from tests.strategies import designs


def section(design: Design) -> Section:
    found = section_of(analyse(design))
    assert found is not None
    return found


def drawn(analysis: Analysis, scale: float = 5.0) -> dict[str, Group]:
    groups = list(section_groups(analysis, None, scale))
    assert len({group.key for group in groups}) == len(groups)
    return {group.key: group for group in groups}


def words(groups: list[Group]) -> list[str]:
    return [r.text for group in groups for r in group.build() if isinstance(r, Text)]


@settings(max_examples=25, deadline=None)
@given(designs(max_runs=1))
def test_the_section_of_any_design_is_the_layouts(design: Design) -> None:
    analysis = analyse(design)
    found = section_of(analysis)
    if found is None:
        assert not list(section_groups(analysis, None, 10.0))
        return
    layout, place, faces = found.layout, found.place, found.faces
    assert faces.tail_tip == pytest.approx(place.socket - layout.tail_length(place))
    assert faces.outline.bounds[1] == pytest.approx(place.base)
    assert faces.outline.bounds[3] == pytest.approx(place.base + place.part.height)
    middle = place.assembly.bucket_axis
    left, _, right, _ = faces.outline.bounds
    assert (left + right) / 2 == pytest.approx(middle)
    assert found.drain_axis == pytest.approx(
        layout.levels.crown(place.station) - layout.parts.drain.outside_diameter / 2
    )
    for group in section_groups(analysis, None, 10.0):
        assert extent(group.build()) is None or all(map(_finite, extent(group.build()) or ()))
    other = found.opposite
    if other is not None:
        assert other.place.bucket.side != place.bucket.side
        assert other.place.station >= place.station


def _finite(value: float) -> bool:
    return abs(value) < 1e7


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_the_tail_ends_in_the_drain_above_its_water(units: str) -> None:
    analysis = analyse_fully(bed(6, units))  # type: ignore[arg-type]
    found = section_of(analysis)
    assert found is not None
    levels, station = found.layout.levels, found.station
    water = levels.invert(station) + found.water_depth
    assert found.water_depth > 0
    assert water < found.faces.tail_tip < levels.crown(station)
    left, low, right, top = found.faces.tail.bounds
    hole = found.layout.parts.drain_saw.diameter
    assert -hole / 2 < left < right < hole / 2
    assert (low, top) == (pytest.approx(found.faces.tail_tip), pytest.approx(found.place.socket))


def test_the_outlet_is_put_together_as_a_person_does() -> None:
    found = section(bed(6))
    parts, faces, place = found.layout.parts, found.faces, found.place
    elbow = parts.elbow
    start, low, end, high = faces.nipple.bounds
    assert start == pytest.approx(elbow.centre_to_socket_bottom)
    assert end - start == pytest.approx(found.layout.run.outlet.nipple_length)
    assert (low + high) / 2 == pytest.approx(place.outlet)
    outer = outside_diameter_at(place.part, found.layout.run.outlet.height) / 2
    wall = place.assembly.bucket_axis - outer
    flange_end = faces.grommet.bounds[2]
    assert flange_end == pytest.approx(wall + place.part.wall + parts.grommet.flange_thickness)
    assert faces.inner_elbow.bounds[0] == pytest.approx(flange_end)
    assert faces.wall.intersection(faces.nipple).area == 0
    assert faces.outer_elbow.intersection(faces.nipple).area == pytest.approx(0, abs=1e-6)


def test_the_sump_stands_to_the_outlets_invert_and_the_medium_over_it() -> None:
    analysis = analyse(bed(6))
    found = section_of(analysis)
    assert found is not None
    group = drawn(analysis)[f"section:{found.place.bucket.id}"]
    records = [r for r in group.build() if isinstance(r, Line)]
    (water,) = [r for r in records if r.style == "water"]
    (medium,) = [r for r in records if r.style == "medium"]
    invert = found.place.outlet - found.layout.parts.outlet_pipe.bore / 2
    assert max(y for _, y in water.points) == pytest.approx(invert)
    depth = found.layout.run.medium_depth
    assert max(y for _, y in medium.points) == pytest.approx(found.place.base + depth)


def test_left_is_left_as_seen_from_the_outlet_end() -> None:
    analysis = analyse(bed(6))
    groups = drawn(analysis)
    found = section_of(analysis)
    assert found is not None
    assert found.opposite is not None
    for place in (found.place, found.opposite.place):
        records = groups[f"section:{place.bucket.id}"].build()
        (letter,) = [r for r in records if isinstance(r, Text)]
        assert letter.text == analysis.bucket_label(place.bucket.id)
        assert (letter.x < 0) == (place.bucket.side == "left")


def test_the_ground_is_where_it_was_measured() -> None:
    design = bed(6)
    run = design.runs[0]
    stand = replace(run.stand, ground=tuple(-40.0 for _ in run.stand.supports))
    found = section(edits.set_run(design, run.id, stand=stand))
    assert found.ground == -40.0
    assert found.support is not None
    assert found.bottom <= -40.0
    assert max(b.bounds[3] for b in (*found.blocks, *found.packing)) == pytest.approx(
        found.layout.levels.block_top
    )


def test_a_stack_at_the_plane_is_cut_and_one_beyond_it_is_seen() -> None:
    design = bed(6)
    run = design.runs[0]
    station = section(design).station
    at_plane = replace(run.stand, supports=(*run.stand.supports, station))
    assert not section(design).stack_cut
    assert section(edits.set_run(design, run.id, stand=at_plane)).stack_cut


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_levels_and_sizes_beside_the_section_are_the_layouts(units: str) -> None:
    analysis = analyse(bed(6, units))  # type: ignore[arg-type]
    found = section_of(analysis)
    assert found is not None
    style = style_for(found.layout.units)
    marks = {mark.words.rsplit(" ", 1)[-1]: mark for mark in section_levels(found)}
    assert marks["outlet"].level == found.place.outlet
    assert marks["rails"].level == found.layout.levels.rail_top(found.station)
    assert marks["ground"].words.startswith("0")
    assert marks["rim"].words == f"+{format_length(found.faces.rim_level, style)} rim"
    said = words(list(section_dimension_groups(analysis, None, 5.0)))
    assert format_length(found.layout.run.outlet.height, style) in said
    assert format_length(found.place.assembly.bucket_axis, style) in said
    assert format_length(2 * found.layout.half_width, style) in said


def test_the_detail_gives_the_tail_its_reach_and_its_gap() -> None:
    analysis = analyse(bed(6))
    found = section_of(analysis)
    assert found is not None
    levels, station, tip = found.layout.levels, found.station, found.faces.tail_tip
    said = words(list(tail_detail_groups(analysis, None, 2.0)))
    style = style_for("metric")
    for size in (
        found.layout.tail_length(found.place),
        levels.crown(station) - tip,
        tip - levels.invert(station),
    ):
        assert format_length(size, style) in said


def test_letters_of_sections_are_no_buckets() -> None:
    for buckets in (2, 12, 30):
        analysis = analyse(bed(buckets))
        for layout in analysis.runs:
            assert not set(plane_letters(layout)) & set(layout.letters.values())


def test_thick_walls_are_hatched_and_thin_ones_filled() -> None:
    thick = cut_face(box(0, 0, 50, 50), 5.0)
    assert sum(record.style == "hatch" for record in thick) > 5
    thin = cut_face(box(0, 0, 200, 2.5), 5.0)
    assert [record.style for record in thin] == ["cut_thin"]


@given(st.floats(20, 300), st.floats(20, 300), st.sampled_from([1, -1]))
def test_hatching_leans_45_degrees_and_stays_in_its_area(w: float, h: float, lean: int) -> None:
    area = Polygon([(3, 5), (3 + w, 5), (3 + w, 5 + h), (3, 5 + h)])
    room = area.buffer(1e-6)
    for (x1, y1), (x2, y2) in hatching(area, 9.0, lean):
        assert (y2 - y1) == pytest.approx(lean * (x2 - x1), abs=1e-6)
        assert room.contains(Polygon([(x1, y1), (x2, y2), (x2, y2)]).boundary)


@given(st.lists(st.floats(-500, 500), max_size=12).map(sorted), st.floats(0.5, 50))
def test_level_words_keep_apart_in_the_order_of_their_levels(
    levels: list[float], apart: float
) -> None:
    placed = spread(levels, apart)
    assert len(placed) == len(levels)
    assert all(b - a >= apart - 1e-6 for a, b in itertools.pairwise(placed))
    if all(b - a >= apart for a, b in itertools.pairwise(levels)):
        assert placed == pytest.approx(levels)


def test_a_level_mark_points_at_its_level() -> None:
    found = section(bed(6))
    for mark in section_levels(found):
        line = level_column([mark], 1000.0, 5.0)[0]
        assert isinstance(line, Line)
        assert all(y == mark.level for _, y in line.points)
