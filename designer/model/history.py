"""Undo and redo of whole designs. A step is the earlier value, so nothing can be half undone."""

from dataclasses import dataclass, field

from designer.model.design import Design


@dataclass
class History:
    """The designs before and after the present one, each with the name of the step between."""

    present: Design
    _past: list[tuple[Design, str]] = field(default_factory=list)
    _future: list[tuple[Design, str]] = field(default_factory=list)
    _saved: Design | None = None

    def __post_init__(self) -> None:
        self._saved = self.present

    def push(self, design: Design, label: str) -> bool:
        """Make `design` the present; a design equal to the present is not a step."""
        if design == self.present:
            return False
        self._past.append((self.present, label))
        self._future.clear()
        self.present = design
        return True

    def undo(self) -> bool:
        """Go back one step; False when there is none."""
        if not self._past:
            return False
        before, label = self._past.pop()
        self._future.append((self.present, label))
        self.present = before
        return True

    def redo(self) -> bool:
        """Go forward one step; False when there is none."""
        if not self._future:
            return False
        after, label = self._future.pop()
        self._past.append((self.present, label))
        self.present = after
        return True

    @property
    def undo_label(self) -> str | None:
        """The name of the step that undo would take back."""
        return self._past[-1][1] if self._past else None

    @property
    def redo_label(self) -> str | None:
        """The name of the step that redo would do again."""
        return self._future[-1][1] if self._future else None

    def mark_saved(self) -> None:
        """Remember that the present design is what the file holds."""
        self._saved = self.present

    def mark_unsaved(self) -> None:
        """The present design is in no file, as after recovery."""
        self._saved = None

    @property
    def changed(self) -> bool:
        """Whether the present design differs from the saved one."""
        return self._saved is not self.present and self._saved != self.present
