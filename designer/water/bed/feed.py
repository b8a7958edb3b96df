"""The feed of a bed: from its layouts to a network, solved, and how evenly the buckets fare."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import hypot, pi
from typing import Literal

from designer.layout.run import Place, RunLayout, path_length
from designer.layout.site import ReservoirLayout
from designer.model.catalogue import Catalogue
from designer.model.design import Design
from designer.model.parts import EmitterPart, PumpPart
from designer.water import fittings, uniformity
from designer.water.network import (
    Conduit,
    Emitter,
    FeedResult,
    Network,
    Node,
    Outlet,
    OutletState,
    PumpSource,
    Status,
    Stretch,
    Valve,
)
from designer.water.properties import Water
from designer.water.pump import PumpCurve
from designer.water.solve import solve
from designer.water.tree import EXPONENTS

MM = 1e-3
PUMP = "pump"
"""Name of the point at the pump; those of the runs hold a slash."""
LITRES_PER_HOUR = 1 / 3.6e6
"""One L/h in m3/s."""
BYPASS = ""
"""Name of the bypass among the outlets, which go by their bucket's id; no id is empty."""
BYPASS_LENGTH = 0.3
"""Length of the tube from the pump's tee back into the reservoir, m; from memory."""
VALVE_LOSS = 2.0
"""K of a small barbed valve wide open; from memory."""
BARB_BORE_SHARE = 0.75
"""Bore of a barb as a share of its feed tube's; from memory."""

LEAST_BORE = 1.0
"""What a bore is held to, mm, so that sizes typed by mistake have an answer too."""
LEAST_OPENING = 0.001
"""A valve is not set finer than this; a bypass less open is shut."""

Loss = Literal["low", "middle", "high"]
"""Which of the published methods' fitting losses are taken."""


@dataclass(frozen=True)
class BedFeed:
    """The solved feed of a bed.

    `result` is with middle fitting losses and the reservoir half-way between full and low water;
    `spread` is the pump's flow in L/h with the highest and the lowest fitting losses; `low` is the
    result at low water. `flows` are L/h by bucket id; `useful` is the pump's useful range, L/h.
    """

    curve: PumpCurve
    network: Network
    result: FeedResult
    low: FeedResult
    spread: tuple[float, float]
    flows: Mapping[str, float]
    open_flows: tuple[float, ...]
    useful: tuple[float, float]

    @property
    def running(self) -> bool:
        """Whether water comes to a bucket."""
        return self.result.status is Status.RUNNING and self.result.delivered > 0

    @property
    def lifts(self) -> bool:
        """Whether water comes to a bucket at low water too."""
        return self.running and self.low.status is Status.RUNNING and self.low.delivered > 0

    @property
    def low_flows(self) -> Mapping[str, float]:
        """L/h at low water by bucket id."""
        return {i: self.low.outlet_flows[i] / LITRES_PER_HOUR for i in self.flows}

    @property
    def flow(self) -> float:
        """Flow at the duty point, L/h."""
        return self.result.flow / LITRES_PER_HOUR

    @property
    def head(self) -> float:
        """Head at the duty point, m."""
        return self.result.head

    @property
    def emission_uniformity(self) -> float:
        """EU of the open outlets, percent."""
        return uniformity.emission_uniformity(self.open_flows)

    @property
    def christiansen(self) -> float:
        """CU of the open outlets, percent."""
        return uniformity.christiansen_uniformity(self.open_flows)


def pump_curve(pump: PumpPart, exponent: float) -> PumpCurve:
    """The pump's curve in m3/s and m; points that do not fall in order are left out."""
    points = [(0.0, pump.head_at_no_flow), (pump.flow_at_no_head * LITRES_PER_HOUR, 0.0)]
    last = points[0]
    between = []
    for point in sorted(pump.curve, key=lambda p: p.flow):
        flow = point.flow * LITRES_PER_HOUR
        if last[0] < flow < points[1][0] and last[1] > point.head > 0:
            last = (flow, point.head)
            between.append(last)
    return PumpCurve([points[0], *between, points[1]], exponent)


def solve_feed(
    design: Design,
    runs: Sequence[RunLayout],
    reservoir: ReservoirLayout,
    catalogue: Catalogue,
    water: Water,
) -> BedFeed | None:
    """Solve the feed of all runs from one pump; None when no run has a bucket."""
    fed = [layout for layout in runs if layout.places]
    if not fed:
        return None
    curve = pump_curve(reservoir.pump, catalogue.limit("pump_exponent"))
    low, full = working_levels(reservoir)
    middle = (low + full) / 2

    def network(level: float, loss: Loss) -> Network:
        return feed_network(design, fed, reservoir, catalogue, curve, level, loss, water)

    chosen = network(middle, "middle")
    result = solve(chosen, water)
    most = solve(network(middle, "low"), water).flow / LITRES_PER_HOUR
    least = solve(network(middle, "high"), water).flow / LITRES_PER_HOUR
    flows = {
        place.bucket.id: result.outlet_flows[place.bucket.id] / LITRES_PER_HOUR
        for layout in fed
        for place in layout.places
    }
    open_flows = tuple(
        flows[place.bucket.id]
        for layout in fed
        for place in layout.places
        if place.bucket.feed is None
    )
    lowest = solve(network(low, "middle"), water)
    best = curve.best_flow / LITRES_PER_HOUR
    useful = (best * catalogue.limit("pump_share_low"), best * catalogue.limit("pump_share_high"))
    return BedFeed(curve, chosen, result, lowest, (least, most), flows, open_flows, useful)


