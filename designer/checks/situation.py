"""What a rule looks at, and how it turns numbers into findings."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from designer.checks.finding import Case, Finding, Remedy, State
from designer.layout.run import GRAIN, Place, RunLayout
from designer.layout.site import ReservoirLayout, SiteLayout, bed_footprint, bed_spine
from designer.model.catalogue import Catalogue
from designer.model.design import Design, Run
from designer.units import UnitSystem, format_length, style_for


class InUnits:
    """Says lengths in the person's units and rounds them to a step that can be made.

    What falls short is said rounded down and what is needed rounded up, so that the two never
    read the same: 5 7/8" where at least 5 15/16" is needed.
    """

    @property
    def units(self) -> UnitSystem:
        """The person's units."""
        raise NotImplementedError

    @property
    def grain(self) -> float:
        """The step remedies are rounded to, mm."""
        return GRAIN[self.units]

    def say(self, mm: float) -> str:
        """A length in the person's units."""
        return format_length(mm, style_for(self.units))

    def fine(self, mm: float) -> str:
        """A small diameter in the person's units, to a tenth of a millimetre."""
        return format_length(mm, style_for(self.units), places=1)

    def up(self, mm: float) -> float:
        """A length rounded up to a step a person can make."""
        return -(-(mm - 1e-6) // self.grain) * self.grain

    def down(self, mm: float) -> float:
        """A length rounded down to a step a person can make."""
        return (mm + 1e-6) // self.grain * self.grain

    def short(self, needed: float, actual: float) -> float:
        """What a thing must be moved by so that what is said of it adds up: what is needed,
        rounded up, less what is, rounded down."""
        return self.up(self.up(needed) - actual)

    def at_least(self, mm: float) -> str:
        """What is needed at least, rounded up."""
        return f"at least {self.say(self.up(mm))}"

    def at_most(self, mm: float) -> str:
        """What is allowed at most, rounded down."""
        return f"at most {self.say(self.down(mm))}"


@dataclass(frozen=True, eq=False)
class RunSituation(InUnits):
    """One run with the reservoir it drains to."""

    layout: RunLayout
    reservoir: ReservoirLayout | None
    catalogue: Catalogue

    def same_as(self, other: "RunSituation") -> bool:
        """Whether nothing that a run's rules look at has changed."""
        return (
            self.layout is other.layout
            and self.reservoir is other.reservoir
            and self.catalogue is other.catalogue
        )

    @property
    def id(self) -> str:
        """The run's id."""
        return self.layout.run.id

    @property
    def units(self) -> UnitSystem:
        """The person's units."""
        return self.layout.units


@dataclass(frozen=True, eq=False)
class SiteSituation(InUnits):
    """All runs together on their site."""

    design: Design
    runs: Sequence[RunLayout]
    reservoir: ReservoirLayout | None
    site: SiteLayout
    catalogue: Catalogue

    @property
    def units(self) -> UnitSystem:
        """The person's units."""
        return self.design.units

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
    def spines(self) -> dict[str, BaseGeometry]:
        """The ground under each run's drain and rails, by run id."""
        return {layout.run.id: bed_spine(layout) for layout in self.runs}

    @cached_property
    def legs(self) -> dict[str, BaseGeometry]:
        """The ground under each run's drain on its way to the reservoir, by run id; empty where
        it has no way yet."""
        return {layout.run.id: drain_leg(layout, layout.run) for layout in self.runs}

    @cached_property
    def feet(self) -> dict[str, BaseGeometry]:
        """The ground each run takes up, by run id."""
        return {layout.run.id: bed_footprint(layout) for layout in self.runs}


def drain_leg(layout: RunLayout, run: Run) -> BaseGeometry:
    """The ground under a run's drain from its outlet end to its outfall. `run` may be the run of
    the layout led or placed otherwise."""
    points = [(p.x, p.y) for p in (run.start, *run.return_path)]
    if len(points) < 2:
        return shapely.Polygon()
    half = layout.parts.drain.outside_diameter / 2
    return shapely.LineString(points).buffer(half, cap_style="flat")


def judged(
    rule: str,
    title: str,
    state: State,
    whole: str,
    cases: Sequence[Case],
    measured: str,
    needed: str,
    why: str,
    source: str,
    remedies: Sequence[Remedy] = (),
) -> Finding:
    """A finding from its cases: Good about `whole` when there are none, one line for many."""
    if not cases:
        return Finding(rule, title, "good", (whole,), measured, needed, why, source)
    if len(cases) == 1:
        case = cases[0]
        return Finding(
            rule, title, state, case.subjects, case.measured, case.needed, why, source,
            tuple(remedies),
        )  # fmt: skip
    subjects = tuple(dict.fromkeys(s for case in cases for s in case.subjects))
    return Finding(
        rule, title, state, subjects, measured, needed, why, source, tuple(remedies), tuple(cases)
    )
