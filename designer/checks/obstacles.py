"""Rules of obstacles: beds and reservoir clear of walls, posts and ground to keep free."""

from collections.abc import Iterator, Sequence
from functools import partial

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import affinity
from shapely.geometry.base import BaseGeometry

from designer.checks.finding import Case, Finding, Remedy
from designer.checks.situation import SiteSituation, judged
from designer.layout.run import Place
from designer.layout.site import KEPT_FREE, SOLID
from designer.model import edits


def obstacles(s: SiteSituation) -> Iterator[Finding]:
    """Rims clear of walls and posts; beds clear of doors, paths and ground to keep free."""
    solid = s.site.of_kinds(SOLID)
    if solid:
        yield _clear_of(
            s,
            solid,
            s.catalogue.limit("wall_gap"),
            "clear-of-walls",
            "Rims clear of walls and posts",
            s.catalogue.limits["wall_gap"].why,
            s.catalogue.source("wall_gap"),
        )
    kept = s.site.of_kinds(KEPT_FREE)
    if kept:
        yield _clear_of(
            s,
            kept,
            0.0,
            "ground-kept-free",
            "Doors, paths and kept-free ground stay open",
            "What must stay open is walked through with full hands.",
            "common practice, no source",
        )


def _clear_of(
    s: SiteSituation,
    shapes: dict[str, shapely.Polygon],
    needed: float,
    rule: str,
    title: str,
    why: str,
    source: str,
) -> Finding:
    cases: list[Case] = []
    clear = s.at_least(needed) if needed else "clear of it"
    closest = float("inf")
    pushes: list[tuple[str, tuple[float, float], shapely.Polygon]] = []
    moves: list[Remedy] = []
    names = {o.id: o.name for o in s.design.obstacles}
    for obstacle_id, shape in shapes.items():
        for run_id, spine in s.spines.items():
            if spine.intersects(shape):
                measured = f"drain and rails run into {names[obstacle_id]}"
                cases.append(Case((run_id, obstacle_id), measured, "clear of it"))
                pushes.append((run_id, (0.0, 0.0), shape))
        gaps = outside(s.points, shape) - s.radii
        closest = min(closest, float(gaps.min(initial=float("inf"))))
        for k in np.nonzero(gaps < needed - 1e-6)[0]:
            place = s.places[k]
            cases.append(
                Case(
                    (place.bucket.id, obstacle_id),
                    f"rim {s.say(s.down(gaps[k]))} from {names[obstacle_id]}"
                    if gaps[k] >= 0
                    else f"rim {s.say(s.up(-gaps[k]))} inside {names[obstacle_id]}",
                    clear,
                )
            )
            run_id = s.design.run_of(place.bucket.id).id
            away = _away(place, shape, s.up(needed - float(gaps[k])))
            pushes.append((run_id, away, shape))
        if s.reservoir is not None:
            gap = s.reservoir.rim.distance(shape)
            if gap <= 0:
                cases.append(
                    Case(
                        ("reservoir", obstacle_id),
                        f"the reservoir stands in {names[obstacle_id]}",
                        "clear of it",
                    )
                )
                shift = aside(s.reservoir.rim, shape, s.grain)
                moves.append(
                    Remedy(
                        f"Move the reservoir {s.say(abs(shift[0]) + abs(shift[1]))} out of "
                        f"{names[obstacle_id]}",
                        partial(edits.move_reservoir, dx=shift[0], dy=shift[1]),
                    )
                )
    remedies = _push_away(s, pushes, shapes, needed)
    remedies += moves
    return judged(
        rule,
        title,
        "must_fix",
        "site" if not s.design.runs else s.design.runs[0].id,
        cases,
        f"{len(cases)} things in the way"
        if cases
        else (f"closest rim {s.say(closest)} away" if closest < 1e9 else "nothing near"),
        clear,
        why,
        source,
        remedies,
    )


def _push_away(
    s: SiteSituation,
    pushes: Sequence[tuple[str, tuple[float, float], shapely.Polygon]],
    shapes: dict[str, shapely.Polygon],
    needed: float,
) -> list[Remedy]:
    """Move each run in the way by the longest of its buckets' pushes, if that clears it of all
    shapes, or else by its whole bed."""
    remedies = []
    for layout in s.runs:
        run = layout.run
        own = [(away, shape) for run_id, away, shape in pushes if run_id == run.id]
        foot = s.feet[run.id].buffer(needed)
        ways = sorted((away for away, _ in own), key=lambda way: float(np.hypot(*way)))[-1:]
        ways += [aside(foot, shape, s.grain) for shape in dict.fromkeys(shape for _, shape in own)]
        for dx, dy in ways:
            points = shapely.points(layout.centres + np.array((dx, dy)))
            spine = affinity.translate(s.spines[run.id], dx, dy)
            if all(
                np.all(outside(points, shape) - layout.rim_radii >= needed - 1e-6)
                and not spine.intersects(shape)
                for shape in shapes.values()
            ):
                label = f"Move {run.name} {s.say(float(np.hypot(dx, dy)))} away"
                edit = partial(edits.move_run, run_id=run.id, dx=dx, dy=dy)
                remedies.append(Remedy(label, edit))
                break
    return remedies


def outside(points: NDArray[np.object_], shape: BaseGeometry) -> NDArray[np.float64]:
    """How far points stand outside a shape, negative inside it, mm."""
    inside = shapely.contains(shape, points)
    away = shapely.distance(points, shape.boundary)
    return np.asarray(np.where(inside, -away, away), dtype=float)


def _away(place: Place, shape: shapely.Polygon, distance: float) -> tuple[float, float]:
    """The shortest push by `distance` that takes a bucket off a shape, mm in x and y; along the
    line from the shape's edge to the bucket, or across its middle where the two coincide."""
    centre = shapely.Point(place.x, place.y)
    (x0, y0), (x1, y1) = shapely.shortest_line(shape.exterior, centre).coords
    dx, dy = x1 - x0, y1 - y0
    if shape.contains(centre):
        dx, dy = -dx, -dy
    if float(np.hypot(dx, dy)) < 1e-6:
        dx, dy = x1 - shape.centroid.x, y1 - shape.centroid.y
    long = float(np.hypot(dx, dy)) or 1.0
    return dx / long * distance, dy / long * distance


def aside(shape: BaseGeometry, obstacle: BaseGeometry, grain: float) -> tuple[float, float]:
    """The shortest move along x or y that takes a shape out of an obstacle's bounds, mm."""
    x0, y0, x1, y1 = shape.bounds
    a0, b0, a1, b1 = obstacle.bounds

    def up(distance: float) -> float:
        return float(-(-(distance + 1.0) // grain) * grain)

    ways = ((-up(x1 - a0), 0.0), (up(a1 - x0), 0.0), (0.0, -up(y1 - b0)), (0.0, up(b1 - y0)))
    return min(ways, key=lambda way: abs(way[0]) + abs(way[1]))
