"""Balloons: each leads to its part, clear of words and of each other."""

import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, Point, box

from designer.analysis import analyse
from designer.drawing.balloons import RADIUS, balloon_records
from designer.drawing.part_places import PartPlace, return_parts, section_parts
from designer.drawing.records import Circle, Line, Record, Text, text_box
from designer.drawing.return_plane import return_end_of
from designer.drawing.section import section_groups
from designer.drawing.section_dimensions import section_dimension_groups
from designer.drawing.section_plane import section_of
from tests.beds import bed

SCALE = 10.0


def drawn_section(buckets: int = 6) -> tuple[list[PartPlace], list[Record]]:
    analysis = analyse(bed(buckets))
    section = section_of(analysis)
    assert section is not None
    groups = [*section_groups(analysis, None, SCALE)]
    groups += section_dimension_groups(analysis, None, SCALE)
    return section_parts(section), [r for group in groups for r in group.build()]


def balloons(records: list[Record]) -> tuple[list[LineString], list[Circle], list[str]]:
    leaders = [LineString(r.points) for r in records if isinstance(r, Line)]
    discs = [r for r in records if isinstance(r, Circle) and r.style == "balloon"]
    return leaders, discs, [r.text for r in records if isinstance(r, Text)]


def test_every_part_of_the_section_has_its_number() -> None:
    parts, drawn = drawn_section()
    numbers = {item: i for i, item in enumerate(dict.fromkeys(p.item for p in parts), 1)}
    _, _, said = balloons(balloon_records(parts, numbers, drawn, SCALE))
    assert sorted(map(int, said)) == sorted(numbers[p.item] for p in parts)


def test_a_leader_ends_in_its_part_and_starts_at_its_circle() -> None:
    parts, drawn = drawn_section()
    numbers = {part.item: i for i, part in enumerate(parts, 1)}
    leaders, discs, said = balloons(balloon_records(parts, numbers, drawn, SCALE))
    places = {str(numbers[part.item]): part for part in parts}
    for leader, disc, number in zip(leaders, discs, said, strict=True):
        part = places[number]
        assert leader.coords[0] == (pytest.approx(part.x), pytest.approx(part.y))
        away = Point(leader.coords[-1]).distance(Point(disc.x, disc.y))
        assert away == pytest.approx(RADIUS * SCALE)


def test_no_leader_crosses_words_or_another_and_no_circle_stands_on_lines() -> None:
    parts, drawn = drawn_section()
    numbers = {part.item: i for i, part in enumerate(parts, 1)}
    leaders, discs, _ = balloons(balloon_records(parts, numbers, drawn, SCALE))
    words = [box(*text_box(r)) for r in drawn if isinstance(r, Text)]
    lines = [LineString(r.points) for r in drawn if isinstance(r, Line) and len(r.points) > 1]
    for leader in leaders:
        assert not any(leader.intersects(word) for word in words)
    for one, other in itertools.combinations(leaders, 2):
        assert not one.intersects(other)
    for disc in discs:
        area = Point(disc.x, disc.y).buffer(RADIUS * SCALE)
        assert not any(area.intersects(line) for line in lines)
        assert not any(area.intersects(word) for word in words)


@settings(max_examples=20, deadline=None)
@given(
    st.lists(
        st.tuples(st.floats(-300, 300), st.floats(-300, 300)), min_size=1, max_size=12, unique=True
    )
)
def test_balloons_of_any_parts_keep_apart(points: list[tuple[float, float]]) -> None:
    parts = [PartPlace(f"p{i}", x, y) for i, (x, y) in enumerate(points)]
    numbers = {part.item: i for i, part in enumerate(parts, 1)}
    records = balloon_records(parts, numbers, [], SCALE)
    _, discs, _ = balloons(records)
    for one, other in itertools.combinations(discs, 2):
        assert Point(one.x, one.y).distance(Point(other.x, other.y)) > 2 * RADIUS * SCALE
    assert records == balloon_records(parts, numbers, [], SCALE)


def test_a_part_that_is_not_in_the_list_has_no_balloon() -> None:
    parts, drawn = drawn_section()
    assert balloon_records(parts, {}, drawn, SCALE) == []


def test_the_return_end_shows_reservoir_pump_drain_and_tube() -> None:
    analysis = analyse(bed(6))
    end = return_end_of(analysis)
    assert end is not None
    layout = end.layout
    shown = {part.item for part in return_parts(end)}
    assert {end.tank.part.id, end.tank.pump.id} <= shown
    assert {layout.parts.drain.id, layout.parts.manifold.id} <= shown
