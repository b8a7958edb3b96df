"""The part of the sheet that speaks: what is chosen and where it stands, and one-off messages."""

from PySide6.QtCore import SignalInstance
from PySide6.QtWidgets import QWidget

from designer.canvas.accessible import announce, describe, describe_handle
from designer.canvas.document import Document
from designer.canvas.handles import AnyHandle
from designer.model.design import Design


class Speaks:
    """Says things in the status bar, and aloud what is chosen. What it said of a design that has
    changed since is said anew."""

    document: Document
    hint: SignalInstance
    handles: list[AnyHandle]
    focused_handle: str | None
    _said = ""
    _said_of: Design | None = None
    _said_state = False

    def say(self, text: str) -> None:
        """Show a line in the status bar."""
        self._said, self._said_of, self._said_state = text, self.document.design, False
        self.hint.emit(text)

    def announce_state(self) -> None:
        """Say what is chosen and where it stands, aloud and in the status bar."""
        text = self._state()
        assert isinstance(self, QWidget)
        announce(self, text)
        self.say(text)
        self._said_state = True

    def _say_anew(self) -> None:
        """After a change: what is chosen as it now is, in place of what was true before."""
        if self._said_state:
            stale = self._said != self._state()
        else:
            stale = bool(self._said) and self._said_of is not self.document.design
        if stale:
            self.announce_state()

    def _state(self) -> str:
        handle = next((h for h in self.handles if h.key == self.focused_handle), None)
        if handle is not None:
            return describe_handle(self.document.analysis, handle)
        return describe(self.document.analysis, self.document.selection)
