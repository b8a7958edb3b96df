"""Rules of the site: neighbours, walls and posts, kept-free ground, outline, reach from a path."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache, partial

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from designer.checks.finding import Case, Finding, Remedy, State
from designer.checks.situation import judged
from designer.layout.run import GRAIN, Place, RunLayout
from designer.layout.site import (
    KEPT_FREE,
    SOLID,
    ReservoirLayout,
    SiteLayout,
    bed_footprint,
    standing_room,
)
from designer.model import edits
from designer.model.catalogue import Catalogue
from designer.model.design import Design
from designer.units import format_length, style_for


@dataclass(frozen=True, eq=False)
class SiteSituation:
    """All runs together on their site."""

    design: Design
    runs: Sequence[RunLayout]
    reservoir: ReservoirLayout | None
    site: SiteLayout
    catalogue: Catalogue

    def say(self, mm: float) -> str:
        """A length in the person's units."""
        return format_length(mm, style_for(self.design.units))

    @property
    def grain(self) -> float:
        """The step remedies are rounded to, mm."""
        return GRAIN[self.design.units]

    @cached_property
    def places(self) -> list[Place]:
        """All buckets."""
        return [place for layout in self.runs for place in layout.places]

    @cached_property
    def centres(self) -> NDArray[np.float64]:
        """Bucket centres, shape (buckets, 2)."""
        return np.concatenate([layout.centres for layout in self.runs])

    @cached_property
    def radii(self) -> NDArray[np.float64]:
        """Rim radii, shape (buckets,)."""
        return np.concatenate([layout.rim_radii for layout in self.runs])

    @cached_property
    def points(self) -> NDArray[np.object_]:
        """Bucket centres as shapely points."""
        return np.asarray(shapely.points(self.centres))

    @cached_property
    def feet(self) -> dict[str, BaseGeometry]:
        """The ground each run takes up, by run id."""
        return {layout.run.id: bed_footprint(layout) for layout in self.runs}


def neighbours(s: SiteSituation) -> Iterator[Finding]:
    """Buckets of different runs clear of each other."""
    if len(s.runs) < 2:
        return
    needed = s.catalogue.limit("rim_gap")
    run_of = np.repeat(np.arange(len(s.runs)), [len(r.places) for r in s.runs])
    reach = 2 * float(s.radii.max()) + needed
    a, b = shapely.STRtree(s.points).query(s.points, predicate="dwithin", distance=reach)
    other = (a < b) & (run_of[a] != run_of[b])
    a, b = a[other], b[other]
    gap = s.centres[a] - s.centres[b]
    gaps = np.hypot(gap[:, 0], gap[:, 1]) - s.radii[a] - s.radii[b]
    (bad,) = np.nonzero(gaps < needed - 1e-6)
    cases = [
        Case(
            (s.places[a[k]].bucket.id, s.places[b[k]].bucket.id),
            f"{s.say(gaps[k])} between rims"
            if gaps[k] > 0
            else f"rims overlap by {s.say(-gaps[k])}",
            f"at least {s.say(needed)}",
        )
        for k in bad
    ]
    remedies: list[Remedy] = []
    if cases:
        first, second = s.runs[run_of[a[bad[0]]]], s.runs[run_of[b[bad[0]]]]
        shift = -(-(needed - float(gaps.min())) // s.grain) * s.grain
        remedies = [_apart(s, first, second, shift)]
    yield judged(
        "runs-clear",
        "Neighbouring runs clear of each other",
        "must_fix" if len(gaps) and gaps.min() < 0 else "look_again",
        s.runs[0].run.id,
        cases,
        f"{len(cases)} pairs of buckets too close" if cases else "no rims near another run",
        f"at least {s.say(needed)} between rims",
        s.catalogue.limits["rim_gap"].why,
        s.catalogue.source("rim_gap"),
        remedies,
    )


def _apart(s: SiteSituation, first: RunLayout, second: RunLayout, shift: float) -> Remedy:
    ux, uy = first.frame.along
    _, offset = first.frame.of(second.run.start.x, second.run.start.y)
    side = 1 if offset >= 0 else -1
    return Remedy(
        f"Move {second.run.name} {s.say(shift)} away from {first.run.name}",
        partial(edits.move_run, run_id=second.run.id, dx=-uy * side * shift, dy=ux * side * shift),
    )


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
    closest = float("inf")
    push: dict[str, tuple[float, float]] = {}
    moves: list[Remedy] = []
    names = {o.id: o.name for o in s.design.obstacles}
    for obstacle_id, shape in shapes.items():
        gaps = shapely.distance(s.points, shape) - s.radii
        closest = min(closest, float(gaps.min(initial=float("inf"))))
        for k in np.nonzero(gaps < needed - 1e-6)[0]:
            place = s.places[k]
            cases.append(
                Case(
                    (place.bucket.id, obstacle_id),
                    f"rim {s.say(max(gaps[k], 0.0))} from {names[obstacle_id]}"
                    if gaps[k] >= 0
                    else f"rim {s.say(-gaps[k])} inside {names[obstacle_id]}",
                    f"at least {s.say(needed)}",
                )
            )
            run_id = s.design.run_of(place.bucket.id).id
            away = _away(place, shape, needed - float(gaps[k]), s.grain)
            if np.hypot(*away) > np.hypot(*push.get(run_id, (0.0, 0.0))):
                push[run_id] = away
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
                shift = _aside(s.reservoir.rim, shape, s.grain)
                moves.append(
                    Remedy(
                        f"Move the reservoir {s.say(abs(shift[0]) + abs(shift[1]))} out of "
                        f"{names[obstacle_id]}",
                        partial(edits.move_reservoir, dx=shift[0], dy=shift[1]),
                    )
                )
    remedies = [
        Remedy(
            f"Move {s.design.run(run_id).name} {s.say(float(np.hypot(dx, dy)))} away",
            partial(edits.move_run, run_id=run_id, dx=dx, dy=dy),
        )
        for run_id, (dx, dy) in push.items()
    ]
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
        f"at least {s.say(needed)}",
        why,
        source,
        remedies,
    )


