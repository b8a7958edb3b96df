"""A ruler's ticks stand where its unit says, never too close to tell apart."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from designer.window.page_ruler import CLOSEST, ROOM_FOR_NUMBER, ticks

UNITS = st.sampled_from(["metric", "imperial"])


@given(st.floats(0, 400), st.floats(1, 300), st.floats(0.2, 60), UNITS)
def test_ticks_are_within_their_stretch_and_can_be_told_apart(start, length, per_mm, units) -> None:
    found = list(ticks(start, start + length, per_mm, units))
    assert all(start - 1e-6 <= tick.at <= start + length + 1e-6 for tick in found)
    assert all((b.at - a.at) * per_mm >= CLOSEST - 1e-6 for a, b in pairwise(found))
    numbered = [tick for tick in found if tick.number]
    assert all((b.at - a.at) * per_mm >= ROOM_FOR_NUMBER - 1e-6 for a, b in pairwise(numbered))


@given(st.floats(0, 400), st.floats(1, 300), st.floats(0.2, 60), UNITS)
def test_a_number_says_where_its_tick_stands(start, length, per_mm, units) -> None:
    size = 1.0 if units == "metric" else 25.4
    for tick in ticks(start, start + length, per_mm, units):
        if tick.number:
            assert tick.at == pytest.approx(float(tick.number) * size)


def test_inches_are_halved_four_times_when_there_is_room() -> None:
    found = list(ticks(0, 25.4, 4.0, "imperial"))
    assert len(found) == 17
    assert [tick.number for tick in found if tick.number] == ["0", "1"]
    assert found[8].share > found[4].share  # the half stands out
