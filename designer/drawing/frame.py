"""The view's frame: the plan is turned so that the active run lies level, capped end to the right.

It is only turned, never shifted, so nothing jumps when another parallel run becomes active. The
elevation stands below with the same x, so stations project straight down.
"""

from dataclasses import dataclass
from functools import cached_property
from math import cos, hypot, radians, sin

from shapely.geometry import Polygon

from designer.analysis import Analysis
from designer.layout.run import RunLayout


@dataclass(frozen=True)
class ViewFrame:
    """A turn about the site's origin, degrees."""

    angle: float = 0.0

    @cached_property
    def _turn(self) -> tuple[float, float]:
        return cos(radians(self.angle)), sin(radians(self.angle))

    def to_view(self, x: float, y: float) -> tuple[float, float]:
        """View point of a site point."""
        c, s = self._turn
        return x * c + y * s, y * c - x * s

    def to_site(self, x: float, y: float) -> tuple[float, float]:
        """Site point of a view point: the reverse of :meth:`to_view`."""
        c, s = self._turn
        return x * c - y * s, x * s + y * c


def unit_vector(a: tuple[float, float], b: tuple[float, float]) -> tuple[float, float]:
    """The direction from one point to another; they must not be the same."""
    long = hypot(b[0] - a[0], b[1] - a[1])
    return (b[0] - a[0]) / long, (b[1] - a[1]) / long


def active_layout(analysis: Analysis, run_id: str | None) -> RunLayout | None:
    """The run along which the sheet is laid out; the first one when `run_id` is None."""
    if not analysis.runs:
        return None
    return analysis.runs[0] if run_id is None else analysis.run(run_id)


def view_frame(analysis: Analysis, run_id: str | None) -> ViewFrame:
    """The frame in which this run lies level."""
    layout = active_layout(analysis, run_id)
    return ViewFrame(layout.run.heading if layout is not None else 0.0)


Points = tuple[tuple[float, float], ...]


def outline_points(shape: Polygon, view: ViewFrame) -> Points:
    """The outer corners of a site shape in the view."""
    return tuple(view.to_view(x, y) for x, y in shape.exterior.coords[:-1])


def bounds(points: Points) -> tuple[float, float, float, float]:
    """(left, bottom, right, top) of some points."""
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return min(xs), min(ys), max(xs), max(ys)
