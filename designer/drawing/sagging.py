"""The sag of the rails over the elevation, drawn larger than it is, and by how much.

Nothing while the stand is not solved or not current, nor where it is too little to show.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial

import numpy as np

from designer.analysis import Analysis
from designer.drawing.dimensions import SMALL_TEXT
from designer.drawing.frame import active_layout, view_frame
from designer.drawing.records import Group, Line, Record, Text
from designer.stand.bed.record import StandResult

LEAST_SAG = 0.2
"""Less than this does not show on a rail, mm."""
DEEPEST = 12.0
"""The drawn sag is at most so deep, mm of paper."""
FACTORS = (500, 200, 100, 50, 20, 10, 5, 2, 1)
_STEPS = 121


@dataclass(frozen=True, eq=False, slots=True)
class _Same:
    """Equal where it holds the very same stand: comparing by value would compare arrays."""

    stand: StandResult

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Same) and other.stand is self.stand

    def __hash__(self) -> int:
        return id(self.stand)


def sag_groups(analysis: Analysis, run_id: str | None, scale: float) -> Iterator[Group]:
    """The rail of a run that sags most, with creep. `run_id` and `scale` as for
    `elevation_groups`."""
    layout = active_layout(analysis, run_id)
    if layout is None or not analysis.stands_current:
        return
    stand = analysis.stands.get(layout.run.id)
    if stand is None or stand.layout is not layout:
        return
    origin, _ = view_frame(analysis, run_id).to_view(layout.run.start.x, layout.run.start.y)
    token = (_Same(stand), origin, scale)
    yield Group(f"sag:{layout.run.id}", None, token, partial(_sag, stand, origin, scale))


def _sag(stand: StandResult, origin: float, scale: float) -> list[Record]:
    layout = stand.layout
    stations = np.linspace(0.0, layout.run.length, _STEPS)
    sags = max((rail.sag_at(stations) for rail in stand.rails), key=np.max, default=np.zeros(1))
    deepest = float(np.max(sags))
    if deepest <= LEAST_SAG:
        return []
    factor = next((f for f in FACTORS if f * deepest <= DEEPEST * scale), 1)
    points = tuple(
        (origin + float(s), layout.levels.rail_top(float(s)) - factor * float(sag))
        for s, sag in zip(stations, sags, strict=True)
    )
    x, low = points[int(np.argmax(sags))]
    words = "rails' sag after years" + (f", drawn {factor} times" if factor > 1 else "")
    height = SMALL_TEXT * scale
    return [
        Line(points, "sag"),
        Text(x, min(low, layout.levels.block_top) - height, words, height, "text_soft"),
    ]
