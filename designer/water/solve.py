"""Solve the feed exactly: all heads and flows at once, for any tree.

The flows are those that make a convex sum least (the content of the network: work done against
friction, lift and outlets, less the pump's work, each summed up over its flow). Its gradient is
the energy balance of every outlet, and outlets cannot run backwards. Each step linearises the
losses, as in Todini and Pilati's gradient method (1988, from memory), and solves the tree from the
far ends to the source and back in time proportional to its size. Shortening a step where the sum
would grow again makes it settle from any start.
"""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from designer.water.friction import FloatArray
from designer.water.gather import gather
from designer.water.network import (
    FeedResult,
    HeadSource,
    Network,
    PumpSource,
    Status,
)
from designer.water.properties import Water
from designer.water.tree import Tree, greatest_grade, lay_out, node_heads, source_grade

SETTLED = 1e-11
"""Largest error at which the search ends: of an outlet's flow relative to the greatest, and of its
head relative to all there is."""
MOST_STEPS = 100
BALANCED = 1e-8
"""Largest error of an outlet's head, relative to all there is, after the most steps."""
FADING = 0.1
_SAFE_STEP = 1e-6  # so near the solution, Newton's step needs no check, nor would rounding allow it


def solve(network: Network, water: Water) -> FeedResult:
    """Duty point, heads and flows; ValueError when the network is no tree or a size is off."""
    tree = lay_out(network, water.kinematic_viscosity)
    nothing = np.zeros(len(tree.outlets))
    if not np.isfinite(tree.lowest_end):
        return gather(network, tree, nothing, Status.ALL_SHUT, 0)
    if not tree.outlets:
        return gather(network, tree, nothing, Status.CANNOT_LIFT, 0)
    return gather(network, tree, *_settle(network, tree))


def _settle(network: Network, tree: Tree) -> tuple[FloatArray, Status, int]:
    flow = _first_guess(network, tree)
    links = tree.link_flows(flow)
    losses = tree.losses(links, flow)
    # An outlet that starts to run has almost no slope, and its step would be far too long. At
    # first its slope is at least that of the chord to its greatest flow, which cannot overshoot;
    # the bound fades while it runs, so that it does not slow the search near the solution.
    head = greatest_grade(network) - tree.outlet_elevation
    chord = head / tree.most
    bound = np.ones_like(flow)
    before = SETTLED
    for step in range(1, MOST_STEPS + 1):
        np.maximum(losses[3], bound * chord, out=losses[3])
        bound = np.where(flow > 0.0, np.maximum(FADING * bound, 1e-12), 1.0)
        change = _linear_step(network, tree, links, flow, losses)
        target = np.maximum(flow + change, 0.0)
        scale = float(np.maximum(target, flow).max())
        if scale == 0.0:
            return target, Status.RUNNING, step
        moved = np.abs(change)
        size = max(float(moved.max()) / scale, float((moved * losses[3] / head).max()))
        # What is left after this step, if the steps go on shrinking as they did.
        if size <= SETTLED or (size <= _SAFE_STEP and size * size / before <= SETTLED):
            return target, Status.RUNNING, step
        before = size
        if size <= _SAFE_STEP:
            flow = target
            links = tree.link_flows(flow)
            losses = tree.losses(links, flow)
        else:
            link_change = tree.link_flows(change)
            flow, links, losses = _descend(network, tree, links, flow, losses, link_change, change)
    # An outlet at the brink of running can keep a trickle changing; judge by the energy balance.
    heads = np.array(node_heads(network, tree, links, losses[0]))[tree.outlet_node]
    off = heads - tree.outlet_elevation - losses[2]
    worst = float(np.where(flow > 0.0, np.abs(off), np.maximum(off, 0.0)).max())
    settled = worst <= BALANCED * float(head.max())
    return flow, Status.RUNNING if settled else Status.NOT_SETTLED, MOST_STEPS


def _first_guess(network: Network, tree: Tree) -> FloatArray:
    """Flows that spend about the head there is, shared by the outlets' own resistance."""
    source = network.source
    grade = source.level
    if isinstance(source, PumpSource):
        grade += 0.6 * source.curve.shut_off_head
    lowest = tree.outlet_elevation.min()
    few = 0.02 * (greatest_grade(network) - lowest)
    head = np.maximum(grade - tree.outlet_elevation, few)
    n, m = len(tree.parent), len(tree.outlets)
    flow = 0.3 * tree.conduits.area[n:]
    power = np.full(m, 2.0)
    if tree.with_emitter.size:
        flow[tree.with_emitter] = tree.coefficient
        power[tree.with_emitter] = tree.power
    loss = tree.losses(np.zeros(n), flow)[2]
    flow = flow * (0.5 * head / loss) ** (1.0 / power)
    links = tree.link_flows(flow)
    losses = tree.losses(links, flow)
    used = float(losses[0] @ links + losses[2] @ flow)
    flow = flow * (float(head @ flow) / used) ** 0.5
    if isinstance(source, PumpSource):
        flow *= min(1.0, 0.8 * source.curve.free_flow / float(flow.sum()))
    guess: FloatArray = np.minimum(flow, tree.most)
    return guess


