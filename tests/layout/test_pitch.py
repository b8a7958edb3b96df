"""Spacings that repeat along a pipe."""

from itertools import accumulate

import pytest
from hypothesis import given
from hypothesis import strategies as st

from designer.layout.pitch import repeating_spacing

spacings = st.floats(20, 900)


def stations(first: float, gaps: list[float]) -> list[float]:
    return list(accumulate([first, *gaps]))


@given(spacings, st.floats(0, 500), st.integers(2, 60))
def test_an_even_row_repeats_one_pitch_from_first_to_last(
    pitch: float, first: float, count: int
) -> None:
    found = repeating_spacing(stations(first, [pitch] * count))
    assert found is not None
    assert found.spacings == pytest.approx([pitch])
    assert (found.first, found.last, found.holes) == (0, count, count + 1)


@given(spacings, spacings, st.integers(2, 30))
def test_two_rows_unevenly_apart_repeat_two_spacings(short: float, more: float, times: int) -> None:
    gaps = [short, short + 1.0 + more] * times
    found = repeating_spacing(stations(100, gaps))
    assert found is not None
    assert found.spacings == pytest.approx(gaps[:2])
    assert found.holes == 2 * times + 1


def test_a_hole_set_by_hand_ends_the_stretch() -> None:
    found = repeating_spacing(stations(0, [300, 300, 350, 250, 300, 300, 300]))
    assert found is not None
    assert (found.spacings, found.first, found.last) == ((300,), 4, 7)


@pytest.mark.parametrize("gaps", [[], [300], [300, 250], [300, 200, 300], [0, 0, 0]])
def test_too_few_holes_repeat_nothing(gaps: list[float]) -> None:
    assert repeating_spacing(stations(50, gaps)) is None
    assert repeating_spacing([]) is None
