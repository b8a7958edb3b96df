"""analyse(Design) -> Analysis: everything that follows from a design, computed in order.

Pure and free of Qt. What did not change since the previous analysis is kept: a run that is the
same value keeps its layout and its findings, a bucket that is the same value keeps its place.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import TYPE_CHECKING, Literal

from designer.checks.finding import STATES, Finding, State
from designer.checks.rules import RunSituation, design_findings, run_findings
from designer.layout.run import Place, RunLayout, lay_out_run
from designer.layout.site import (
    ReservoirLayout,
    SiteLayout,
    lay_out_reservoir,
    lay_out_site,
)
from designer.model.catalogue import Catalogue, load_catalogue
from designer.model.design import Design

WORKING = "being worked out again"
"""Stands for the numbers of the water while they are out of date."""

Later = Literal["water", "stands"]
"""What comes in the second step."""

if TYPE_CHECKING:
    from designer.stand.bed.record import StandResult
    from designer.water.bed.solution import BedWater


@dataclass(frozen=True)
class Analysis:
    """All that is shown: layouts, findings, and lookups by id. Only ever read.

    Water and stand take longer than a frame, so they come in a second step, :func:`with_water` and
    :func:`with_stands`. Until then `water` is None and `stands` is empty, `water_current` and
    `stands_current` are False, and what the last ones said stands among the findings without its
    numbers.
    """

    design: Design
    catalogue: Catalogue
    runs: tuple[RunLayout, ...]
    reservoir: ReservoirLayout | None
    site: SiteLayout
    findings: tuple[Finding, ...]
    findings_by_run: Mapping[str, tuple[RunSituation, tuple[Finding, ...]]]
    water: BedWater | None = None
    water_findings: tuple[Finding, ...] = ()
    water_current: bool = False
    stands: Mapping[str, StandResult] = field(default_factory=dict)
    stands_findings: tuple[Finding, ...] = ()
    stands_current: bool = False

    @property
    def complete(self) -> bool:
        """Whether water and stand are there and belong to this design."""
        return self.water_current and self.stands_current

    def run(self, run_id: str) -> RunLayout:
        """The layout of a run; KeyError when there is none."""
        for layout in self.runs:
            if layout.run.id == run_id:
                return layout
        raise KeyError(run_id)

    @cached_property
    def places(self) -> Mapping[str, tuple[RunLayout, Place]]:
        """Every bucket's run and place by bucket id."""
        return {p.bucket.id: (layout, p) for layout in self.runs for p in layout.places}

    @cached_property
    def counts(self) -> Mapping[State, int]:
        """How many findings are in each state."""
        counted = Counter(finding.state for finding in self.findings)
        return {state: counted[state] for state in STATES}

    @cached_property
    def marks(self) -> Mapping[str, State]:
        """The worst open state of each subject that has a finding which is not Good."""
        worst: dict[str, State] = {}
        for state in reversed(STATES[:2]):
            for finding in self.findings:
                if finding.state == state and finding.open:
                    worst.update(dict.fromkeys(finding.subjects, state))
                    for case in finding.cases:
                        worst.update(dict.fromkeys(case.subjects, state))
        return worst

    def bucket_label(self, bucket_id: str) -> str:
        """What a bucket is called on the drawings: its hole's letter, with the run's number
        before it when there are several runs."""
        layout, _ = self.places[bucket_id]
        return self.run_number(layout) + layout.letters[bucket_id]

    def run_number(self, layout: RunLayout) -> str:
        """The run's number on the drawings; empty when there is only one."""
        if len(self.runs) < 2:
            return ""
        return str(next(i for i, other in enumerate(self.runs, 1) if other is layout))

    def subject_name(self, subject: str) -> str:
        """What a person calls a subject: "Bucket C", "Reservoir", a run's or obstacle's name."""
        if subject in self.places:
            return f"Bucket {self.bucket_label(subject)}"
        if subject in ("reservoir", "site"):
            return subject.capitalize()
        named = {r.id: r.name for r in self.design.runs} | {
            o.id: o.name for o in self.design.obstacles
        }
        return named.get(subject, subject)


def analyse(
    design: Design, previous: Analysis | None = None, catalogue: Catalogue | None = None
) -> Analysis:
    """Everything that follows from a design. KeyError or TypeError only for a part that is not in
    the catalogue, which the file reader and the edits do not let in."""
    base = (catalogue or load_catalogue()).with_own(design.own_parts)
    if previous is not None and previous.catalogue is not base:
        previous = None
    runs = _runs(design, base, previous)
    reservoir = _reservoir(design, base, previous)
    if previous is not None and (
        previous.design.obstacles is design.obstacles and previous.design.outline is design.outline
    ):
        site = previous.site
    else:
        site = lay_out_site(design)
    by_run = {}
    for layout in runs:
        situation = RunSituation(layout, reservoir, base)
        known = previous.findings_by_run.get(layout.run.id) if previous is not None else None
        by_run[layout.run.id] = (
            known
            if known is not None and known[0].same_as(situation)
            else (situation, run_findings(situation))
        )
    found = [f for _, findings in by_run.values() for f in findings]
    found += design_findings(design, runs, reservoir, site, base)
    fresh = Analysis(design, base, runs, reservoir, site, _accept(design, found), by_run)
    return _keep_later(fresh, previous) if previous is not None else fresh


