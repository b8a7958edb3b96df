"""Editing commands on what is chosen; each is one undo step."""

from dataclasses import replace

from designer.canvas.document import Document
from designer.canvas.handles import AnyHandle, support_key
from designer.canvas.snapping import COARSE_STEP, rounded
from designer.layout.run import Frame
from designer.model import edits
from designer.model.design import Bucket, Design, Obstacle, Run
from designer.model.supports import add_support, widest_gap

ROOM_BETWEEN_RUNS = 600.0
"""Clear ground beside a run before its copy, mm: the width of a path."""

Taken = tuple[list[Bucket], list[Run], list[Obstacle]]
_NO_BUCKETS = "Choose one or more buckets first."


class EditingCommands:
    """Copies, repeats and straightens what is chosen in a document."""

    document: Document
    handles: list[AnyHandle]
    focused_handle: str | None
    _copied: Taken = ([], [], [])
    _pasted = 0

    def say(self, text: str) -> None:
        """Show a hint; the sheet does."""
        raise NotImplementedError

    def focus_handle(self, key: str | None) -> None:
        """Give a handle the keyboard's arrows; the sheet does."""
        raise NotImplementedError

    def copy(self) -> None:
        """Remember the chosen buckets, runs and obstacles."""
        taken = self._take()
        if not any(taken):
            self.say("Choose buckets, runs or obstacles first.")
            return
        self._copied, self._pasted = taken, 0
        count = sum(len(things) for things in taken)
        self.say(f"{count} copied." if count > 1 else "Copied.")

    def paste(self) -> None:
        """Add what was copied: buckets further towards the outlet end of the run on show, runs
        beside their original, obstacles a step aside."""
        if not any(self._copied):
            self.say("Nothing has been copied yet.")
            return
        self._pasted += 1
        self._add(self._copied, self._pasted, "Paste")

    def duplicate(self) -> None:
        """Copy and paste what is chosen at once."""
        taken = self._take()
        if any(taken):
            self._add(taken, 1, "Duplicate")
        else:
            self.say("Choose buckets, runs or obstacles first.")

    def mirror(self) -> None:
        """Turn the chosen buckets end for end."""
        if ids := self._buckets():
            self.document.apply(lambda d: edits.mirror_buckets(d, ids), "Mirror buckets")

    def flip(self) -> None:
        """Move the chosen buckets across the drain."""
        if ids := self._buckets():
            self.document.apply(lambda d: edits.flip_buckets(d, ids), "Flip buckets")

    def repeat(self, pitch: float, times: int) -> None:
        """Repeat the chosen buckets every `pitch` mm towards the outlet end, `times` over."""
        ids = self._buckets()
        if not ids:
            return
        design, made = edits.copy_buckets(self.document.committed, ids, -pitch, times)
        self.document.commit(design, "Repeat buckets")
        self.document.select([*ids, *made])

    def align(self) -> None:
        """Move the chosen buckets to the nearest whole pitch."""
        if ids := self._buckets():
            self.document.apply(lambda d: edits.align_to_pitch(d, ids), "Align to the pitch")

    def spread(self) -> None:
        """Space the chosen buckets evenly between the outermost two."""
        ids = self._buckets()
        if ids and len(ids) < 3:
            self.say("Choose three or more buckets to spread them evenly.")
        elif ids:
            self.document.apply(lambda d: edits.spread_evenly(d, ids), "Spread evenly")

    def delete(self) -> None:
        """Delete what is chosen; while the keyboard is at a handle, only what that stands for."""
        chosen = self.document.selection
        handle = next((h for h in self.handles if h.key == self.focused_handle), None)
        if handle is not None and handle.remove is not None:
            self.document.apply(handle.remove, "Remove a support")
            self.focus_handle(None)
        elif handle is not None and handle.key.startswith("support"):
            self.say("The rails need two supports. Add one before you take this one away.")
        elif handle is not None:
            self.say(f"{handle.name} cannot be deleted. Press Esc first to mean the whole part.")
        elif chosen:
            self.document.apply(lambda d: edits.delete(d, chosen), "Delete")

    def add_support(self) -> None:
        """Set a block stack in the middle of the widest gap under the run on show."""
        run_id = self.document.active_run
        if run_id is None:
            self.say("Put a run on the sheet first.")
            return
        low, high = widest_gap(self.document.design.run(run_id))
        self.put_support(run_id, rounded((low + high) / 2, self.document.design.units))

    def put_support(self, run_id: str, station: float) -> None:
        """Set a block stack under a run at a station, mm, and take hold of it."""
        layout = self.document.analysis.run(run_id)
        width = layout.parts.block.width
        if any(abs(station - other) < width for other in layout.run.stand.supports):
            self.say("There is no room for a block stack between those that stand there.")
            return
        self.document.apply(lambda d: add_support(d, run_id, station), "Add a support")
        self.document.select([run_id])
        self.focus_handle(support_key(self.document.design.run(run_id), station))

    def select_all(self) -> None:
        """Choose every bucket."""
        self.document.select(self.document.analysis.places)

    def _buckets(self) -> list[str]:
        """The chosen buckets; says so when there are none."""
        ids = [s for s in sorted(self.document.selection) if s in self.document.analysis.places]
        if not ids:
            self.say(_NO_BUCKETS)
        return ids

    def _take(self) -> Taken:
        chosen, design = self.document.selection, self.document.committed
        runs = [run for run in design.runs if run.id in chosen]
        buckets = [
            b for run in design.runs if run.id not in chosen for b in run.buckets if b.id in chosen
        ]
        return buckets, runs, [o for o in design.obstacles if o.id in chosen]

    def _add(self, taken: Taken, times: int, label: str) -> None:
        buckets, runs, obstacles = taken
        design, made = self.document.committed, list[str]()
        if buckets and self.document.active_run is not None:
            design, ids = _with_buckets(design, self.document.active_run, buckets, times)
            made += ids
        for run in runs:
            wide = self._half_width(run) * 2 + ROOM_BETWEEN_RUNS
            design, run_id = _with_run(design, run, -wide * times)
            made.append(run_id)
        for obstacle in obstacles:
            by = COARSE_STEP[design.units] * 2 * times
            (obstacle_id,) = edits.new_ids(design, "o")
            place = edits.moved(obstacle.place, by, -by)
            design = edits.add_obstacle(design, replace(obstacle, id=obstacle_id, place=place))
            made.append(obstacle_id)
        self.document.commit(design, label)
        self.document.select(made)

    def _half_width(self, run: Run) -> float:
        layouts = [x for x in self.document.analysis.runs if x.run.id == run.id]
        return layouts[0].half_width if layouts else ROOM_BETWEEN_RUNS


