"""What becomes of a part dropped on the sheet. Pure: Analysis -> Design."""

from typing import NamedTuple, cast, get_args

from shapely.geometry import MultiPoint

from designer.analysis import Analysis
from designer.canvas.snapping import next_slot, rounded, snap_station
from designer.drawing.frame import ViewFrame
from designer.layout.run import RunLayout
from designer.layout.site import bed_footprint
from designer.model import edits
from designer.model.design import Design, ObstacleKind, Point, Side
from designer.sketch import fresh_obstacle, fresh_reservoir, fresh_run, lead_to_reservoir

BEYOND_OUTLET = 500.0
"""From the outlet end to the middle of a reservoir placed by the keyboard, mm."""
BESIDE = 700.0
"""How far outside its buckets a run still draws a dropped bucket in, mm."""
PART_KINDS = ("bucket", "run", "reservoir", *get_args(ObstacleKind), "outline")


class Drop(NamedTuple):
    """The design with the part, the subject that was placed, its undo label, and a hint for the
    person, which says why when nothing was placed."""

    design: Design
    subject: str | None
    label: str
    hint: str


def dropped(
    analysis: Analysis, frame: ViewFrame, kind: str, at: Point, reach: float, free: bool = False
) -> Drop:
    """The design with a part dropped at a point of the site. `reach` in mm is how far a neighbour
    holds a bucket; `free` lets go of the snap."""
    if kind == "bucket":
        return _drop_bucket(analysis, at, reach, free)
    units = analysis.design.units
    x, y = (rounded(v, units) for v in frame.to_view(at.x, at.y))
    return _put(analysis, frame, kind, Point(*frame.to_site(x, y)))


def placed(analysis: Analysis, frame: ViewFrame, kind: str, at: Point, run_id: str | None) -> Drop:
    """The design with a part placed without a hand that aims: a bucket on the next place of the
    stagger of a run, a reservoir beyond the outlet end, a run beside the others, anything else
    at the point."""
    layout = next((x for x in analysis.runs if x.run.id == run_id), None)
    if kind == "bucket":
        if layout is None:
            return _no_run(analysis.design)
        return _add_bucket(analysis, layout, *next_slot(layout.run))
    if kind == "reservoir" and layout is not None and analysis.reservoir is None:
        at = Point(*layout.frame.at(-BEYOND_OUTLET))
    if kind == "run" and analysis.runs:
        lowest = min(analysis.runs, key=lambda x: frame.to_view(*x.frame.at(0.0))[1])
        across = 2 * lowest.half_width + BESIDE
        x, y = frame.to_view(*lowest.frame.at(lowest.run.length / 2))
        at = Point(*frame.to_site(x, y - across))
    return _put(analysis, frame, kind, at)


def _put(analysis: Analysis, frame: ViewFrame, kind: str, at: Point) -> Drop:
    design = analysis.design
    if kind == "run":
        return _drop_run(analysis, frame, at)
    if kind == "reservoir":
        return _drop_reservoir(analysis, at)
    if kind == "outline":
        return _draw_outline(analysis, frame, at)
    if kind in get_args(ObstacleKind):
        obstacle = fresh_obstacle(design, cast(ObstacleKind, kind), at)
        name = obstacle.name
        return Drop(
            edits.add_obstacle(design, obstacle), obstacle.id, f"Place {name}", f"{name} placed."
        )
    return Drop(design, None, "", "")


def _drop_bucket(analysis: Analysis, at: Point, reach: float, free: bool) -> Drop:
    layout = _nearest_run(analysis, at)
    if layout is None:
        return _no_run(analysis.design)
    run = layout.run
    station, offset = layout.frame.of(at.x, at.y)
    past = max(-station, station - run.length, abs(offset) - layout.half_width)
    if past > BESIDE:
        return Drop(analysis.design, None, "", "Drop the bucket beside a run, on either side.")
    neighbours = [bucket.station for bucket in run.buckets]
    snap = snap_station(run, station, neighbours, reach, analysis.design.units, free)
    return _add_bucket(analysis, layout, snap.station, "left" if offset >= 0 else "right")


def _add_bucket(analysis: Analysis, layout: RunLayout, station: float, side: Side) -> Drop:
    design, bucket_id = edits.add_bucket(analysis.design, layout.run.id, station, side)
    return Drop(design, bucket_id, "Add a bucket", f"A bucket joins {layout.run.name}, {side}.")


def _no_run(design: Design) -> Drop:
    return Drop(design, None, "", "Place a run first: buckets stand along a run.")


def _nearest_run(analysis: Analysis, at: Point) -> RunLayout | None:
    def away(layout: RunLayout) -> float:
        station, offset = layout.frame.of(at.x, at.y)
        past = max(0.0, -station, station - layout.run.length)
        return float(past * past + offset * offset)

    return min(analysis.runs, key=away, default=None)


def _drop_run(analysis: Analysis, frame: ViewFrame, at: Point) -> Drop:
    """A fresh run with its middle at the point, level on the sheet, led to the reservoir."""
    design = analysis.design
    right = frame.to_site(1.0, 0.0)
    half = fresh_run(design, at, frame.angle).length / 2
    start = edits.moved(at, -right[0] * half, -right[1] * half)
    run = fresh_run(design, start, frame.angle)
    made = lead_to_reservoir(edits.add_run(design, run), run, analysis.catalogue)
    return Drop(made, run.id, "Place a run", f"{run.name} placed.")


def _drop_reservoir(analysis: Analysis, at: Point) -> Drop:
    design = analysis.design
    if design.reservoir is not None:
        old = design.reservoir.place
        moved = edits.move_reservoir(design, at.x - old.x, at.y - old.y)
        return Drop(moved, "reservoir", "Move the reservoir", "The reservoir moves here.")
    made = edits.place_reservoir(design, fresh_reservoir(design, at))
    for run in design.runs:
        made = lead_to_reservoir(made, run, analysis.catalogue)
    return Drop(made, "reservoir", "Place the reservoir", "Reservoir placed.")


def _draw_outline(analysis: Analysis, frame: ViewFrame, at: Point) -> Drop:
    """A rectangle, level on the sheet, a tenth larger than everything that stands there."""
    shapes = [bed_footprint(layout) for layout in analysis.runs]
    shapes += analysis.site.obstacles.values()
    if analysis.reservoir is not None:
        shapes.append(analysis.reservoir.rim)
    points = [frame.to_view(*point) for shape in shapes for point in shape.exterior.coords]
    if points:
        left, bottom, right, top = MultiPoint(points).bounds
    else:
        x, y = frame.to_view(at.x, at.y)
        left, bottom, right, top = x - 1500, y - 1000, x + 1500, y + 1000
    dx, dy = 0.05 * (right - left), 0.05 * (top - bottom)
    corners = (
        (left - dx, bottom - dy),
        (right + dx, bottom - dy),
        (right + dx, top + dy),
        (left - dx, top + dy),
    )
    outline = [Point(*(round(v, 3) for v in frame.to_site(*corner))) for corner in corners]
    drawn = edits.set_outline(analysis.design, outline)
    return Drop(drawn, "site", "Draw the outline", "Drag the corners of the outline into place.")
