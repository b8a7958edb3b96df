"""Rules of obstacles: beds and reservoir clear of walls, posts and ground to keep free."""

from collections.abc import Iterator, Sequence
from functools import partial

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import affinity
from shapely.geometry.base import BaseGeometry

from designer.checks.finding import PRACTICE, Case, Finding, Remedy
from designer.checks.situation import SiteSituation, drain_leg, judged
from designer.layout.run import Place
from designer.layout.site import KEPT_FREE, SOLID
from designer.model import edits


def obstacles(s: SiteSituation) -> Iterator[Finding]:
    """Rims clear of walls and posts, the reservoir too; beds and reservoir clear of doors, paths
    and ground to keep free."""
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
        if s.reservoir is not None:
            cases, moves = _reservoir_in(s, s.reservoir.rim, solid)
            yield judged(
                "reservoir-clear",
                "The reservoir clear of walls and posts",
                "must_fix",
                "reservoir",
                cases,
                f"{len(cases)} things in the way" if cases else "nothing in its way",
                "clear of them",
                "The reservoir cannot stand where something else stands.",
                PRACTICE,
                moves,
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
            PRACTICE,
            *(_reservoir_in(s, s.reservoir.rim, kept) if s.reservoir is not None else ()),
        )


def _clear_of(
    s: SiteSituation,
    shapes: dict[str, shapely.Polygon],
    needed: float,
    rule: str,
    title: str,
    why: str,
    source: str,
    more_cases: Sequence[Case] = (),
    more_remedies: Sequence[Remedy] = (),
) -> Finding:
    cases: list[Case] = []
    clear = s.at_least(needed) if needed else "clear of it"
    closest = float("inf")
    pushes: list[tuple[str, tuple[float, float], shapely.Polygon]] = []
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
            away = _away(place, shape, s.short(needed, float(gaps[k])))
            pushes.append((run_id, away, shape))
    remedies = _push_away(s, pushes, shapes, needed)
    cases += more_cases
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
        [*remedies, *more_remedies],
    )


def _reservoir_in(
    s: SiteSituation, rim: shapely.Polygon, shapes: dict[str, shapely.Polygon]
) -> tuple[list[Case], list[Remedy]]:
    """The reservoir where it stands in something, and how far to move it out."""
    cases, moves = [], []
    names = {o.id: o.name for o in s.design.obstacles}
    for obstacle_id, shape in shapes.items():
        if not rim.intersects(shape):
            continue
        name = names[obstacle_id]
        measured = f"the reservoir stands in {name}"
        cases.append(Case(("reservoir", obstacle_id), measured, "clear of it"))
        dx, dy = aside(rim, shape, s.grain)
        label = f"Move the reservoir by {s.say(abs(dx) + abs(dy))}, out of {name}"
        moves.append(Remedy(label, partial(edits.move_reservoir, dx=dx, dy=dy)))
    return cases, moves


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
            leg = drain_leg(layout, edits.move_run(s.design, run.id, dx, dy).run(run.id))
            if all(
                np.all(outside(points, shape) - layout.rim_radii >= needed - 1e-6)
                and not spine.intersects(shape)
                and (s.legs[run.id].intersects(shape) or not leg.intersects(shape))
                for shape in shapes.values()
            ):
                label = f"Move {run.name} by {s.say(float(np.hypot(dx, dy)))}"
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
    return ways_aside(shape, obstacle, grain)[0]


def ways_aside(
    shape: BaseGeometry, obstacle: BaseGeometry, grain: float
) -> list[tuple[float, float]]:
    """The four moves along x and y that take a shape out of an obstacle's bounds, mm, shortest
    first."""
    x0, y0, x1, y1 = shape.bounds
    a0, b0, a1, b1 = obstacle.bounds

    def up(distance: float) -> float:
        return float(-(-(distance + 1.0) // grain) * grain)

    ways = ((-up(x1 - a0), 0.0), (up(a1 - x0), 0.0), (0.0, -up(y1 - b0)), (0.0, up(b1 - y0)))
    return sorted(ways, key=lambda way: abs(way[0]) + abs(way[1]))
