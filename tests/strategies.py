"""Hypothesis strategies for designs as growers make them, and for their parts.

Every design drawn is one that the file accepts: ids are used once, and each part and crop asked
for is in the shipped catalogue or among the design's own parts. Lengths are as typed (whole or
half millimetres, sixteenths of an inch) or as dragged (any float).
"""

from typing import get_args

from hypothesis import strategies as st

from designer.model.catalogue import load_catalogue
from designer.model.design import (
    Acceptance,
    Bucket,
    Design,
    Drain,
    Fill,
    Manifold,
    Obstacle,
    ObstacleKind,
    Outlet,
    Paper,
    Point,
    Reservoir,
    Run,
    Soil,
    Stand,
    Tails,
    Water,
)
from designer.model.parts import (
    BlockPart,
    BoardPart,
    BucketPart,
    ElbowPart,
    FittingPart,
    GrommetPart,
    HoleSawPart,
    MediumPart,
    Part,
    PipePart,
    PumpPart,
    ReservoirPart,
    TubePart,
)
from designer.stand.timber import load_timber
from designer.units import UnitSystem


def part_ids(kind: str) -> st.SearchStrategy[str]:
    """Ids of the shipped parts of one kind."""
    return st.sampled_from([part.id for part in load_catalogue().of_kind(kind)])


def crop_ids() -> st.SearchStrategy[str]:
    """Ids of the shipped crops."""
    return st.sampled_from(list(load_catalogue().crops))


def lengths(lowest: float, highest: float) -> st.SearchStrategy[float]:
    """Lengths in mm from `lowest` to `highest`: typed in mm or in inches, or dragged."""

    def steps(step: float) -> st.SearchStrategy[float]:
        fits = st.integers(int(lowest / step) - 1, int(highest / step) + 1)
        return fits.map(lambda n: min(max(n * step, lowest), highest))

    dragged = st.floats(lowest, highest, allow_nan=False)
    return st.one_of(steps(1.0), steps(0.5), steps(25.4 / 16), dragged)


def names() -> st.SearchStrategy[str]:
    """Names as people give them, in any script."""
    usual = st.sampled_from(["North bed", "Bed 2", "Kasvihuone", "温室", "Auntie's 'long' bed"])
    return st.one_of(usual, st.text(min_size=1, max_size=30))


def points(reach: float = 20_000.0) -> st.SearchStrategy[Point]:
    """Places on a site that reaches `reach` mm either way."""
    return st.builds(Point, lengths(-reach, reach), lengths(-reach, reach))


def outlets() -> st.SearchStrategy[Outlet]:
    """Outlet assemblies."""
    return st.builds(
        Outlet,
        height=lengths(20, 120),
        saw=part_ids("hole_saw"),
        grommet=part_ids("grommet"),
        elbow=part_ids("elbow"),
        pipe=part_ids("pipe"),
        nipple_length=lengths(40, 200),
    )


def drains() -> st.SearchStrategy[Drain]:
    """Drain pipes, level ones and ones falling the wrong way included."""
    return st.builds(
        Drain,
        pipe=part_ids("pipe"),
        saw=part_ids("hole_saw"),
        cap=part_ids("cap"),
        fall=lengths(-20, 150),
        packing=lengths(0, 60),
    )


def manifolds() -> st.SearchStrategy[Manifold]:
    """Feed manifolds."""
    return st.builds(
        Manifold,
        tube=part_ids("tube"),
        feed_tube=part_ids("tube"),
        barb=part_ids("barb"),
        plug=part_ids("plug"),
        offset=lengths(-300, 300),
        height=lengths(-100, 900),
        feed_length=lengths(150, 1500),
        emitter=st.none() | part_ids("emitter"),
        valve=st.floats(0.05, 1),
    )


def stands(run_length: float = 3000.0) -> st.SearchStrategy[Stand]:
    """Stands with up to six supports in order along a run."""
    supports = st.lists(lengths(0, run_length), max_size=6, unique=True)
    return st.builds(
        Stand,
        height=lengths(100, 800),
        rail=part_ids("board"),
        on_edge=st.booleans(),
        rails=st.sampled_from([2, 4]),
        block=part_ids("block"),
        supports=supports.map(lambda stations: tuple(sorted(stations))),
        follow_fall=st.booleans(),
        timber=st.none() | st.sampled_from(list(load_timber().grades)),
        soil=st.sampled_from(get_args(Soil)),
        ground=st.lists(lengths(-300, 300), max_size=6).map(tuple),
        bucket_weight=st.none() | st.floats(2, 40),
        pull=st.floats(0, 400),
        wind=st.floats(0, 400),
    )


