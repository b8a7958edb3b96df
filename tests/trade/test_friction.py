"""Reynolds numbers, friction factors and head losses against published examples.

"Second-hand" marks values read in a transcription of the named book, not in the book.
"""

import math

import fluids
import numpy as np
import pytest

from designer.water.friction import (
    LAMINAR_LIMIT,
    TURBULENT_LIMIT,
    Conduits,
    friction_factor,
    friction_number,
    hazen_williams_slope,
)
from designer.water.properties import STANDARD_GRAVITY, water_at

FOOT = 0.3048
INCH = 0.0254


def head_loss(
    flow: float, *, length: float, bore: float, roughness: float, nu: float, minor: float = 0.0
) -> float:
    conduits = Conduits([length], [bore], [roughness], [minor], nu)
    return float(conduits.loss_and_slope(np.array([flow]))[0][0])


def test_crane_7_1_smooth_plastic_pipe() -> None:
    """Crane TP-410M problem 7.1, second-hand: Re 100 600 and f 0.0179, read off Crane's charts.

    Water at 30 °C, 200 L/min, 50 mm smooth plastic; bore taken as 52.48 mm.
    """
    velocity = 0.2 / 60.0 / (math.pi / 4.0 * 0.05248**2)
    reynolds = velocity * 0.05248 / water_at(30.0).kinematic_viscosity
    assert reynolds == pytest.approx(100_600.0, rel=0.005)
    assert float(friction_factor(reynolds, 0.0)) == pytest.approx(0.0179, rel=0.013)


def test_crane_7_26_two_thirds_full_culvert() -> None:
    """Crane TP-410M problem 7.26, second-hand: 24 500 gpm without iteration of f.

    Bore 24 in, depth 2/3 of it, fall 0.75 in/ft, 62.364 lb/ft3, 1.1 cP, e/D 0.00036.
    """
    bore, fall = 24 * INCH, 0.75 / 12.0
    half_angle = math.acos(1.0 - 2.0 * 2.0 / 3.0)
    area = bore**2 / 4.0 * (half_angle - math.sin(half_angle) * math.cos(half_angle))
    hydraulic = 4.0 * area / (half_angle * bore)
    viscosity = 1.1e-3 / (62.364 * 16.01846)
    factor = 0.0155
    for _ in range(50):
        velocity = math.sqrt(2.0 * STANDARD_GRAVITY * hydraulic * fall / factor)
        factor = float(friction_factor(velocity * hydraulic / viscosity, 0.00036))
    gallons = velocity * area / 3.785411784e-3 * 60.0
    assert gallons == pytest.approx(24_500.0, rel=0.005)
    assert gallons == pytest.approx(24_411.0, rel=0.0005)  # iterated by a second implementation


def test_cengel_8_2_laminar_flow_in_a_thin_tube() -> None:
    """Çengel and Cimbala example 8-2, second-hand: 4.46 m, 43.7 kPa, 0.28 W."""
    flow = 0.9 * math.pi / 4.0 * 0.003**2
    head = head_loss(flow, length=9.0, bore=0.003, roughness=0.0, nu=1.519e-6)
    assert head == pytest.approx(4.46, abs=0.005)
    pressure = 1000.0 * STANDARD_GRAVITY * head
    assert pressure == pytest.approx(43.7e3, rel=0.0015)
    assert pressure * flow == pytest.approx(0.28, abs=0.005)


def test_cengel_8_8_gravity_pipe_with_minor_losses() -> None:
    """Çengel and Cimbala example 8-8, second-hand: reservoir surface at 31.8 m.

    D 50 mm, 6 L/s, 89 m, K 0.5 + 2 * 0.3 + 0.2 + 1.06, outlet at 4 m; f 0.0315, roughness 0.26 mm
    of cast iron, water at 10 °C.
    """
    minor = 0.5 + 2 * 0.3 + 0.2 + 1.06
    head = head_loss(
        0.006, length=89.0, bore=0.05, roughness=0.26e-3, nu=1.307e-3 / 999.7, minor=minor
    )
    assert 4.0 + head == pytest.approx(31.8, abs=0.05)


