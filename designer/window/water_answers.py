"""The two questions that a grower asks of the water, answered in plain words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from designer.analysis import Analysis
from designer.checks.finding import STATES, Finding
from designer.units import format_flow, format_volume
from designer.window.facts import say
from designer.window.tints import toned_label

if TYPE_CHECKING:
    from designer.water.bed.feed import BedFeed

SHARE = "Will every bucket get its share?"
BACK = "Will it all run back?"
_WAY_BACK = ("drain-room", "outlets-pass", "drain-back")


def share_answer(analysis: Analysis) -> str:
    """Whether every bucket gets its share. The water must be there."""
    assert analysis.water is not None
    feed = analysis.water.feed
    if not feed.running:
        return "No: no water comes out."
    if not feed.lifts:
        return "No: none comes any more when the reservoir is down to low water."
    flows = flows_text(analysis, feed)
    dry = _worst(analysis, ("every-bucket-fed",))
    if dry is not None:
        return f"No: {dry.measured}."
    if len(feed.open_flows) < 2:
        return f"Yes: the one that is fed gets {flows}."
    even = f"{feed.emission_uniformity:.0f} % even"
    if _worst(analysis, ("uniformity",)) is not None:
        wanted = analysis.design.water.target_uniformity
        return f"No: the buckets get {flows}, only {even}; you want {wanted:g} %."
    return f"Yes: every bucket gets {flows}, {even}."


def back_answer(analysis: Analysis) -> str:
    """Whether all that is pumped runs back, and stays in the reservoir. The water must be there."""
    assert analysis.water is not None
    worst = _worst(analysis, _WAY_BACK)
    if worst is not None:
        word = "No" if worst.state == "must_fix" else "Only just"
        return f"{word}: {worst.measured}."
    store, drains = analysis.water.reservoir, analysis.water.drains.values()
    fullest = max((drain.fullest[1] for drain in drains), default=0.0)
    back = format_volume(store.drain_back, analysis.design.units)
    return (
        f"Yes: the drain is {fullest:.0%} full at most, and the {back} that run back when the "
        f"pump stops leave {say(analysis, store.freeboard)} below the rim."
    )


def flows_text(analysis: Analysis, feed: BedFeed) -> str:
    """From the least to the most that a bucket gets, "10.8 to 12.9 gal/h"."""
    least, most = (
        format_flow(flow, analysis.design.units)
        for flow in (min(feed.open_flows), max(feed.open_flows))
    )
    number, _, unit = least.rpartition(" ")
    return most if least == most else f"{number} to {most}" if most.endswith(unit) else most


def _worst(analysis: Analysis, rules: tuple[str, ...]) -> Finding | None:
    """The worst finding of some rules that is not good."""
    found = [f for f in analysis.findings if f.rule in rules and f.state != "good"]
    return min(found, key=lambda f: STATES.index(f.state), default=None)


class WaterAnswers(QWidget):
    """Both questions with their answers."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 4, 4, 6)
        column.setSpacing(2)
        self.share, self.back = (self._answer(column, question) for question in (SHARE, BACK))

    def _answer(self, column: QVBoxLayout, question: str) -> QLabel:
        column.addWidget(toned_label(question, "strong", self))
        answer = toned_label("", "", self)
        answer.setAccessibleName(question)
        column.addWidget(answer)
        return answer

    def show_answers(self, analysis: Analysis) -> None:
        """Answer from a water that is there."""
        for label, text in (
            (self.share, share_answer(analysis)),
            (self.back, back_answer(analysis)),
        ):
            if text != label.text():
                label.setText(text)

    def show_text(self, text: str) -> None:
        """Say the same instead of either answer."""
        self.share.setText(text)
        self.back.setText(text)
