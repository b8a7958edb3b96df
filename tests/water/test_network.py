"""The feed: what must hold for any tree, and the cases a grower meets."""

import math
from collections import defaultdict
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from designer.water.network import (
    Conduit,
    Emitter,
    FeedResult,
    HeadSource,
    Network,
    Node,
    Outlet,
    OutletState,
    PumpSource,
    Status,
    Stretch,
    Valve,
)
from designer.water.properties import water_at
from designer.water.pump import PumpCurve
from designer.water.solve import solve, system_curve
from tests.water.feeds import LITRES_PER_HOUR, chain, networks

WATER = water_at(20.0)
TUBE = Conduit(0.4, 0.0043, 1.5e-6, minor=2.5)
CURVE = PumpCurve([(0.0, 2.0), (1200 * LITRES_PER_HOUR, 0.0)])


def tube_outlet(i: int) -> Outlet:
    return Outlet(f"o{i}", str(i), 0.3, tube=TUBE)


def most(result: FeedResult) -> float:
    return max(result.outlet_flows.values(), default=0.0)


def every_number(result: FeedResult) -> list[float]:
    use = result.head_use
    return [
        *(result.flow, result.head, result.static_head, result.bypass_flow),
        *result.node_heads.values(),
        *result.node_pressures.values(),
        *result.stretch_flows.values(),
        *result.stretch_velocities.values(),
        *result.outlet_flows.values(),
        *result.outlet_heads.values(),
        *(use.lift, use.friction, use.fittings, use.valves, use.tubes, use.ends),
    ]


@given(networks())
def test_every_tree_settles_with_finite_numbers_and_no_flow_backwards(network: Network) -> None:
    result = solve(network, WATER)
    assert result.status is not Status.NOT_SETTLED
    assert all(math.isfinite(number) for number in every_number(result))
    assert min(result.outlet_flows.values(), default=0.0) >= 0.0
    assert min(result.stretch_flows.values(), default=0.0) >= 0.0


@given(networks())
def test_as_much_flows_out_of_every_node_as_into_it(network: Network) -> None:
    result = solve(network, WATER)
    out: dict[str, float] = defaultdict(float)
    into = {network.source.node: result.flow}
    for stretch in network.stretches:
        out[stretch.upstream] += result.stretch_flows[stretch.name]
        into[stretch.downstream] = result.stretch_flows[stretch.name]
    for outlet in network.outlets:
        out[outlet.node] += result.outlet_flows[outlet.name]
    for node in network.nodes:
        assert out[node.name] == pytest.approx(into[node.name], rel=1e-12, abs=1e-24)


@given(networks())
def test_head_given_is_head_used(network: Network) -> None:
    """Energy: lift and all losses, weighted by flow, add up to what the source gives."""
    result = solve(network, WATER)
    if result.flow > 0.0:
        assert result.head_use.total == pytest.approx(result.head, rel=1e-8, abs=1e-8)
        if isinstance(network.source, PumpSource):
            assert result.head == pytest.approx(network.source.curve.head(result.flow), rel=1e-9)


@given(networks())
def test_an_outlet_gives_nothing_only_where_its_end_is_not_below_the_grade_line(
    network: Network,
) -> None:
    result = solve(network, WATER)
    shut = set()
    for outlet in network.outlets:
        valve = outlet.tube.valve if outlet.tube else None
        if outlet.state is not OutletState.OPEN or (valve and valve.opening == 0.0):
            shut.add(outlet.name)
            assert result.outlet_flows[outlet.name] == 0.0
        elif result.outlet_flows[outlet.name] > 0.0:
            assert result.outlet_heads[outlet.name] > -1e-8
    dead = {s.downstream for s in network.stretches if s.conduit.valve == Valve(0.0)}
    for stretch in network.stretches:  # named from the source on, so parents come first
        if stretch.upstream in dead:
            dead.add(stretch.downstream)
    for outlet in network.outlets:
        dry = result.outlet_flows[outlet.name] == 0.0
        if dry and outlet.name not in shut and outlet.node not in dead:
            assert result.outlet_heads[outlet.name] <= 1e-7