def test_darcy_example_of_maurer() -> None:
    """Maurer, `hydraulics` vignette (opened): D 20 in, 10 560 ft, 4 cfs, e 0.0005 ft.

    Re 248 624.7 -> f 0.0173031, head loss 5.72 ft, where gravity is 32.2 ft/s2.
    """
    bore, flow = 20 * INCH, 4 * FOOT**3
    velocity = flow / (math.pi / 4.0 * bore**2)
    nu = velocity * bore / 248_624.7
    roughness = 0.0005 * FOOT
    assert float(friction_factor(248_624.7, roughness / bore)) == pytest.approx(
        0.0173031, rel=0.0005
    )
    head = head_loss(flow, length=10_560 * FOOT, bore=bore, roughness=roughness, nu=nu)
    their_gravity = 32.2 * FOOT
    assert head / FOOT * STANDARD_GRAVITY / their_gravity == pytest.approx(5.72, abs=0.005)


# L/h in a bore of 15.24 mm at 20 °C: Re, J in m/m, Hazen-Williams with C 150, 140, 130 over Darcy.
# Computed by a second implementation, not published.
SMALL_TUBE = [
    (20, 463, 0.00043, 0.30, 0.34, 0.40),
    (50, 1156, 0.00107, 0.66, 0.75, 0.86),
    (100, 2313, 0.00367, 0.70, 0.80, 0.91),
    (200, 4626, 0.01190, 0.78, 0.89, 1.02),
    (400, 9251, 0.03930, 0.85, 0.97, 1.11),
    (600, 13877, 0.07968, 0.89, 1.01, 1.16),
    (1000, 23129, 0.19555, 0.93, 1.06, 1.22),
]


@pytest.mark.parametrize(("litres", "reynolds", "slope", "hw150", "hw140", "hw130"), SMALL_TUBE)
def test_friction_in_a_half_inch_tube_and_what_hazen_williams_makes_of_it(
    litres: int, reynolds: int, slope: float, hw150: float, hw140: float, hw130: float
) -> None:
    flow, bore, nu = litres / 3.6e6, 0.01524, 1.0034e-6
    assert flow * 4.0 / (math.pi * bore * nu) == pytest.approx(reynolds, abs=0.6)
    darcy = head_loss(flow, length=1.0, bore=bore, roughness=1.5e-6, nu=nu)
    assert darcy == pytest.approx(slope, rel=0.0005, abs=0.000005)
    for coefficient, ratio in ((150.0, hw150), (140.0, hw140), (130.0, hw130)):
        found = hazen_williams_slope(flow, bore, coefficient) / darcy
        assert found == pytest.approx(ratio, abs=0.006)


def test_blasius_lies_within_four_percent_from_re_2300_to_25_000() -> None:
    reynolds = np.linspace(2313.0, 25_000.0, 500)
    blasius = 0.3164 / reynolds**0.25
    assert np.abs(blasius / friction_factor(reynolds, 1.5e-6 / 0.01524) - 1.0).max() < 0.045


def test_colebrook_factor_equals_that_of_a_general_library() -> None:
    """`fluids` solves the same equation another way; equal to twelve digits."""
    rng = np.random.default_rng(7)
    reynolds = 10.0 ** rng.uniform(math.log10(2301.0), 8.0, 400)
    relative = np.where(
        rng.random(400) < 0.2, 0.0, 10.0 ** rng.uniform(-6.0, math.log10(0.05), 400)
    )
    theirs = [fluids.Clamond(re, e) for re, e in zip(reynolds, relative, strict=True)]
    np.testing.assert_allclose(friction_factor(reynolds, relative), theirs, rtol=1e-12)


def test_laminar_factor_is_64_over_re() -> None:
    reynolds = np.array([1.0, 100.0, 1999.0, 2000.0])
    np.testing.assert_allclose(friction_factor(reynolds, 0.01) * reynolds, 64.0, rtol=1e-14)


