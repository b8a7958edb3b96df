"""What a rule looks at, and how it turns numbers into findings."""

from collections.abc import Sequence
from dataclasses import dataclass

from designer.checks.finding import Case, Finding, Remedy, State
from designer.layout.run import GRAIN, RunLayout
from designer.layout.site import ReservoirLayout
from designer.model.catalogue import Catalogue
from designer.units import format_length, style_for


@dataclass(frozen=True, eq=False)
class RunSituation:
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
    def grain(self) -> float:
        """The step remedies are rounded to, mm."""
        return GRAIN[self.layout.units]

    def say(self, mm: float) -> str:
        """A length in the person's units."""
        return format_length(mm, style_for(self.layout.units))

    def fine(self, mm: float) -> str:
        """A small diameter in the person's units, to a tenth of a millimetre."""
        return format_length(mm, style_for(self.layout.units), places=1)

    def up(self, mm: float) -> float:
        """A length rounded up to a step a person can make."""
        return -(-(mm - 1e-6) // self.grain) * self.grain

    def down(self, mm: float) -> float:
        """A length rounded down to a step a person can make."""
        return (mm + 1e-6) // self.grain * self.grain


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
