"""Advice on sizes: the smallest that works, and why."""

from math import inf, nan, pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from designer.water.sizing import (
    PUMP_MARGIN,
    Trial,
    bore_for_velocity,
    choose_pump,
    choose_reservoir,
    drain_bore,
    pump_need,
    reservoir_need,
    smallest_that_works,
    tube_bore,
)

L_H = 1e-3 / 3600
LITRE = 1e-3


@given(st.lists(st.floats(0.001, 1.0), max_size=8), st.floats(0.0, 1.0))
def test_the_smallest_size_that_works_is_chosen(sizes: list[float], needed: float) -> None:
    advice = smallest_that_works(sizes, lambda size: Trial(size, size >= needed, f"{size}"))
    good = [size for size in sizes if size >= needed]
    assert advice.size == (min(good) if good else None)
    assert advice.why


@pytest.mark.parametrize("share", [1.0, 1.2, inf, nan])
def test_a_drain_that_runs_full_is_never_advised(share: float) -> None:
    advice = drain_bore([0.04], lambda _bore: share, limit=1.0)
    assert advice.size is None
    assert "run full" in advice.why


def test_drain_bore_keeps_to_the_fill_asked_for() -> None:
    advice = drain_bore([0.052, 0.026, 0.040], lambda bore: 0.02 / bore)
    assert advice.size == 0.040
    assert advice.why == "At its fullest the drain is 50 % full; no more than 50 % is wanted."
    assert [trial.size for trial in advice.trials] == [0.026, 0.040]


def test_tube_bore_needs_both_a_low_velocity_and_even_flows() -> None:
    def velocity(bore: float) -> float:
        return 300 * L_H / (pi / 4 * bore**2)

    advice = tube_bore(
        [0.0132, 0.0152, 0.0208],
        velocity,
        lambda bore: 0.80 if bore < 0.0152 else 0.93,
        fastest=1.5,
        target=0.90,
    )
    assert advice.size == 0.0152
    assert "93 %" in advice.why


def test_bore_for_velocity_carries_the_flow() -> None:
    bore = bore_for_velocity(600 * L_H, 1.5)
    assert 600 * L_H / (pi / 4 * bore**2) == pytest.approx(1.5)
    with pytest.raises(ValueError, match="speed"):
        bore_for_velocity(600 * L_H, 0.0)


def test_the_pump_has_its_margin_in_flow_and_head() -> None:
    need = pump_need(30 * L_H, 8, 0.9, lambda flow: 0.5 * (flow / (276 * L_H)) ** 2)
    assert need.flow == pytest.approx(240 * L_H * (1 + PUMP_MARGIN))
    assert need.head == pytest.approx(1.4 * (1 + PUMP_MARGIN))


def test_the_pump_with_least_to_spare_is_chosen() -> None:
    need = pump_need(30 * L_H, 8, 0.9, lambda _flow: 0.5)
    pumps = {
        "strong": lambda flow: 4.0 * (1 - (flow / (2000 * L_H)) ** 2),
        "weak": lambda flow: 1.2 * (1 - (flow / (400 * L_H)) ** 2),
        "fitting": lambda flow: 2.0 * (1 - (flow / (1000 * L_H)) ** 2),
    }
    assert choose_pump(pumps, need).pump == "fitting"
    assert choose_pump(pumps, need, "imperial").why.startswith("It gives 72.9 gal/h at 5' 3 3/8")
    nothing = choose_pump({"weak": pumps["weak"]}, need)
    assert nothing.pump is None
    assert nothing.why == "None of these pumps gives 276 L/h at 1.61 m."


def test_a_reservoir_holds_use_drain_back_and_pump_cover() -> None:
    need = reservoir_need(24 * LITRE, 2, 10 * LITRE, 8 * LITRE)
    assert need.between_top_ups == pytest.approx(48 * LITRE)
    assert need.below_low_water == pytest.approx(18 * LITRE)
    assert need.freeboard == pytest.approx(12 * LITRE)
    advice = choose_reservoir([60 * LITRE, 100 * LITRE, 200 * LITRE], need)
    assert advice.size == 100 * LITRE
    imperial = choose_reservoir([100 * LITRE], need, "imperial")
    assert imperial.why.startswith("It holds 26.4 gal of the 20.6 gal needed")
    assert advice.why.startswith("It holds 100 L of the 78 L needed: 48 L between top-ups")


def test_values_that_cannot_be_are_refused() -> None:
    with pytest.raises(ValueError, match="below zero"):
        reservoir_need(-1, 2, 0, 0)
    with pytest.raises(ValueError, match="below zero"):
        pump_need(-1, 2, 0, lambda _flow: 0.0)