def reservoirs() -> st.SearchStrategy[Reservoir]:
    """Reservoirs with their pump."""
    return st.builds(
        Reservoir,
        part=part_ids("reservoir"),
        pump=part_ids("pump"),
        place=points(),
        turn=st.floats(-180, 180),
        sunk=lengths(0, 900),
        freeboard=lengths(0, 150),
        low_water=lengths(0, 200),
        bypass=st.floats(0, 1),
        siphon_break=st.booleans(),
    )


def waters() -> st.SearchStrategy[Water]:
    """How a bed is run, from a cool spring to a hot summer."""
    return st.builds(
        Water,
        temperature=st.floats(5, 35),
        on_minutes=st.floats(1, 120),
        off_minutes=st.floats(0, 600),
        evapotranspiration=st.floats(0.5, 10),
        plant_use=st.none() | st.floats(0.1, 10),
        target_uniformity=st.floats(60, 95),
        top_up_days=st.floats(0.5, 14),
        reserve_hours=st.floats(0, 24),
        energy_price=st.floats(0, 2),
        drain_friction=st.sampled_from(["manning", "darcy"]),
        manning_n=st.floats(0.008, 0.02),
    )


def fills() -> st.SearchStrategy[Fill]:
    """What a bed is filled with, from nothing typed to all of it."""
    return st.builds(
        Fill,
        settling=st.floats(0, 20),
        bags=st.lists(st.floats(5, 250), max_size=3, unique=True).map(tuple),
        nutrient=st.just("") | names(),
        dose_unit=st.sampled_from(["ml", "g"]),
        label_rate=st.none() | st.floats(0.1, 10),
        rate_ec=st.none() | st.floats(0.2, 4),
        water_ec=st.none() | st.floats(0, 2),
        target_ec=st.none() | st.floats(0.5, 5),
    )


def obstacles(obstacle_id: str = "obstacle-1") -> st.SearchStrategy[Obstacle]:
    """Things on the site."""
    return st.builds(
        Obstacle,
        id=st.just(obstacle_id),
        kind=st.sampled_from(get_args(ObstacleKind)),
        name=names(),
        shape=st.sampled_from(["box", "round"]),
        place=points(),
        width=lengths(20, 5000),
        depth=lengths(20, 5000),
        turn=st.floats(-180, 180),
    )


def own_parts(part_id: str = "my-part") -> st.SearchStrategy[Part]:
    """Parts that a grower measured, of every kind."""
    head = {"id": st.just(part_id), "name": names()}

    def sized(cls: type, **bounds: tuple[float, float]) -> st.SearchStrategy[Part]:
        shape = {"shape": st.sampled_from(["box", "round"])} if cls is ReservoirPart else {}
        sizes = {name: lengths(*ends) for name, ends in bounds.items()}
        return st.builds(cls, **head, **shape, **sizes)

    tank = dict.fromkeys(("rim_length", "rim_width", "base_length", "base_width"), (200, 1500))
    return st.one_of(
        own_buckets(part_id),
        sized(PipePart, outside_diameter=(15, 120), wall=(1, 6), stick_length=(1000, 6000)),
        sized(TubePart, outside_diameter=(6, 30), inside_diameter=(3, 25)),
        sized(
            ElbowPart,
            pipe_outside_diameter=(15, 40),
            socket_depth=(10, 35),
            centre_to_socket_bottom=(8, 30),
            body_diameter=(20, 50),
        ),
        sized(
            GrommetPart,
            hole_diameter=(20, 60),
            pipe_outside_diameter=(15, 40),
            flange_thickness=(0, 6),
            flange_diameter=(30, 80),
        ),
        st.builds(
            FittingPart,
            kind=st.sampled_from(["cap", "barb", "plug"]),
            hole_diameter=lengths(0, 12),
            **head,
        ),
        sized(HoleSawPart, diameter=(10, 80)),
        sized(MediumPart, bulk_density=(50, 1500), water_percent=(5, 90)),
        sized(PumpPart, flow_at_no_head=(200, 5000), head_at_no_flow=(0.5, 6), cover=(0, 80)),
        sized(ReservoirPart, **tank, height=(200, 1200), wall=(1, 12)),
        sized(BoardPart, width=(40, 200), thickness=(15, 60), stick_length=(1000, 6000)),
        sized(BlockPart, length=(100, 500), width=(100, 300), height=(40, 300)),
    )


@st.composite
def own_buckets(draw: st.DrawFn, part_id: str = "my-bucket") -> BucketPart:
    """Tapered buckets that a grower measured: the base narrower than the top, the rim widest."""
    top = draw(lengths(180, 360))
    return BucketPart(
        id=part_id,
        name=draw(names()),
        rim_diameter=top + draw(lengths(0, 20)),
        top_diameter=top,
        base_diameter=top * draw(st.floats(0.75, 1.0)),
        height=draw(lengths(200, 450)),
        wall=draw(lengths(1, 5)),
    )


