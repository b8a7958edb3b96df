"""The design: what the person decided, as immutable values. Nothing here is computed.

Frame: lengths in mm. Plan coordinates x, y on the site; level z above the site datum (the ground
by the bed). Each run has an axis from its outlet end (station 0) along `heading` to its capped
end; left and right are as seen looking up the run, from the outlet end to the capped end.
"""

from dataclasses import dataclass
from typing import Annotated, ClassVar, Literal

from annotated_types import Ge, Gt, Le, MaxLen, MinLen
from pydantic import Discriminator

from designer.model.parts import STRICT, Allowance, Id, Length, Name, Part
from designer.units import UnitSystem

Coordinate = Annotated[float, Ge(-1_000_000), Le(1_000_000)]
Angle = Annotated[float, Ge(-360), Le(360)]
Side = Literal["left", "right"]
Paper = Literal["a4", "letter"]
Soil = Literal["clay", "sand", "gravel", "unknown"]
DoseUnit = Literal["ml", "g"]
Litres = Annotated[float, Ge(1), Le(5_000)]
ObstacleKind = Literal["wall", "post", "door", "path", "keep_free"]


@dataclass(frozen=True, slots=True)
class Point:
    """A place on the site plan, mm."""

    __pydantic_config__: ClassVar = STRICT
    x: Coordinate
    y: Coordinate


@dataclass(frozen=True, slots=True, kw_only=True)
class Bucket:
    """One bucket at a station on one side of its run; `part` and `crop` override the run's. Its
    `feed` is open unless it is tied off by hand or, to see what follows, blocked."""

    __pydantic_config__: ClassVar = STRICT
    id: Id
    station: Coordinate
    side: Side
    part: Id | None = None
    crop: Id | None = None
    feed: Literal["tied_off", "blocked"] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Outlet:
    """The outlet assembly of every bucket of a run.

    `height` is the hole's centre above the bucket's base; `nipple_length` is the whole piece of
    pipe through the grommet, from socket bottom to socket bottom.
    """

    __pydantic_config__: ClassVar = STRICT
    height: Length
    saw: Id
    grommet: Id
    elbow: Id
    pipe: Id
    nipple_length: Length


@dataclass(frozen=True, slots=True, kw_only=True)
class Tails:
    """Tail pipes: one common length for all, or each cut to the middle of its own window."""

    __pydantic_config__: ClassVar = STRICT
    cut: Literal["common", "graded"] = "common"
    length: Length


