"""The feed against `pandapipes`, a general-purpose library for pipe networks.

It solves the same trees its own way: every open tube end is a boundary of air pressure at its own
height, the exit's velocity head a loss factor of 1. Its Colebrook model has no laminar branch, so
the networks are such that every conduit runs turbulent, which each test asserts. It takes gravity
as 9.81 m/s2 and 3.71 for 3.7 in Colebrook's equation.
"""

import math
import random

import pandapipes
import pytest
from pandapipes.properties.fluids import create_constant_fluid

from designer.water.friction import TURBULENT_LIMIT
from designer.water.network import (
    Conduit,
    FeedResult,
    HeadSource,
    Network,
    Node,
    Outlet,
    PumpSource,
    Status,
    Stretch,
)
from designer.water.properties import water_at
from designer.water.pump import PumpCurve
from designer.water.solve import solve

WATER = water_at(20.0)
AIR_BAR = 1.01325
THEIR_GRAVITY = 9.81
KELVIN = 293.15


def random_tree(seed: int) -> Network:
    """A branching feed of 4 to 14 stretches with open tubes, some nodes without one."""
    chance = random.Random(seed)
    count = chance.randint(4, 14)
    nodes, stretches, outlets = [Node("0")], [], []
    parents = set()
    for i in range(1, count + 1):
        above = chance.randint(max(0, i - 3), i - 1)
        parents.add(above)
        nodes.append(Node(str(i)))
        pipe = Conduit(
            chance.uniform(0.3, 3.0), chance.uniform(0.018, 0.032), 2e-6, chance.uniform(0.0, 3.0)
        )
        stretches.append(Stretch(f"s{i}", str(above), str(i), pipe))
    for i in range(1, count + 1):
        if i not in parents or chance.random() < 0.7:
            tube = Conduit(
                chance.uniform(0.2, 1.0),
                chance.uniform(0.007, 0.010),
                2e-6,
                chance.uniform(0.5, 3.0),
            )
            outlets.append(Outlet(f"o{i}", str(i), chance.uniform(0.0, 0.6), tube=tube))
    return Network(
        HeadSource("0", chance.uniform(2.5, 5.0)), tuple(nodes), tuple(stretches), tuple(outlets)
    )


def reynolds_numbers(network: Network, result: FeedResult) -> list[float]:
    nu = WATER.kinematic_viscosity
    return [
        4.0 * flow / (math.pi * bore * nu)
        for flow, bore in (
            *((result.stretch_flows[s.name], s.conduit.bore) for s in network.stretches),
            *((result.outlet_flows[o.name], o.tube.bore) for o in network.outlets if o.tube),
        )
    ]


def their_flows(network: Network) -> dict[str, float]:
    """Flow of each outlet in m3/s by the library."""
    fluid = create_constant_fluid(
        "water",
        "liquid",
        density=WATER.density,
        viscosity=WATER.dynamic_viscosity,
        heat_capacity=4182.0,
    )
    net = pandapipes.create_empty_network(fluid=fluid)

    def junction(height: float) -> int:
        return int(
            pandapipes.create_junction(net, pn_bar=AIR_BAR, tfluid_k=KELVIN, height_m=height)
        )

    def pipe(start: int, end: int, conduit: Conduit, more: float) -> int:
        return int(
            pandapipes.create_pipe_from_parameters(
                net,
                start,
                end,
                length_km=conduit.length / 1000.0,
                inner_diameter_mm=conduit.bore * 1000.0,
                k_mm=conduit.roughness * 1000.0,
                loss_coefficient=conduit.minor + more,
            )
        )

    place = {node.name: junction(0.0) for node in network.nodes}
    source = network.source
    start = place[source.node]
    weight = WATER.density * THEIR_GRAVITY / 1e5  # bar per m
    if isinstance(source, PumpSource):
        well = junction(0.0)
        pandapipes.create_ext_grid(net, well, p_bar=AIR_BAR + source.level * weight, t_k=KELVIN)
        flows = [i / 4.0 * source.curve.free_flow for i in range(5)]
        pandapipes.create_pump_from_parameters(
            net,
            well,
            start,
            "the pump",
            pressure_list=[source.curve.head(flow) * weight for flow in flows],
            flowrate_list=[flow * 3600.0 for flow in flows],
            reg_polynomial_degree=2,
        )
    else:
        pandapipes.create_ext_grid(net, start, p_bar=AIR_BAR + source.level * weight, t_k=KELVIN)
    for stretch in network.stretches:
        pipe(place[stretch.upstream], place[stretch.downstream], stretch.conduit, 0.0)
    tubes = {}
    for outlet in network.outlets:
        assert outlet.tube is not None
        end = junction(outlet.elevation)
        pandapipes.create_ext_grid(net, end, p_bar=AIR_BAR, t_k=KELVIN)
        tubes[outlet.name] = pipe(place[outlet.node], end, outlet.tube, 1.0)
    pandapipes.pipeflow(
        net,
        friction_model="colebrook",
        tolerance_colebrook=1e-10,
        max_iter_hyd=200,
        tol_p=1e-9,
        tol_m=1e-9,
        mode="hydraulics",
        use_numba=False,
    )
    mass = net.res_pipe["mdot_from_kg_per_s"]
    return {name: float(mass[tube]) / WATER.density for name, tube in tubes.items()}


def assert_alike(network: Network) -> None:
    ours = solve(network, WATER)
    assert ours.status is Status.RUNNING
    assert min(reynolds_numbers(network, ours)) > TURBULENT_LIMIT
    theirs = their_flows(network)
    assert theirs == pytest.approx(ours.outlet_flows, rel=0.005)


@pytest.mark.parametrize("seed", range(12))
def test_random_trees_give_the_flows_of_a_general_library(seed: int) -> None:
    assert_alike(random_tree(seed))


@pytest.mark.parametrize("seed", range(100, 104))
def test_random_trees_with_a_pump_give_the_flows_of_a_general_library(seed: int) -> None:
    """H = H0 (1 - (Q/Qmax)²), which the library's fitted polynomial holds exactly."""
    network = random_tree(seed)
    curve = PumpCurve([(0.0, 6.0), (len(network.outlets) * 2.5e-4, 0.0)], exponent=2.0)
    assert_alike(
        Network(PumpSource("0", -0.5, curve), network.nodes, network.stretches, network.outlets)
    )