def with_water(analysis: Analysis) -> Analysis:
    """The analysis with its water solved and judged. Nothing to do where that is current."""
    if analysis.water_current:
        return analysis
    # Imported here: the start of the window does not wait for the water.
    from designer.checks.water import water_findings
    from designer.water.bed.solution import solve_bed

    water = solve_bed(analysis.design, analysis.runs, analysis.reservoir, analysis.catalogue)
    found = water_findings(water, analysis.catalogue) if water is not None else []
    return _joined(replace(analysis, water=water, water_current=True), "water", found)


def with_stands(analysis: Analysis) -> Analysis:
    """The analysis with the stand of each run solved and judged; a run whose layout is the same
    keeps its stand."""
    if analysis.stands_current:
        return analysis
    from designer.checks.stand import stand_findings
    from designer.stand.bed.solution import solve_stand

    stands = {}
    for layout in analysis.runs:
        known = analysis.stands.get(layout.run.id)
        if known is None or known.layout is not layout:
            known = solve_stand(analysis.design, layout, analysis.catalogue)
        stands[layout.run.id] = known
    found = stand_findings(analysis.design, list(stands.values()), analysis.catalogue)
    return _joined(replace(analysis, stands=stands, stands_current=True), "stands", found)


def without_water(analysis: Analysis) -> Analysis:
    """The analysis where the second step failed: one finding says so in place of its others."""
    failed = Finding(
        "water-solved",
        "The water can be worked out",
        "look_again",
        ("reservoir",),
        "no answer was found",
        "an answer",
        "Without it nobody knows whether every bucket gets its share and all runs back.",
        "this program's own reckoning",
    )
    if not analysis.stands_current:
        analysis = _joined(analysis, "stands", [])
    return _joined(replace(analysis, water=None, water_current=False), "water", [failed])


def analyse_fully(design: Design) -> Analysis:
    """Everything, water and stand included."""
    return completed(analyse(design))


def completed(analysis: Analysis) -> Analysis:
    """The analysis with its water and its stands."""
    return with_stands(with_water(analysis))


def _joined(analysis: Analysis, later: Later, found: Sequence[Finding]) -> Analysis:
    """The analysis with these findings of the water or the stands in place of the last ones."""
    gone = set(map(id, (*analysis.water_findings, *analysis.stands_findings)))
    others = [f for f in analysis.findings if id(f) not in gone]
    judged = _accept(analysis.design, list(found))
    water = judged if later == "water" else analysis.water_findings
    stands = judged if later == "stands" else analysis.stands_findings
    findings = tuple(sorted([*others, *water, *stands], key=lambda f: STATES.index(f.state)))
    return replace(analysis, findings=findings, water_findings=water, stands_findings=stands)


def _keep_later(analysis: Analysis, previous: Analysis) -> Analysis:
    """Keep water and stands where nothing that they depend on has changed; else keep their
    findings without numbers, so that lists do not jump until they are there again."""
    same_runs = (
        len(previous.runs) == len(analysis.runs)
        and all(a is b for a, b in zip(previous.runs, analysis.runs, strict=True))
        and previous.design.units == analysis.design.units
    )
    analysis = replace(analysis, stands=previous.stands)
    if same_runs and previous.stands_current:
        analysis = _joined(
            replace(analysis, stands_current=True), "stands", previous.stands_findings
        )
    else:
        analysis = _joined(analysis, "stands", _pending(analysis, previous.stands_findings))
    if (
        same_runs
        and previous.water_current
        and previous.reservoir is analysis.reservoir
        and previous.design.water == analysis.design.water
    ):
        kept = replace(analysis, water=previous.water, water_current=True)
        return _joined(kept, "water", previous.water_findings)
    if analysis.reservoir is None:
        return analysis
    return _joined(analysis, "water", _pending(analysis, previous.water_findings))


def _pending(analysis: Analysis, findings: Sequence[Finding]) -> list[Finding]:
    """Findings of things that are still there, without their numbers."""
    subjects = {"reservoir"} | {layout.run.id for layout in analysis.runs}
    subjects.update(place.bucket.id for layout in analysis.runs for place in layout.places)
    return [
        replace(f, measured=WORKING, needed=WORKING, remedies=(), cases=())
        for f in findings
        if subjects.issuperset(f.subjects)
    ]


def _runs(design: Design, base: Catalogue, previous: Analysis | None) -> tuple[RunLayout, ...]:
    before = {layout.run.id: layout for layout in previous.runs} if previous else {}
    layouts = []
    for run in design.runs:
        known = before.get(run.id)
        if known is not None and known.run is run and known.units == design.units:
            layouts.append(known)
        else:
            layouts.append(lay_out_run(run, design.units, base, known))
    return tuple(layouts)


def _reservoir(
    design: Design, base: Catalogue, previous: Analysis | None
) -> ReservoirLayout | None:
    if design.reservoir is None:
        return None
    if previous is not None and previous.design.reservoir is design.reservoir:
        return previous.reservoir
    return lay_out_reservoir(design.reservoir, base)


def _accept(design: Design, found: list[Finding]) -> tuple[Finding, ...]:
    reasons = {(a.rule, a.subjects): a.reason for a in design.accepted}

    def judged(f: Finding) -> Finding:
        reason = reasons.get(f.key) if f.state == "look_again" else None
        return f if f.accepted == reason else replace(f, accepted=reason)

    return tuple(sorted(map(judged, found), key=lambda f: STATES.index(f.state)))
