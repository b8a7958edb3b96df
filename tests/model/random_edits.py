"""Edits as a person makes them, drawn at random, for tests of undo and of kept analyses."""

import random
from collections.abc import Callable
from dataclasses import replace

from designer.model import edits
from designer.model.design import Design, Point
from designer.sketch import fresh_obstacle, fresh_reservoir, fresh_run


def random_edit(design: Design, draw: random.Random) -> Design:
    """The design after one edit that suits it; sometimes the very same design."""
    return draw.choice(_possible(design, draw))(design)


def _possible(design: Design, draw: random.Random) -> list[Callable[[Design], Design]]:
    at = Point(draw.uniform(-5000, 5000), draw.uniform(-5000, 5000))
    by = draw.choice([0.0, 1.0, -25.4, draw.uniform(-300, 300)])
    ways: list[Callable[[Design], Design]] = [
        lambda d: edits.set_design(d, title=draw.choice(["Bed", "Beans", ""])),
        lambda d: edits.set_design(d, units=draw.choice(["metric", "imperial"])),
        lambda d: edits.set_outline(d, [at, Point(at.x + 900, at.y), Point(at.x, at.y + 900)]),
        lambda d: edits.set_outline(d, []),
        lambda d: edits.add_obstacle(d, fresh_obstacle(d, draw.choice(["wall", "post"]), at)),
    ]
    if len(design.runs) < 3:
        ways.append(lambda d: edits.add_run(d, fresh_run(d, at, draw.choice([0.0, 90.0, 33.0]))))
    if design.reservoir is None:
        ways.append(lambda d: edits.place_reservoir(d, fresh_reservoir(d, at)))
    else:
        ways += [
            lambda d: edits.move_reservoir(d, by, -by),
            lambda d: edits.set_reservoir(d, sunk=draw.choice([0.0, 100.0, 300.0])),
            lambda d: edits.delete(d, ["reservoir"]),
        ]
    if design.obstacles:
        one = draw.choice(design.obstacles).id
        ways += [
            lambda d: edits.set_obstacle(d, one, turn=draw.choice([0.0, 45.0])),
            lambda d: edits.move(d, [one], by, by),
            lambda d: edits.delete(d, [one]),
        ]
    if design.runs:
        run = draw.choice(design.runs)
        group = {"fall": draw.choice([0.0, 30.0, draw.uniform(0, 90)])}
        ways += [
            lambda d: edits.move_run(d, run.id, by, 2 * by),
            lambda d: edits.set_run_length(d, run.id, draw.choice([2000.0, 3333.3, run.length])),
            lambda d: edits.set_run_part(d, run.id, "drain", **group),
            lambda d: edits.set_run(d, run.id, heading=draw.choice([0.0, 90.0])),
            lambda d: edits.repeat_stagger(d, run.id, draw.randint(0, 6)),
            lambda d: edits.restagger(d, run.id, draw.choice([200.0, 300.0])),
            lambda d: edits.add_bucket(d, run.id, draw.uniform(0, 2000), "left")[0],
            lambda d: edits.set_tails(d, run.id, draw.choice(["common", "graded"])),
            lambda d: edits.accept(d, "reach", (run.id,), draw.choice(["", "I climb"])),
        ]
        if len(design.runs) > 1:
            ways.append(lambda d: edits.delete(d, [run.id]))
        ids = [b.id for b in run.buckets]
        if ids:
            some = draw.sample(ids, draw.randint(1, len(ids)))
            ways += 2 * [
                lambda d: edits.move_buckets(d, some, by),
                lambda d: edits.move(d, [*some, run.id], by, 0.0),
                lambda d: edits.flip_buckets(d, some),
                lambda d: edits.mirror_buckets(d, some),
                lambda d: edits.spread_evenly(d, some),
                lambda d: edits.align_to_pitch(d, some),
                lambda d: edits.delete(d, some),
                lambda d: edits.accept(d, "canopy-room", tuple(some), "They are small"),
                lambda d: edits.set_bucket(d, some[0], crop=draw.choice([None, "squash"])),
            ]
            if len(ids) < 30:
                ways.append(lambda d: edits.copy_buckets(d, some, 150.0, 2)[0])
    if design.own_parts:
        part = draw.choice(design.own_parts)
        ways.append(lambda d: edits.keep_own_part(d, replace(part, name="Mine")))
    return ways
