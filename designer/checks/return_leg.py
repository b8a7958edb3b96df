"""Rule of the drain's way from its outlet end to the reservoir: nothing stands in it.

The feed tube's way is not judged: a tube is bent round a post by hand for a few centimetres more,
and what stops it for good, a wall between reservoir and bed, stands in the drain's way too.
"""

from collections.abc import Iterator
from dataclasses import replace
from functools import partial
from itertools import pairwise, permutations

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry.base import BaseGeometry

from designer.checks.finding import PRACTICE, Case, Finding, Remedy
from designer.checks.obstacles import outside, ways_aside
from designer.checks.situation import SiteSituation, drain_leg, judged
from designer.layout.run import RunLayout
from designer.layout.site import KEPT_FREE, SOLID
from designer.model import edits
from designer.model.design import Point

LONGEST_DETOUR = 1500.0
"""No remedy leads a drain farther about than this, mm."""


def return_leg(s: SiteSituation) -> Iterator[Finding]:
    """The drain on its way to the reservoir clear of walls and posts, and not across ground that
    must stay open."""
    things = s.site.of_kinds(SOLID + KEPT_FREE)
    legs = {run_id: leg for run_id, leg in s.legs.items() if not leg.is_empty}
    if not things or not legs:
        return
    names = {o.id: o.name for o in s.design.obstacles}
    crossed = [
        (run_id, obstacle_id)
        for run_id, leg in legs.items()
        for obstacle_id, shape in things.items()
        if leg.intersects(shape)
    ]
    cases = [
        Case(
            (run_id, obstacle_id),
            f"the drain runs into {names[obstacle_id]} on its way to the reservoir"
            if s.site.kinds[obstacle_id] in SOLID
            else f"the drain lies across {names[obstacle_id]} on its way to the reservoir",
            "clear of it",
        )
        for run_id, obstacle_id in crossed
    ]
    solid = any(s.site.kinds[obstacle_id] in SOLID for _, obstacle_id in crossed)
    yield judged(
        "return-clear",
        "The drain's way to the reservoir is clear",
        "must_fix" if solid else "look_again",
        next(iter(legs)),
        cases,
        f"{len(cases)} things in the way" if cases else "nothing in its way",
        "clear of walls, posts and ground to keep free",
        "A rigid pipe cannot pass through a wall or a post, and one across a path is in the way.",
        PRACTICE,
        [*_around(s, {r for r, _ in crossed}), *_all_aside(s, crossed)] if cases else (),
    )


def _around(s: SiteSituation, run_ids: set[str]) -> list[Remedy]:
    """Lead each drain round what stands in its way by one or two bends, the shortest way."""
    return [
        Remedy(
            f"Lead the drain of {layout.run.name} round it" if len(s.runs) > 1
            else "Lead the drain round it",
            partial(edits.set_run, run_id=layout.run.id, return_path=path),
        )
        for layout in s.runs
        if layout.run.id in run_ids and (path := _detour(s, layout)) is not None
    ]  # fmt: skip


def _detour(s: SiteSituation, layout: RunLayout) -> tuple[Point, ...] | None:
    """The shortest return path with one or two bends that is clear of everything on the ground,
    or None. Bends stand off the corners of what is in the way, half a pipe and a gap away."""
    run, limit = layout.run, layout.return_length + LONGEST_DETOUR
    gap = layout.parts.drain.outside_diameter / 2 + s.catalogue.limit("wall_gap")
    leg = s.legs[run.id]
    things = list(s.site.of_kinds(SOLID + KEPT_FREE).values())
    corners = [
        (s.up(x), s.up(y))
        for shape in things
        if shape.intersects(leg)
        for x, y in _corners(shape.minimum_rotated_rectangle.buffer(gap + s.grain, join_style=2))
    ]
    bends: list[tuple[tuple[float, float], ...]] = [(corner,) for corner in corners]
    bends += permutations(corners, 2)
    ends = layout.return_points[0], layout.outfall
    ways = sorted((_length((ends[0], *way, ends[1])), way) for way in bends)
    beds = shapely.union_all([*shapely.buffer(s.points, s.radii), *s.spines.values()])
    for length, way in ways:
        if length > limit:
            return None
        path = tuple(Point(x, y) for x, y in way) + run.return_path[-1:]
        made = drain_leg(layout, replace(run, return_path=path))
        within = s.site.outline is None or s.site.outline.contains(made)
        # where it leaves the outlet end it may lie no more under its own bed than it does now
        under_bed = made.intersection(beds).area - leg.intersection(beds).area
        if within and under_bed < gap**2 and not any(made.intersects(thing) for thing in things):
            return path
    return None


def _corners(shape: BaseGeometry) -> list[tuple[float, float]]:
    return [(float(x), float(y)) for x, y in shapely.get_coordinates(shape)[:-1]]


def _length(path: tuple[tuple[float, float], ...]) -> float:
    return sum(float(shapely.Point(a).distance(shapely.Point(b))) for a, b in pairwise(path))


def _all_aside(s: SiteSituation, crossed: list[tuple[str, str]]) -> list[Remedy]:
    """Move beds and reservoir together, as far as clears all of what stands about."""
    if s.reservoir is None:
        return []
    whole = shapely.union_all([*s.feet.values(), *s.legs.values(), s.reservoir.rim])
    ways = [
        way
        for run_id, obstacle_id in crossed
        for part in (s.legs[run_id], whole)
        for way in ways_aside(part, s.site.obstacles[obstacle_id], s.grain)
    ]
    for dx, dy in sorted(ways, key=lambda way: abs(way[0]) + abs(way[1])):
        if _stands_clear(s, s.reservoir.rim, dx, dy):
            subjects = (*(layout.run.id for layout in s.runs), "reservoir")
            beds = "bed" if len(s.runs) == 1 else "beds"
            return [
                Remedy(
                    f"Move {beds} and reservoir by {s.say(abs(dx) + abs(dy))}",
                    partial(edits.move, subjects=subjects, dx=dx, dy=dy),
                )
            ]
    return []


def _stands_clear(s: SiteSituation, rim: BaseGeometry, dx: float, dy: float) -> bool:
    """Whether everything moved by (dx, dy) is clear of obstacles and inside the outline."""
    ground = shapely.union_all([*s.spines.values(), *s.legs.values(), rim])
    ground = affinity.translate(ground, dx, dy)
    points = shapely.points(s.centres + np.array((dx, dy)))
    gap = s.catalogue.limit("wall_gap")
    for kinds, needed in ((SOLID, gap), (KEPT_FREE, 0.0)):
        for shape in s.site.of_kinds(kinds).values():
            if ground.intersects(shape) or (outside(points, shape) - s.radii < needed).any():
                return False
    area = s.site.outline
    if area is None:
        return True
    return area.contains(ground) and bool((-outside(points, area) - s.radii >= gap).all())
