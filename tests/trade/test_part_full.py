"""Part-full round pipes against published and independently computed values.

What each number comes from stands beside it. "From memory" means the printed source could not be
opened again.
"""

from math import pi, sqrt
from pathlib import Path

import numpy as np
import pytest

from designer.water.friction import friction_factor
from designer.water.properties import STANDARD_GRAVITY as G
from designer.water.resistance import Darcy, Manning
from designer.water.section import Circular
from designer.water.uniform import discharge, largest_discharge, normal_depth

DATA = Path(__file__).parent / "data"
LITRES_PER_HOUR = 1 / 3.6e6
UNIT = Circular(1.0)


def _table(name: str) -> dict[str, np.ndarray]:
    lines = (DATA / name).read_text(encoding="utf-8").splitlines()
    header, *rows = [line.split(",") for line in lines if not line.startswith("#")]
    columns = zip(*((float(cell) for cell in row) for row in rows), strict=True)
    return {name: np.asarray(column) for name, column in zip(header, columns, strict=True)}


def test_hydraulic_elements_equal_the_exact_table_to_its_last_digit() -> None:
    table = _table("circular_elements.csv")
    fill = table["y_D"]
    digit = 6e-7
    area = UNIT.areas(fill)
    radius = UNIT.hydraulic_radii(fill)
    assert len(fill) == 99
    assert np.allclose(area, table["A_D2"], rtol=0, atol=digit)
    assert np.allclose(area / UNIT.full_area, table["A_Af"], rtol=0, atol=digit)
    assert np.allclose(UNIT.wetted_perimeters(fill), table["P_D"], rtol=0, atol=digit)
    assert np.allclose(radius, table["R_D"], rtol=0, atol=digit)
    assert np.allclose(radius * 4, table["R_Rf"], rtol=0, atol=digit)
    assert np.allclose(UNIT.top_widths(fill), table["T_D"], rtol=0, atol=digit)
    moments = [UNIT.elements(f)[3] for f in fill]
    assert np.allclose(moments, table["A_ybar_D3"], rtol=0, atol=digit)
    flow = [discharge(UNIT, Manning(), 0.01, f) for f in fill]
    full = discharge(UNIT, Manning(), 0.01, 1.0)
    assert np.allclose(np.divide(flow, full), table["Q_Qf"], rtol=0, atol=digit)


def test_part_full_elements_stay_within_tolerance_of_the_51_point_tables() -> None:
    # U.S. EPA stormwater model, xsect.dat; second-hand, see the head of the file. Tolerances are
    # what that table's own rounding asks for.
    table = _table("part_full_51_points.csv")
    fill = table["fill"]
    assert len(fill) == 51
    assert np.max(np.abs(UNIT.areas(fill) / UNIT.full_area - table["area"])) < 0.0003
    assert np.max(np.abs(UNIT.top_widths(fill) - table["width"])) < 0.0001
    assert np.max(np.abs(4 * UNIT.hydraulic_radii(fill) - table["radius"])[1:]) < 0.0015
    # Depth by area, the table read the other way round (Y_Circ there, tolerance 0.002).
    depth = UNIT.depth_of_area(table["area"] * UNIT.full_area)
    assert np.max(np.abs(depth - fill)) < 0.002


def test_a_pipe_carries_most_a_little_below_full() -> None:
    # Exact geometry: 1.07571 of the full flow at a fill of 0.93818; full flow again at 0.81963.
    most = largest_discharge(UNIT, Manning(), 0.01)
    full = discharge(UNIT, Manning(), 0.01, 1.0)
    assert most.flow / full == pytest.approx(1.07571, abs=6e-6)
    assert most.fill == pytest.approx(0.93818, abs=6e-6)
    assert normal_depth(UNIT, Manning(), 0.01, full) == pytest.approx(0.81963, abs=6e-6)


