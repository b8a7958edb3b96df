"""From the outlets' flows to all that is shown of the feed."""

import numpy as np

from designer.water.friction import FloatArray
from designer.water.network import FeedResult, HeadUse, Network, OutletState, Status
from designer.water.properties import STANDARD_GRAVITY
from designer.water.tree import Tree, node_heads


def gather(
    network: Network, tree: Tree, flow: FloatArray, status: Status, steps: int
) -> FeedResult:
    """All numbers of the feed for the flows (m3/s) of the tree's outlets."""
    n, parent = len(tree.parent), tree.parent
    carried = np.bincount(tree.outlet_node, flow, n).tolist() if len(flow) else [0.0] * n
    for i in range(n - 1, 0, -1):
        carried[parent[i]] += carried[i]
    links = np.array(carried)
    link_loss, _, outlet_loss, _ = tree.losses(links, flow)
    heads = node_heads(network, tree, links, link_loss)
    place = {name: i for i, name in enumerate(tree.names)}
    velocity = (links / tree.conduits.area[:n]).tolist()
    by_stretch = {feed.name: i for i, feed in enumerate(tree.feeds) if feed}
    given = dict(zip((outlet.name for outlet in tree.outlets), flow.tolist(), strict=True))
    outlet_flows = {outlet.name: given.get(outlet.name, 0.0) for outlet in network.outlets}
    ends = tree.outlet_elevation
    to_bed = np.array([not outlet.to_reservoir for outlet in tree.outlets], dtype=bool)
    running = to_bed & (flow > 0.0)
    open_ends = (
        outlet.elevation
        for outlet in network.outlets
        if outlet.state is OutletState.OPEN and not outlet.to_reservoir
    )
    top = ends[running].max() if running.any() else min(open_ends, default=np.inf)
    return FeedResult(
        status=status,
        flow=carried[0],
        head=heads[0] - network.source.level,
        static_head=float(top) - network.source.level if np.isfinite(top) else 0.0,
        node_heads={node.name: heads[place[node.name]] for node in network.nodes},
        node_pressures={
            node.name: heads[place[node.name]] - node.elevation for node in network.nodes
        },
        stretch_flows={s.name: carried[by_stretch[s.name]] for s in network.stretches},
        stretch_velocities={s.name: velocity[by_stretch[s.name]] for s in network.stretches},
        outlet_flows=outlet_flows,
        outlet_heads={o.name: heads[place[o.node]] - o.elevation for o in network.outlets},
        bypass_flow=sum(outlet_flows[o.name] for o in network.outlets if o.to_reservoir),
        head_use=_head_use(network, tree, links, flow, link_loss, outlet_loss),
        iterations=steps,
    )


def _head_use(
    network: Network,
    tree: Tree,
    links: FloatArray,
    flow: FloatArray,
    link_loss: FloatArray,
    outlet_loss: FloatArray,
) -> HeadUse:
    total = float(links[0])
    if total <= 0.0:
        return HeadUse()
    n = len(tree.parent)
    every = np.concatenate((links, flow))
    velocity_head = (every / tree.conduits.area) ** 2 / (2.0 * STANDARD_GRAVITY)
    fittings, valves = tree.minor * velocity_head[:n], tree.valve * velocity_head[:n]
    ends = velocity_head[n:]
    ends[tree.with_emitter] = tree.emitter_heads(flow[tree.with_emitter])
    return HeadUse(
        lift=float((tree.outlet_elevation - network.source.level) @ flow) / total,
        friction=float((link_loss - fittings - valves) @ links) / total,
        fittings=float(fittings @ links) / total,
        valves=float(valves @ links) / total,
        tubes=float((outlet_loss - ends) @ flow) / total,
        ends=float(ends @ flow) / total,
    )
