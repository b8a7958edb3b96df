"""The pump's curve through the points its maker states."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from designer.water.pump import PumpCurve
from tests.water.feeds import pump_curves


@given(pump_curves(), st.floats(0.0, 2.0), st.floats(0.001, 1.0))
def test_the_more_a_pump_gives_the_less_it_lifts(
    curve: PumpCurve, share: float, more: float
) -> None:
    flow = share * curve.free_flow
    beyond = flow + more * curve.free_flow
    assert curve.head(beyond) < curve.head(flow)
    assert curve.slope(beyond) < 0.0
    assert curve.slope(flow) <= 0.0


@given(pump_curves())
def test_the_curve_passes_through_the_points_and_ends_at_the_free_flow(curve: PumpCurve) -> None:
    for flow, head in curve.points:
        assert curve.head(flow) == pytest.approx(head, rel=1e-9, abs=1e-12)
    assert curve.head(curve.free_flow) == pytest.approx(0.0, abs=1e-9 * curve.shut_off_head)
    assert curve.head(0.0) == pytest.approx(curve.shut_off_head)


@given(pump_curves(), st.floats(0.01, 1.9))
def test_the_slope_is_the_derivative(curve: PumpCurve, share: float) -> None:
    flow, step = share * curve.free_flow, 1e-6 * curve.free_flow
    between = (curve.head(flow + step) - curve.head(flow - step)) / (2.0 * step)
    scale = curve.shut_off_head / curve.free_flow
    assert curve.slope(flow) == pytest.approx(between, abs=2e-4 * scale)


def test_two_points_give_the_assumed_power_law() -> None:
    """H = H0 (1 - (Q/Qmax)^n): form of Cleveland, Texas Tech University, CE 3305 notes."""
    curve = PumpCurve([(0.0, 2.0), (4e-4, 0.0)], exponent=2.0)
    assert curve.exponent == 2.0
    assert curve.head(2e-4) == pytest.approx(2.0 * (1.0 - 0.25))
    assert curve.best_flow == pytest.approx(4e-4 / 3.0**0.5)
    assert PumpCurve([(0.0, 2.0), (4e-4, 0.0)]).exponent == 1.75


def test_two_points_elsewhere_on_the_curve_give_the_same_law() -> None:
    whole = PumpCurve([(0.0, 2.0), (4e-4, 0.0)])
    part = PumpCurve([(flow, whole.head(flow)) for flow in (1e-4, 3e-4)])
    assert part.shut_off_head == pytest.approx(2.0)
    assert part.free_flow == pytest.approx(4e-4)


def test_three_points_need_no_assumption_and_may_come_in_any_order() -> None:
    curve = PumpCurve([(3e-4, 0.0), (0.0, 2.0), (1e-4, 1.7)])
    assert curve.exponent is None
    assert curve.points == ((0.0, 2.0), (1e-4, 1.7), (3e-4, 0.0))
    assert curve.head(4e-4) < 0.0


def test_points_of_a_falling_parabola_are_followed_closely() -> None:
    points = [(i * 1e-4, 3.0 - 0.1 * i**2) for i in range(6)]
    curve = PumpCurve(points)
    for i in range(50):
        assert curve.head(i * 1e-5) == pytest.approx(3.0 - 0.1 * (i / 10.0) ** 2, abs=0.02)


@given(pump_curves())
def test_the_best_flow_gives_the_greatest_hydraulic_power(curve: PumpCurve) -> None:
    best = curve.hydraulic_power(curve.best_flow, 998.2)
    for i in range(21):
        assert curve.hydraulic_power(i / 20.0 * curve.free_flow, 998.2) <= best * (1.0 + 1e-6)
    least, greatest = curve.useful_range()
    assert least == pytest.approx(0.7 * curve.best_flow)
    assert greatest == pytest.approx(1.2 * curve.best_flow)


def test_hydraulic_power_by_the_hydraulic_institute() -> None:
    """Eq 1.B.4 (opened): P in kW = Q (m3/h) H (m) s / 366.6 at an efficiency of 1.

    366.6 holds for water of 1000 kg/m3 to the digits it has.
    """
    curve = PumpCurve([(0.0, 4.0), (2.0 / 3600.0, 0.0)])
    flow = 1.0 / 3600.0
    expected = 1.0 * curve.head(flow) / 366.6 * 1000.0
    assert curve.hydraulic_power(flow, 1000.0) == pytest.approx(expected, rel=0.002)


@pytest.mark.parametrize(
    ("points", "exponent", "message"),
    [
        ([(0.0, 2.0)], 1.75, "needs two points"),
        ([(0.0, 2.0), (1e-4, 2.0)], 1.75, "gives less head the more"),
        ([(1e-4, 2.0), (1e-4, 1.0)], 1.75, "gives less head the more"),
        ([(0.0, 2.0), (1e-4, -1.0)], 1.75, "below zero"),
        ([(0.0, 2.0), (1e-4, 0.0)], 0.5, "between 1 and 4"),
    ],
)
def test_points_that_no_pump_has_are_refused(
    points: list[tuple[float, float]], exponent: float, message: str
) -> None:
    with pytest.raises(ValueError, match=message):
        PumpCurve(points, exponent)
