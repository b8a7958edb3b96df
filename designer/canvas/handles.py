"""The handles of a design: what each changes, where it stands, and what it is called. Pure.

View coordinates, mm, y up: in the plan as turned by the frame, in the elevation x as in the plan
and y the level.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import partial
from math import cos, floor, hypot, radians, sin
from typing import Literal

from designer.analysis import Analysis
from designer.canvas.snapping import clamped, rounded
from designer.drawing.frame import ViewFrame
from designer.layout.run import RunLayout
from designer.model import edits
from designer.model.design import Design, Obstacle, Point, Run
from designer.model.supports import FEWEST, move_support, remove_support

HandleShape = Literal["upright", "level", "corner"]

SHORTEST_RUN = 300.0
SMALLEST_OBSTACLE = 20.0
STEEPEST_FALL = 2000.0
HIGHEST_STAND = 3000.0
ROOM_FOR_HANDLES = 52.0
"""Pixels that an obstacle must be long for handles at its ends: four times their reach, so that
half of it is left to take hold of the obstacle itself."""
LARGEST = 100_000.0
"""No single thing is longer than 100 m."""


@dataclass(frozen=True, kw_only=True)
class Handle:
    """Something to take hold of: `name` is spoken and shown, `hint` says what it does.

    `least_zoom` in pixels per mm is that from which on it does not cover what it belongs to.
    `remove` takes away what the handle stands for, where that is a thing of its own.
    """

    key: str
    subject: str
    pane: Literal["plan", "elevation"]
    x: float
    y: float
    shape: HandleShape
    name: str
    hint: str
    label: str
    least_zoom: float = 0.0
    remove: Callable[[Design], Design] | None = None


@dataclass(frozen=True, kw_only=True)
class ValueHandle(Handle):
    """A handle for one value in mm, which grows along `direction`, mm per mm dragged.

    `guides` are values that hold a drag that comes near.
    """

    value: float
    direction: tuple[float, float]
    low: float
    high: float
    edit: Callable[[Design, float], Design]
    guides: tuple[float, ...] = ()


@dataclass(frozen=True, kw_only=True)
class PointHandle(Handle):
    """A handle for a corner in the plan; `edit` takes the corner's new view coordinates.

    `guides` are points whose x or y the corner comes into line with; `size` reads the size of what
    the corner belongs to from a design.
    """

    edit: Callable[[Design, float, float], Design]
    guides: tuple[tuple[float, float], ...] = ()
    size: Callable[[Design], tuple[float, float]] | None = None


AnyHandle = ValueHandle | PointHandle


def handles_of(
    analysis: Analysis, run_id: str | None, selection: frozenset[str], frame: ViewFrame
) -> list[AnyHandle]:
    """The handles to show: of the run on show, of its supports when it is chosen, of the
    reservoir, and of the one chosen obstacle or the chosen outline."""
    found: list[AnyHandle] = []
    if run_id is not None:
        found += _run_handles(analysis.run(run_id), frame)
        if run_id in selection:
            found += _support_handles(analysis.run(run_id), frame)
    if analysis.reservoir is not None and run_id is not None:
        found.append(_sink_handle(analysis, frame))
    for obstacle in analysis.design.obstacles:
        if obstacle.id in selection and len(selection) == 1:
            found += _obstacle_handles(obstacle, frame)
    if "site" in selection:
        found += _outline_handles(analysis.design, frame)
    return found


def _run_handles(layout: RunLayout, frame: ViewFrame) -> Iterator[ValueHandle]:
    run = layout.run
    outlet_x, _ = frame.to_view(*layout.frame.at(0.0))
    cap_x, cap_y = frame.to_view(*layout.frame.at(run.length))
    yield ValueHandle(
        key=f"length:{run.id}",
        subject=run.id,
        pane="plan",
        x=cap_x,
        y=cap_y,
        shape="level",
        name=f"Length of {run.name}",
        hint="Drag the capped end for the length of the run",
        label="Set the run's length",
        value=run.length,
        direction=(1.0, 0.0),
        low=SHORTEST_RUN,
        high=LARGEST,
        edit=lambda design, mm: edits.set_run_length(design, run.id, mm),
    )
    yield ValueHandle(
        key=f"fall:{run.id}",
        subject=run.id,
        pane="elevation",
        x=cap_x,
        y=layout.levels.crown(run.length),
        shape="upright",
        name="Fall of the drain",
        hint="Drag the capped end up or down for the fall of the drain",
        label="Set the fall",
        value=run.drain.fall,
        direction=(0.0, 1.0),
        low=0.0,
        high=STEEPEST_FALL,
        edit=lambda design, mm: edits.set_fall(design, run.id, mm),
    )
    yield ValueHandle(
        key=f"stand:{run.id}",
        subject=run.id,
        pane="elevation",
        x=outlet_x,
        y=layout.levels.rail_top(0.0),
        shape="upright",
        name="Height of the stand",
        hint="Drag the rails up or down for the height of the stand",
        label="Set the stand's height",
        value=run.stand.height,
        direction=(0.0, 1.0),
        low=layout.levels.rail_depth + 1.0,
        high=HIGHEST_STAND,
        edit=lambda design, mm: edits.set_stand_height(design, run.id, mm),
    )


def _support_handles(layout: RunLayout, frame: ViewFrame) -> Iterator[ValueHandle]:
    """One for each block stack, half-way up it. It moves between its neighbours."""
    run, room = layout.run, layout.parts.block.width
    outlet_x, _ = frame.to_view(*layout.frame.at(0.0))
    pitches = [
        pitched
        for count in range(floor(run.length / run.pitch) + 1)
        if (pitched := round(run.length - count * run.pitch, 3)) >= 0
    ]
    ordered = sorted(enumerate(run.stand.supports), key=lambda one: one[1])
    for number, (index, station) in enumerate(ordered):
        low = ordered[number - 1][1] + room if number else 0.0
        high = ordered[number + 1][1] - room if number + 1 < len(ordered) else run.length
        low, high = min(low, station), max(high, station)
        yield ValueHandle(
            key=f"support{index + 1}:{run.id}",
            subject=run.id,
            pane="elevation",
            x=outlet_x + station,
            y=layout.levels.block_top / 2,
            shape="level",
            name=f"Support {number + 1}, from the outlet end",
            hint="Drag a block stack along the run, or press Del to take it away",
            label="Move a support",
            least_zoom=ROOM_FOR_HANDLES / 2 / max(high - low, room),
            value=station,
            direction=(1.0, 0.0),
            low=low,
            high=high,
            edit=partial(_move_support, run.id, index),
            guides=tuple(pitched for pitched in pitches if low <= pitched <= high),
            remove=partial(_remove_support, run.id, index) if len(ordered) > FEWEST else None,
        )


def support_key(run: Run, station: float) -> str:
    """The key of the handle of the support at a station. ValueError when none is there."""
    return f"support{run.stand.supports.index(station) + 1}:{run.id}"


def _remove_support(run_id: str, index: int, design: Design) -> Design:
    return remove_support(design, run_id, index)


def _move_support(run_id: str, index: int, design: Design, mm: float) -> Design:
    return move_support(design, run_id, index, mm)


def _sink_handle(analysis: Analysis, frame: ViewFrame) -> ValueHandle:
    layout = analysis.reservoir
    assert layout is not None
    x, _ = frame.to_view(layout.reservoir.place.x, layout.reservoir.place.y)
    return ValueHandle(
        key="sunk:reservoir",
        subject="reservoir",
        pane="elevation",
        x=x,
        y=layout.rim_level,
        shape="upright",
        name="Depth the reservoir is sunk",
        hint="Drag the reservoir down to sink it, up to raise it",
        label="Sink the reservoir",
        value=layout.reservoir.sunk,
        direction=(0.0, -1.0),
        low=0.0,
        high=layout.part.height,
        edit=lambda design, mm: edits.set_reservoir(design, sunk=mm),
    )


def _obstacle_handles(obstacle: Obstacle, frame: ViewFrame) -> Iterator[AnyHandle]:
    least_zoom = ROOM_FOR_HANDLES / max(obstacle.width, obstacle.depth)
    if obstacle.shape == "round":
        x, y = frame.to_view(obstacle.place.x, obstacle.place.y)
        yield ValueHandle(
            key=f"width:{obstacle.id}",
            subject=obstacle.id,
            pane="plan",
            x=x + obstacle.width / 2,
            y=y,
            shape="level",
            name=f"Diameter of {obstacle.name}",
            hint="Drag for the diameter",
            label="Set the size",
            least_zoom=least_zoom,
            value=obstacle.width,
            direction=(2.0, 0.0),
            low=SMALLEST_OBSTACLE,
            high=LARGEST,
            edit=lambda design, mm: edits.set_obstacle(design, obstacle.id, width=mm, depth=mm),
        )
        return
    for number, (right, up) in enumerate(((-1, -1), (1, -1), (1, 1), (-1, 1)), 1):
        corner = _obstacle_corner(obstacle, right, up)
        x, y = frame.to_view(corner.x, corner.y)
        yield PointHandle(
            key=f"corner{number}:{obstacle.id}",
            subject=obstacle.id,
            pane="plan",
            x=x,
            y=y,
            shape="corner",
            name=f"Corner {number} of {obstacle.name}",
            hint="Drag a corner for the size",
            label="Set the size",
            least_zoom=least_zoom,
            edit=partial(_size_obstacle, obstacle, frame, right, up),
            size=lambda design: next(
                (o.width, o.depth) for o in design.obstacles if o.id == obstacle.id
            ),
        )


def _obstacle_corner(obstacle: Obstacle, right: int, up: int) -> Point:
    angle = radians(obstacle.turn)
    across, along = right * obstacle.width / 2, up * obstacle.depth / 2
    return Point(
        obstacle.place.x + across * cos(angle) - along * sin(angle),
        obstacle.place.y + across * sin(angle) + along * cos(angle),
    )


def _size_obstacle(
    obstacle: Obstacle, frame: ViewFrame, right: int, up: int, design: Design, x: float, y: float
) -> Design:
    """The box from the corner across, which stays, to the dragged corner."""
    fixed = _obstacle_corner(obstacle, -right, -up)
    site_x, site_y = frame.to_site(x, y)
    angle = radians(obstacle.turn)
    dx, dy = site_x - fixed.x, site_y - fixed.y
    width = clamped(right * (dx * cos(angle) + dy * sin(angle)), SMALLEST_OBSTACLE, LARGEST)
    depth = clamped(up * (dy * cos(angle) - dx * sin(angle)), SMALLEST_OBSTACLE, LARGEST)
    sized = replace(
        obstacle, width=rounded(width, design.units), depth=rounded(depth, design.units)
    )
    corner = _obstacle_corner(sized, -right, -up)
    place = edits.moved(sized.place, fixed.x - corner.x, fixed.y - corner.y)
    return edits.set_obstacle(
        design, obstacle.id, width=sized.width, depth=sized.depth, place=place
    )


def _outline_handles(design: Design, frame: ViewFrame) -> Iterator[PointHandle]:
    corners = [frame.to_view(p.x, p.y) for p in design.outline]
    for index, (x, y) in enumerate(corners):
        guides = (corners[index - 1], corners[(index + 1) % len(corners)])
        yield PointHandle(
            key=f"corner{index + 1}:site",
            subject="site",
            pane="plan",
            x=x,
            y=y,
            shape="corner",
            name=f"Corner {index + 1} of the outline",
            hint="Drag a corner of the outline",
            label="Move a corner of the outline",
            edit=partial(_move_corner, frame, index),
            guides=guides,
        )


def _move_corner(frame: ViewFrame, index: int, design: Design, x: float, y: float) -> Design:
    site_x, site_y = frame.to_site(x, y)
    corners = list(design.outline)
    corners[index] = Point(site_x, site_y)
    return edits.set_outline(design, corners)


def nearest_handle(
    handles: list[AnyHandle], pane: str, x: float, y: float, reach: float
) -> AnyHandle | None:
    """The handle of a pane nearest to a point, within `reach`, mm; None when there is none."""
    near = [
        (hypot(h.x - x, h.y - y), index, h) for index, h in enumerate(handles) if h.pane == pane
    ]
    best = min(near, key=lambda entry: entry[:2], default=None)
    return best[2] if best is not None and best[0] <= reach else None