@pytest.mark.parametrize("relative", [0.0, 1e-4, 1e-2, 0.05])
def test_head_loss_grows_without_a_jump_through_the_transition(relative: float) -> None:
    reynolds = np.linspace(0.5 * LAMINAR_LIMIT, 1.5 * TURBULENT_LIMIT, 200_001)
    number, slope = friction_number(reynolds, np.full_like(reynolds, relative))
    step = np.diff(number)
    assert (step > 0.0).all()
    assert (slope > 0.0).all()
    # The derivative fits the value, so neither jumps.
    middle = 0.5 * (slope[1:] + slope[:-1]) * np.diff(reynolds)
    np.testing.assert_allclose(step, middle, rtol=0.002)


def test_no_flow_loses_no_head() -> None:
    conduits = Conduits([1.0], [0.01], [1e-6], [2.0], 1e-6)
    loss, slope = conduits.loss_and_slope(np.array([0.0]))
    assert loss[0] == 0.0
    assert slope[0] == pytest.approx(128.0 * 1e-6 / (math.pi * STANDARD_GRAVITY * 0.01**4))


# °C, kg/m3, mPa·s, mm2/s: two independent implementations of IAPWS-95 and R12-08 (computed).
WATER = [
    (5, 999.967, 1.5182, 1.5182),
    (10, 999.702, 1.3059, 1.3063),
    (15, 999.103, 1.1376, 1.1386),
    (18, 998.599, 1.0527, 1.0542),
    (20, 998.207, 1.0016, 1.0034),
    (22, 997.773, 0.9544, 0.9565),
    (25, 997.048, 0.8900, 0.8927),
    (28, 996.236, 0.8324, 0.8355),
    (30, 995.649, 0.7972, 0.8007),
    (35, 994.033, 0.7191, 0.7234),
]


@pytest.mark.parametrize(("celsius", "density", "dynamic", "kinematic"), WATER)
def test_water_by_temperature(
    celsius: int, density: float, dynamic: float, kinematic: float
) -> None:
    water = water_at(float(celsius))
    assert water.density == pytest.approx(density, abs=0.001)
    assert water.dynamic_viscosity * 1e3 == pytest.approx(dynamic, abs=0.00006)
    assert water.kinematic_viscosity * 1e6 == pytest.approx(kinematic, abs=0.00006)


@pytest.mark.parametrize(
    ("celsius", "density", "viscosity"),
    [(10, 999.65, 1.3056), (20, 998.16, 1.0014), (30, 995.60, 0.79719)],
)
def test_water_agrees_with_the_nist_values_reprinted_by_the_hydraulic_institute(
    celsius: int, density: float, viscosity: float
) -> None:
    """Hydraulic Institute, Engineering Data Tool Tbl 2.A.2 (opened), on the saturation line."""
    water = water_at(float(celsius))
    assert water.density == pytest.approx(density, rel=0.0001)
    assert water.dynamic_viscosity * 1e3 == pytest.approx(viscosity, rel=0.00025)


@pytest.mark.parametrize(
    ("celsius", "density", "viscosity", "tension"),
    [
        (2.5, 999.957, 1.6459, 75.297),
        (7.5, 999.879, 1.4056, 74.583),
        (12.5, 999.442, 1.2171, 73.855),
        (32.5, 994.867, 0.7565, 70.800),
        (37.5, 993.149, 0.6846, 70.001),
    ],
)
def test_water_between_the_rows_of_the_table(
    celsius: float, density: float, viscosity: float, tension: float
) -> None:
    """IAPWS-95, R12-08 and R1-76 as computed by an implementation of them."""
    water = water_at(celsius)
    assert water.density == pytest.approx(density, abs=0.02)
    assert water.dynamic_viscosity * 1e3 == pytest.approx(viscosity, rel=0.001)
    assert water.surface_tension * 1e3 == pytest.approx(tension, abs=0.02)