@pytest.mark.parametrize(
    ("fill", "number"),
    [
        (0.05, 0.0027), (0.10, 0.0107), (0.20, 0.0418), (0.30, 0.0921), (0.40, 0.1605),
        (0.50, 0.2461), (0.60, 0.3487), (0.70, 0.4700), (0.80, 0.6181), (0.90, 0.8294),
        (0.95, 1.0248),
    ],
)  # fmt: skip
def test_critical_depth_inverts_the_exact_section_factor(fill: float, number: float) -> None:
    # Q_c/(sqrt(g) D^2.5) from exact geometry, four decimals.
    area, _, width, _ = UNIT.elements(fill)
    exact = area * sqrt(area / width)
    assert exact == pytest.approx(number, abs=5.1e-5)
    assert float(UNIT.critical_depths(exact * sqrt(G))) == pytest.approx(fill, rel=1e-9)


@pytest.mark.parametrize(
    ("fill", "error"), [(0.02, 0.052), (0.2, 0.033), (0.5, 0.002), (0.7, -0.011), (0.85, 0.001)]
)
def test_the_customary_starting_guess_for_critical_depth_errs_as_known(
    fill: float, error: float
) -> None:
    # y = 1.01 (Q²/(g D))^(1/4), U.S. EPA stormwater model, xsect.c; errors computed from geometry.
    pipe = Circular(0.05)
    area, _, width, _ = pipe.elements(fill * pipe.bore)
    flow = sqrt(G * area**3 / width)
    guess = 1.01 * (flow**2 / (G * pipe.bore)) ** 0.25
    assert guess / float(pipe.critical_depths(flow)) - 1 == pytest.approx(error, abs=0.0006)


def test_sewer_of_2_4_m_flowing_1_5_m_deep() -> None:
    # Sarkar, example 7.10, as printed by a textbook companion (FOSSEE): 2.96839 m³/s.
    flow = discharge(Circular(2.4), Manning(0.02), 1 / 1500, 1.5 / 2.4)
    assert flow == pytest.approx(2.96839, rel=5e-5)


def test_normal_and_critical_depth_of_a_200_mm_drain() -> None:
    # Maurer, vignette of a teaching package: Q 0.01, n 0.013, S 0.001, D 0.2; two digits printed.
    pipe, law, flow = Circular(0.2), Manning(0.013), 0.01
    depth = normal_depth(pipe, law, 0.001, flow)
    assert depth is not None
    area, perimeter, width, _ = pipe.elements(depth)
    velocity = flow / area
    assert depth == pytest.approx(0.16, abs=0.005)
    assert area == pytest.approx(0.027, abs=0.0005)
    assert perimeter == pytest.approx(0.44, abs=0.005)
    assert area / perimeter == pytest.approx(0.061, abs=0.0005)
    assert velocity == pytest.approx(0.38, abs=0.005)
    assert velocity / sqrt(G * area / width) == pytest.approx(0.30, abs=0.005)
    assert float(pipe.critical_depths(flow)) == pytest.approx(0.085, abs=0.0005)
    assert discharge(pipe, law, 0.001, 1.0) == pytest.approx(0.010, abs=0.0005)
    # The same, recomputed to more digits by an independent script.
    assert depth == pytest.approx(0.15783, abs=5e-6)
    assert velocity == pytest.approx(0.37605, abs=6e-6)
    assert float(pipe.critical_depths(flow)) == pytest.approx(0.084544, rel=2e-4)  # g 9.81 there


def test_sewer_two_thirds_full_by_darcy_and_hydraulic_diameter() -> None:
    # Crane TP-410, example 7.26, as transcribed: 24 in, depth 2/3, 0.75 in/ft, 1.1 cP, e/D 0.00036
    # of the hydraulic diameter. Printed 24 500 US gpm without iterating; 24 411 iterated.
    pipe = Circular(24 * 0.0254)
    hydraulic = 4 * float(pipe.hydraulic_radii(pipe.bore * 2 / 3))
    law = Darcy(roughness=0.00036 * hydraulic, viscosity=1.1e-3 / (62.364 * 16.018463))
    gallons = discharge(pipe, law, 0.75 / 12, 2 / 3) * 15850.323
    assert gallons == pytest.approx(24500, rel=0.004)
    assert gallons == pytest.approx(24411, abs=1)


