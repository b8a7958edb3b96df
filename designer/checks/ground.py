"""Rules of the site: neighbouring runs, the reservoir, the outline, reach from a path."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import lru_cache, partial

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import affinity
from shapely.geometry.base import BaseGeometry

from designer.checks.finding import PRACTICE, Case, Finding, Remedy
from designer.checks.obstacles import aside, outside
from designer.checks.situation import SiteSituation, judged
from designer.layout.run import RunLayout
from designer.layout.site import SiteLayout, standing_room
from designer.model import edits


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
            f"{s.say(s.down(gaps[k]))} between rims"
            if gaps[k] >= 0
            else f"rims overlap by {s.say(s.up(-gaps[k]))}",
            s.at_least(needed),
        )
        for k in bad
    ]
    remedies: list[Remedy] = []
    if cases:
        worst = int(gaps.argmin())
        first, second = s.runs[run_of[a[worst]]], s.runs[run_of[b[worst]]]
        remedies = [_apart(s, first, second, needed)]
    yield judged(
        "runs-clear",
        "Neighbouring runs clear of each other",
        "must_fix" if len(gaps) and gaps.min() < 0 else "look_again",
        s.runs[0].run.id,
        cases,
        f"{len(cases)} pairs of buckets too close" if cases else "no rims near another run",
        f"{s.at_least(needed)} between rims",
        s.catalogue.limits["rim_gap"].why,
        s.catalogue.source("rim_gap"),
        remedies,
    )


def _apart(s: SiteSituation, first: RunLayout, second: RunLayout, needed: float) -> Remedy:
    """Move the second run sideways off the first, to the side that is nearer: by what its rims
    overlap the first run's bed, seen along the first run's axis."""
    ux, uy = first.frame.along
    offsets = [first.frame.of(place.x, place.y)[1] for place in second.places]
    lows = [o - r for o, r in zip(offsets, second.rim_radii, strict=True)]
    highs = [o + r for o, r in zip(offsets, second.rim_radii, strict=True)]
    room = first.half_width + needed
    left, right = s.up(room - min(lows)), s.up(room + max(highs))
    shift = left if left <= right else -right
    return Remedy(
        f"Move {second.run.name} by {s.say(abs(shift))}, away from {first.run.name}",
        partial(edits.move_run, run_id=second.run.id, dx=-uy * shift, dy=ux * shift),
    )


def reservoir(s: SiteSituation) -> Iterator[Finding]:
    """The reservoir clear of the buckets, so that it can be opened and topped up."""
    if s.reservoir is None:
        return
    rim = s.reservoir.rim
    gaps = outside(s.points, rim) - s.radii
    cases = [
        Case(
            (s.places[k].bucket.id, "reservoir"),
            f"rim {s.say(s.up(-gaps[k]))} over the reservoir",
            "clear of it",
        )
        for k in np.nonzero(gaps < -1e-6)[0]
    ]
    remedies: list[Remedy] = []
    if cases:
        dx, dy = aside(rim, shapely.union_all(list(s.feet.values())), s.grain)
        remedies.append(
            Remedy(
                f"Move the reservoir by {s.say(abs(dx) + abs(dy))}, out from under the buckets",
                partial(edits.move_reservoir, dx=dx, dy=dy),
            )
        )
    yield judged(
        "reservoir-open",
        "The reservoir can be opened",
        "look_again",
        "reservoir",
        cases,
        f"{len(cases)} buckets over the reservoir"
        if cases
        else f"closest rim {s.say(float(gaps.min()))} away",
        "no bucket over it",
        "A reservoir under the buckets cannot be topped up or cleaned, nor its pump lifted out.",
        PRACTICE,
        remedies,
    )


def outline(s: SiteSituation) -> Iterator[Finding]:
    """Everything inside the site outline."""
    area = s.site.outline
    if area is None:
        return
    needed = s.catalogue.limit("wall_gap")
    gaps = -outside(s.points, area) - s.radii
    cases = [
        Case(
            (s.places[k].bucket.id,),
            f"rim {s.say(s.down(gaps[k]))} inside the outline"
            if gaps[k] >= 0
            else f"rim {s.say(s.up(-gaps[k]))} over the outline",
            f"{s.at_least(needed)} inside",
        )
        for k in np.nonzero(gaps < needed - 1e-6)[0]
    ]
    cases += [
        Case((run_id,), "drain and rails reach over the outline", "inside it")
        for run_id, spine in s.spines.items()
        if not area.contains(spine)
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
        f"rims {s.at_least(needed)} inside",
        s.catalogue.limits["wall_gap"].why,
        s.catalogue.source("wall_gap"),
        _move_inside(s, area, needed) if cases else (),
    )


def _move_inside(s: SiteSituation, area: BaseGeometry, needed: float) -> list[Remedy]:
    """Move everything together towards the middle, when it is small enough to go in."""
    shapes = list(s.feet.values()) + ([s.reservoir.rim] if s.reservoir is not None else [])
    beds = shapely.union_all(shapes)
    x0, y0, x1, y1 = beds.bounds
    a0, b0, a1, b1 = area.bounds
    dx = round((a0 + a1 - x0 - x1) / 2, 3)
    dy = round((b0 + b1 - y0 - y1) / 2, 3)
    if not area.buffer(-needed).contains(affinity.translate(beds, dx, dy)):
        return []
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
    far = room.distances(s.centres, needed)
    cases = [
        Case(
            (s.places[k].bucket.id,),
            f"{s.say(s.up(far[k]))} from the nearest place to stand"
            if np.isfinite(far[k])
            else "no place to stand within reach",
            s.at_most(needed),
        )
        for k in np.nonzero(far > needed + 1e-6)[0]
    ]
    yield judged(
        "reach",
        "Every bucket within reach from a path",
        "look_again",
        s.runs[0].run.id,
        cases,
        f"{len(cases)} buckets out of reach"
        if cases
        else f"farthest bucket {s.say(float(far.max()))} from a place to stand",
        f"{s.at_most(needed)} from ground {s.at_least(s.catalogue.limit('path_width'))} wide",
        s.catalogue.limits["reach"].why,
        s.catalogue.source("reach"),
        [],
    )


@dataclass(frozen=True, eq=False)
class StandingRoom:
    """Ground where a person can stand, with the walls that stop an arm, and the distances asked
    for so far: a drag asks again and again for buckets that stay where they are."""

    ground: BaseGeometry
    walls: BaseGeometry
    known: dict[tuple[float, float, float], float] = field(default_factory=dict)

    def distances(self, centres: NDArray[np.float64], arm: float) -> NDArray[np.float64]:
        """From each centre to where a person can stand, mm; infinite where there is no such
        place, or none within an arm's length that is not behind a wall."""
        keys = [(x, y, arm) for x, y in centres.tolist()]
        new = [key for key in keys if key not in self.known]
        if new:
            points = np.asarray(shapely.points([key[:2] for key in new]))
            self.known.update(zip(new, self._measured(points, arm).tolist(), strict=True))
        return np.array([self.known[key] for key in keys])

    def _measured(self, points: NDArray[np.object_], arm: float) -> NDArray[np.float64]:
        if self.ground.is_empty:
            return np.full(len(points), np.inf)
        far = np.asarray(shapely.distance(points, self.ground), dtype=float)
        if self.walls.is_empty:
            return far
        over = shapely.intersects(shapely.shortest_line(points, self.ground), self.walls)
        for k in np.nonzero(over & (far <= arm))[0]:
            around = shapely.get_parts(shapely.difference(points[k].buffer(arm), self.walls))
            same = shapely.union_all([part for part in around if part.contains(points[k])])
            here = self.ground.intersection(same)
            far[k] = np.inf if here.is_empty else points[k].distance(here)
        return far


@lru_cache(maxsize=4)
def _room(
    site: SiteLayout,
    feet: tuple[BaseGeometry, ...],
    reservoir: BaseGeometry | None,
    path_width: float,
) -> StandingRoom:
    """Room to stand; shapes compare by value, so a bucket moved within its run asks nothing new."""
    shapes = [*feet, reservoir] if reservoir is not None else list(feet)
    walls = [site.obstacles[i] for i, kind in site.kinds.items() if kind == "wall"]
    ground = standing_room(site, shapely.union_all(shapes), path_width, 4 * path_width)
    return StandingRoom(ground, shapely.union_all(walls))
