"""Water profiles along a drain against analytic, published and independently computed values."""

from math import sqrt

import numpy as np
import pytest

from designer.water.drain import Inflow, Line, Profile, Regime, Stretch, drain_profile
from designer.water.profile import Grid, water_depths
from designer.water.resistance import Darcy, Manning, Resistance
from designer.water.section import Circular, Rectangular, Section

LITRES_PER_HOUR = 1 / 3.6e6
TWO_INCH = Circular(0.0525018)
TOTAL = 1200 * LITRES_PER_HOUR
LENGTH = 6.0


class NoFriction:
    """A wall without friction."""

    def friction_slope(self, flow: float, area: float, perimeter: float) -> float:
        return 0.0

    def discharge(self, slope: float, area: float, perimeter: float) -> float:
        raise AssertionError("Uniform flow has no meaning without friction.")


def _line(
    slope: float,
    resistance: Resistance,
    holes: int = 400,
    section: Section = TWO_INCH,
    total: float = TOTAL,
    length: float = LENGTH,
) -> Line:
    """A line with its inflow shared by equal holes in the middles of equal cells."""
    inflows = tuple(Inflow((i + 0.5) * length / holes, total / holes) for i in range(holes))
    return Line(section, resistance, (Stretch(length, slope),), inflows)


def _spread(slope: float, resistance: Resistance, points: int = 2001) -> tuple[Grid, np.ndarray]:
    """Grid and state for an inflow spread evenly along the line, without holes."""
    at = np.linspace(0.0, LENGTH, points)
    steps = np.diff(at).tolist()
    grid = Grid(at, TOTAL * at / LENGTH, slope * (LENGTH - at), steps, [slope] * len(steps))
    return grid, water_depths(TWO_INCH, resistance, grid)[2]


def _at(profile: Profile, *shares: float) -> list[float]:
    return [profile.depth_at(share * profile.line.length) for share in shares]


def test_level_frictionless_rectangular_channel_starts_root_three_of_critical() -> None:
    # Novak et al., Hydraulic Structures, Eq. 4.29, y(0) = √3 yc. The damaged excerpt that could be
    # read has x/L on the left; the momentum equation asks for (Q/Q_L)² = (x/L)², as is used here:
    # (x/L)² = (y/yc)(1.5 - 0.5 (y/yc)²), hence 1.53209 yc where (x/L)² = 1/2.
    channel = Rectangular(0.3)
    line = _line(0.0, NoFriction(), 40, channel, 0.004)
    profile = drain_profile(line)
    critical = float(profile.critical_depth[-1])
    assert profile.depth_at(0) / critical == pytest.approx(sqrt(3), rel=1e-9)
    ratio = profile.depth / critical
    share = profile.flow / line.flow
    assert np.allclose(share**2, ratio * (1.5 - 0.5 * ratio**2), rtol=0, atol=1e-9)
    halves = Line(
        channel,
        NoFriction(),
        (Stretch(1, 0),),
        (Inflow(0.3, 0.004 * sqrt(0.5)), Inflow(0.7, 0.004 * (1 - sqrt(0.5)))),
    )
    assert drain_profile(halves).depth_at(0.5) / critical == pytest.approx(1.53209, abs=6e-6)


@pytest.mark.parametrize(
    ("fill", "ratio"),
    [
        (0.05, 1.4858), (0.10, 1.4918), (0.20, 1.5057), (0.30, 1.5233), (0.40, 1.5464),
        (0.50, 1.5785), (0.55, 1.6002), (0.60, 1.6283),
    ],
)  # fmt: skip
def test_level_frictionless_round_drain_starts_at_the_depth_of_equal_force(
    fill: float, ratio: float
) -> None:
    # Exact: Q²/(gA) + A ȳ is conserved; computed by an independent script, four decimals.
    area, _, width, _ = TWO_INCH.elements(fill * TWO_INCH.bore)
    flow = sqrt(9.80665 * area**3 / width)
    profile = drain_profile(_line(0.0, NoFriction(), 12, total=flow))
    assert profile.depth_at(0) / (fill * TWO_INCH.bore) == pytest.approx(ratio, abs=6e-5)
    assert not profile.surcharged


def test_level_frictionless_drain_surcharges_its_head_from_critical_fill_0_65() -> None:
    area, _, width, _ = TWO_INCH.elements(0.65 * TWO_INCH.bore)
    profile = drain_profile(_line(0.0, NoFriction(), 12, total=sqrt(9.80665 * area**3 / width)))
    assert profile.surcharged
    assert profile.regime is Regime.FULL
    assert np.all(np.isfinite(profile.depth))


# Benchmarks computed by an independent script with an ODE solver, not published: 52.5018 mm bore,
# 6 m, 1200 L/h spread evenly, free outfall, started at 1.0005 of the critical depth 21.5378 mm.
@pytest.mark.parametrize(
    ("slope", "resistance", "depths"),
    [
        (0.0, Manning(0.010), (36.568, 36.256, 35.106, 32.457)),
        (0.0, Darcy(2.13e-6, 1.0034e-6), (36.414, 36.083, 34.869, 32.152)),
        (0.001, Manning(0.010), (31.363, 32.450, 32.551, 31.070)),
    ],
)
def test_drain_benchmarks_within_a_thousandth(
    slope: float, resistance: Resistance, depths: tuple[float, ...]
) -> None:
    profile = drain_profile(_line(slope, resistance))
    found = _at(profile, 0.0, 0.25, 0.5, 0.75)
    assert np.multiply(found, 1e3) == pytest.approx(depths, rel=1e-3)
    assert profile.depth[-1] * 1e3 == pytest.approx(21.5378, rel=1e-3)
    assert profile.regime is Regime.FREE


