"""The feed solved at 10, 100 and 1,000 outlets, beside scipy.optimize.root on the same equations.

`root` gets the equations in two forms, both with the losses computed for all conduits at once:
"plain", a balance of flow at every node and of head along every conduit (unknown: heads and
flows), and "condensed", only the head balance of every outlet (unknown: the outlets' flows, each
stretch carrying the sum beyond it). It starts from a guess of equal flows. At 1,000 outlets only
our own time is taken, since `root` would build a full matrix.
"""

from collections.abc import Callable, Iterator
from time import perf_counter

import numpy as np
from scipy.optimize import root

from designer.water.friction import FloatArray
from designer.water.network import (
    Conduit,
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
from designer.water.tree import lay_out

SIZES = (10, 100, 1000)
OURS_ONLY_ABOVE = 100
WATER = water_at(20.0)


def manifold(outlets: int) -> Network:
    """A pump, a manifold with equal spacing, and feed tubes of slightly uneven height.

    The pump and the bore grow with the number of outlets, so that every size is a usable feed.
    """
    bore = 0.0136 * (outlets / 10.0) ** 0.6
    nodes = tuple(Node(f"n{i}") for i in range(outlets + 1))
    stretches = tuple(
        Stretch(f"s{i}", f"n{i - 1}", f"n{i}", Conduit(0.3, bore, 1.5e-6, minor=0.3))
        for i in range(1, outlets + 1)
    )
    tube = Conduit(0.4, 0.0043, 1.5e-6, minor=2.5)
    ends = tuple(
        Outlet(f"o{i}", f"n{i}", 0.3 + 0.01 * (i % 7), tube=tube) for i in range(1, outlets + 1)
    )
    pump = PumpCurve([(0.0, 3.0), (outlets * 3.0e-5, 0.0)])
    return Network(PumpSource("n0", -0.5, pump), nodes, stretches, ends)


def rows() -> Iterator[str]:
    """A line for each size and form: milliseconds of the best of several runs, and the ratio."""
    for name, seconds, comparison in _measured():
        yield f"{name:28} {seconds * 1000:8.2f} ms; {comparison}"


def _measured() -> list[tuple[str, float, str]]:
    found: list[tuple[str, float, str]] = []
    ours: dict[int, float] = {}
    for size in SIZES:
        network = manifold(size)
        result = solve(network, WATER)
        assert result.status is Status.RUNNING
        flows = np.array(list(result.outlet_flows.values()))
        ours[size] = _best(lambda network=network: solve(network, WATER), 20)
        smaller = ours.get(size // 10)
        growth = f", {ours[size] / smaller:.1f} times {size // 10} outlets" if smaller else ""
        found.append(
            (f"{size} outlets", ours[size], f"{result.iterations} steps, laying out too{growth}")
        )
        if size > OURS_ONLY_ABOVE:
            continue
        for name, form in (("plain", _plain), ("condensed", _condensed)):
            residual, start, outlets = form(network)
            answer = root(residual, start, tol=1e-10)
            seconds = _best(lambda r=residual, s=start: root(r, s, tol=1e-10), 3)
            apart = float(np.abs(answer.x[outlets] * 1e-6 / flows - 1.0).max())
            agrees = f"flows within {apart:.0e}" if answer.success else f"gave up: {answer.message}"
            found.append(
                (
                    f"{size} outlets, root, {name}",
                    seconds,
                    f"{seconds / ours[size]:.0f} times ours; {agrees}",
                )
            )
    return found


def _best(run: Callable[[], object], times: int) -> float:
    least = float("inf")
    for _ in range(times):
        start = perf_counter()
        run()
        least = min(least, perf_counter() - start)
    return least


Form = tuple[Callable[[FloatArray], FloatArray], FloatArray, slice]


def _plain(network: Network) -> Form:
    """Heads in m and flows in mL/s, so that all unknowns are of one size."""
    tree = lay_out(network, WATER.kinematic_viscosity)
    source = network.source
    assert isinstance(source, PumpSource)
    n, m = len(tree.parent), len(tree.outlets)
    parent = np.array(tree.parent)

    def residual(x: FloatArray) -> FloatArray:
        heads, links, flow = x[:n], x[n : 2 * n] * 1e-6, x[2 * n :] * 1e-6
        # `root` tries flows below zero; the loss then points the other way.
        link_loss, _, outlet_loss, _ = tree.losses(np.abs(links), np.abs(flow))
        along = heads[parent] - heads - np.sign(links) * link_loss
        along[0] = heads[0] - source.level - source.curve.head(abs(float(links[0])))
        out = np.bincount(tree.outlet_node, flow, n) + np.bincount(parent[1:], links[1:], n)
        ends = heads[tree.outlet_node] - tree.outlet_elevation - np.sign(flow) * outlet_loss
        return np.concatenate((along, (links - out) * 1e6, ends))

    equal = 0.5 * source.curve.free_flow / m
    links = tree.link_flows(np.full(m, equal)) * 1e6
    start = np.concatenate((np.full(n, 1.0), links, np.full(m, equal * 1e6)))
    return residual, start, slice(2 * n, None)


def _condensed(network: Network) -> Form:
    """Outlet flows in mL/s."""
    tree = lay_out(network, WATER.kinematic_viscosity)
    source = network.source
    assert isinstance(source, PumpSource)
    m = len(tree.outlets)

    def residual(x: FloatArray) -> FloatArray:
        flow = x * 1e-6
        links = tree.link_flows(flow)
        link_loss, _, outlet_loss, _ = tree.losses(np.abs(links), np.abs(flow))
        grade = source.level + source.curve.head(abs(float(links[0])))
        heads = grade - np.cumsum(np.sign(links) * link_loss)  # one manifold: a chain of nodes
        return heads[tree.outlet_node] - tree.outlet_elevation - np.sign(flow) * outlet_loss

    return residual, np.full(m, 0.5 * source.curve.free_flow / m * 1e6), slice(None)
