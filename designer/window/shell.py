"""What all windows of the running program share: settings, theme, recent files, journal."""

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QByteArray, QSettings, QStandardPaths
from PySide6.QtWidgets import QApplication

from designer.model.journal import Journal
from designer.window.recent import Recent
from designer.window.theme import MODES, Mode, Theme

if TYPE_CHECKING:
    from designer.window.main_window import MainWindow


LOG_NAME = "rillwright.log"


class Shell:
    """The running program. `windows` are the open ones, in the order they were opened."""

    def __init__(self, app: QApplication, data: Path | None = None) -> None:
        self.settings = QSettings("Rillwright", "Rillwright")
        last = self.settings.value("theme", "system", type=str)
        self.theme = Theme(app, next((mode for mode in MODES if mode == last), "system"))
        self.recent = Recent(self.settings)
        self.data = data or data_folder()
        self.journal = Journal(self.data / "unsaved")
        self.windows: list[MainWindow] = []

    def remembered(self, key: str) -> QByteArray:
        """Bytes kept in the settings, such as a window's geometry; empty where there are none."""
        value = self.settings.value(key, QByteArray())
        return value if isinstance(value, QByteArray) else QByteArray()

    def new_window(self) -> "MainWindow":
        """Open another window on its start page."""
        from designer.window.main_window import MainWindow

        window = MainWindow(self)
        self.windows.append(window)
        if len(self.windows) > 1:
            window.move(self.windows[-2].pos().x() + 32, self.windows[-2].pos().y() + 32)
        window.show()
        return window

    def choose_theme(self, mode: Mode) -> None:
        """Take a look in every window, and at the next start."""
        self.settings.setValue("theme", mode)
        self.theme.choose(mode)

    def keep_all(self) -> None:
        """Put all unsaved work into the journal at once."""
        for window in self.windows:
            window.keep()

    def quit(self) -> None:
        """Close every window; stops at the first one the person wants to keep open."""
        for window in tuple(self.windows):
            if not window.close():
                return

    @property
    def log(self) -> Path:
        """The file that failures are written to."""
        return self.data / LOG_NAME

    @property
    def folder(self) -> Path:
        """The folder last used to open or save, else the person's documents."""
        last = Path(str(self.settings.value("folder", "", type=str)) or "/nowhere")
        if last.is_dir():
            return last
        documents = QStandardPaths.StandardLocation.DocumentsLocation
        found = Path(QStandardPaths.writableLocation(documents))
        return found if found.is_dir() else Path.home()

    @folder.setter
    def folder(self, folder: Path) -> None:
        self.settings.setValue("folder", str(folder))


def data_folder() -> Path:
    """Where the program keeps its log and unsaved work."""
    location = QStandardPaths.StandardLocation.AppDataLocation
    return Path(QStandardPaths.writableLocation(location))