@st.composite
def runs(
    draw: st.DrawFn,
    run_id: str = "run-1",
    bucket_ids: tuple[str, ...] | None = None,
    own_bucket_ids: tuple[str, ...] = (),
) -> Run:
    """Runs with one bucket for each of `bucket_ids`, staggered, some dragged off their place.

    Without `bucket_ids` up to 12 buckets named after the run; a bucket may be one of
    `own_bucket_ids`, which the design then has to hold.
    """
    if bucket_ids is None:
        count = draw(st.integers(0, 12))
        bucket_ids = tuple(f"{run_id}-bucket-{number}" for number in range(1, count + 1))
    pitch = draw(lengths(300, 900))
    first = draw(lengths(100, 400))
    length = first + (len(bucket_ids) + 1) * pitch / 2
    overrides = part_ids("bucket")
    if own_bucket_ids:
        overrides = st.one_of(st.sampled_from(own_bucket_ids), overrides)
    dragged = draw(st.booleans())
    starts_left = draw(st.booleans())
    buckets = []
    for number, bucket_id in enumerate(bucket_ids):
        left = (number % 2 == 0) == starts_left
        if dragged:
            left = draw(st.booleans())
        buckets.append(
            Bucket(
                id=bucket_id,
                station=first + number * pitch / 2 + (draw(lengths(-80, 80)) if dragged else 0.0),
                side="left" if left else "right",
                part=draw(st.none() | overrides) if dragged else None,
                crop=draw(st.none() | crop_ids()),
                feed=draw(st.sampled_from([None, None, None, "tied_off", "blocked"])),
            )
        )
    return Run(
        id=run_id,
        name=draw(names()),
        start=draw(points()),
        heading=draw(st.sampled_from([0.0, 90.0, 180.0, -90.0]) | st.floats(-180, 180)),
        length=length,
        pitch=pitch,
        bucket=draw(overrides),
        crop=draw(crop_ids()),
        medium=draw(part_ids("medium")),
        medium_depth=draw(lengths(120, 350)),
        plant_hole=draw(st.none() | st.floats(20, 150)),
        outlet=draw(outlets()),
        tails=draw(
            st.builds(Tails, cut=st.sampled_from(["common", "graded"]), length=lengths(30, 300))
        ),
        drain=draw(drains()),
        manifold=draw(manifolds()),
        stand=draw(stands(length)),
        return_path=tuple(draw(st.lists(points(), max_size=3))),
        return_fall=draw(lengths(-20, 200)),
        feed_path=tuple(draw(st.lists(points(), max_size=3))),
        buckets=tuple(buckets),
    )


@st.composite
def designs(draw: st.DrawFn, max_runs: int = 3, max_buckets: int = 12) -> Design:
    """Whole designs, from an empty sheet to several beds on one reservoir."""
    own = tuple(draw(own_parts(f"own-{n}")) for n in range(1, draw(st.integers(0, 2)) + 1))
    own_bucket_ids = tuple(part.id for part in own if isinstance(part, BucketPart))
    drawn_runs: list[Run] = []
    taken = 0
    for number in range(1, draw(st.integers(0, max_runs)) + 1):
        count = draw(st.integers(0, max_buckets))
        bucket_ids = tuple(f"bucket-{taken + n}" for n in range(1, count + 1))
        taken += count
        drawn_runs.append(draw(runs(f"run-{number}", bucket_ids, own_bucket_ids)))
    things = draw(st.integers(0, 2))
    subjects = [run.id for run in drawn_runs] + [b.id for run in drawn_runs for b in run.buckets]
    accepted = st.builds(
        Acceptance,
        rule=st.sampled_from(["clear-way", "tail-reach", "canopy-room"]),
        subjects=st.lists(st.sampled_from(subjects or ["reservoir"]), max_size=3).map(tuple),
        reason=st.text(min_size=1, max_size=60),
    )
    return Design(
        title=draw(names() | st.just("")),
        units=draw(st.sampled_from(get_args(UnitSystem))),
        paper=draw(st.sampled_from(get_args(Paper))),
        notes=draw(st.text(max_size=200)),
        outline=tuple(draw(st.lists(points(), max_size=6))),
        obstacles=tuple(draw(obstacles(f"obstacle-{n}")) for n in range(1, things + 1)),
        reservoir=draw(st.none() | reservoirs()),
        water=draw(waters()),
        fill=draw(fills()),
        own_parts=own,
        accepted=tuple(draw(st.lists(accepted, max_size=2))),
        runs=tuple(drawn_runs),
    )
