"""The findings that are not Good, in plain words, and those accepted with their reasons."""

from collections import defaultdict
from collections.abc import Sequence

from reportlab.platypus import Flowable

from designer.analysis import Analysis
from designer.checks.finding import STATE_WORDS, Finding
from designer.sheet.pages import (
    SMALL,
    SUBHEAD,
    SheetPage,
    flow_pages,
    gap,
    labelled,
    paragraph,
)
from designer.sheet.paper import Paper
from designer.sheet.state_marks import StateLine
from designer.takeoff.ranges import bucket_ranges

SECTION = "Checks"
ALL_GOOD = "All checks read Good."


def finding_pages(
    analysis: Analysis, paper: Paper, problems: Sequence[str] = ()
) -> list[SheetPage]:
    """Every finding that is not Good. `problems` say why a drill template is missing."""
    shown = [finding for finding in analysis.findings if finding.state != "good"]
    blocks: list[Sequence[Flowable]] = []
    if problems:
        lines = [paragraph(problem) for problem in problems]
        blocks.append([paragraph("Templates that cannot be drawn", SUBHEAD), *lines, gap(4)])
    if not shown:
        count = len(analysis.findings)
        words = f"{count} checks were made of this design." if count else "Nothing to check yet."
        blocks.append([StateLine("good", paragraph(ALL_GOOD, SUBHEAD)), paragraph(words), gap(3)])
    blocks += [_block(analysis, finding) for finding in shown]
    good = [finding for finding in analysis.findings if finding.state == "good"]
    if good:
        names = "; ".join(dict.fromkeys(finding.title for finding in good))
        blocks.append(
            [
                StateLine("good", paragraph(f"Checks that read Good: {len(good)}", SUBHEAD)),
                paragraph(f"{names}.", SMALL),
                gap(1),
                paragraph("What they rest on stands on the page Sources and assumptions.", SMALL),
            ]
        )
    return flow_pages(SECTION, blocks, paper)


def _block(analysis: Analysis, finding: Finding) -> list[Flowable]:
    words = STATE_WORDS[finding.state]
    if finding.accepted is not None:
        words += ", accepted"
    parts: list[Flowable] = [
        StateLine(finding.state, paragraph(f"{words}: {finding.title}", SUBHEAD)),
        labelled("Where:", subjects_in_words(analysis, finding.subjects)),
        labelled("What is:", finding.measured),
        labelled("What is needed:", finding.needed),
    ]
    parts += [paragraph(line, SMALL) for line in _cases(analysis, finding)]
    parts.append(labelled("Why:", finding.why))
    parts.append(labelled("Source:", finding.source, SMALL))
    if finding.accepted is not None:
        parts.append(labelled("Accepted because:", finding.accepted))
    elif finding.remedies:
        labels = "; ".join(remedy.label for remedy in finding.remedies)
        parts.append(labelled("What would mend it:", labels))
    parts.append(gap(4.5))
    return parts


def _cases(analysis: Analysis, finding: Finding) -> list[str]:
    """One line for each different pair of numbers, with all the places that have it."""
    alike: dict[tuple[str, str], list[str]] = defaultdict(list)
    for case in finding.cases:
        where = subjects_in_words(analysis, case.subjects)
        alike[case.measured, case.needed].append(where)
    return [
        f"{', '.join(dict.fromkeys(where))}: {measured}; needed: {needed}"
        for (measured, needed), where in alike.items()
    ]


def subjects_in_words(analysis: Analysis, subjects: Sequence[str]) -> str:
    """The things a finding is about, buckets drawn together: "Buckets A to C, Reservoir"."""
    buckets = [subject for subject in subjects if subject in analysis.places]
    named = [analysis.subject_name(s) for s in subjects if s not in analysis.places]
    if len(buckets) == 1:
        named.insert(0, analysis.subject_name(buckets[0]))
    elif buckets:
        named.insert(0, f"Buckets {bucket_ranges(analysis, buckets)}")
    return ", ".join(named)
