"""What the sheet says of itself to a person who hears it."""

from collections.abc import Iterable

from PySide6.QtGui import QAccessible, QAccessibleAnnouncementEvent
from PySide6.QtWidgets import QWidget

from designer.analysis import Analysis
from designer.canvas.handles import AnyHandle, ValueHandle
from designer.checks.finding import STATE_WORDS, Finding
from designer.units import format_length, style_for

_NAMED = 4


def spoken_length(mm: float, analysis: Analysis) -> str:
    """A length as it is said: "3 ft 0 1/2 in" for 3' 0 1/2"."""
    text = format_length(mm, style_for(analysis.design.units))
    return text.replace("'", " ft").replace('"', " in")


def describe(analysis: Analysis, chosen: Iterable[str]) -> str:
    """What is chosen, where it stands, and what its checks say."""
    subjects = sorted(chosen, key=lambda s: (len(s), s))
    if not subjects:
        return f"Nothing chosen. {_count(analysis)}"
    if len(subjects) == 1:
        return _describe_one(analysis, subjects[0])
    names = [analysis.subject_name(s) for s in subjects[:_NAMED]]
    more = f" and {len(subjects) - _NAMED} more" if len(subjects) > _NAMED else ""
    return f"{len(subjects)} chosen: {', '.join(names)}{more}"


def describe_handle(analysis: Analysis, handle: AnyHandle) -> str:
    """The name of a handle, its value, and how to change it."""
    if isinstance(handle, ValueHandle):
        value = spoken_length(handle.value, analysis)
        return f"{handle.name}, {value}. Arrow keys change it, Enter types it."
    return f"{handle.name}. Arrow keys move it."


def _describe_one(analysis: Analysis, subject: str) -> str:
    text = analysis.subject_name(subject)
    if subject in analysis.places:
        layout, place = analysis.places[subject]
        away = spoken_length(layout.run.length - place.station, analysis)
        text += f", {place.bucket.side}, {away} from the capped end"
    elif subject in {run.id for run in analysis.design.runs}:
        run = analysis.run(subject).run
        text += f", {spoken_length(run.length, analysis)} long, {len(run.buckets)} buckets"
    said = [_say(finding, subject) for finding in analysis.findings if finding.open]
    return "; ".join([text, *(line for line in said if line)])


def _say(finding: Finding, subject: str) -> str:
    """A finding as it concerns one subject; empty when it does not."""
    title = f"{STATE_WORDS[finding.state]}: {finding.title}"
    for case in finding.cases:
        if subject in case.subjects:
            return f"{title}, {case.measured}, needed {case.needed}"
    if subject in finding.subjects:
        return f"{title}, {finding.measured}, needed {finding.needed}"
    return ""


def _count(analysis: Analysis) -> str:
    buckets, runs = len(analysis.places), len(analysis.runs)
    if not runs:
        return "The sheet has no run yet."
    return (
        f"{buckets} {'bucket' if buckets == 1 else 'buckets'} on "
        f"{runs} {'run' if runs == 1 else 'runs'}. Tab walks through the parts."
    )


def announce(widget: QWidget, text: str) -> None:
    """Tell a reader of the screen, and keep it as the widget's description."""
    if widget.accessibleDescription() == text:
        return
    widget.setAccessibleDescription(text)
    if QAccessible.isActive():
        QAccessible.updateAccessibility(QAccessibleAnnouncementEvent(widget, text))