@pytest.mark.parametrize(
    ("slope", "flows"),
    [
        (0.005, (1.8, 2.8, 5.4, 10.0)),
        (0.010, (2.5, 4.1, 7.7, 14.2)),
        (0.015, (3.1, 5.0, 9.4, 17.4)),
        (0.020, (3.5, 5.7, 10.9, 20.1)),
        (0.030, (4.4, 7.1, 13.3, 24.7)),
        (0.050, (5.6, 9.1, 17.2, 31.9)),
    ],
)
def test_half_full_house_drains_regression_not_proof(
    slope: float, flows: tuple[float, ...]
) -> None:
    # EN 12056-2 Table B.1, half full. Flows and bores are both from memory (the standard was not
    # opened, and 115 mm was chosen to fit), so this only guards the Colebrook routine.
    law = Darcy(roughness=1.0e-3, viscosity=1.31e-6)
    for bore, printed in zip((0.096, 0.115, 0.146, 0.184), flows, strict=True):
        assert discharge(Circular(bore), law, slope, 0.5) * 1e3 == pytest.approx(printed, abs=0.06)


@pytest.mark.parametrize(
    ("inch_per_foot", "bore", "flows"),
    [
        (1 / 8, 26.64, (403, 363, 330)),
        (1 / 8, 35.05, (837, 754, 685)),
        (1 / 8, 40.89, (1263, 1137, 1033)),
        (1 / 8, 52.50, (2459, 2213, 2012)),
        (1 / 8, 77.93, (7049, 6344, 5767)),
        (1 / 4, 26.64, (570, 513, 466)),
        (1 / 4, 35.05, (1184, 1066, 969)),
        (1 / 4, 40.89, (1786, 1607, 1461)),
        (1 / 4, 52.50, (3477, 3130, 2845)),
        (1 / 4, 77.93, (9969, 8972, 8156)),
    ],
)
def test_half_full_capacity_of_trade_sizes(
    inch_per_foot: float, bore: float, flows: tuple[int, ...]
) -> None:
    # L/h at Manning n 0.009, 0.010, 0.011, computed by an independent script (nominal bores, here
    # to 0.01 mm, which moves the flow by up to 0.1 %).
    for n, expected in zip((0.009, 0.010, 0.011), flows, strict=True):
        flow = discharge(Circular(bore / 1e3), Manning(n), inch_per_foot / 12, 0.5)
        assert flow / LITRES_PER_HOUR == pytest.approx(expected, rel=0.001, abs=0.6)


@pytest.mark.parametrize(("fill", "n"), [(0.3, 0.0085), (0.5, 0.0083)])
def test_smooth_pvc_answers_to_a_manning_n_of_8_to_9_thousandths(fill: float, n: float) -> None:
    # n implied by Colebrook with a roughness of 2.13 µm at 20 °C, 1 1/2 in falling 1 %, computed
    # by another script. (At a fill of 0.1 that script leaves out that the flow is nearly laminar.)
    pipe = Circular(40.894e-3)
    implied = discharge(pipe, Manning(1.0), 0.01, fill) / discharge(pipe, Darcy(), 0.01, fill)
    assert implied == pytest.approx(n, abs=6e-5)


@pytest.mark.parametrize("reynolds", [40.0, 900.0, 2000.0, 2300.0, 5e3, 1e5, 1e7])
def test_part_full_friction_is_that_of_full_pipes_of_the_hydraulic_diameter(
    reynolds: float,
) -> None:
    law = Darcy(roughness=0.05e-3)
    factor = law.friction_factor(reynolds, 0.04)
    assert factor == pytest.approx(float(friction_factor(reynolds, 0.05 / 40)), rel=1e-8)
    area, perimeter = pi * 0.04**2 / 4, pi * 0.04
    velocity = reynolds * law.viscosity / 0.04
    slope = law.friction_slope(velocity * area, area, perimeter)
    assert slope == pytest.approx(factor / 0.04 * velocity**2 / (2 * G), rel=1e-12)
    if not 2000 < reynolds < 2300:
        assert law.discharge(slope, area, perimeter) == pytest.approx(velocity * area, rel=1e-8)