@given(networks(), st.randoms(use_true_random=False))
def test_the_order_in_the_input_does_not_matter(network: Network, random) -> None:  # type: ignore[no-untyped-def]
    parts = [list(network.nodes), list(network.stretches), list(network.outlets)]
    for part in parts:
        random.shuffle(part)
    shuffled = Network(network.source, tuple(parts[0]), tuple(parts[1]), tuple(parts[2]))
    before, after = solve(network, WATER), solve(shuffled, WATER)
    assert before.status is after.status
    near = 1e-8 * most(before)
    assert after.outlet_flows == pytest.approx(before.outlet_flows, rel=1e-8, abs=near)
    assert after.stretch_flows == pytest.approx(before.stretch_flows, rel=1e-8, abs=near)
    assert after.node_heads == pytest.approx(before.node_heads, rel=1e-8, abs=1e-8)
    assert list(after.outlet_flows) == [outlet.name for outlet in shuffled.outlets]


@given(networks(), st.floats(0.01, 1.0))
def test_more_head_gives_no_outlet_less(network: Network, more: float) -> None:
    raised = replace(network, source=replace(network.source, level=network.source.level + more))
    before, after = solve(network, WATER), solve(raised, WATER)
    for name, flow in before.outlet_flows.items():
        assert after.outlet_flows[name] >= flow - 1e-8 * most(after)


@given(networks(), st.floats(0.001, 1.0), st.data())
def test_raising_an_outlet_gives_it_no_more_and_the_others_no_less(
    network: Network, by: float, data: st.DataObject
) -> None:
    if not network.outlets:
        return
    place = data.draw(st.integers(0, len(network.outlets) - 1))
    chosen = network.outlets[place]
    raised = replace(chosen, elevation=chosen.elevation + by)
    outlets = (*network.outlets[:place], raised, *network.outlets[place + 1 :])
    before, after = solve(network, WATER), solve(replace(network, outlets=outlets), WATER)
    near = 1e-8 * max(most(before), most(after))
    for name, flow in before.outlet_flows.items():
        if name == chosen.name:
            assert after.outlet_flows[name] <= flow + near
        else:
            assert after.outlet_flows[name] >= flow - near


@given(networks(most_nodes=8))
def test_mirrored_runs_give_alike(network: Network) -> None:
    """Two copies of a tree on one source: each outlet gives what its twin gives."""
    nodes, stretches, outlets = [Node("0")], [], []
    for side in "ab":
        nodes += [replace(node, name=side + node.name) for node in network.nodes]
        stretches.append(Stretch(side, "0", f"{side}0", Conduit(0.3, 0.02, 1.5e-6)))
        stretches += [
            replace(
                s, name=side + s.name, upstream=side + s.upstream, downstream=side + s.downstream
            )
            for s in network.stretches
        ]
        outlets += [replace(o, name=side + o.name, node=side + o.node) for o in network.outlets]
    both = Network(network.source, tuple(nodes), tuple(stretches), tuple(outlets))
    result = solve(both, WATER)
    for outlet in network.outlets:
        left, right = (result.outlet_flows[side + outlet.name] for side in "ab")
        assert left == pytest.approx(right, rel=1e-8, abs=1e-8 * most(result))


def test_the_duty_point_lies_on_the_pump_curve() -> None:
    result = solve(chain(PumpSource("0", -0.4, CURVE), 10, tube_outlet), WATER)
    assert result.status is Status.RUNNING
    assert result.head == pytest.approx(CURVE.head(result.flow), rel=1e-12)
    assert result.node_heads["0"] == pytest.approx(-0.4 + result.head)
    assert result.static_head == pytest.approx(0.7)
    assert result.delivered == pytest.approx(sum(result.outlet_flows.values()))


def test_the_duty_point_is_where_pump_curve_and_system_curve_cross() -> None:
    network = chain(PumpSource("0", -0.4, CURVE), 10, tube_outlet)
    duty = solve(network, WATER)
    (low, _), (at_duty, head), (high, _) = system_curve(
        network, WATER, [0.9 * duty.head, duty.head, 1.1 * duty.head]
    )
    assert head == duty.head
    assert at_duty == pytest.approx(duty.flow, rel=1e-9)
    assert low < duty.flow < high
    assert system_curve(network, WATER, [0.5]) == [(0.0, 0.5)]


