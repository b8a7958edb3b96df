"""Timber for rails: grades from `resources/timber.toml`, sections, and what a design method allows.

SI: m, Pa, N. Two methods. NDS (allowable stress design): reference values times the adjustment
factors CD, CM, CF, Cfu, CL; EN 1995-1-1 (limit states): kmod / gammaM, kh and kcrit on the classes
of EN 338, with the load times its factor. Where a value comes from stands beside it in the file.
"""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from math import sqrt
from typing import Any, Literal

from designer.model.parts import Evidence
from designer.resources import resource_path
from designer.units import UnitSystem

INCH = 0.0254
PSI = 6894.757293168
"""Pa in one pound-force per square inch (NIST SP 811, from memory)."""
MEGAPASCAL = 1e6
_SAW = INCH / 16
"""A board this much under its dressed size still passes for it, m."""

Method = Literal["nds", "ec5"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Grade:
    """A grade by its reference values, Pa: bending, shear along and bearing across the grain.

    `modulus` is the mean modulus of elasticity and `modulus_low` the one for stability (Emin, or
    the 5 % value); `density` in kg/m3 as wet as a bed keeps it. `evidence` by field.
    """

    id: str
    name: str
    method: Method
    bending: float
    shear: float
    bearing: float
    modulus: float
    modulus_low: float
    density: float
    evidence: Mapping[str, Evidence] = field(compare=False)


@dataclass(frozen=True, slots=True)
class Section:
    """A rectangle as it stands in the stand: `breadth` across, `depth` upright, m."""

    breadth: float
    depth: float

    @property
    def area(self) -> float:
        """A = b d, m2."""
        return self.breadth * self.depth

    @property
    def modulus(self) -> float:
        """Section modulus S = b d2 / 6, m3."""
        return self.breadth * self.depth**2 / 6

    @property
    def inertia(self) -> float:
        """Second moment of area I = b d3 / 12, m4."""
        return self.breadth * self.depth**3 / 12

    @property
    def on_edge(self) -> bool:
        """Whether it stands on its narrow face."""
        return self.depth > self.breadth


@dataclass(frozen=True, slots=True)
class Strength:
    """What a section may bear: `bending`, `shear` and `bearing` in Pa against the stresses of the
    load times `load_factor`. `modulus` (Pa) gives the first deflection, `creep` times that the
    last one. `graded` is False where no table holds a value for such a board. `factors` says how
    the bending value came about.
    """

    bending: float
    shear: float
    bearing: float
    modulus: float
    creep: float
    load_factor: float
    shear_width: float
    graded: bool
    factors: tuple[tuple[str, float], ...]


def bending_stress(moment: float, section: Section) -> float:
    """fb = M / S, Pa, of a moment in N m."""
    return abs(moment) / section.modulus


def shear_stress(shear: float, section: Section, width_share: float = 1.0) -> float:
    """fv = 1.5 V / A, Pa, of a shear in N over the sound share of the breadth."""
    return 1.5 * abs(shear) / (section.area * width_share)


@dataclass(frozen=True)
class Timber:
    """The timber file: grades by id, default grade by unit system, and the methods' factors."""

    grades: Mapping[str, Grade]
    default: Mapping[str, str]
    values: Mapping[Method, Mapping[str, Any]]
    evidence: Mapping[tuple[Method, str], Evidence]

    def grade(self, grade_id: str | None, units: UnitSystem) -> Grade:
        """The grade asked for; the default of the unit system for None. KeyError for no grade."""
        return self.grades[grade_id or self.default[units]]


@cache
def load_timber() -> Timber:
    """The timber file that ships with the program."""
    document = tomllib.loads(resource_path("timber.toml").read_text("utf-8"))
    sources = {key: Evidence(**value) for key, value in document["sources"].items()}
    values: dict[Method, dict[str, Any]] = {"nds": {}, "ec5": {}}
    evidence: dict[tuple[Method, str], Evidence] = {}
    methods: tuple[Method, ...] = ("nds", "ec5")
    for method in methods:
        for key, entry in document[method].items():
            values[method][key] = entry["value"] if "value" in entry else entry["rows"]
            evidence[method, key] = sources[entry["evidence"]]
    grades = {}
    for record in document["grade"]:
        cited = {key: sources[name] for key, name in record.pop("evidence").items()}
        unit = PSI if record["method"] == "nds" else MEGAPASCAL
        for key in ("bending", "shear", "bearing", "modulus", "modulus_low"):
            record[key] *= unit
            cited.setdefault(key, cited["default"])
        grades[record["id"]] = Grade(**record, evidence=cited)
    return Timber(grades, document["default"], values, evidence)


def nominal_width(width: float) -> Mapping[str, float]:
    """The row of the NDS width table for a real width in m: the least that is not narrower."""
    rows: list[Mapping[str, float]] = load_timber().values["nds"]["width_factors"]
    return next((r for r in rows if width <= r["dressed"] * INCH + _SAW), rows[-1])


def design_strength(
    grade: Grade,
    section: Section,
    unbraced: float,
    *,
    wet: bool = True,
    service_class: int = 3,
    load_duration: float | None = None,
    midspan_load: bool = False,
) -> Strength:
    """What a section of a grade may bear, `unbraced` m between the points that hold it upright.

    `wet`: NDS wet service, moisture above 19 %; `service_class` 1 to 3 of EN 1995. `load_duration`
    is CD where the load is not permanent. Beam stability takes the load as spread unless
    `midspan_load`. A board without a published value is reckoned as its grade, `graded` False.
    """
    if grade.method == "nds":
        return _nds(grade, section, unbraced, wet, load_duration, midspan_load)
    return _ec5(grade, section, unbraced, service_class)


def _nds(
    grade: Grade,
    section: Section,
    unbraced: float,
    wet: bool,
    load_duration: float | None,
    midspan_load: bool,
) -> Strength:
    value = load_timber().values["nds"]
    thickness, width = sorted((section.breadth, section.depth))
    row = nominal_width(width)
    thick = thickness > 3 * INCH
    duration = value["load_duration"] if load_duration is None else load_duration
    size = row["size"]
    flat = 1.0
    if not section.on_edge and width > thickness:
        flat = row["flat_thick" if thick else "flat"]
    wet_bending = 1.0
    if wet and grade.bending * size > value["wet_bending_free_below_psi"] * PSI:
        wet_bending = value["wet_bending"]
    softer = value["wet_modulus"] if wet else 1.0
    unstable = grade.bending * duration * wet_bending * size
    stability = 1.0
    if section.on_edge and row["nominal"] > 2 * nominal_width(thickness)["nominal"]:
        stability = beam_stability(
            section, unbraced, unstable, grade.modulus_low * softer, midspan_load=midspan_load
        )
    graded = (
        value["least_thickness_in"] * INCH - _SAW
        <= thickness
        <= value["most_thickness_in"] * INCH + _SAW
    )
    return Strength(
        unstable * flat * stability,
        grade.shear * duration * (value["wet_shear"] if wet else 1.0),
        grade.bearing * (value["wet_bearing"] if wet else 1.0),
        grade.modulus * softer,
        value["creep_wet" if wet else "creep_dry"],
        1.0,
        1.0,
        graded,
        (("CD", duration), ("CM", wet_bending), ("CF", size), ("Cfu", flat), ("CL", stability)),
    )


def beam_stability(
    section: Section,
    unbraced: float,
    bending: float,
    modulus_low: float,
    *,
    midspan_load: bool = False,
) -> float:
    """CL of NDS 3.3.3 for an `unbraced` length lu in m; `bending` is Fb* and `modulus_low` Emin'.

    RB = sqrt(le d / b2), FbE = 1.20 Emin' / RB2, r = FbE / Fb*, and
    CL = (1 + r) / 1.9 - sqrt(((1 + r) / 1.9)2 - r / 0.95). Effective length le of a span with one
    load at midspan 1.80 lu, or 1.37 lu + 3 d from lu = 7 d on; of any other 2.06 lu, 1.63 lu + 3 d
    from 7 d on, 1.84 lu from 14.3 d on (second-hand in part; table 3.3.3 from memory).
    """
    if section.depth <= section.breadth:
        return 1.0
    slender = unbraced / section.depth
    if midspan_load:
        length = 1.80 * unbraced if slender < 7 else 1.37 * unbraced + 3 * section.depth
    elif slender < 7:
        length = 2.06 * unbraced
    else:
        length = 1.63 * unbraced + 3 * section.depth if slender <= 14.3 else 1.84 * unbraced
    slenderness = length * section.depth / section.breadth**2
    ratio = 1.20 * modulus_low / slenderness / bending
    half = (1 + ratio) / 1.9
    return half - sqrt(max(half**2 - ratio / 0.95, 0.0))


def bearing_area_factor(length: float, from_end: float) -> float:
    """Cb of NDS 3.10.4: (lb + 0.375 in) / lb for a bearing shorter than 6 in that stands 3 in or
    more from the rail's end; else 1 (formula from memory). Both in m."""
    spread: float = load_timber().values["nds"]["bearing_spread_in"] * INCH
    if length <= 0 or length >= 6 * INCH or from_end < 3 * INCH:
        return 1.0
    return (length + spread) / length


def _ec5(grade: Grade, section: Section, unbraced: float, service_class: int) -> Strength:
    value = load_timber().values["ec5"]
    modification = value["modification"][service_class - 1]
    share = modification / value["material"]
    size = min(max((0.150 / section.depth) ** 0.2, 1.0), 1.3)
    stability = side_buckling(grade, section, unbraced)
    thickness = min(section.breadth, section.depth)
    return Strength(
        grade.bending * share * size * stability,
        grade.shear * share,
        grade.bearing * share,
        grade.modulus,
        1 + value["deformation"][service_class - 1],
        value["permanent_load"],
        value["crack"],
        thickness >= value["least_thickness_mm"] / 1000,
        (
            ("kmod", modification),
            ("1/γM", 1 / value["material"]),
            ("kh", size),
            ("kcrit", stability),
        ),
    )


def side_buckling(grade: Grade, section: Section, unbraced: float) -> float:
    """kcrit of EN 1995-1-1 6.3.3 (from memory): sigma = 0.78 b2 E005 / (h lef) with
    lef = 0.9 l + 2 h for a load on top, lambda = sqrt(fmk / sigma)."""
    length = 0.9 * unbraced + 2 * section.depth
    critical = 0.78 * section.breadth**2 * grade.modulus_low / (section.depth * length)
    slender = sqrt(grade.bending / critical)
    if slender <= 0.75:
        return 1.0
    return 1.56 - 0.75 * slender if slender <= 1.4 else 1 / slender**2
