"""The findings as a tree: states, their findings, and the cases of each."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import QAbstractItemModel, QModelIndex, QObject, QPersistentModelIndex, Qt
from PySide6.QtGui import QIcon

from designer.analysis import WORKING
from designer.checks.finding import STATE_WORDS, STATES, Case, Finding, State
from designer.window.two_line_delegate import DETAIL_ROLE, PLAIN_ROLE

Index = QModelIndex | QPersistentModelIndex
NO_INDEX = QModelIndex()
_CASE_BASE = 1000


@dataclass(frozen=True, slots=True)
class Spot:
    """What a row stands for: a state, a finding of it, or a case of that finding."""

    state: State
    finding: Finding | None = None
    case: Case | None = None

    @property
    def subjects(self) -> tuple[str, ...]:
        """The things that the row is about."""
        if self.case is not None:
            return self.case.subjects
        return self.finding.subjects if self.finding is not None else ()

    @property
    def key(self) -> tuple[Any, ...]:
        """What stays the same when the numbers change."""
        if self.finding is None:
            return (self.state,)
        case = (self.case.subjects,) if self.case is not None else ()
        return (self.finding.rule, self.finding.subjects[:1], *case)


def content(finding: Finding) -> tuple[Any, ...]:
    """All of a finding that is shown. Its remedies are new functions at every analysis, so
    findings themselves cannot be compared."""
    labels = tuple(remedy.label for remedy in finding.remedies)
    return (
        finding.rule, finding.title, finding.state, finding.subjects, finding.measured,
        finding.needed, finding.why, finding.source, labels, finding.cases, finding.accepted,
    )  # fmt: skip


class FindingsModel(QAbstractItemModel):
    """Makes rows only when they are looked at; `name` is what a person calls a subject.

    The internal id of an index is 0 for a state, 1 + the state's row for a finding, and from
    1000 on the finding's number among all findings for a case.
    """

    def __init__(
        self,
        name: Callable[[str], str],
        symbol: Callable[[State], QIcon],
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._name, self._symbol = name, symbol
        self._groups: list[list[Finding]] = [[] for _ in STATES]
        self._flat: list[tuple[int, int]] = []
        self._first: list[int] = [0] * len(STATES)

    def show_findings(self, findings: tuple[Finding, ...]) -> bool:
        """Take new findings; True when rows came or went, so that the model was reset."""
        groups = [[f for f in findings if f.state == state] for state in STATES]
        if _shape(groups) != _shape(self._groups):
            self.beginResetModel()
            self._take(groups)
            self.endResetModel()
            return True
        before = self._groups
        self._take(groups)
        for g, (old, new) in enumerate(zip(before, groups, strict=True)):
            if waiting_for_water(old) != waiting_for_water(new):
                self.dataChanged.emit(self.index(g, 0), self.index(g, 0))
            for row, (a, b) in enumerate(zip(old, new, strict=True)):
                if a is not b and content(a) != content(b):
                    index = self.index(row, 0, self.index(g, 0))
                    self.dataChanged.emit(index, index)
                    if b.cases:
                        last = self.index(len(b.cases) - 1, 0, index)
                        self.dataChanged.emit(self.index(0, 0, index), last)
        return False

    def _take(self, groups: list[list[Finding]]) -> None:
        self._groups = groups
        self._flat = [(g, row) for g, group in enumerate(groups) for row in range(len(group))]
        self._first = [sum(len(group) for group in groups[:g]) for g in range(len(groups))]

    def spot(self, index: Index) -> Spot | None:
        """What an index stands for."""
        if not index.isValid():
            return None
        code, row = int(index.internalId()), index.row()
        if code == 0:
            return Spot(STATES[row])
        if code < _CASE_BASE:
            return Spot(STATES[code - 1], self._groups[code - 1][row])
        g, found = self._flat[code - _CASE_BASE]
        finding = self._groups[g][found]
        return Spot(STATES[g], finding, finding.cases[row])

    def find(self, key: tuple[Any, ...]) -> QModelIndex:
        """The row of a key; an invalid index when there is none."""
        for g, state in enumerate(STATES):
            group = self.index(g, 0)
            if key == (state,):
                return group
            for row, finding in enumerate(self._groups[g]):
                if (finding.rule, finding.subjects[:1]) != key[:2]:
                    continue
                index = self.index(row, 0, group)
                if len(key) == 2:
                    return index
                for number, case in enumerate(finding.cases):
                    if case.subjects == key[2]:
                        return self.index(number, 0, index)
        return NO_INDEX

    def find_rule(self, rule: str) -> QModelIndex:
        """The first finding of a rule; an invalid index when there is none."""
        for g, group in enumerate(self._groups):
            for row, finding in enumerate(group):
                if finding.rule == rule:
                    return self.index(row, 0, self.index(g, 0))
        return NO_INDEX

    def index(self, row: int, column: int, parent: Index = NO_INDEX) -> QModelIndex:
        if not self.hasIndex(row, column, parent):
            return QModelIndex()
        if not parent.isValid():
            return self.createIndex(row, column, 0)
        if parent.internalId() == 0:
            return self.createIndex(row, column, parent.row() + 1)
        number = self._first[int(parent.internalId()) - 1] + parent.row()
        return self.createIndex(row, column, _CASE_BASE + number)

    def parent(self, index: Index = NO_INDEX) -> QModelIndex:
        code = int(index.internalId()) if index.isValid() else 0
        if code == 0:
            return QModelIndex()
        if code < _CASE_BASE:
            return self.createIndex(code - 1, 0, 0)
        g, row = self._flat[code - _CASE_BASE]
        return self.createIndex(row, 0, g + 1)

    def rowCount(self, parent: Index = NO_INDEX) -> int:
        if not parent.isValid():
            return len(STATES)
        code = int(parent.internalId())
        if code == 0:
            return len(self._groups[parent.row()])
        if code < _CASE_BASE:
            return len(self._groups[code - 1][parent.row()].cases)
        return 0

    def columnCount(self, parent: Index = NO_INDEX) -> int:
        return 1

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        spot = self.spot(index)
        if spot is None:
            return None
        if role == Qt.ItemDataRole.DecorationRole:
            return self._symbol(spot.state) if spot.case is None else None
        if role in (Qt.ItemDataRole.DisplayRole, DETAIL_ROLE, Qt.ItemDataRole.AccessibleTextRole):
            title, detail = self._texts(spot)
            if role == Qt.ItemDataRole.DisplayRole:
                return title
            if role == DETAIL_ROLE:
                return detail
            state = f"{STATE_WORDS[spot.state]}: " if spot.finding else ""
            return f"{state}{title}. {detail}".removesuffix(". ")
        if role == PLAIN_ROLE:
            return spot.case is not None
        return None

    def _texts(self, spot: Spot) -> tuple[str, str]:
        if spot.case is not None:
            return (
                names_of(spot.case.subjects, self._name),
                f"{spot.case.measured}; needed: {spot.case.needed}",
            )
        if spot.finding is not None:
            accepted = spot.finding.accepted
            reason = f"\nAccepted: {accepted}" if accepted is not None else ""
            return spot.finding.title, spot.finding.measured + reason
        group = self._groups[STATES.index(spot.state)]
        accepted_count = sum(f.accepted is not None for f in group)
        note = f", {accepted_count} accepted" if accepted_count else ""
        waiting = waiting_for_water(group)
        note += f", {waiting} being worked out" if waiting else ""
        return f"{STATE_WORDS[spot.state]}: {len(group) or 'none'}{note}", ""


def waiting_for_water(findings: Iterable[Finding]) -> int:
    """How many findings wait for the water, so that their state may not be true any more."""
    return sum(finding.measured == WORKING for finding in findings)


def names_of(subjects: tuple[str, ...], name: Callable[[str], str], most: int = 3) -> str:
    """What a person calls some subjects: the first few by name, the others counted."""
    names = [name(subject) for subject in subjects[:most]]
    more = len(subjects) - len(names)
    if more:
        return f"{', '.join(names)} and {more} more"
    return " and ".join([", ".join(names[:-1]), names[-1]]) if len(names) > 1 else "".join(names)


def _shape(groups: list[list[Finding]]) -> list[list[tuple[str, tuple[str, ...], int]]]:
    return [[(f.rule, f.subjects[:1], len(f.cases)) for f in group] for group in groups]
