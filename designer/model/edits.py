"""Edits: pure functions Design -> Design, one for each thing a person can do.

Every edit returns a new design and leaves the old one as it was; an edit that changes nothing
returns the very same object. Ids are used once within a design.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from math import cos, radians, sin
from typing import Any

from designer.model.design import (
    Acceptance,
    Bucket,
    Design,
    Obstacle,
    Point,
    Reservoir,
    Run,
    Side,
)
from designer.model.parts import Part
from designer.model.stations import even_supports as even_supports
from designer.model.stations import ground_at
from designer.model.stations import snapped_station as snapped_station
from designer.model.stations import staggered as staggered
from designer.model.stations import supports_needed as supports_needed

OTHER: Mapping[Side, Side] = {"left": "right", "right": "left"}
MAX_BUCKETS_IN_RUN = 500


def new_ids(design: Design, prefix: str, count: int = 1) -> list[str]:
    """Unused ids such as "b7", numbered on from the highest in use."""
    used = [thing.id for thing in (*design.obstacles, *design.runs, *design.own_parts)]
    used += [b.id for r in design.runs for b in r.buckets]
    ends = [i[len(prefix) :] for i in used if i.startswith(prefix)]
    numbers = [int(end) for end in ends if end.isdecimal()]
    first = max(numbers, default=0) + 1
    return [f"{prefix}{n}" for n in range(first, first + count)]


# --- runs ---------------------------------------------------------------------------------------


def change_run(design: Design, run_id: str, change: Callable[[Run], Run]) -> Design:
    """The design with one run changed; KeyError when there is no such run."""
    old = design.run(run_id)
    new = change(old)
    if new is old or new == old:
        return design
    return replace(design, runs=tuple(new if r is old else r for r in design.runs))


def set_run(design: Design, run_id: str, **values: Any) -> Design:
    """Set fields of a run itself, such as `length` or `pitch`."""
    return change_run(design, run_id, lambda run: replace(run, **values))


def set_run_part(design: Design, run_id: str, group: str, **values: Any) -> Design:
    """Set fields of one of a run's groups: outlet, tails, drain, manifold or stand."""
    return change_run(
        design, run_id, lambda run: replace(run, **{group: replace(getattr(run, group), **values)})
    )


def set_fall(design: Design, run_id: str, fall: float) -> Design:
    """Set how much higher the capped end lies than the outlet end, mm."""
    return set_run_part(design, run_id, "drain", fall=fall)


def set_stand_height(design: Design, run_id: str, height: float) -> Design:
    """Set the level of the rails at the outlet end, mm above the datum."""
    return set_run_part(design, run_id, "stand", height=height)


def set_tails(design: Design, run_id: str, cut: str, length: float | None = None) -> Design:
    """Cut all tails to one length, or each to its own window."""
    values = {} if length is None else {"length": length}
    return set_run_part(design, run_id, "tails", cut=cut, **values)


def add_run(design: Design, run: Run) -> Design:
    """Add a run; its ids must be new."""
    return replace(design, runs=(*design.runs, run))


def move_run(design: Design, run_id: str, dx: float, dy: float) -> Design:
    """Move a run on the site. The outfall stays in the reservoir; bends move along."""

    def shifted(run: Run) -> Run:
        bends, outfall = run.return_path[:-1], run.return_path[-1:]
        return replace(
            run,
            start=moved(run.start, dx, dy),
            return_path=tuple(moved(p, dx, dy) for p in bends) + outfall,
            feed_path=tuple(moved(p, dx, dy) for p in run.feed_path),
        )

    return change_run(design, run_id, shifted)


def set_run_length(design: Design, run_id: str, length: float) -> Design:
    """Set a run's length and spread its supports evenly over it, as many as before or more."""
    run = design.run(run_id)
    supports = even_supports(length, max(len(run.stand.supports), supports_needed(length)))
    return set_supports(set_run(design, run_id, length=length), run_id, supports)


def set_supports(design: Design, run_id: str, stations: tuple[float, ...]) -> Design:
    """Set where the supports stand. The ground under them goes along: between the levels known it
    is taken as straight."""
    stand = design.run(run_id).stand
    ground = ground_at(stations, stand.supports, stand.ground) if stand.ground else ()
    return set_run_part(design, run_id, "stand", supports=stations, ground=ground)


# --- buckets ------------------------------------------------------------------------------------


def change_buckets(
    design: Design, bucket_ids: Iterable[str], change: Callable[[Bucket], Bucket]
) -> Design:
    """The design with some buckets changed."""
    wanted = frozenset(bucket_ids)

    def changed(bucket: Bucket) -> Bucket:
        new = change(bucket) if bucket.id in wanted else bucket
        return bucket if new == bucket else new

    runs = []
    for run in design.runs:
        buckets = tuple(changed(b) for b in run.buckets)
        same = all(new is old for new, old in zip(buckets, run.buckets, strict=True))
        runs.append(run if same else replace(run, buckets=buckets))
    if all(new is old for new, old in zip(runs, design.runs, strict=True)):
        return design
    return replace(design, runs=tuple(runs))