def test_a_pump_that_cannot_lift_gives_no_water_and_says_so() -> None:
    result = solve(chain(PumpSource("0", -2.0, CURVE), 5, tube_outlet), WATER)
    assert result.status is Status.CANNOT_LIFT
    assert set(result.outlet_flows.values()) == {0.0}
    assert result.head == pytest.approx(2.0)
    assert result.static_head == pytest.approx(2.3)


def test_a_low_reservoir_level_gives_less() -> None:
    flows = [
        solve(chain(PumpSource("0", level, CURVE), 10, tube_outlet), WATER).flow
        for level in (-0.3, -0.6, -0.9)
    ]
    assert flows == sorted(flows, reverse=True)
    assert flows[-1] > 0.0


def test_an_outlet_above_the_grade_line_runs_dry_while_others_run() -> None:
    network = chain(HeadSource("0", 0.5), 3, lambda i: Outlet(f"o{i}", str(i), 0.2 * i, tube=TUBE))
    result = solve(network, WATER)
    assert result.outlet_flows["o1"] > 0.0
    assert result.outlet_flows["o3"] == 0.0


def test_tied_off_and_blocked_outlets_leave_more_for_the_others() -> None:
    network = chain(PumpSource("0", -0.4, CURVE), 6, tube_outlet)
    states = (OutletState.TIED_OFF, OutletState.BLOCKED)
    closed = tuple(
        replace(outlet, state=state) for outlet, state in zip(network.outlets, states, strict=False)
    )
    before = solve(network, WATER)
    after = solve(replace(network, outlets=closed + network.outlets[2:]), WATER)
    assert after.outlet_flows["o1"] == after.outlet_flows["o2"] == 0.0
    assert after.outlet_flows["o6"] > before.outlet_flows["o6"]
    everything = tuple(replace(o, state=OutletState.BLOCKED) for o in network.outlets)
    shut = solve(replace(network, outlets=everything), WATER)
    assert shut.status is Status.ALL_SHUT
    assert shut.head == pytest.approx(CURVE.shut_off_head)


def test_a_bypass_takes_water_from_the_bed_and_its_valve_sets_how_much() -> None:
    network = chain(PumpSource("0", -0.4, CURVE), 6, tube_outlet)
    delivered, flows = [], []
    for opening in (0.0, 0.2, 1.0):
        back = Outlet(
            "bypass", "0", -0.4, tube=Conduit(0.5, 0.01, 1.5e-6, 1.5, Valve(opening)),
            to_reservoir=True,
        )  # fmt: skip
        result = solve(replace(network, outlets=(*network.outlets, back)), WATER)
        assert result.bypass_flow == result.outlet_flows["bypass"]
        delivered.append(result.delivered)
        flows.append(result.flow)
    assert delivered[0] == pytest.approx(solve(network, WATER).flow, rel=1e-9)
    assert delivered == sorted(delivered, reverse=True)
    assert flows == sorted(flows)
    assert flows[-1] - delivered[-1] > 0.0


def test_a_valve_at_the_head_of_a_run_throttles_that_run_only() -> None:
    def two_runs(opening: float) -> Network:
        nodes = [Node("0")] + [Node(f"{run}{i}") for run in "ab" for i in range(1, 6)]
        stretches, outlets = [], []
        for run in "ab":
            for i in range(1, 6):
                valve = Valve(opening) if run == "a" and i == 1 else None
                pipe = Conduit(0.4, 0.0136, 1.5e-6, valve=valve)
                above = f"{run}{i - 1}" if i > 1 else "0"
                stretches.append(Stretch(f"{run}{i}", above, f"{run}{i}", pipe))
                outlets.append(Outlet(f"{run}{i}", f"{run}{i}", 0.3, tube=TUBE))
        return Network(PumpSource("0", -0.4, CURVE), tuple(nodes), tuple(stretches), tuple(outlets))

    open_, throttled, shut = (solve(two_runs(opening), WATER) for opening in (1.0, 0.05, 0.0))
    assert throttled.outlet_flows["a1"] < open_.outlet_flows["a1"]
    assert throttled.outlet_flows["b1"] > open_.outlet_flows["b1"]
    assert throttled.head_use.valves > open_.head_use.valves
    assert [shut.outlet_flows[f"a{i}"] for i in range(1, 6)] == [0.0] * 5
    assert shut.node_pressures["a3"] == 0.0
    assert shut.outlet_flows["b1"] > throttled.outlet_flows["b1"]


