"""Designs that strain the layout of pages: tiny and huge ones, long words, odd sizes, many runs."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import partial
from math import cos, radians, sin
from random import Random

from designer.model import edits
from designer.model.design import Design, Obstacle, ObstacleKind, Point
from designer.sketch import Answers, sketch
from designer.units import UnitSystem

LONG = "The long bed behind the greenhouse that Auntie's neighbours share in Overy Staithe"


def plain(buckets: int, units: UnitSystem, **answers: object) -> Design:
    return sketch(Answers(title="Kitchen bed", buckets=buckets, units=units, **answers))  # type: ignore[arg-type]


def wordy(units: UnitSystem) -> Design:
    """Long names everywhere."""
    design = sketch(Answers(title=LONG, buckets=5, units=units))
    design = edits.set_run(design, "r1", name=LONG)
    post = Obstacle(
        id="o1", kind="post", name=LONG, place=Point(200.0, 900.0), width=90.0, depth=90.0
    )
    return replace(edits.add_obstacle(design, post), notes=f"{LONG}. " * 12)


def odd(units: UnitSystem, seed: int) -> Design:
    """Sizes that nobody would choose, things about, and faults of every kind."""
    dice = Random(seed)
    design = sketch(Answers(title=f"Odd {seed}", buckets=dice.randint(2, 24), units=units))
    run = design.runs[0]
    design = edits.set_run(design, "r1", heading=dice.choice((0.0, 37.3, 90.0, 181.5)))
    design = edits.set_run_length(design, "r1", run.length + dice.uniform(3.3, 777.7))
    design = edits.set_fall(design, "r1", dice.uniform(1.0, 90.0))
    for bucket in dice.sample(run.buckets, k=2):
        design = edits.move_buckets(design, [bucket.id], dice.uniform(-333.3, 333.3))
    design = edits.flip_buckets(design, [dice.choice(run.buckets).id])
    kinds: tuple[ObstacleKind, ...] = ("wall", "post", "door", "path", "keep_free")
    for i, kind in enumerate(kinds):
        place = Point(dice.uniform(-1500, 4000), dice.uniform(-2500, 2500))
        thing = Obstacle(
            id=f"o{i}",
            kind=kind,
            name=f"{kind.replace('_', ' ').capitalize()} {i}",
            place=place,
            width=dice.uniform(60, 1500),
            depth=dice.uniform(60, 900),
        )
        design = edits.add_obstacle(design, thing)
    return design


def many_runs(units: UnitSystem, runs: int, buckets: int) -> Design:
    """Parallel runs of one name, the last turned away from the others."""
    design = sketch(Answers(title="Many", buckets=buckets, units=units))
    first = design.runs[0]
    for i in range(1, runs):
        turn = 30.0 if i == runs - 1 and runs > 2 else 0.0
        x, y = -1500.0 * i * sin(radians(turn)), 1500.0 * i * cos(radians(turn))
        ids = edits.new_ids(design, "b", len(first.buckets))
        copies = tuple(replace(b, id=new) for b, new in zip(first.buckets, ids, strict=True))
        start = Point(first.start.x + x, first.start.y + y)
        design = edits.add_run(
            design, replace(first, id=f"r{i + 1}", start=start, heading=turn, buckets=copies)
        )
        design = edits.lead_return_to_reservoir(design, f"r{i + 1}")
    return design


BEDS: Mapping[str, Callable[[], Design]] = {
    "two buckets": lambda: plain(2, "metric"),
    "two buckets in inches": lambda: plain(2, "imperial"),
    "thirty one buckets in inches": lambda: plain(31, "imperial"),
    "sixty buckets": lambda: plain(60, "metric"),
    "a reservoir beside": lambda: plain(12, "metric", reservoir="beside"),
    "long words": lambda: wordy("metric"),
    "long words in inches": lambda: wordy("imperial"),
    "two runs": lambda: many_runs("imperial", 2, 7),
    "eleven runs": lambda: many_runs("metric", 11, 4),
    "no reservoir": lambda: replace(plain(4, "metric"), reservoir=None),
    "no bucket": lambda: replace(plain(2, "metric"), runs=(_empty(plain(2, "metric")),)),
    **{
        f"odd {seed}": partial(odd, "imperial" if seed % 2 else "metric", seed) for seed in range(8)
    },
}


def _empty(design: Design):  # type: ignore[no-untyped-def]
    return replace(design.runs[0], buckets=())