def working_depths(reservoir: ReservoirLayout) -> tuple[float, float]:
    """(low water, full) in mm above the floor; lines out of order are held in order."""
    full = max(reservoir.part.height - reservoir.reservoir.freeboard, 0.0)
    return min(reservoir.reservoir.low_water, full), full


def working_levels(reservoir: ReservoirLayout) -> tuple[float, float]:
    """(low water, full) in mm above the datum."""
    low, full = working_depths(reservoir)
    return reservoir.floor_level + low, reservoir.floor_level + full


def bore_of(millimetres: float) -> float:
    """A bore in m."""
    return max(millimetres, LEAST_BORE) * MM


def node_name(run_id: str, bucket_id: str = "") -> str:
    """The feed's name for the manifold's point at a bucket, and for the stretch that leads there;
    without a bucket the manifold's start, and the riser."""
    return f"{run_id}/{bucket_id}"


def feed_network(
    design: Design,
    runs: Sequence[RunLayout],
    reservoir: ReservoirLayout,
    catalogue: Catalogue,
    curve: PumpCurve,
    level: float,
    loss: Loss,
    water: Water,
) -> Network:
    """The tree from the pump to every bucket, with the reservoir's water at `level` mm."""
    nodes = [Node(PUMP, reservoir.floor_level * MM)]
    stretches: list[Stretch] = []
    outlets: list[Outlet] = []
    roughness = catalogue.limit("tube_roughness") * MM
    share = curve.best_flow / len(runs)
    for layout in runs:
        bore = bore_of(layout.parts.manifold.inside_diameter)
        reynolds = max(4 * share / (pi * bore * water.kinematic_viscosity), 500.0)
        _add_run(layout, reservoir, catalogue, roughness, reynolds, loss, nodes, stretches, outlets)
    bypass = reservoir.reservoir.bypass
    if bypass >= LEAST_OPENING:
        bore = bore_of(max(layout.parts.manifold.inside_diameter for layout in runs))
        conduit = Conduit(BYPASS_LENGTH, bore, roughness, 1.0, Valve(bypass, VALVE_LOSS))
        outlets.append(Outlet(BYPASS, PUMP, level * MM, tube=conduit, to_reservoir=True))
    return Network(
        PumpSource(PUMP, level * MM, curve), tuple(nodes), tuple(stretches), tuple(outlets)
    )


def riser_length(layout: RunLayout, reservoir: ReservoirLayout) -> float:
    """Tube from the pump to the manifold's start, mm: along the feed path and up."""
    place = reservoir.reservoir.place
    start = layout.frame.at(0.0, layout.run.manifold.offset)
    points = ((place.x, place.y), *((p.x, p.y) for p in layout.run.feed_path), start)
    return path_length(points) + abs(manifold_level(layout, 0.0) - reservoir.floor_level)


def manifold_level(layout: RunLayout, station: float) -> float:
    """Level of the manifold at a station, mm above the datum."""
    return layout.levels.rail_top(station) + layout.run.manifold.height


def feed_end_level(place: Place, layout: RunLayout) -> float:
    """Where a bucket's feed tube ends: on its medium, mm above the datum."""
    return place.base + min(layout.run.medium_depth, place.part.height)


def _add_run(
    layout: RunLayout,
    reservoir: ReservoirLayout,
    catalogue: Catalogue,
    roughness: float,
    reynolds: float,
    loss: Loss,
    nodes: list[Node],
    stretches: list[Stretch],
    outlets: list[Outlet],
) -> None:
    run, parts = layout.run, layout.parts
    bore = bore_of(parts.manifold.inside_diameter)
    bends = len(run.feed_path) + 2  # up from the pump, and into the manifold
    elbow = getattr(fittings.elbow(bore, reynolds), loss)
    entry = getattr(fittings.square_entry(), loss)
    at_barb = getattr(fittings.barb_line_length(bore), loss)
    opening = max(run.manifold.valve, LEAST_OPENING)
    valve = Valve(opening, VALVE_LOSS) if opening < 1 else None
    head = node_name(run.id)
    nodes.append(Node(head, manifold_level(layout, 0.0) * MM))
    riser = Conduit(
        riser_length(layout, reservoir) * MM, bore, roughness, entry + bends * elbow, valve
    )
    stretches.append(Stretch(head, PUMP, head, riser))
    tube_bore = bore_of(parts.feed_tube.inside_diameter)
    narrow = min(tube_bore * BARB_BORE_SHARE, bore)
    barb = getattr(fittings.barb(max(bore, narrow), narrow, max(tube_bore, narrow)), loss)
    tube = Conduit(run.manifold.feed_length * MM, tube_bore, roughness, barb)
    emitter = None
    if run.manifold.emitter is not None:
        part = catalogue.part(run.manifold.emitter, EmitterPart)
        emitter = Emitter(part.coefficient, max(part.exponent, EXPONENTS[0]))
    before, station = head, 0.0
    for place in reversed(layout.from_cap):
        name = node_name(run.id, place.bucket.id)
        at = max(place.station, station)
        nodes.append(Node(name, manifold_level(layout, at) * MM))
        rise = manifold_level(layout, at) - manifold_level(layout, station)
        length = hypot(at - station, rise) * MM + at_barb
        stretches.append(Stretch(name, before, name, Conduit(length, bore, roughness)))
        state = {
            None: OutletState.OPEN,
            "tied_off": OutletState.TIED_OFF,
            "blocked": OutletState.BLOCKED,
        }[place.bucket.feed]
        outlets.append(
            Outlet(place.bucket.id, name, feed_end_level(place, layout) * MM, tube, emitter, state)
        )
        before, station = name, at
