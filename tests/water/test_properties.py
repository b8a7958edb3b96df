"""Water by temperature, and the monotone curve it and the pump are drawn with."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from designer.water.monotone import MonotoneCurve
from designer.water.properties import COLDEST, WARMEST, water_at


@given(st.floats(COLDEST, WARMEST), st.floats(COLDEST, WARMEST))
def test_warmer_water_is_thinner(one: float, other: float) -> None:
    cold, warm = water_at(min(one, other)), water_at(max(one, other))
    assert warm.dynamic_viscosity <= cold.dynamic_viscosity
    assert warm.surface_tension <= cold.surface_tension


def test_water_is_densest_at_four_degrees() -> None:
    densest = max((water_at(0.1 * i) for i in range(401)), key=lambda water: water.density)
    assert densest.temperature == pytest.approx(4.0, abs=0.3)
    assert densest.density == pytest.approx(999.975, abs=0.002)


@pytest.mark.parametrize("celsius", [-0.1, 40.1, float("nan")])
def test_a_temperature_outside_the_table_is_refused(celsius: float) -> None:
    with pytest.raises(ValueError, match="between 0 and 40"):
        water_at(celsius)


@st.composite
def falling_points(draw: st.DrawFn) -> tuple[list[float], list[float]]:
    steps = draw(st.lists(st.tuples(st.floats(0.01, 5.0), st.floats(0.01, 5.0)), min_size=1))
    x, y = [0.0], [100.0]
    for across, down in steps:
        x.append(x[-1] + across)
        y.append(y[-1] - down)
    return x, y


@given(falling_points(), st.floats(-0.5, 1.5), st.floats(-0.5, 1.5))
def test_a_curve_through_falling_points_falls_everywhere(
    points: tuple[list[float], list[float]], one: float, other: float
) -> None:
    x, y = points
    curve = MonotoneCurve(x, y)
    left, right = sorted((one * x[-1], other * x[-1]))
    assert curve.value(right) <= curve.value(left) + 1e-9
    assert curve.slope(left) <= 0.0


@given(falling_points())
def test_a_curve_passes_through_its_points(points: tuple[list[float], list[float]]) -> None:
    x, y = points
    curve = MonotoneCurve(x, y)
    for at, height in zip(x, y, strict=True):
        assert curve.value(at) == pytest.approx(height, abs=1e-9)


def test_a_curve_through_points_on_a_line_is_the_line() -> None:
    curve = MonotoneCurve([0.0, 1.0, 3.0, 4.0], [1.0, 3.0, 7.0, 9.0])
    for at in (-1.0, 0.3, 1.0, 2.2, 5.0):
        assert curve.value(at) == pytest.approx(1.0 + 2.0 * at)
        assert curve.slope(at) == pytest.approx(2.0)


def test_a_curve_turns_level_at_the_highest_of_its_points() -> None:
    curve = MonotoneCurve([0.0, 1.0, 2.0], [0.0, 1.0, 0.0])
    assert curve.slope(1.0) == 0.0
    assert max(curve.value(0.01 * i) for i in range(201)) == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("x", "y"), [([0.0], [1.0]), ([0.0, 1.0], [1.0]), ([0.0, 0.0], [1.0, 2.0])]
)
def test_too_few_or_doubled_points_are_refused(x: list[float], y: list[float]) -> None:
    with pytest.raises(ValueError, match="curve"):
        MonotoneCurve(x, y)
