"""What a check says: its state, the numbers, why, the source, and what would mend it."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from designer.model.design import Design

State = Literal["must_fix", "look_again", "good"]
STATE_WORDS: dict[State, str] = {
    "must_fix": "Must fix",
    "look_again": "Look again",
    "good": "Good",
}
STATES: tuple[State, ...] = ("must_fix", "look_again", "good")
"""Worst first."""

PRACTICE = "common practice, no source published"
"""The source of what everyone does and nobody states."""
View = Literal["plan", "elevation"]
SEEN_IN_ELEVATION = frozenset({
    "fall-total", "fall-slope", "fall-steady", "return-falls", "drain-supported",
    "outlets-above-drain", "tails-reach", "stand-on-ground", "drain-over-rim",
    "outfall-above-water", "outlet-under-medium", "bucket-freeboard", "sump",
    "reservoir-levels", "reservoir-freeboard",
    "drain-room", "drain-back", "outlets-pass", "pump-lifts", "pump-covered", "siphon-break",
    "stack-height", "rails-held", "rails-graded", "rails-sag", "rails-bending", "rails-shear",
    "rails-bearing", "soil-bears", "stand-tipping", "bucket-lifting",
})  # fmt: skip
"""The rules about levels and heights, which the elevation shows best."""


@dataclass(frozen=True, slots=True)
class Remedy:
    """A labelled edit computed from the design, such as "Raise the capped end 9 mm"."""

    label: str
    apply: Callable[[Design], Design]


@dataclass(frozen=True, slots=True)
class Case:
    """One of many same findings: its own subjects and numbers."""

    subjects: tuple[str, ...]
    measured: str
    needed: str


@dataclass(frozen=True, slots=True)
class Finding:
    """One line of the checks.

    `subjects` are ids of things in the design. `measured` is what is and `needed` what must be,
    both with units, in the design's unit system. `cases` holds the members when one line speaks
    for many. `accepted` is the person's reason when a Look again was accepted.
    """

    rule: str
    title: str
    state: State
    subjects: tuple[str, ...]
    measured: str
    needed: str
    why: str
    source: str
    remedies: tuple[Remedy, ...] = ()
    cases: tuple[Case, ...] = ()
    accepted: str | None = None

    @property
    def key(self) -> tuple[str, tuple[str, ...]]:
        """What an acceptance refers to: the rule and its subjects."""
        return self.rule, self.subjects

    @property
    def view(self) -> View:
        """The drawing that shows best what this is about."""
        return "elevation" if self.rule in SEEN_IN_ELEVATION else "plan"

    @property
    def open(self) -> bool:
        """Whether it still asks for something: not Good and not accepted."""
        return self.state != "good" and self.accepted is None