def set_bucket(design: Design, bucket_id: str, **values: Any) -> Design:
    """Set fields of one bucket, such as `station` or `side`."""
    return change_buckets(design, [bucket_id], lambda bucket: replace(bucket, **values))


def move_buckets(design: Design, bucket_ids: Iterable[str], by: float) -> Design:
    """Slide buckets along their runs by a distance, mm."""
    if not by:
        return design
    return change_buckets(
        design, bucket_ids, lambda bucket: replace(bucket, station=bucket.station + by)
    )


def flip_buckets(design: Design, bucket_ids: Iterable[str]) -> Design:
    """Move buckets to the other side of their drain."""
    return change_buckets(
        design, bucket_ids, lambda bucket: replace(bucket, side=OTHER[bucket.side])
    )


def mirror_buckets(design: Design, bucket_ids: Iterable[str]) -> Design:
    """Turn the chosen buckets end for end about the middle of their own stations, in each run."""
    wanted = frozenset(bucket_ids)
    for run in design.runs:
        stations = [b.station for b in run.buckets if b.id in wanted]
        if stations:
            both = min(stations) + max(stations)
            design = change_buckets(
                design,
                [b.id for b in run.buckets if b.id in wanted],
                lambda b, both=both: replace(b, station=both - b.station),  # type: ignore[misc]
            )
    return design


def add_bucket(design: Design, run_id: str, station: float, side: Side) -> tuple[Design, str]:
    """Add one bucket; returns the design and the new id."""
    (bucket_id,) = new_ids(design, "b")
    bucket = Bucket(id=bucket_id, station=station, side=side)
    return change_run(
        design, run_id, lambda run: replace(run, buckets=(*run.buckets, bucket))
    ), bucket_id


def copy_buckets(
    design: Design, bucket_ids: Iterable[str], by: float, times: int = 1
) -> tuple[Design, list[str]]:
    """Repeat buckets along their runs every `by` mm, `times` over; returns the new ids."""
    wanted = frozenset(bucket_ids)
    made: list[str] = []
    for run in design.runs:
        chosen = [b for b in run.buckets if b.id in wanted]
        if not chosen:
            continue
        ids = new_ids(design, "b", len(chosen) * times)
        copies = [
            replace(bucket, id=ids.pop(0), station=bucket.station + by * n)
            for n in range(1, times + 1)
            for bucket in chosen
        ]
        made += [b.id for b in copies]
        design = set_run(design, run.id, buckets=(*run.buckets, *copies))
    return design, made


def repeat_stagger(design: Design, run_id: str, count: int) -> Design:
    """Fill a run with `count` buckets, staggered left and right at its pitch from the cap.

    Buckets that are there keep their ids, parts and crops, in their order from the cap.
    """
    run = design.run(run_id)
    kept = sorted(run.buckets, key=lambda b: -b.station)[:count]
    ids = [b.id for b in kept] + new_ids(design, "b", count - len(kept))
    places = staggered(ids, run.length, run.pitch)
    buckets = tuple(
        replace(old, station=new.station, side=new.side)
        for old, new in zip(kept, places, strict=False)
    )
    gone = [b.id for b in run.buckets if b not in kept]
    return set_run(delete(design, gone), run_id, buckets=buckets + places[len(kept) :])


def restagger(design: Design, run_id: str, pitch: float) -> Design:
    """Keep a run's buckets but stand them evenly, left and right in turn, at a new pitch."""
    run = design.run(run_id)
    in_order = sorted(run.buckets, key=lambda b: -b.station)
    places = staggered([b.id for b in in_order], run.length, pitch)
    moved_to = {b.id: b for b in places}
    buckets = tuple(
        replace(b, station=moved_to[b.id].station, side=moved_to[b.id].side) for b in run.buckets
    )
    return set_run(design, run_id, pitch=pitch, buckets=buckets)


def align_to_pitch(design: Design, bucket_ids: Iterable[str]) -> Design:
    """Move each bucket to the nearest whole pitch from the capped end of its run."""
    wanted = frozenset(bucket_ids)
    for run in design.runs:
        ids = [b.id for b in run.buckets if b.id in wanted]
        design = change_buckets(
            design,
            ids,
            lambda b, run=run: replace(b, station=snapped_station(run, b.station)),  # type: ignore[misc]
        )
    return design


def spread_evenly(design: Design, bucket_ids: Iterable[str]) -> Design:
    """Space the chosen buckets of each run evenly between its outermost chosen ones."""
    wanted = frozenset(bucket_ids)
    for run in design.runs:
        chosen = sorted((b for b in run.buckets if b.id in wanted), key=lambda b: b.station)
        if len(chosen) < 3:
            continue
        first, last = chosen[0].station, chosen[-1].station
        step = (last - first) / (len(chosen) - 1)
        stations = {b.id: round(first + step * i, 3) for i, b in enumerate(chosen)}
        design = change_buckets(
            design,
            stations,
            lambda b, stations=stations: replace(b, station=stations[b.id]),  # type: ignore[misc]
        )
    return design


