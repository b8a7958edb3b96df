"""The open design as the window sees it: its analysis, history, preview and selection.

The only Qt object near the model. A gesture or a field shows a draft by :meth:`Document.preview`
and makes it one undo step by :meth:`Document.commit`, or drops it by :meth:`Document.cancel`.
The water is solved beside the window: `analysis.water_current` says whether it is there yet, and
`water_trouble` why it will not come.
"""

import logging
from collections.abc import Callable, Iterable
from pathlib import Path

from PySide6.QtCore import QObject, Signal

from designer.analysis import Analysis, analyse, without_water
from designer.canvas.water_work import WaterWork
from designer.model.design import Design
from designer.model.history import History

TROUBLE = "The water could not be worked out. Undo the last step, or change a part of the feed."
_log = logging.getLogger(__name__)


class Document(QObject):
    """A design with undo. Every signal comes after the state it speaks of."""

    changed = Signal()
    """The shown analysis changed: by an edit, a preview, undo or redo, or its water came."""
    selection_changed = Signal()
    history_changed = Signal()
    """Undo, redo, saved or path changed."""
    day_came = Signal()
    """The day of pump cycles of the shown analysis is known now."""

    def __init__(self, design: Design, path: Path | None = None) -> None:
        super().__init__()
        self.history = History(design)
        self.path = path
        self.analysis: Analysis = analyse(design)
        self._settled = self.analysis
        self._trial: Design | None = None
        self.selection: frozenset[str] = frozenset()
        self._active_run: str | None = design.runs[0].id if design.runs else None
        self._work = WaterWork(self)
        self._work.solved.connect(self._water_solved)
        self._work.failed.connect(self._water_failed)
        self._work.day_solved.connect(self._day_solved)
        self._day_wanted = False
        self._day_of: object = None
        self.water_trouble = ""
        if not self.analysis.complete:
            self._work.take(self.analysis)

    @property
    def design(self) -> Design:
        """The design as shown, with the draft of a running gesture."""
        return self.analysis.design

    @property
    def committed(self) -> Design:
        """The design without the draft of a running gesture."""
        return self.history.present

    @property
    def on_trial(self) -> bool:
        """Whether what is shown is only looked at, to see what it would change."""
        return self._trial is not None

    @property
    def judged(self) -> Analysis:
        """The analysis whose findings are counted and listed: what is shown, but while something
        is on trial the design without it."""
        return self._settled if self.on_trial else self.analysis

    @property
    def active_run(self) -> str | None:
        """The run along which the sheet is laid out and whose elevation is shown."""
        ids = [run.id for run in self.design.runs]
        if self._active_run in ids:
            return self._active_run
        return ids[0] if ids else None

    def apply(self, edit: Callable[[Design], Design], label: str) -> bool:
        """Do an edit as one undo step; False when it changes nothing."""
        return self.commit(edit(self.committed), label)

    def preview(self, design: Design) -> None:
        """Show a draft without making it a step."""
        self._show(design)

    def try_out(self, design: Design) -> None:
        """Show a draft that is only to be looked at; until it goes, `judged` leaves it out."""
        self._show(design, trial=True)

    def commit(self, design: Design, label: str) -> bool:
        """Make a design the present as one undo step; False when it is the present already."""
        pushed = self.history.push(design, label)
        self._show(self.committed)
        if pushed:
            self.history_changed.emit()
        return pushed

    def cancel(self) -> None:
        """Drop the draft."""
        self._show(self.committed)

    def undo(self) -> None:
        """Go back one step."""
        if self.history.undo():
            self._show(self.committed)
            self.history_changed.emit()

    def redo(self) -> None:
        """Go forward one step."""
        if self.history.redo():
            self._show(self.committed)
            self.history_changed.emit()

    def select(self, subjects: Iterable[str]) -> None:
        """Choose subjects by id; a chosen bucket or run makes its run the active one."""
        chosen = frozenset(subjects)
        run_ids = {run.id for run in self.design.runs}
        for subject in chosen:
            if subject in run_ids:
                self._active_run = subject
            elif subject in self.analysis.places:
                self._active_run = self.analysis.places[subject][0].run.id
        if chosen != self.selection:
            self.selection = chosen
            self.selection_changed.emit()

    def saved(self, path: Path) -> None:
        """The present design was written to `path`."""
        self.path = path
        self.history.mark_saved()
        self.history_changed.emit()

    def close(self) -> None:
        """Stop the work beside the window."""
        self._work.stop()

    def want_day(self, wanted: bool) -> None:
        """Whether the day of pump cycles is to be worked out whenever the water is there."""
        self._day_wanted = wanted
        self._ask_for_day()

    @property
    def day_known(self) -> bool:
        """Whether the day of the shown analysis was worked out and handed over."""
        water = self.analysis.water
        return water is not None and water is self._day_of

    def _ask_for_day(self) -> None:
        water = self.analysis.water
        if self._day_wanted and water is not None and not self.day_known:
            self._work.take_day(water)

    def _day_solved(self, water: object) -> None:
        if water is self.analysis.water:
            self._day_of = water
            self.day_came.emit()

    def _water_solved(self, asked: Analysis, solved: Analysis) -> None:
        shown, settled = asked is self.analysis, asked is self._settled
        if settled:
            self._settled = solved
        if shown:
            self.analysis = solved
            self._ask_for_day()
        if shown or (settled and self.on_trial):
            self.changed.emit()
        if self.on_trial and not self._settled.complete and not settled:
            self._work.take(self._settled)  # a trial is compared with it

    def _water_failed(self, asked: object, error: BaseException) -> None:
        _log.error("The water was not solved", exc_info=error)
        if asked is self.analysis or asked is self.analysis.water:
            self.water_trouble = TROUBLE
            failed = without_water(self.analysis)
            if self._settled is self.analysis:
                self._settled = failed
            self.analysis = failed
            self.changed.emit()

    def _show(self, design: Design, trial: bool = False) -> None:
        tried_before, self._trial = self.on_trial, design if trial else None
        if design is not self.analysis.design:
            # What was only looked at leaves nothing behind.
            base = self._settled if trial or tried_before else self.analysis
            known = design is self._settled.design
            self.analysis = self._settled if known else analyse(design, base)
        elif tried_before == trial:
            return
        if design is self.committed:
            self._settled = self.analysis
        self.water_trouble = ""
        kept = self.selection & self._subjects(design)
        lost = kept != self.selection
        self.selection = kept
        if not self.analysis.complete:
            self._work.take(self.analysis)
        else:
            self._ask_for_day()
        self.changed.emit()
        if lost:
            self.selection_changed.emit()

    @staticmethod
    def _subjects(design: Design) -> frozenset[str]:
        ids = {b.id for r in design.runs for b in r.buckets} | {r.id for r in design.runs}
        return frozenset(ids | {o.id for o in design.obstacles} | {"reservoir", "site"})
