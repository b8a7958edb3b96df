"""Four classes of a bucket's flow beside the mean, each by a colour and by a pattern of strokes."""

from dataclasses import dataclass

from designer.drawing.styles import Role
from designer.water.bed.feed import BedFeed


@dataclass(frozen=True)
class FlowClass:
    """A class of flow up to `below` times the mean.

    `style` is its style on the drawings; in the charts its role's colour is mixed into the sheet
    by `tint`. `strokes` are set around a bucket's rim, and across a bar at even heights.
    """

    words: str
    below: float
    style: str
    role: Role
    tint: float
    strokes: int

    @property
    def rungs(self) -> tuple[float, ...]:
        """Heights of the strokes across a bar, as shares of its height."""
        count = self.strokes // 4
        return tuple((i + 1) / (count + 1) for i in range(count))


FAR_BELOW = FlowClass("below 80 % of the mean", 0.80, "flow_far_below", "must", 0.45, 36)
BELOW = FlowClass("80 to 95 %", 0.95, "flow_below", "look", 0.35, 16)
NEAR = FlowClass("95 to 105 %", 1.05, "flow_near", "good", 0.3, 0)
ABOVE = FlowClass("above 105 %", float("inf"), "flow_above", "water", 0.4, 8)
SHUT = FlowClass("tied off or blocked", 0.0, "flow_shut", "soft", 0.2, 0)
FLOW_CLASSES = (FAR_BELOW, BELOW, NEAR, ABOVE, SHUT)


def mean_flow(feed: BedFeed) -> float:
    """Mean flow of the open buckets, L/h; 0 where none is open."""
    return sum(feed.open_flows) / len(feed.open_flows) if feed.open_flows else 0.0


def flow_class(flow: float, mean: float, shut: bool) -> FlowClass:
    """The class of a bucket's flow, both flows in L/h; without any flow all are far below."""
    if shut:
        return SHUT
    if mean <= 0:
        return FAR_BELOW
    return next(one for one in FLOW_CLASSES if flow < one.below * mean)