def lead_return_to_reservoir(design: Design, run_id: str) -> Design:
    """Let a run's return path end over the middle of the reservoir."""
    if design.reservoir is None:
        raise KeyError("reservoir")
    end = design.reservoir.place
    return change_run(
        design, run_id, lambda run: replace(run, return_path=(*run.return_path[:-1], end))
    )


# --- reservoir, obstacles, site, parts, acceptances ----------------------------------------------


def set_reservoir(design: Design, **values: Any) -> Design:
    """Set fields of the reservoir. There must be one."""
    if design.reservoir is None:
        raise KeyError("reservoir")
    return set_design(design, reservoir=replace(design.reservoir, **values))


def place_reservoir(design: Design, reservoir: Reservoir | None) -> Design:
    """Put the reservoir down, or take it away with None."""
    return set_design(design, reservoir=reservoir)


def move_reservoir(design: Design, dx: float, dy: float) -> Design:
    """Move the reservoir, and with it the outfall of every return path that ends in it."""
    if design.reservoir is None:
        raise KeyError("reservoir")
    runs = tuple(
        replace(r, return_path=(*r.return_path[:-1], moved(r.return_path[-1], dx, dy)))
        if r.return_path
        else r
        for r in design.runs
    )
    place = moved(design.reservoir.place, dx, dy)
    return set_design(design, runs=runs, reservoir=replace(design.reservoir, place=place))


def add_obstacle(design: Design, obstacle: Obstacle) -> Design:
    """Add an obstacle; its id must be new."""
    return replace(design, obstacles=(*design.obstacles, obstacle))


def set_obstacle(design: Design, obstacle_id: str, **values: Any) -> Design:
    """Set fields of an obstacle."""
    obstacles = (replace(o, **values) if o.id == obstacle_id else o for o in design.obstacles)
    return set_design(design, obstacles=tuple(obstacles))


def set_outline(design: Design, points: Iterable[Point]) -> Design:
    """Set the site outline; no points take it away."""
    return set_design(design, outline=tuple(points))


def set_design(design: Design, **values: Any) -> Design:
    """Set fields of the design itself, such as `title`, `units` or `paper`."""
    changed = replace(design, **values)
    return design if changed == design else changed


def set_water(design: Design, **values: Any) -> Design:
    """Set how the bed is run, such as `on_minutes`."""
    changed = replace(design.water, **values)
    return design if changed == design.water else replace(design, water=changed)


def keep_own_part(design: Design, part: Part) -> Design:
    """Add an own part, or measure it again when the design has one of this id."""
    if part in design.own_parts:
        return design
    others = tuple(p for p in design.own_parts if p.id != part.id)
    return replace(design, own_parts=(*others, part))


def accept(design: Design, rule: str, subjects: tuple[str, ...], reason: str) -> Design:
    """Accept a Look again with a reason; an empty reason takes the acceptance back."""
    others = tuple(a for a in design.accepted if (a.rule, a.subjects) != (rule, subjects))
    if not reason.strip():
        return set_design(design, accepted=others)
    new = Acceptance(rule=rule, subjects=subjects, reason=reason.strip())
    return design if new in design.accepted else replace(design, accepted=(*others, new))


def delete(design: Design, subjects: Iterable[str]) -> Design:
    """Delete buckets, runs, obstacles, the reservoir ("reservoir") or the outline ("site"), and
    the acceptances that speak of them. A run takes its buckets along."""
    gone = frozenset(subjects)
    gone |= {b.id for r in design.runs if r.id in gone for b in r.buckets}
    runs = tuple(
        replace(r, buckets=tuple(b for b in r.buckets if b.id not in gone))
        if any(b.id in gone for b in r.buckets)
        else r
        for r in design.runs
        if r.id not in gone
    )
    return set_design(
        design,
        runs=runs,
        obstacles=tuple(o for o in design.obstacles if o.id not in gone),
        reservoir=None if "reservoir" in gone else design.reservoir,
        outline=() if "site" in gone else design.outline,
        accepted=tuple(a for a in design.accepted if not gone.intersection(a.subjects)),
    )


def move(design: Design, subjects: Iterable[str], dx: float, dy: float) -> Design:
    """Move things on the plan by (dx, dy) mm. Buckets slide along their run by the part of the
    movement that lies along it; a bucket whose run moves too stays where it is on the run."""
    chosen = frozenset(subjects)
    for run in design.runs:
        if run.id in chosen:
            design = move_run(design, run.id, dx, dy)
        else:
            ids = [b.id for b in run.buckets if b.id in chosen]
            if ids:
                angle = radians(run.heading)
                design = move_buckets(design, ids, dx * cos(angle) + dy * sin(angle))
    for obstacle in design.obstacles:
        if obstacle.id in chosen:
            design = set_obstacle(design, obstacle.id, place=moved(obstacle.place, dx, dy))
    if "reservoir" in chosen and design.reservoir is not None:
        design = move_reservoir(design, dx, dy)
    if "site" in chosen:
        design = set_outline(design, (moved(p, dx, dy) for p in design.outline))
    return design


def moved(point: Point, dx: float, dy: float) -> Point:
    """A point shifted by (dx, dy) mm."""
    return Point(point.x + dx, point.y + dy)
