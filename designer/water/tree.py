"""A feed network laid out in arrays, each node before all that it feeds."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from designer.water.friction import Conduits, FloatArray
from designer.water.network import Conduit, Network, Outlet, OutletState, PumpSource, Stretch
from designer.water.properties import STANDARD_GRAVITY

EXPONENTS = (0.05, 1.0)
"""Exponents of emitters: 1 is laminar flow, and below 0.05 an emitter is as good as constant."""
LEAST_HEAD = 1e-9
"""Head in m below which an outlet counts as dry; the surface of water bends by far more."""
_LITRES_PER_HOUR = 1.0 / 3.6e6


@dataclass(frozen=True, slots=True)
class Tree:
    """Arrays over n nodes, the source first, and over m outlets that can give water.

    Node i > 0 is fed by link i from node ``parent[i] < i``; all it feeds are the nodes i to
    ``end[i]`` - 1. Link 0 is a stand-in without length. ``conduits`` holds the n links, then the
    tubes of the m outlets. Emitters take h = (q / coefficient)^(1/exponent).
    """

    names: list[str]
    elevations: list[float]
    feeds: list[Stretch | None]
    shut: list[bool]  # whether a shut valve stands between the node and the source
    parent: list[int]
    end: NDArray[np.intp]
    lowest_end: float  # of the outlets that are open to the source; infinite when none is
    outlets: list[Outlet]
    outlet_node: NDArray[np.intp]
    outlet_elevation: FloatArray
    conduits: Conduits
    valve: FloatArray  # K of the n links' valves
    minor: FloatArray  # K of the n links without valves
    with_emitter: NDArray[np.intp]
    coefficient: FloatArray  # m3/s at a head of 1 m
    power: FloatArray  # 1 / exponent
    most: FloatArray  # flows the outlets would give at the source's greatest head

    def link_flows(self, outlet_flow: FloatArray) -> FloatArray:
        """What each link carries when the outlets give these flows; [0] is the total."""
        n = len(self.parent)
        at_nodes = np.bincount(self.outlet_node, outlet_flow, n)
        beyond = np.empty(n + 1)
        beyond[n] = 0.0
        beyond[:n] = np.cumsum(at_nodes[::-1])[::-1]
        flows: FloatArray = beyond[:n] - beyond[self.end]
        return flows

    def losses(
        self, link_flow: FloatArray, outlet_flow: FloatArray
    ) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
        """Head loss and its derivative, for links and then for outlets."""
        n = len(self.parent)
        loss, slope = self.conduits.loss_and_slope(np.concatenate((link_flow, outlet_flow)))
        outlet_loss, outlet_slope = loss[n:], slope[n:]
        if self.with_emitter.size:
            flow = outlet_flow[self.with_emitter]
            used = self.emitter_heads(flow)
            outlet_loss[self.with_emitter] += used
            outlet_slope[self.with_emitter] += self.power * used / np.maximum(flow, 1e-300)
        return loss[:n], slope[:n], outlet_loss, outlet_slope

    def emitter_heads(self, flow: FloatArray) -> FloatArray:
        """Head used by each emitter at its flow."""
        heads: FloatArray = (flow / self.coefficient) ** self.power
        return heads


def lay_out(network: Network, kinematic_viscosity: float) -> Tree:
    """Order a network and put it into arrays; ValueError when it is no tree or a size is off."""
    elevations = {node.name: node.elevation for node in network.nodes}
    if len(elevations) < len(network.nodes):
        raise ValueError("Two points of the feed have the same name.")
    _require_distinct([stretch.name for stretch in network.stretches], "stretches")
    _require_distinct([outlet.name for outlet in network.outlets], "outlets")
    children: dict[str, list[Stretch]] = {name: [] for name in elevations}
    for stretch in network.stretches:
        if stretch.upstream not in children or stretch.downstream not in children:
            raise ValueError(f"The stretch {stretch.name} ends where there is no point.")
        check_conduit(stretch.conduit, stretch.name)
        children[stretch.upstream].append(stretch)
    if network.source.node not in children:
        raise ValueError(f"The source feeds {network.source.node}, but there is no such point.")

    # Depth first; a node's place is known when it is taken from the stack.
    place: dict[str, int] = {}
    feeds: list[Stretch | None] = []
    parent: list[int] = []
    shut: list[bool] = []
    stack: list[tuple[str, Stretch | None]] = [(network.source.node, None)]
    while stack:
        name, feed = stack.pop()
        if name in place:
            raise ValueError(f"The point {name} is fed twice. A feed may branch but not rejoin.")
        place[name] = len(parent)
        above = place[feed.upstream] if feed else 0
        valve = feed.conduit.valve if feed else None
        parent.append(above)
        feeds.append(feed)
        shut.append((bool(shut) and shut[above]) or (valve is not None and valve.opening <= 0.0))
        stack.extend((child.downstream, child) for child in children[name])
    n = len(parent)
    if n < len(elevations):
        lost = next(name for name in elevations if name not in place)
        raise ValueError(f"No water comes to the point {lost}. Connect it to the feed.")
    end = list(range(1, n + 1))
    for i in range(n - 1, 0, -1):
        end[parent[i]] = max(end[parent[i]], end[i])

    for outlet in network.outlets:
        _check_outlet(outlet, place)
    unshut = [
        outlet
        for outlet in network.outlets
        if outlet.state is OutletState.OPEN
        and not shut[place[outlet.node]]
        and not (outlet.tube and outlet.tube.valve and outlet.tube.valve.opening <= 0.0)
    ]
    greatest = greatest_grade(network)
    running = [outlet for outlet in unshut if outlet.elevation < greatest - LEAST_HEAD]
    stand_in = Conduit(length=0.0, bore=1.0, roughness=0.0)
    links = [feed.conduit if feed else stand_in for feed in feeds]
    tubes = [outlet.tube or stand_in for outlet in running]
    valve_k = np.array([valve_loss(conduit) for conduit in links])
    minor_k = np.array([conduit.minor for conduit in links])
    # An open end loses its velocity head; an emitter's law holds it already.
    tube_k = [
        tube.minor + valve_loss(tube) + (0.0 if outlet.emitter else 1.0)
        for tube, outlet in zip(tubes, running, strict=True)
    ]
    every = links + tubes
    emitters = [(i, outlet.emitter) for i, outlet in enumerate(running) if outlet.emitter]
    with_emitter = np.array([i for i, _ in emitters], dtype=np.intp)
    coefficient = np.array([emitter.coefficient * _LITRES_PER_HOUR for _, emitter in emitters])
    power = np.array([1.0 / emitter.exponent for _, emitter in emitters])
    conduits = Conduits(
        [conduit.length for conduit in every],
        [conduit.bore for conduit in every],
        [conduit.roughness for conduit in every],
        np.concatenate((valve_k + minor_k, tube_k)),
        kinematic_viscosity,
    )
    outlet_elevation = np.array([outlet.elevation for outlet in running], dtype=float)
    head = greatest - outlet_elevation
    most = conduits.area[n:] * np.sqrt(2.0 * STANDARD_GRAVITY * head)
    most[with_emitter] = coefficient * head[with_emitter] ** (1.0 / power)
    return Tree(
        names=list(place),
        elevations=[elevations[name] for name in place],
        feeds=feeds,
        shut=shut,
        parent=parent,
        end=np.array(end, dtype=np.intp),
        lowest_end=min((outlet.elevation for outlet in unshut), default=math.inf),
        outlets=running,
        outlet_node=np.array([place[outlet.node] for outlet in running], dtype=np.intp),
        outlet_elevation=outlet_elevation,
        conduits=conduits,
        valve=valve_k,
        minor=minor_k,
        with_emitter=with_emitter,
        coefficient=coefficient,
        power=power,
        most=most,
    )


def valve_loss(conduit: Conduit) -> float:
    """K of a conduit's valve; 0 without one, and where it is shut, for then nothing flows."""
    if conduit.valve is None or conduit.valve.opening <= 0.0:
        return 0.0
    return conduit.valve.loss_factor