Losses = tuple[FloatArray, FloatArray, FloatArray, FloatArray]


def _linear_step(
    network: Network, tree: Tree, links: FloatArray, flow: FloatArray, losses: Losses
) -> FloatArray:
    """Changes of the outlets' flows that solve the linearised network, none to below zero.

    Each subtree takes a change of flow that is a straight line over the change of head at its top,
    S dh + E. An outlet whose flow comes out below zero is shut and the rest solved again; that can
    only lower heads, so it ends. Changes, not heads and flows, so that rounding fades with them.
    """
    link_loss, link_slope, outlet_loss, outlet_slope = losses
    n, parent, node = len(tree.parent), tree.parent, tree.outlet_node
    heads = np.array(node_heads(network, tree, links, link_loss))
    excess = heads[node] - tree.outlet_elevation - outlet_loss
    slope = link_slope.tolist()
    conductance = 1.0 / outlet_slope
    offset = conductance * excess
    fall = -source_grade(network, float(links[0]))[1]
    share = [1.0] * n
    while True:
        s = np.bincount(node, conductance, n).tolist()
        e = np.bincount(node, offset, n).tolist()
        for i in range(n - 1, 0, -1):
            share[i] = t = 1.0 / (1.0 + slope[i] * s[i])
            p = parent[i]
            s[p] += s[i] * t
            e[p] += e[i] * t
        rises = [-fall * e[0] / (1.0 + fall * s[0])] * n
        for i in range(1, n):
            rises[i] = (rises[parent[i]] - slope[i] * e[i]) * share[i]
        change: FloatArray = conductance * np.array(rises)[node] + offset
        backward = change < -flow
        if not backward.any():
            return change
        conductance = np.where(backward, 0.0, conductance)
        offset = np.where(backward, -flow, offset)


def _descend(
    network: Network,
    tree: Tree,
    links: FloatArray,
    flow: FloatArray,
    losses: Losses,
    link_change: FloatArray,
    change: FloatArray,
) -> tuple[FloatArray, FloatArray, Losses]:
    """Go as far along the change as the content falls, and give the losses there."""

    def gradient(at: FloatArray, there: Losses) -> float:
        grade, _ = source_grade(network, float(at[0]))
        outlet = (there[2] + tree.outlet_elevation) @ change
        return float(there[0] @ link_change + outlet) - grade * float(link_change[0])

    first = gradient(links, losses)
    # No further than twice what the outlets can give; powers of more would overflow.
    whole = 1.0 / max(1.0, float(((flow + change) / (2.0 * tree.most)).max()))
    low, low_gradient, high, high_gradient = 0.0, first, whole, 0.0
    part = whole
    while True:
        # Rounding must not turn a dry stretch's or outlet's zero into less.
        new_links = np.maximum(links + part * link_change, 0.0)
        new_flow = np.maximum(flow + part * change, 0.0)
        new_losses = tree.losses(new_links, new_flow)
        there = gradient(new_links, new_losses)
        # At the level of rounding there is no fall to be found.
        if first >= 0.0 or 0.5 * first <= there <= -0.5 * first or (part == whole and there < 0.0):
            break
        if there < 0.0:
            low, low_gradient = part, there
        else:
            high, high_gradient = part, there
        width = high - low
        if width < 1e-12:
            break
        part = low + width * low_gradient / (low_gradient - high_gradient)
        part = min(max(part, low + 0.1 * width), high - 0.1 * width)
    return new_flow, new_links, new_losses


def system_curve(
    network: Network, water: Water, heads: Sequence[float]
) -> list[tuple[float, float]]:
    """Flow (m3/s) the feed takes at each head (m) above the source's level: (flow, head).

    Heads at which the search does not settle are left out.
    """
    level, node = network.source.level, network.source.node
    points = []
    for head in heads:
        given = replace(network, source=HeadSource(node, level + head))
        result = solve(given, water)
        if result.status is not Status.NOT_SETTLED:
            points.append((result.flow, head))
    return points
