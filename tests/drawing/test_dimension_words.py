"""What is said of distances that are alike."""

import re

from hypothesis import given
from hypothesis import strategies as st

from designer.drawing.dimensions import equal_distances
from designer.units import UnitSystem, format_length, parse_length, style_for


def test_equal_distances_are_counted() -> None:
    assert equal_distances(7, 2100.0, "metric") == "7 × 300 mm"
    assert equal_distances(7, 7 * 304.8, "imperial") == "7 × 1' 0\""


def test_a_pitch_of_a_foot_is_not_said_to_be_305_mm_ten_times_over() -> None:
    assert equal_distances(10, 3048.0, "metric") == "10 equal in 3048 mm"


def test_a_metric_pitch_is_not_rounded_twenty_times_over_in_inches() -> None:
    assert equal_distances(20, 6100.0, "imperial") == "20 equal in 20' 0 3/16\""


@given(st.integers(2, 60), st.floats(20.0, 2000.0), st.sampled_from(("metric", "imperial")))
def test_what_is_multiplied_out_is_the_whole(count: int, each: float, units: UnitSystem) -> None:
    words = equal_distances(count, count * each, units)
    whole = format_length(count * each, style_for(units))
    product = re.fullmatch(r"(\d+) × (.+)", words)
    if product is None:
        assert words == f"{count} equal in {whole}"
    else:
        multiplied = int(product[1]) * parse_length(product[2], units)
        assert format_length(multiplied, style_for(units)) == whole