def check_conduit(conduit: Conduit, name: str) -> None:
    """ValueError when a size is impossible."""
    if not (0.0 < conduit.bore < math.inf and 0.0 <= conduit.length < math.inf):
        raise ValueError(f"The length or bore of {name} is impossible.")
    if not 0.0 <= conduit.roughness <= 0.05 * conduit.bore:
        raise ValueError(f"The wall of {name} is rougher than the formula allows.")
    if not 0.0 <= conduit.minor < math.inf:
        raise ValueError(f"The loss factors of {name} cannot be below zero.")
    valve = conduit.valve
    if valve and not (0.0 <= valve.opening <= 1.0 and 0.0 <= valve.open_loss < math.inf):
        raise ValueError(f"The valve of {name} must be open by a share between 0 and 1.")


def _check_outlet(outlet: Outlet, place: dict[str, int]) -> None:
    if outlet.node not in place:
        raise ValueError(f"The outlet {outlet.name} is on no point of the feed.")
    if not math.isfinite(outlet.elevation):
        raise ValueError(f"The elevation of the outlet {outlet.name} is missing.")
    if outlet.tube is None and outlet.emitter is None:
        raise ValueError(f"The outlet {outlet.name} needs a feed tube or an emitter.")
    if outlet.tube is not None:
        check_conduit(outlet.tube, outlet.name)
    emitter = outlet.emitter
    if emitter and not (
        0.0 < emitter.coefficient < math.inf and EXPONENTS[0] <= emitter.exponent <= EXPONENTS[1]
    ):
        raise ValueError(
            f"The emitter {outlet.name} needs a flow above zero and an exponent between "
            f"{EXPONENTS[0]:g} and {EXPONENTS[1]:g}."
        )


def _require_distinct(names: list[str], what: str) -> None:
    if len(set(names)) < len(names):
        raise ValueError(f"Two {what} of the feed have the same name.")


def greatest_grade(network: Network) -> float:
    """Highest grade line the source can hold, at no flow."""
    source = network.source
    return source.level + (source.curve.shut_off_head if isinstance(source, PumpSource) else 0.0)


def source_grade(network: Network, flow: float) -> tuple[float, float]:
    """Grade line at the source's node and its derivative by the flow."""
    source = network.source
    if isinstance(source, PumpSource):
        return source.level + source.curve.head(flow), source.curve.slope(flow)
    return source.level, 0.0


def node_heads(
    network: Network, tree: Tree, links: FloatArray, link_loss: FloatArray
) -> list[float]:
    """Grade line at each node of the tree; below a shut valve, the node's own elevation."""
    grade, _ = source_grade(network, float(links[0]))
    heads = [grade] * len(tree.parent)
    for i, loss in enumerate(link_loss.tolist()):
        if i:
            heads[i] = tree.elevations[i] if tree.shut[i] else heads[tree.parent[i]] - loss
    return heads
