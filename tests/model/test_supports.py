"""Supports moved, added and taken away, with the ground under them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from designer.model import edits
from designer.model.design import Design, Stand
from designer.model.file import format_design, parse_design
from designer.model.supports import FEWEST, add_support, move_support, remove_support, widest_gap
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


def test_an_added_support_stands_on_the_ground_between_its_neighbours() -> None:
    added = stand(add_support(sloping(), "r1", 1500.0))
    assert added.supports == (0.0, 1000.0, 1500.0, 2000.0)
    assert added.ground == (0.0, -50.0, -75.0, -100.0)


def test_a_support_that_is_there_is_not_added_again() -> None:
    design = sloping()
    assert add_support(design, "r1", 1000.0) is design


def test_what_is_added_and_taken_away_leaves_the_stand_as_it_was() -> None:
    design = sloping()
    index = stand(add_support(design, "r1", 1500.0)).supports.index(1500.0)
    assert remove_support(add_support(design, "r1", 1500.0), "r1", index) == design


def test_a_removed_support_leaves_the_others_their_ground_but_two_stay() -> None:
    design = remove_support(sloping(), "r1", 1)
    assert (stand(design).supports, stand(design).ground) == ((0.0, 2000.0), (0.0, -100.0))
    with pytest.raises(ValueError, match="keeps two"):
        remove_support(design, "r1", 0)
    with pytest.raises(IndexError):
        remove_support(sloping(), "r1", 3)


def test_the_widest_gap_counts_the_overhangs() -> None:
    run = sloping((0.0, 500.0, 900.0)).run("r1")
    assert widest_gap(run) == (900.0, run.length)
    assert widest_gap(sloping((0.0, 1500.0, run.length)).run("r1")) == (0.0, 1500.0)


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
        add_support(design, "r1", to),
        *([remove_support(design, "r1", index)] if len(stations) > FEWEST else []),
        edits.set_run_length(design, "r1", 4321.0),
    ):
        now = stand(changed)
        assert len(now.ground) == len(now.supports)
        for station, level in zip(now.supports, now.ground, strict=True):
            assert min(before.values()) - 1e-6 <= level <= max(before.values()) + 1e-6
            assert level == before.get(station, level)
        parse_design(format_design(changed))
