"""What a building step is: plain values with their words ready, for the sheet or any other reader.

Steps are worked out from an analysis alone; nothing here draws, and every number in them comes
from the analysis or the take-off.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

PRACTICE = "common practice, no source"

View = Literal["plan", "elevation", "section", "return end"]


@dataclass(frozen=True, slots=True)
class Action:
    """One thing to do and tick off. `practice`: it is done so by custom, without a source."""

    text: str
    practice: bool = False

    @property
    def words(self) -> str:
        """The text, and on what it rests where that is custom."""
        return f"{self.text} ({PRACTICE})" if self.practice else self.text


@dataclass(frozen=True, slots=True)
class Row:
    """One line of a table; `buckets` are the ids of the buckets it speaks for."""

    cells: tuple[str, ...]
    buckets: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class StepTable:
    """A table with its column heads and widths (mm); `right` are the columns set flush right."""

    title: str
    note: str
    heads: tuple[str, ...]
    widths: tuple[float, ...]
    rows: tuple[Row, ...]
    right: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Picture:
    """A small drawing: a view of a run in which the named line styles stand out, or all of it where
    none is named. `marks` adds the holes in the drain or the numbers of the supports. `caption`
    says what it shows.
    """

    run_id: str
    view: View
    caption: str
    shown: frozenset[str] = frozenset()
    marks: Literal["", "holes", "supports"] = ""


@dataclass(frozen=True, slots=True)
class Part:
    """What belongs together within a step: the drain's holes, the stand of one run."""

    title: str
    actions: tuple[Action, ...]
    tables: tuple[StepTable, ...] = ()
    pictures: tuple[Picture, ...] = ()


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the building.

    `tools` are names; `takes` are parts with how many of each; `cautions` are ids of
    `resources/cautions.toml`.
    """

    title: str
    lead: str
    tools: tuple[str, ...]
    takes: tuple[tuple[str, str], ...]
    cautions: tuple[str, ...]
    parts: tuple[Part, ...]

    @property
    def tables(self) -> Iterator[StepTable]:
        """All tables of the step."""
        for part in self.parts:
            yield from part.tables

    @property
    def actions(self) -> Iterator[Action]:
        """All actions of the step."""
        for part in self.parts:
            yield from part.actions