def _away(place: Place, shape: BaseGeometry, distance: float, grain: float) -> tuple[float, float]:
    """The shortest push that takes a bucket off a shape, mm in x and y, rounded up to `grain`."""
    centre = shapely.Point(place.x, place.y)
    if shape.contains(centre):
        edge = shapely.shortest_line(shape.exterior, centre).coords
        dx, dy = edge[0][0] - edge[1][0], edge[0][1] - edge[1][1]
    else:
        edge = shapely.shortest_line(shape, centre).coords
        dx, dy = edge[1][0] - edge[0][0], edge[1][1] - edge[0][1]
    long = float(np.hypot(dx, dy)) or 1.0
    step = -(-distance // grain) * grain
    return dx / long * step, dy / long * step


def _aside(shape: shapely.Polygon, obstacle: shapely.Polygon, grain: float) -> tuple[float, float]:
    """The shortest move along x or y that takes a shape out of an obstacle's bounds, mm."""
    x0, y0, x1, y1 = shape.bounds
    a0, b0, a1, b1 = obstacle.bounds

    def up(distance: float) -> float:
        return float(-(-(distance + 1.0) // grain) * grain)

    ways = ((-up(x1 - a0), 0.0), (up(a1 - x0), 0.0), (0.0, -up(y1 - b0)), (0.0, up(b1 - y0)))
    return min(ways, key=lambda way: abs(way[0]) + abs(way[1]))


def outline(s: SiteSituation) -> Iterator[Finding]:
    """Everything inside the site outline."""
    area = s.site.outline
    if area is None:
        return
    needed = s.catalogue.limit("wall_gap")
    inside = shapely.contains(area, s.points)
    edge = shapely.distance(s.points, area.exterior)
    gaps = np.where(inside, edge, -edge) - s.radii
    cases = [
        Case(
            (s.places[k].bucket.id,),
            f"rim {s.say(gaps[k])} inside the outline"
            if gaps[k] >= 0
            else f"rim {s.say(-gaps[k])} over the outline",
            f"at least {s.say(needed)} inside",
        )
        for k in np.nonzero(gaps < needed - 1e-6)[0]
    ]
    if s.reservoir is not None and not area.contains(s.reservoir.rim):
        cases.append(Case(("reservoir",), "the reservoir stands over the outline", "inside it"))
    yield judged(
        "inside-outline",
        "Everything inside the site outline",
        "must_fix",
        "site",
        cases,
        f"{len(cases)} things over the outline" if cases else "all inside",
        f"rims at least {s.say(needed)} inside",
        s.catalogue.limits["wall_gap"].why,
        s.catalogue.source("wall_gap"),
        _move_inside(s, area, needed) if cases else (),
    )


def _move_inside(s: SiteSituation, area: BaseGeometry, needed: float) -> list[Remedy]:
    """Move everything together towards the middle, when it is small enough to go in."""
    shapes = list(s.feet.values()) + ([s.reservoir.rim] if s.reservoir is not None else [])
    x0, y0, x1, y1 = shapely.union_all(shapes).bounds
    a0, b0, a1, b1 = (round(v, 3) for v in area.bounds)
    if x1 - x0 > a1 - a0 - 2 * needed or y1 - y0 > b1 - b0 - 2 * needed:
        return []
    dx = round((a0 + a1 - x0 - x1) / 2, 3)
    dy = round((b0 + b1 - y0 - y1) / 2, 3)
    subjects = [r.run.id for r in s.runs] + (["reservoir"] if s.reservoir is not None else [])
    return [
        Remedy(
            "Move the beds to the middle of the site",
            partial(edits.move, subjects=tuple(subjects), dx=dx, dy=dy),
        )
    ]


def reach(s: SiteSituation) -> Iterator[Finding]:
    """Every bucket within an arm's reach of ground where a person can stand."""
    room = _room(
        s.site,
        tuple(s.feet.values()),
        s.reservoir.rim if s.reservoir is not None else None,
        s.catalogue.limit("path_width"),
    )
    needed = s.catalogue.limit("reach")
    far = shapely.distance(s.points, room) if not room.is_empty else np.full(len(s.places), np.inf)
    cases = [
        Case(
            (s.places[k].bucket.id,),
            f"{s.say(far[k])} from the nearest place to stand"
            if np.isfinite(far[k])
            else "no place to stand",
            f"at most {s.say(needed)}",
        )
        for k in np.nonzero(far > needed + 1e-6)[0]
    ]
    state: State = "look_again"
    yield judged(
        "reach",
        "Every bucket within reach from a path",
        state,
        s.runs[0].run.id,
        cases,
        f"{len(cases)} buckets out of reach"
        if cases
        else f"farthest bucket {s.say(float(far.max()))} from a place to stand",
        f"at most {s.say(needed)} from ground at least "
        f"{s.say(s.catalogue.limit('path_width'))} wide",
        s.catalogue.limits["reach"].why,
        s.catalogue.source("reach"),
        [],
    )


@lru_cache(maxsize=4)
def _room(
    site: SiteLayout,
    feet: tuple[BaseGeometry, ...],
    reservoir: BaseGeometry | None,
    path_width: float,
) -> BaseGeometry:
    """Room to stand; shapes compare by value, so a bucket moved within its run asks nothing new."""
    shapes = [*feet, reservoir] if reservoir is not None else list(feet)
    return standing_room(site, shapely.union_all(shapes), path_width, 4 * path_width)