@dataclass(frozen=True, slots=True, kw_only=True)
class Drain:
    """The drain pipe: `fall` over the run's length; `packing` lies under it at the outlet end."""

    __pydantic_config__: ClassVar = STRICT
    pipe: Id
    saw: Id
    cap: Id
    fall: Annotated[float, Ge(-2_000), Le(2_000)]
    packing: Allowance = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Manifold:
    """The feed manifold along the run: `offset` left of the axis, `height` above the rails.

    Every bucket gets an open feed tube of `feed_length`, or an `emitter` at its end. `valve` is
    the opening of the valve at the head of the run, 1 when open or when there is none.
    """

    __pydantic_config__: ClassVar = STRICT
    tube: Id
    feed_tube: Id
    barb: Id
    plug: Id
    offset: Annotated[float, Ge(-1_000), Le(1_000)]
    height: Annotated[float, Ge(-1_000), Le(3_000)]
    feed_length: Length = 500.0
    emitter: Id | None = None
    valve: Annotated[float, Gt(0), Le(1)] = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Stand:
    """Rails on block stacks: `height` is the top of the rails at the outlet end above datum.

    `supports` are the stations of the block stacks. With `follow_fall` the rails slope with the
    drain; otherwise they are level. `timber` is a grade of `resources/timber.toml`, None for the
    usual one of the design's units. `ground` holds the level of the ground at each of `supports`
    in their order, empty where it is level with the datum. `bucket_weight` is a wet bucket as
    weighed, kg. `pull` (N) is a person leaning on the rims, `wind` (N) what presses on a trellis.
    """

    __pydantic_config__: ClassVar = STRICT
    height: Length
    rail: Id
    on_edge: bool = True
    rails: Literal[2, 4] = 4
    block: Id
    supports: tuple[Coordinate, ...]
    follow_fall: bool = False
    timber: Id | None = None
    soil: Soil = "unknown"
    ground: tuple[Annotated[float, Ge(-5_000), Le(5_000)], ...] = ()
    bucket_weight: Annotated[float, Gt(0), Le(500)] | None = None
    pull: Annotated[float, Ge(0), Le(10_000)] = 0.0
    wind: Annotated[float, Ge(0), Le(100_000)] = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """One drain pipe with its stand, buckets and manifold.

    `start` is the outlet end. `return_path` holds the points after it, the last one being where
    the water falls into the reservoir; `return_fall` is the drop over that path. `feed_path`
    holds the bends between the pump and the manifold's start at the outlet end. `plant_hole` is the
    hole for each plant in the buckets' lids, None for the size that its crop needs.
    """

    __pydantic_config__: ClassVar = STRICT
    id: Id
    name: Name
    start: Point
    heading: Angle
    length: Length
    pitch: Length
    bucket: Id
    crop: Id
    medium: Id
    medium_depth: Length
    plant_hole: Length | None = None
    outlet: Outlet
    tails: Tails
    drain: Drain
    manifold: Manifold
    stand: Stand
    return_path: tuple[Point, ...] = ()
    return_fall: Annotated[float, Ge(-2_000), Le(2_000)] = 0.0
    feed_path: tuple[Point, ...] = ()
    buckets: tuple[Bucket, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Reservoir:
    """The reservoir: its part, centre, turn, how deep it is sunk, and its working levels.

    `freeboard` is from the rim down to the full level; `low_water` from the floor up to the
    level where the grower tops up. `bypass` is the opening of a valve at the pump that lets water
    straight back, 0 when closed or when there is none. `siphon_break` is an air hole in the feed
    above the full level.
    """

    __pydantic_config__: ClassVar = STRICT
    part: Id
    pump: Id
    place: Point
    turn: Angle = 0.0
    sunk: Allowance
    freeboard: Allowance
    low_water: Allowance
    bypass: Annotated[float, Ge(0), Le(1)] = 0.0
    siphon_break: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Water:
    """How the bed is run, and what the water's reckoning assumes.

    `temperature` in degrees C; `on_minutes` and `off_minutes` of the pump over the whole day;
    `evapotranspiration` is the reference ETo of a hot day, mm/day; `plant_use` in L a day for each
    plant, where the person knows better than ETo x Kc x area; `energy_price` for 1 kWh.
    """

    __pydantic_config__: ClassVar = STRICT
    temperature: Annotated[float, Ge(1), Le(40)] = 20.0
    on_minutes: Annotated[float, Gt(0), Le(1_440)] = 15.0
    off_minutes: Annotated[float, Ge(0), Le(1_440)] = 45.0
    evapotranspiration: Annotated[float, Gt(0), Le(15)] = 5.0
    plant_use: Annotated[float, Gt(0), Le(30)] | None = None
    target_uniformity: Annotated[float, Ge(50), Le(99)] = 80.0
    top_up_days: Annotated[float, Gt(0), Le(60)] = 2.0
    reserve_hours: Annotated[float, Ge(0), Le(72)] = 4.0
    energy_price: Annotated[float, Ge(0), Le(100)] = 0.30
    drain_friction: Literal["manning", "darcy"] = "manning"
    manning_n: Annotated[float, Ge(0.006), Le(0.03)] = 0.010


@dataclass(frozen=True, slots=True, kw_only=True)
class Fill:
    """What the buckets are filled with and the solution is mixed from, as the person buys it.

    `settling` is how much loose medium settles when it is watered in, % of its volume: 5 to 10 %
    (from memory). `bags` are the sizes that medium is sold in, L. `label_rate` of the nutrient
    is in `dose_unit` for a litre, and `rate_ec` what that rate adds to plain water's EC, as
    measured; every EC in mS/cm.
    """

    __pydantic_config__: ClassVar = STRICT
    settling: Annotated[float, Ge(0), Le(50)] = 7.5
    bags: tuple[Litres, ...] = ()
    nutrient: Annotated[str, MaxLen(120)] = ""
    dose_unit: DoseUnit = "ml"
    label_rate: Annotated[float, Gt(0), Le(100)] | None = None
    rate_ec: Annotated[float, Gt(0), Le(50)] | None = None
    water_ec: Annotated[float, Ge(0), Le(20)] | None = None
    target_ec: Annotated[float, Gt(0), Le(20)] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Obstacle:
    """Something on the site to keep clear of, or a path to keep free. A round one uses `width`."""

    __pydantic_config__: ClassVar = STRICT
    id: Id
    kind: ObstacleKind
    name: Name
    shape: Literal["box", "round"] = "box"
    place: Point
    width: Length
    depth: Length
    turn: Angle = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Acceptance:
    """A Look again that the person accepted, with the reason.

    It speaks for exactly these subjects: when others join or leave the finding, it asks again.
    """

    __pydantic_config__: ClassVar = STRICT
    rule: Id
    subjects: tuple[Id, ...]
    reason: Annotated[str, MinLen(1), MaxLen(400)]


@dataclass(frozen=True, slots=True, kw_only=True)
class Design:
    """Everything the person decided about one bed, or several beds on one reservoir."""

    __pydantic_config__: ClassVar = STRICT
    title: Annotated[str, MaxLen(120)]
    units: UnitSystem = "metric"
    paper: Paper = "a4"
    notes: Annotated[str, MaxLen(20_000)] = ""
    outline: tuple[Point, ...] = ()
    obstacles: tuple[Obstacle, ...] = ()
    reservoir: Reservoir | None = None
    water: Water = Water()
    fill: Fill = Fill()
    own_parts: tuple[Annotated[Part, Discriminator("kind")], ...] = ()
    accepted: tuple[Acceptance, ...] = ()
    runs: tuple[Run, ...] = ()

    def run(self, run_id: str) -> Run:
        """The run with this id; KeyError when there is none."""
        for run in self.runs:
            if run.id == run_id:
                return run
        raise KeyError(run_id)

    def run_of(self, bucket_id: str) -> Run:
        """The run that holds a bucket; KeyError when none does."""
        for run in self.runs:
            for bucket in run.buckets:
                if bucket.id == bucket_id:
                    return run
        raise KeyError(bucket_id)
