"""A manifold of many outlets: Christiansen's factor, a solved benchmark, and uniformity."""

import csv
from pathlib import Path

import numpy as np
import pytest

from designer.water.friction import Conduits
from designer.water.network import Conduit as Pipe
from designer.water.network import Emitter, HeadSource, Network, Node, Outlet, Stretch
from designer.water.properties import Water
from designer.water.solve import solve
from designer.water.uniformity import (
    christiansen_factor,
    christiansen_factor_exact,
    christiansen_uniformity,
    emission_uniformity,
    low_quarter_uniformity,
)
from tests.water.feeds import LITRES_PER_HOUR, chain

TABLE = Path(__file__).parent / "data" / "christiansen_f.csv"
COLUMNS = [(m, spacing) for m in ("1.75", "1.852", "2.0") for spacing in ("full", "half")]
# The kinematic viscosity the benchmark states.
BENCHMARK_WATER = Water(20.0, 998.2, 1.0034e-6 * 998.2, 0.0727)


def table() -> list[dict[str, str]]:
    lines = TABLE.read_text(encoding="utf-8").splitlines()
    rows = list(csv.DictReader(line for line in lines if not line.startswith("#")))
    assert [int(row["N"]) for row in rows] == list(range(1, 101))
    return rows


@pytest.mark.parametrize(("m", "spacing"), COLUMNS)
def test_christiansens_exact_sum_for_1_to_100_outlets(m: str, spacing: str) -> None:
    for row in table():
        found = christiansen_factor_exact(int(row["N"]), float(m), spacing == "half")
        assert found == pytest.approx(float(row[f"exact_{spacing}_m{m}"]), abs=6e-7)


@pytest.mark.parametrize(("m", "spacing"), COLUMNS)
def test_christiansens_formula_for_2_to_100_outlets(m: str, spacing: str) -> None:
    for row in table()[1:]:
        found = christiansen_factor(int(row["N"]), float(m), spacing == "half")
        assert found == pytest.approx(float(row[f"formula_{spacing}_m{m}"]), abs=6e-7)


@pytest.mark.parametrize(
    ("m", "half", "worst"),
    [
        (1.75, False, 0.00175),  # 0.17 %, and so on, as stated to 0.01 %
        (1.852, False, 0.00095),
        (2.0, False, 1e-12),
        (1.75, True, 0.00275),
        (1.852, True, 0.00155),
        (2.0, True, 1e-12),
    ],
)
def test_the_formula_keeps_within_its_known_error_of_the_exact_sum(
    m: float, half: bool, worst: float
) -> None:
    for outlets in range(2, 101):
        exact = christiansen_factor_exact(outlets, m, half)
        assert christiansen_factor(outlets, m, half) == pytest.approx(exact, rel=worst)


def test_one_outlet_has_a_factor_of_one() -> None:
    assert christiansen_factor(1, 1.75) == christiansen_factor(1, 1.75, half_spacing=True) == 1.0


def test_a_manifold_of_equal_outlets_loses_what_christiansen_says() -> None:
    """Nearly constant emitters, turbulent throughout; m of smooth pipe there is about 1.8."""
    outlets, bore = 20, 0.01524
    network = chain(
        HeadSource("0", 60.0),
        outlets,
        lambda i: Outlet(f"o{i}", str(i), 0.0, emitter=Emitter(150.0, 0.05)),
        spacing=0.3,
        bore=bore,
    )
    result = solve(network, BENCHMARK_WATER)
    lost = 60.0 - result.node_heads[str(outlets)]
    whole = Conduits([0.3 * outlets], [bore], [1.5e-6], [0.0], 1.0034e-6)
    undiminished = float(whole.loss_and_slope(np.array([result.flow]))[0][0])
    factor = lost / undiminished
    assert christiansen_factor(outlets, 1.852) < factor < christiansen_factor(outlets, 1.70)


def benchmark() -> Network:
    return chain(
        HeadSource("0", 2.0),
        12,
        lambda i: Outlet(f"o{i}", str(i), 0.0, emitter=Emitter(60.0, 0.5)),
    )


def test_benchmark_of_twelve_outlets_on_a_half_inch_manifold() -> None:
    """12 outlets at 0.5 m, bore 15.24 mm, e 1.5 µm, level, head 2 m, q = 60 h^0.5 L/h.

    Computed by a second implementation, not published; held to 0.1 %.
    """
    result = solve(benchmark(), BENCHMARK_WATER)
    flows = [flow / LITRES_PER_HOUR for flow in result.outlet_flows.values()]
    assert sum(flows) == pytest.approx(933.856, rel=0.001)
    assert flows[0] == pytest.approx(82.9942, rel=0.001)
    assert flows[-1] == pytest.approx(75.5943, rel=0.001)
    assert result.node_heads["12"] == pytest.approx(1.58736, rel=0.001)
    assert min(flows) / np.mean(flows) == pytest.approx(0.97138, rel=0.001)
    assert emission_uniformity(flows, 0.05) == pytest.approx(90.970, rel=0.001)
    assert christiansen_uniformity(flows) == pytest.approx(97.419, rel=0.001)
    assert low_quarter_uniformity(flows) == pytest.approx(97.192, rel=0.001)


def test_the_same_manifold_laid_both_ways_from_the_middle_is_more_even() -> None:
    nodes = tuple(Node(str(i)) for i in range(13))
    pipe = Pipe(0.5, 0.01524, 1.5e-6)
    above = ["0", *(str(i) for i in range(1, 6)), "0", *(str(i) for i in range(7, 12))]
    stretches = tuple(Stretch(f"s{i}", above[i - 1], str(i), pipe) for i in range(1, 13))
    both = Network(HeadSource("0", 2.0), nodes, stretches, benchmark().outlets)
    flows = list(solve(both, BENCHMARK_WATER).outlet_flows.values())
    one_way = list(solve(benchmark(), BENCHMARK_WATER).outlet_flows.values())
    assert flows[:6] == pytest.approx(flows[6:], rel=1e-9)
    assert emission_uniformity(flows) > emission_uniformity(one_way)


def test_uniformity_of_equal_outlets() -> None:
    """EU = 100 (1 - 1.27 Cv / sqrt n) qmin/qavg (second-hand): 1.27 * 0.05 costs 6.35 %."""
    equal = [3.0] * 8
    assert emission_uniformity(equal) == pytest.approx(100.0)
    assert emission_uniformity(equal, 0.05) == pytest.approx(93.65)
    assert emission_uniformity(equal, 0.05, 4.0) == pytest.approx(96.825)
    assert christiansen_uniformity(equal) == pytest.approx(100.0)
    assert low_quarter_uniformity(equal) == pytest.approx(100.0)


def test_uniformity_by_hand() -> None:
    flows = [8.0, 9.0, 11.0, 12.0]
    assert emission_uniformity(flows) == pytest.approx(80.0)
    assert christiansen_uniformity(flows) == pytest.approx(85.0)
    assert low_quarter_uniformity(flows) == pytest.approx(80.0)
    # A quarter of six outlets is one and a half of them.
    six = [8.0, 9.0, 10.0, 11.0, 11.0, 11.0]
    assert low_quarter_uniformity(six) == pytest.approx(100.0 * (8.0 + 4.5) / 1.5 / 10.0)


def test_uniformity_without_water_is_zero() -> None:
    for flows in ([], [0.0, 0.0]):
        assert emission_uniformity(flows) == 0.0
        assert christiansen_uniformity(flows) == 0.0
        assert low_quarter_uniformity(flows) == 0.0
