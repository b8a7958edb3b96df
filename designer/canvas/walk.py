"""The order in which Tab walks through the parts of a design, and what the arrow keys do to them.

Pure: a stop is a subject's id or the key of a handle.
"""

from dataclasses import replace

from designer.analysis import Analysis
from designer.canvas.handles import AnyHandle, ValueHandle
from designer.canvas.snapping import COARSE_STEP, clamped, rounded
from designer.drawing.frame import ViewFrame
from designer.layout.run import GRAIN
from designer.model import edits
from designer.model.design import Bucket, Design

COARSE_VALUE = {"metric": 10.0, "imperial": 12.7}
"""What Shift and an arrow change a handle's value by: 10 mm or 1/2 in."""


def stops(analysis: Analysis, handles: list[AnyHandle]) -> list[str]:
    """Every stop: each run, its handles and its buckets from the capped end, then the reservoir,
    the obstacles and the outline, each with its handles."""
    design = analysis.design
    subjects: list[str] = []
    for layout in analysis.runs:
        subjects.append(layout.run.id)
        subjects += [handle.key for handle in handles if handle.subject == layout.run.id]
        subjects += [place.bucket.id for place in layout.from_cap]
    rest = ["reservoir"] if design.reservoir is not None else []
    rest += [obstacle.id for obstacle in design.obstacles]
    rest += ["site"] if design.outline else []
    for subject in rest:
        subjects.append(subject)
        subjects += [handle.key for handle in handles if handle.subject == subject]
    return subjects


def next_stop(order: list[str], now: str | None, forward: bool) -> str | None:
    """The stop after or before the present one; None past either end."""
    if now not in order:
        return (order[0] if forward else order[-1]) if order else None
    index = order.index(now) + (1 if forward else -1)
    return order[index] if 0 <= index < len(order) else None


def nudged(
    design: Design,
    analysis: Analysis,
    chosen: frozenset[str],
    frame: ViewFrame,
    right: int,
    up: int,
    coarse: bool,
) -> Design:
    """What is chosen moved one step on the sheet: buckets by 1 mm or 1/16 in along their run, or
    by a pitch, and across the drain; other things by 1 mm or 1/16 in, or by 100 mm or 4 in."""
    buckets = [s for s in chosen if s in analysis.places]
    if len(buckets) == len(chosen):
        return _nudged_buckets(design, frozenset(buckets), right, up, coarse)
    step = COARSE_STEP[design.units] if coarse else GRAIN[design.units]
    return edits.move(design, chosen, *frame.to_site(right * step, up * step))


def _nudged_buckets(
    design: Design, chosen: frozenset[str], right: int, up: int, coarse: bool
) -> Design:
    for run in design.runs:
        step = run.pitch if coarse else GRAIN[design.units]
        low, high = 0.0, run.length

        def moved(
            bucket: Bucket, by: float = right * step, low: float = low, high: float = high
        ) -> Bucket:
            station = round(bucket.station + by, 4)
            if by and (low <= station <= high or abs(by) < 5):
                bucket = replace(bucket, station=station)
            if up and (bucket.side == "left") != (up > 0):
                bucket = replace(bucket, side=edits.OTHER[bucket.side])
            return bucket

        ids = [b.id for b in run.buckets if b.id in chosen]
        design = edits.change_buckets(design, ids, moved)
    return design


def nudged_handle(design: Design, handle: AnyHandle, right: int, up: int, coarse: bool) -> Design:
    """A handle's value or corner moved one step. A value follows the arrows that lie along its
    direction; of the other two, right makes it more."""
    step = COARSE_VALUE[design.units] if coarse else GRAIN[design.units]
    if not isinstance(handle, ValueHandle):
        step = COARSE_STEP[design.units] if coarse else step
        x, y = handle.x + right * step, handle.y + up * step
        return handle.edit(design, rounded(x, design.units), rounded(y, design.units))
    along, across = handle.direction
    more = right * along + up * across or right + up
    value = handle.value + (step if more > 0 else -step)
    return handle.edit(design, clamped(rounded(value, design.units), handle.low, handle.high))