def test_frictionless_benchmark_and_deepest_water_in_mid_pipe_once_there_is_a_fall() -> None:
    assert drain_profile(_line(0.0, NoFriction())).depth_at(0) * 1e3 == pytest.approx(
        33.3660, rel=1e-3
    )
    sloping = drain_profile(_line(0.001, Manning(0.010)))
    assert 0.3 < sloping.distance[sloping.fullest] / LENGTH < 0.6


def test_benchmark_converges_with_the_number_of_holes() -> None:
    # Head depth of the level benchmark against a spread inflow, finely stepped.
    at = np.linspace(0.0, LENGTH, 6001)
    steps = np.diff(at).tolist()
    grid = Grid(at, TOTAL * at / LENGTH, 0 * at, steps, [0.0] * len(steps))
    true = float(water_depths(TWO_INCH, Manning(0.010), grid)[0][0])
    errors = [
        abs(drain_profile(_line(0.0, Manning(0.010), holes)).depth_at(0) - true)
        for holes in (25, 100, 400)
    ]
    assert errors[0] > 3 * errors[1] > 9 * errors[2]
    assert errors[1] < 1e-4 * true


def test_interior_control_appears_only_well_past_the_uniform_critical_slope() -> None:
    # Independent computation: uniform critical slope 0.615 %, yet no interior control at 1 %; it
    # comes at 1.155 % and stands at x = 0.762 m for 2 %.
    for slope in (0.007, 0.010, 0.0115):
        assert np.all(_spread(slope, Manning(0.010))[1][1:-1] > 0)
    assert np.any(_spread(0.0116, Manning(0.010))[1][1:-1] <= 0)
    grid, state = _spread(0.02, Manning(0.010))
    control = float(grid.distance[(state <= 0) & (grid.flow > 0)][0])
    assert control == pytest.approx(0.762, abs=0.004)
    assert np.all(state[grid.distance > control + 0.01] < 0)


def test_interior_control_of_a_rectangular_channel_by_the_published_formula() -> None:
    # Novak et al., Eq. 4.27: x = 8 q²/(g B² [S0 - g P/(C² B)]³), q the inflow per metre. Without
    # friction C is infinite and the bracket is S0.
    width, inflow, slope = 0.05, 1e-4, 0.03
    control = 8 * inflow**2 / (9.80665 * width**2 * slope**3)
    at = np.linspace(0.0, 3.0, 3001)
    steps = np.diff(at).tolist()
    grid = Grid(at, inflow * at, slope * (3 - at), steps, [slope] * len(steps))
    state = water_depths(Rectangular(width), NoFriction(), grid)[2]
    assert 0.05 < control < 2.9
    assert float(at[(state <= 0) & (at > 0)][0]) == pytest.approx(control, abs=0.002)


def _direct_step(depths: np.ndarray) -> np.ndarray:
    """Distances by the direct step, friction at the mean depth: 5 m wide, 55.4 m³/s, g 9.8."""
    channel, law, slope, flow, g = Rectangular(5.0), Manning(0.02), 0.001, 55.4, 9.8
    energy = depths + (flow / channel.areas(depths)) ** 2 / (2 * g)
    steps = [0.0]
    for i, middle in enumerate((depths[1:] + depths[:-1]) / 2):
        area, perimeter, _, _ = channel.elements(float(middle))
        fall = slope - law.friction_slope(flow, area, perimeter)
        steps.append((energy[i + 1] - energy[i]) / fall)
    return np.cumsum(steps)


def test_direct_step_backwater_with_32_stations_as_published() -> None:
    # Cleveland, CE 3305 notes (after Koutitas 1983): 8 m to 5 m of depth in 32 stations.
    assert _direct_step(np.linspace(8, 5, 32))[-1] == pytest.approx(-11393.235684, abs=1e-4)


def test_direct_step_backwater_converges_elsewhere_than_published() -> None:
    # The published answer is 10 % short of the converged one, as 5.000 m is close to normal depth.
    assert _direct_step(np.linspace(8, 5, 100001))[-1] == pytest.approx(-12531.73, abs=0.01)
    assert _direct_step(np.linspace(8, 5.5, 20001))[-1] == pytest.approx(-5288.37, abs=0.01)


@pytest.mark.parametrize(("length", "depth"), [(5288.37, 5.5), (12531.73, 5.0)])
def test_our_march_finds_the_converged_backwater(length: float, depth: float) -> None:
    line = Line(Rectangular(5.0), Manning(0.02), (Stretch(length, 0.001),), (Inflow(0.0, 55.4),))
    profile = drain_profile(line, 8.0)
    assert float(profile.depth[-1]) == 8.0
    assert float(profile.depth[1]) == pytest.approx(depth, rel=2e-4)
    assert profile.regime is Regime.DROWNED


def test_hydraulic_jump_keeps_the_published_ratio_of_depths() -> None:
    # Bélanger: y2/y1 = (√(1 + 8 Fr²) - 1)/2 in a level frictionless channel of upright sides.
    channel, flow = Rectangular(0.2), 0.006
    line = Line(channel, NoFriction(), (Stretch(1, 0.05), Stretch(1, 0.0)), (Inflow(0.0, flow),))
    free = drain_profile(line)
    shooting = float(free.depth[-1])
    froude = float(free.froude[-1])
    assert froude > 1.5
    sequent = shooting * (sqrt(1 + 8 * froude**2) - 1) / 2
    swept = drain_profile(line, sequent * 0.999)
    held = drain_profile(line, sequent * 1.001)
    assert float(swept.depth_at(1.5)) == pytest.approx(shooting, rel=1e-9)
    assert float(held.depth_at(1.5)) == pytest.approx(sequent * 1.001, rel=1e-6)
