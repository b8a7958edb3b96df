"""The feed as a tree: source, stretches, nodes and outlets. Solved in solve.py.

All in SI: m, m3/s, heads in m of water. Elevations and grade lines share one datum.
"""

from dataclasses import dataclass, field
from enum import StrEnum

from designer.water.pump import PumpCurve


@dataclass(frozen=True, slots=True)
class Valve:
    """A valve whose flow coefficient grows with its opening: K = open_loss / opening².

    The straight characteristic is an assumption; makers of small valves state none. At opening 0
    nothing passes. ``open_loss`` is K wide open on the conduit's velocity head, from memory
    0.05 to 0.2 for a full-bore ball valve and more for a small barbed one.
    """

    opening: float
    open_loss: float = 0.2

    @property
    def loss_factor(self) -> float:
        """K on the velocity head of the conduit; infinite when shut."""
        return self.open_loss / self.opening**2 if self.opening > 0.0 else float("inf")


@dataclass(frozen=True, slots=True)
class Conduit:
    """A full round pipe or tube with the sum of its minor losses K, and perhaps a valve."""

    length: float
    bore: float
    roughness: float
    minor: float = 0.0
    valve: Valve | None = None


@dataclass(frozen=True, slots=True)
class Node:
    """A point of the feed; the elevation only turns its grade line into pressure."""

    name: str
    elevation: float = 0.0


@dataclass(frozen=True, slots=True)
class Stretch:
    """A conduit from one node to the next, named in the direction away from the source."""

    name: str
    upstream: str
    downstream: str
    conduit: Conduit


@dataclass(frozen=True, slots=True)
class Emitter:
    """q = coefficient h^exponent, q in L/h and h the head in m at the emitter.

    The exponent is near 0 for a compensating emitter, 0.5 for an orifice, 1 for a laminar one.
    """

    coefficient: float
    exponent: float


class OutletState(StrEnum):
    """Whether water can come out."""

    OPEN = "open"
    TIED_OFF = "tied off"
    BLOCKED = "blocked"


@dataclass(frozen=True, slots=True)
class Outlet:
    """Where water leaves: through a feed tube, an emitter, or an emitter at the end of a tube.

    ``elevation`` is that of the tube's open end or the emitter, or of the water that covers it.
    An open tube loses its velocity head at the end besides the conduit's own minor losses; with an
    emitter that is part of the emitter's law. ``to_reservoir`` marks a bypass, whose water does
    not count as given to the bed.
    """

    name: str
    node: str
    elevation: float
    tube: Conduit | None = None
    emitter: Emitter | None = None
    state: OutletState = OutletState.OPEN
    to_reservoir: bool = False


@dataclass(frozen=True, slots=True)
class PumpSource:
    """A pump that lifts from the reservoir's water level into a node."""

    node: str
    level: float
    curve: PumpCurve


@dataclass(frozen=True, slots=True)
class HeadSource:
    """A node kept at a grade line, such as a tank's water level."""

    node: str
    level: float


@dataclass(frozen=True, slots=True)
class Network:
    """A tree fed at one node. Order within the tuples does not matter."""

    source: PumpSource | HeadSource
    nodes: tuple[Node, ...]
    stretches: tuple[Stretch, ...]
    outlets: tuple[Outlet, ...]


class Status(StrEnum):
    """How the feed runs."""

    RUNNING = "running"
    CANNOT_LIFT = "cannot lift"  # every open outlet ends above the source's greatest grade line
    ALL_SHUT = "all shut"  # no outlet is open to the source
    NOT_SETTLED = "not settled"  # the search did not end; the numbers are not to be shown


@dataclass(frozen=True, slots=True)
class HeadUse:
    """Where the head goes, m: energy over flow, so that the parts add up to the total.

    ``lift`` is to the outlets' ends, mean over their flows.
    """

    lift: float = 0.0
    friction: float = 0.0
    fittings: float = 0.0
    valves: float = 0.0
    tubes: float = 0.0
    ends: float = 0.0  # velocity head of open ends, head used by emitters

    @property
    def total(self) -> float:
        """Sum of the parts: the head the source gives."""
        return self.lift + self.friction + self.fittings + self.valves + self.tubes + self.ends


@dataclass(frozen=True, slots=True)
class FeedResult:
    """The solved feed. Dicts go by name, in the order of the network's tuples.

    ``static_head`` is from the source's level up to the highest outlet that gives the bed water
    (to the lowest open one when none does), ``head`` what the source adds at its flow,
    ``iterations`` the steps the search took. Below a shut valve a node's grade line is its own
    elevation.
    """

    status: Status
    flow: float
    head: float
    static_head: float
    node_heads: dict[str, float]
    node_pressures: dict[str, float]  # grade line above the node, m
    stretch_flows: dict[str, float]
    stretch_velocities: dict[str, float]  # m/s
    outlet_flows: dict[str, float]
    outlet_heads: dict[str, float]  # grade line at the node above the outlet's end, m
    bypass_flow: float
    head_use: HeadUse = field(default_factory=HeadUse)
    iterations: int = 0

    @property
    def delivered(self) -> float:
        """Flow given to the bed, m3/s."""
        return self.flow - self.bypass_flow