def test_one_open_tube_by_hand() -> None:
    """Laminar: head = friction 32 nu L V / (g D²) + (K + 1) V²/(2g)."""
    tube = Conduit(1.0, 0.002, 0.0, minor=0.5)
    network = Network(HeadSource("0", 0.3), (Node("0"),), (), (Outlet("o", "0", 0.1, tube=tube),))
    result = solve(network, WATER)
    g, nu = 9.80665, WATER.kinematic_viscosity
    velocity = result.outlet_flows["o"] / (math.pi / 4.0 * 0.002**2)
    head = 32.0 * nu * velocity / (g * 0.002**2) + 1.5 * velocity**2 / (2.0 * g)
    assert head == pytest.approx(0.2, rel=1e-9)


def test_an_emitter_gives_its_law_in_litres_per_hour() -> None:
    network = Network(
        HeadSource("0", 4.0), (Node("0"),), (), (Outlet("o", "0", 0.0, emitter=Emitter(4.0, 0.5)),)
    )
    assert solve(network, WATER).flow / LITRES_PER_HOUR == pytest.approx(8.0, rel=1e-9)


def test_an_emitter_at_the_end_of_a_tube_gives_less_than_without() -> None:
    tube = Conduit(1.0, 0.003, 0.0)
    bare = Outlet("bare", "0", 0.0, emitter=Emitter(30.0, 0.5))
    with_tube = Outlet("tube", "0", 0.0, tube=tube, emitter=Emitter(30.0, 0.5))
    network = Network(HeadSource("0", 1.0), (Node("0"),), (), (bare, with_tube))
    flows = solve(network, WATER).outlet_flows
    assert 0.0 < flows["tube"] < flows["bare"]


GOOD = chain(HeadSource("0", 1.0), 2, tube_outlet)


@pytest.mark.parametrize(
    ("network", "message"),
    [
        (replace(GOOD, nodes=GOOD.nodes[:2]), "ends where there is no point"),
        (replace(GOOD, nodes=(*GOOD.nodes, Node("1"))), "points of the feed have the same name"),
        (replace(GOOD, nodes=(*GOOD.nodes, Node("9"))), "No water comes to the point 9"),
        (replace(GOOD, source=HeadSource("x", 1.0)), "no such point"),
        (
            replace(
                GOOD, stretches=(*GOOD.stretches, Stretch("again", "0", "2", Conduit(1, 0.01, 0)))
            ),
            "fed twice",
        ),
        (
            replace(GOOD, stretches=(*GOOD.stretches, GOOD.stretches[0])),
            "stretches of the feed have the same name",
        ),
        (replace(GOOD, outlets=GOOD.outlets * 2), "outlets of the feed have the same name"),
        (replace(GOOD, outlets=(Outlet("o", "9", 0.0, tube=TUBE),)), "on no point"),
        (replace(GOOD, outlets=(Outlet("o", "1", 0.0),)), "needs a feed tube or an emitter"),
        (
            replace(GOOD, outlets=(Outlet("o", "1", math.nan, tube=TUBE),)),
            "elevation of the outlet o is missing",
        ),
        (
            replace(GOOD, outlets=(Outlet("o", "1", 0.0, emitter=Emitter(4.0, 0.0)),)),
            "exponent between 0.05 and 1",
        ),
        (
            replace(GOOD, outlets=(Outlet("o", "1", 0.0, tube=Conduit(1.0, 0.0, 0.0)),)),
            "length or bore of o",
        ),
        (
            replace(GOOD, outlets=(Outlet("o", "1", 0.0, tube=Conduit(1.0, 0.01, 0.002)),)),
            "wall of o is rougher",
        ),
        (
            replace(GOOD, outlets=(Outlet("o", "1", 0.0, tube=Conduit(1.0, 0.01, 0.0, -1.0)),)),
            "loss factors of o",
        ),
        (
            replace(
                GOOD,
                outlets=(Outlet("o", "1", 0.0, tube=Conduit(1.0, 0.01, 0.0, 0.0, Valve(1.5))),),
            ),
            "valve of o",
        ),
    ],
)
def test_a_feed_that_cannot_be_is_refused_in_one_sentence(network: Network, message: str) -> None:
    with pytest.raises(ValueError, match=message):
        solve(network, WATER)
