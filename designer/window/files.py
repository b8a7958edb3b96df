"""Opening and saving for one window: nothing unsaved is lost, a failure says one sentence."""

from pathlib import Path
from typing import TYPE_CHECKING

from designer.model.design import Design
from designer.model.faults import DesignError
from designer.model.file import SUFFIX, file_name, read_design
from designer.model.saving import ChangedOutsideError, SaveError, fingerprint, save
from designer.window import asking

if TYPE_CHECKING:
    from designer.window.main_window import MainWindow

UNTITLED = "Untitled bed"


class Files:
    """The file side of a window. Every method returns whether it went through."""

    def __init__(self, window: "MainWindow") -> None:
        self._window = window
        self._shell = window.shell
        self._fingerprint: str | None = None

    @property
    def name(self) -> str:
        """What the open design is called: its file's name, else its title."""
        document = self._window.document
        if document is None:
            return ""
        if document.path is not None:
            return document.path.stem
        return document.committed.title or UNTITLED

    def choose(self) -> bool:
        """Ask which design to open, and open it."""
        path = asking.ask_open(self._window, self._shell.folder)
        return path is not None and self.open(path)

    def open(self, path: Path) -> bool:
        """Open a file in place of the present design, which stays if it cannot be read."""
        path = path.absolute()
        others = (window for window in self._shell.windows if window is not self._window)
        for window in others:
            if window.document is not None and window.document.path == path:
                window.raise_()
                window.activateWindow()
                return True
        try:
            read = read_design(path)
        except DesignError as error:
            asking.tell(self._window, error.message)
            return False
        if not self.may_leave():
            return False
        self._shell.recent.add(path)
        self._shell.folder = path.parent
        # A PDF stays as it was printed: what comes out of it has no file yet.
        self._fingerprint = None if read.is_copy else read.fingerprint
        self._window.show_design(read.design, None if read.is_copy else path)
        return True

    def open_copy(self, path: Path) -> bool:
        """Open a sample as a new design, so that the sample stays as it is."""
        try:
            design = read_design(path).design
        except DesignError as error:
            asking.tell(self._window, error.message)
            return False
        return self.begin(design, unsaved=False)

    def begin(self, design: Design, unsaved: bool = True) -> bool:
        """Start on a new design that has no file yet."""
        if not self.may_leave():
            return False
        self._fingerprint = None
        self._window.show_design(design, None, unsaved=unsaved)
        return True

    def bring_back(self, design: Design, path: Path | None) -> bool:
        """Go on with unsaved work that a crash left behind."""
        if not self.may_leave():
            return False
        self._fingerprint = fingerprint(path) if path is not None else None
        self._window.show_design(design, path, unsaved=True)
        return True

    def may_leave(self) -> bool:
        """Whether the present design may go: saved, without changes, or given up."""
        document = self._window.document
        if document is None or not document.history.changed:
            return True
        answer = asking.ask_unsaved(self._window, self.name)
        if answer == "save":
            return self.save()
        return answer == "drop"

    def save(self) -> bool:
        """Save under the present name, asking for one where there is none yet."""
        document = self._window.document
        if document is None:
            return False
        if document.path is None:
            return self.save_as()
        return self._write(document.path, self._fingerprint)

    def save_as(self) -> bool:
        """Ask for a name and save under it."""
        document = self._window.document
        if document is None:
            return False
        proposed = document.path or self._shell.folder / f"{file_name(self.name)}{SUFFIX}"
        path = asking.ask_save(self._window, proposed)
        if path is None:
            return False
        if path == document.path:
            return self._write(path, self._fingerprint)
        return self._write(path, None)

    def _write(self, path: Path, expected: str | None) -> bool:
        document = self._window.document
        assert document is not None
        try:
            self._fingerprint = save(document.committed, path, expected)
        except ChangedOutsideError:
            answer = asking.ask_changed_outside(self._window, path.name)
            if answer == "as":
                return self.save_as()
            return answer == "over" and self._write(path, None)
        except SaveError as error:
            asking.tell(self._window, error.message)
            return False
        document.saved(path)
        self._shell.recent.add(path)
        self._shell.folder = path.parent
        return True
