"""Supports moved, with the ground under them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from designer.model import edits
from designer.model.design import Design, Stand
from designer.model.file import format_design, parse_design
from designer.model.supports import move_support
from tests.beds import bed


def sloping(stations: tuple[float, ...] = (0.0, 1000.0, 2000.0)) -> Design:
    """A bed whose ground falls by 1 mm in 20 towards the capped end."""
    ground = tuple(-station / 20 for station in stations)
    return edits.set_run_part(bed(6), "r1", "stand", supports=stations, ground=ground)


def stand(design: Design) -> Stand:
    return design.run("r1").stand


def test_a_moved_support_finds_the_ground_between_its_neighbours() -> None:
    moved = stand(move_support(sloping(), "r1", 1, 1500.0))
    assert moved.supports == (0.0, 1500.0, 2000.0)
    assert moved.ground == (0.0, -75.0, -100.0)


def test_moving_a_support_to_where_it_stands_changes_nothing() -> None:
    design = sloping()
    assert move_support(design, "r1", 1, 1000.0) is design


@pytest.mark.parametrize("index", [-1, 3])
def test_a_support_that_is_not_there_is_an_error(index: int) -> None:
    with pytest.raises(IndexError):
        move_support(sloping(), "r1", index, 10.0)


def test_level_ground_stays_unstated() -> None:
    design = bed(6)
    assert not stand(design).ground
    for changed in (
        move_support(design, "r1", 0, 50.0),
        edits.set_run_length(design, "r1", 5000.0),
    ):
        assert stand(changed).ground == ()


@given(
    st.lists(st.floats(-500, 5000), min_size=2, max_size=6, unique=True),
    st.lists(st.floats(-300, 300), min_size=6, max_size=6),
    st.floats(-500, 5000),
    st.data(),
)
def test_every_support_has_its_ground_whatever_is_done(
    stations: list[float], levels: list[float], to: float, data: st.DataObject
) -> None:
    design = edits.set_run_part(
        bed(6), "r1", "stand", supports=tuple(stations), ground=tuple(levels[: len(stations)])
    )
    index = data.draw(st.integers(0, len(stations) - 1))
    before = dict(zip(stand(design).supports, stand(design).ground, strict=True))
    for changed in (
        move_support(design, "r1", index, to),
        edits.set_run_length(design, "r1", 4321.0),
    ):
        now = stand(changed)
        assert len(now.ground) == len(now.supports)
        for station, level in zip(now.supports, now.ground, strict=True):
            assert min(before.values()) - 1e-6 <= level <= max(before.values()) + 1e-6
            assert level == before.get(station, level)
        parse_design(format_design(changed))