def _with_buckets(
    design: Design, run_id: str, buckets: list[Bucket], times: int
) -> tuple[Design, list[str]]:
    """Buckets added in the same order beyond themselves, towards the outlet end."""
    run = design.run(run_id)
    stations = [bucket.station for bucket in buckets]
    by = -(max(stations) - min(stations) + run.pitch) * times
    ids = edits.new_ids(design, "b", len(buckets))
    copies = [
        replace(bucket, id=bucket_id, station=round(bucket.station + by, 3))
        for bucket, bucket_id in zip(buckets, ids, strict=True)
    ]
    return edits.set_run(design, run_id, buckets=(*run.buckets, *copies)), ids


def _with_run(design: Design, run: Run, across: float) -> tuple[Design, str]:
    """A run with its buckets added beside itself, to the right of its axis when negative."""
    (run_id,) = edits.new_ids(design, "r")
    ids = edits.new_ids(design, "b", len(run.buckets))
    copies = tuple(replace(b, id=i) for b, i in zip(run.buckets, ids, strict=True))
    number = run_id.removeprefix("r")
    copy = replace(run, id=run_id, name=f"Run {number}", buckets=copies)
    design = edits.add_run(design, copy)
    aside = Frame(run.start, run.heading).at(0.0, across)
    moved = edits.move_run(design, run_id, aside[0] - run.start.x, aside[1] - run.start.y)
    return moved, run_id
