"""Start the window: the application, its fonts and look, and what happens when something fails."""

import logging
import sys
import threading
from collections.abc import Sequence
from logging.handlers import RotatingFileHandler
from pathlib import Path
from types import TracebackType

from PySide6.QtCore import QMessageLogContext, QTimer, QtMsgType, qInstallMessageHandler
from PySide6.QtWidgets import QApplication

from designer.window.asking import tell
from designer.window.garbage import Collector
from designer.window.icons import program_icon
from designer.window.shell import LOG_NAME, Shell
from designer.window.theme import use_fonts

FAILED = (
    "Something went wrong inside Rillwright. Your work is kept; save it under a new name, "
    "and start Rillwright again if it does not behave.\n\nWhat went wrong is written in {log}"
)
_log = logging.getLogger("designer")


def run(path: Path | None, argv: Sequence[str]) -> int:
    """Open a window, on a design's file if there is one, and stay until the last one is closed.

    `argv` begins with the program's name. Returns the exit code. Must be called once in a process,
    before any other QApplication is made.
    """
    QApplication.setApplicationName("Rillwright")
    QApplication.setApplicationDisplayName("Rillwright")
    QApplication.setDesktopFileName("rillwright")
    app = QApplication(["rillwright", *argv[1:]])
    app.setWindowIcon(program_icon())
    collector = Collector(app)
    use_fonts(app)
    shell = Shell(app)
    write_log(shell.data)
    catch_failures(shell)
    window = shell.new_window()
    if path is not None:
        window.files.open(path)
    # After the first picture of the window is on the screen.
    QTimer.singleShot(200, window.offer_recovery)
    code = app.exec()
    collector.stop()
    return code


def write_log(folder: Path) -> None:
    """Write warnings and failures, those of Qt included, to a log in the program's data folder."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
        handler = RotatingFileHandler(
            folder / LOG_NAME, maxBytes=500_000, backupCount=1, encoding="utf-8"
        )
    except OSError:
        return  # without a place to write, the program still works
    handler.setFormatter(logging.Formatter("%(asctime)s %(levelname)s %(name)s: %(message)s"))
    _log.addHandler(handler)
    _log.propagate = False
    qInstallMessageHandler(_log_qt)


def _log_qt(kind: QtMsgType, _context: QMessageLogContext, message: str) -> None:
    if kind != QtMsgType.QtDebugMsg:
        _log.warning("Qt: %s", message)


def catch_failures(shell: Shell) -> None:
    """From now on a failure inside the program keeps the work and says one sentence."""
    telling = False

    def caught(
        kind: type[BaseException], error: BaseException, trace: TracebackType | None
    ) -> None:
        nonlocal telling
        if issubclass(kind, KeyboardInterrupt):
            QApplication.quit()
            return
        _log.error("Failure", exc_info=(kind, error, trace))
        if telling:  # a failure that repeats, as while painting, is told once
            return
        telling = True
        try:
            shell.keep_all()
        finally:
            # Not from inside the failed call, which may be painting.
            QTimer.singleShot(0, told)

    def told() -> None:
        nonlocal telling
        try:
            tell(QApplication.activeWindow(), FAILED.format(log=shell.log))
        finally:
            telling = False

    sys.excepthook = caught
    threading.excepthook = lambda args: _log.error(
        "Failure beside the window",
        exc_info=(args.exc_type, args.exc_value or args.exc_type(), args.exc_traceback),
    )
