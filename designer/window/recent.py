"""The designs opened or saved lately, newest first; only files that are still there are shown."""

from pathlib import Path

from PySide6.QtCore import QSettings

from designer.model.file import SUFFIX

_KEY = "recent"
MOST = 10


class Recent:
    """The list of recent files, kept in the settings and shared by all windows."""

    def __init__(self, settings: QSettings) -> None:
        self._settings = settings

    def paths(self) -> list[Path]:
        """The recent files that exist, newest first."""
        return [path for path in self._listed() if path.is_file()]

    def add(self, path: Path) -> None:
        """Put a file on top."""
        path = path.absolute()
        others = [other for other in self._listed() if other != path]
        self._keep([path, *others])

    def clear(self) -> None:
        """Forget them all."""
        self._keep([])

    def _listed(self) -> list[Path]:
        # One text: a list of one or none would come back from an ini file as another type.
        text = str(self._settings.value(_KEY, "", type=str))
        return [Path(line) for line in text.splitlines() if line]

    def _keep(self, paths: list[Path]) -> None:
        self._settings.setValue(_KEY, "\n".join(str(path) for path in paths[:MOST]))


def short_name(path: Path) -> str:
    """A design's name; a PDF that carries one keeps its ending."""
    return path.stem if path.suffix.lower() == SUFFIX else path.name


def short_folder(path: Path) -> str:
    """The folder a file is in, short enough for a line and without the home folder's path."""
    folder = path.parent
    try:
        inside = folder.relative_to(Path.home())
    except ValueError:
        text = str(folder)
    else:
        text = str(inside) if inside.parts else "home folder"
    return text if len(text) <= 44 else "…" + text[-43:]
