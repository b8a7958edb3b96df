"""Beds that several tests start from: sketched ones, in which every check reads Good."""

from collections.abc import Iterable

from designer.analysis import Analysis, analyse
from designer.checks.finding import Finding
from designer.model.design import Design
from designer.sketch import Answers, sketch
from designer.units import UnitSystem


def bed(buckets: int = 6, units: UnitSystem = "metric", **answers: object) -> Design:
    """A sketched bed with its one run "r1", buckets "b1" on from the capped end."""
    return sketch(Answers(buckets=buckets, units=units, **answers))  # type: ignore[arg-type]


def findings(design: Design, rule: str) -> list[Finding]:
    """All findings of one rule in a design."""
    return [finding for finding in analyse(design).findings if finding.rule == rule]


def finding(design: Design, rule: str) -> Finding:
    """The only finding of one rule in a design."""
    (found,) = findings(design, rule)
    return found


def texts(found: Iterable[Finding]) -> Iterable[str]:
    """Every text that findings show."""
    for one in found:
        yield from (one.title, one.measured, one.needed, one.why, one.source)
        yield from (remedy.label for remedy in one.remedies)
        for case in one.cases:
            yield from (case.measured, case.needed)


def not_good(analysis: Analysis) -> list[str]:
    """Rules that do not read Good."""
    return [found.rule for found in analysis.findings if found.state != "good"]
