"""A finding as plain data, for JSON."""

from typing import Any

from designer.checks.finding import Finding


def finding_record(finding: Finding) -> dict[str, Any]:
    """What a finding says, with each of its cases and why it was accepted."""
    record: dict[str, Any] = {
        "rule": finding.rule,
        "title": finding.title,
        "state": finding.state,
        "subjects": list(finding.subjects),
        "is": finding.measured,
        "needs": finding.needed,
        "why": finding.why,
        "source": finding.source,
        "remedies": [remedy.label for remedy in finding.remedies],
    }
    if finding.cases:
        record["cases"] = [
            {"subjects": list(c.subjects), "is": c.measured, "needs": c.needed}
            for c in finding.cases
        ]
    if finding.accepted:
        record["accepted"] = finding.accepted
    return record
