"""Scales after ISO 5455."""

from itertools import islice

import pytest
from hypothesis import given
from hypothesis import strategies as st

from designer.drawing.scales import fitting_scale, reductions, scale_words


def test_the_reductions_are_those_of_iso_5455() -> None:
    """From memory: the table itself was not opened."""
    assert list(islice(reductions(), 12)) == [1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000]


def test_a_four_metre_bed_on_a4_is_drawn_at_1_to_20() -> None:
    assert fitting_scale(4000, 1500, 257, 150) == 20


def test_a_drawing_that_fills_the_room_exactly_fits() -> None:
    assert fitting_scale(2000, 1000, 200, 100) == 10


@given(st.floats(1, 1e6), st.floats(1, 1e6), st.floats(1, 500), st.floats(1, 500))
def test_the_scale_fits_and_the_next_larger_one_does_not(
    width: float, height: float, room_width: float, room_height: float
) -> None:
    scale = fitting_scale(width, height, room_width, room_height)
    assert width <= room_width * scale
    assert height <= room_height * scale
    larger = [s for s in islice(reductions(), 40) if s < scale]
    assert all(width > room_width * s or height > room_height * s for s in larger)


def test_no_room_is_refused() -> None:
    with pytest.raises(ValueError, match="no room"):
        fitting_scale(10, 10, 0, 10)


def test_the_scale_is_written_as_iso_5455_asks() -> None:
    assert scale_words(20) == "SCALE 1:20"
