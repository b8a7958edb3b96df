"""Stacks reach their level, and rounded shims make the fall they make."""

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from designer.model.stations import ground_at
from designer.stand.shims import fall_as_built, rounded, stack

GRAINS = st.sampled_from([1.0, 25.4 / 16])


@given(st.floats(0, 900), GRAINS)
def test_a_shim_is_made_in_whole_steps_and_off_by_half_a_step_at_most(
    thickness: float, grain: float
) -> None:
    made = rounded(thickness, grain)
    assert made / grain == pytest.approx(round(made / grain))
    assert abs(made - thickness) <= grain / 2 + 1e-9


@given(st.floats(-200, 1500), st.sets(st.sampled_from([92.1, 193.7, 190.0, 90.0]), min_size=1),
       GRAINS, st.floats(0, 100))  # fmt: skip
def test_a_stack_reaches_its_level(
    height: float, blocks: set[float], grain: float, most: float
) -> None:
    built = stack(height, sorted(blocks), grain, most)
    assert built.courses >= 1
    assert set(built.blocks) <= blocks
    assert abs(built.top - height) <= grain / 2 + 1e-9
    assert 0 <= built.packing <= most + grain / 2
    assert built.sunk >= 0
    assert not (built.packing and built.sunk)


def test_half_blocks_save_packing() -> None:
    built = stack(290, [190, 90], 1, 60)
    assert sorted(built.blocks) == [90, 190]
    assert (built.packing, built.sunk) == (10, 0)


def test_what_is_too_low_for_a_block_is_let_into_the_ground() -> None:
    built = stack(150, [190], 1, 60)
    assert (built.courses, built.packing, built.sunk) == (1, 0, 40)


def test_a_stack_needs_a_block() -> None:
    with pytest.raises(ValueError, match="block"):
        stack(200, [], 1, 60)


def test_rounded_shims_make_their_own_fall() -> None:
    """30 mm over 2000 mm on supports at 500 and 1500: 7.5 and 22.5 are made as 8 and 22."""
    built = fall_as_built([500, 1500], [8, 22], 2000)
    assert built is not None
    assert built.total == pytest.approx(28)
    assert built.least == built.greatest == pytest.approx(0.014)


def test_no_fall_is_known_from_one_support() -> None:
    assert fall_as_built([500], [8], 2000) is None
    assert fall_as_built([500, 500], [8, 8], 2000) is None


@given(
    st.lists(st.integers(0, 60), min_size=2, max_size=9, unique=True),
    st.floats(0, 150),
    GRAINS,
)
def test_the_fall_as_built_is_near_the_fall_drawn(
    steps: list[int], fall: float, grain: float
) -> None:
    length = 3000.0
    stations = [length * step / 60 for step in sorted(steps)]
    shims = [rounded(fall * s / length, grain) for s in stations]
    built = fall_as_built(stations, shims, length)
    assert built is not None
    nearest = min(b - a for a, b in itertools.pairwise(stations))
    assert abs(built.total - fall) <= grain * (1 + 2 * length / nearest)
    assert built.least <= built.greatest


def test_ground_between_known_levels_is_straight() -> None:
    assert ground_at([0, 500, 1000], [0, 1000], [0, -100]) == (0, -50, -100)
    assert ground_at([0, 500], [0, 500], []) == (0, 0)
    assert ground_at([0, 500, 1000], [0, 500, 1000], [20, 40]) == (20, 40, 40)
