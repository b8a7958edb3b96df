"""Parts a bed is made of, as plain immutable values. All lengths are mm.

A part says what a thing measures, never where it is used. Every number of a catalogue part
carries its :class:`Evidence`; a part that the grower measured is its own evidence.
"""

from dataclasses import dataclass, field
from typing import Annotated, ClassVar, Literal

from annotated_types import Ge, Gt, Le, MaxLen, MinLen

Length = Annotated[float, Gt(0), Le(100_000)]
"""A length above zero, mm; no single part or run is longer than 100 m."""
Allowance = Annotated[float, Ge(0), Le(100_000)]
"""A length that may be zero, mm."""
Name = Annotated[str, MinLen(1), MaxLen(120)]
Id = Annotated[str, MinLen(1), MaxLen(60)]

STRICT = {"extra": "forbid", "allow_inf_nan": False, "strict": True}
"""How the file reader treats a record: unknown fields, infinities, NaN and a value of another
type (the text "12" or `true` for a number) are refused."""

Sure = Literal["published", "second-hand", "common practice", "from memory", "measured"]


@dataclass(frozen=True, slots=True)
class Evidence:
    """Where a value comes from and how sure we are of it."""

    sure: Sure
    source: str

    def __str__(self) -> str:
        return self.source if self.sure in self.source else f"{self.source} ({self.sure})"


@dataclass(frozen=True, slots=True, kw_only=True)
class BucketPart:
    """A tapered bucket. Diameters are outside; `rim_diameter` is the widest point at the rim."""

    __pydantic_config__: ClassVar = STRICT
    kind: Literal["bucket"] = "bucket"
    id: Id
    name: Name
    rim_diameter: Length
    top_diameter: Length
    base_diameter: Length
    height: Length
    wall: Length


@dataclass(frozen=True, slots=True, kw_only=True)
class PipePart:
    """Rigid pipe, sold in sticks of `stick_length`."""

    __pydantic_config__: ClassVar = STRICT
    kind: Literal["pipe"] = "pipe"
    id: Id
    name: Name
    outside_diameter: Length
    wall: Length
    stick_length: Length

    @property
    def bore(self) -> float:
        """Inside diameter, mm."""
        return self.outside_diameter - 2 * self.wall


@dataclass(frozen=True, slots=True, kw_only=True)
class TubePart:
    """Flexible tube for the manifold or for the feed to one bucket, sold in rolls."""

    __pydantic_config__: ClassVar = STRICT
    kind: Literal["tube"] = "tube"
    id: Id
    name: Name
    outside_diameter: Length
    inside_diameter: Length


@dataclass(frozen=True, slots=True, kw_only=True)
class ElbowPart:
    """A 90 degree elbow with a socket at each end."""

    __pydantic_config__: ClassVar = STRICT
    kind: Literal["elbow"] = "elbow"
    id: Id
    name: Name
    pipe_outside_diameter: Length
    socket_depth: Length
    centre_to_socket_bottom: Length
    body_diameter: Length


@dataclass(frozen=True, slots=True, kw_only=True)
class GrommetPart:
    """A rubber grommet that seals a pipe in a drilled wall."""

    __pydantic_config__: ClassVar = STRICT
    kind: Literal["grommet"] = "grommet"
    id: Id
    name: Name
    hole_diameter: Length
    pipe_outside_diameter: Length
    flange_thickness: Allowance
    flange_diameter: Length


@dataclass(frozen=True, slots=True, kw_only=True)
class FittingPart:
    """A small fitting that is counted but does not place anything: cap, barb, end plug."""

    __pydantic_config__: ClassVar = STRICT
    kind: Literal["cap", "barb", "plug"]
    id: Id
    name: Name
    hole_diameter: Allowance = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class HoleSawPart:
    """A hole saw by the diameter of the hole it cuts."""

    __pydantic_config__: ClassVar = STRICT
    kind: Literal["hole_saw"] = "hole_saw"
    id: Id
    name: Name
    diameter: Length


@dataclass(frozen=True, slots=True, kw_only=True)
class MediumPart:
    """A growing medium. `bulk_density` is dry, kg/m3; `water_percent` is what it holds when
    drained and `available_percent` what roots take of that with ease, both of volume."""

    __pydantic_config__: ClassVar = STRICT
    kind: Literal["medium"] = "medium"
    id: Id
    name: Name
    bulk_density: Annotated[float, Gt(0), Le(2_000)]
    water_percent: Annotated[float, Gt(0), Le(95)]
    available_percent: Annotated[float, Ge(0), Le(60)] = 8.0


@dataclass(frozen=True, slots=True)
class PumpPoint:
    """One point of a pump's curve: flow in L/h at a head in m."""

    __pydantic_config__: ClassVar = STRICT
    flow: Annotated[float, Ge(0), Le(100_000)]
    head: Annotated[float, Ge(0), Le(100)]


@dataclass(frozen=True, slots=True, kw_only=True)
class PumpPart:
    """A small submersible pump by what its label states: flow at no head (L/h), head at no flow
    (m). `curve` holds points between these where the maker prints a curve; `watts` is its draw.
    """

    __pydantic_config__: ClassVar = STRICT
    kind: Literal["pump"] = "pump"
    id: Id
    name: Name
    flow_at_no_head: Annotated[float, Gt(0), Le(100_000)]
    head_at_no_flow: Annotated[float, Gt(0), Le(100)]
    cover: Allowance
    watts: Annotated[float, Ge(0), Le(10_000)] = 0.0
    curve: tuple[PumpPoint, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class EmitterPart:
    """A drip emitter: q = k h^x, `coefficient` k in L/h at 1 m of water, `exponent` x."""

    __pydantic_config__: ClassVar = STRICT
    kind: Literal["emitter"] = "emitter"
    id: Id
    name: Name
    coefficient: Annotated[float, Gt(0), Le(1_000)]
    exponent: Annotated[float, Ge(0), Le(1)]


@dataclass(frozen=True, slots=True, kw_only=True)
class ReservoirPart:
    """A tote, box or barrel. Rim and base sizes are inside; a round one has length = width."""

    __pydantic_config__: ClassVar = STRICT
    kind: Literal["reservoir"] = "reservoir"
    id: Id
    name: Name
    shape: Literal["box", "round"]
    rim_length: Length
    rim_width: Length
    base_length: Length
    base_width: Length
    height: Length
    wall: Length


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardPart:
    """A board for rails: `width` is the wide face, `thickness` the narrow one, as measured."""

    __pydantic_config__: ClassVar = STRICT
    kind: Literal["board"] = "board"
    id: Id
    name: Name
    width: Length
    thickness: Length
    stick_length: Length


@dataclass(frozen=True, slots=True, kw_only=True)
class BlockPart:
    """A masonry block, lying as it is stacked under the rails."""

    __pydantic_config__: ClassVar = STRICT
    kind: Literal["block"] = "block"
    id: Id
    name: Name
    length: Length
    width: Length
    height: Length


Part = (
    BucketPart
    | PipePart
    | TubePart
    | ElbowPart
    | GrommetPart
    | FittingPart
    | HoleSawPart
    | MediumPart
    | PumpPart
    | EmitterPart
    | ReservoirPart
    | BoardPart
    | BlockPart
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Crop:
    """A crop as trained in a bucket: room for one bucket's canopy, the usual plant count, and what
    its water use is reckoned from: crop coefficient in mid-season and plants to a square metre.
    `plant_mass` is one plant with its fruit in full crop, kg; `plant_hole` is the hole for it in
    the bucket's lid, where there is one.
    """

    __pydantic_config__: ClassVar = STRICT
    id: Id
    name: Name
    plants_per_bucket: Annotated[int, Ge(1), Le(50)]
    canopy_spread: Length
    crop_coefficient: Annotated[float, Gt(0), Le(2)]
    plants_per_m2: Annotated[float, Gt(0), Le(60)]
    plant_mass: Annotated[float, Ge(0), Le(100)]
    plant_hole: Length


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """A threshold of a check: its value, what it is for, and where it comes from."""

    __pydantic_config__: ClassVar = STRICT
    value: float
    unit: str
    why: str
    evidence: Evidence = field(default_factory=lambda: Evidence("from memory", ""))
