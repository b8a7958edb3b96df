"""Runs the program as a person starts it, and writes down what its window shows, and where.

Started by test_real_window.py: `real_program.py REPORT [FILE]`. It only looks; whatever happens
is done by mouse and keys from outside.
"""

import json
import sys
from pathlib import Path
from typing import Any

from PySide6.QtCore import QPointF, QTimer
from PySide6.QtWidgets import QApplication, QWidget

from designer.window import app
from designer.window.main_window import MainWindow
from designer.window.shell import Shell

report = Path(sys.argv[1])


def middle(widget: QWidget) -> list[int]:
    point = widget.mapToGlobal(widget.rect().center())
    return [point.x(), point.y()]


def seen(window: MainWindow) -> dict[str, Any]:
    active = QApplication.activeWindow()
    found: dict[str, Any] = {
        "title": window.windowTitle(),
        "modified": window.isWindowModified(),
        "active": active.windowTitle() if active is not None else "",
        "samples": [middle(row) for row in window.start_page.samples],
        "buckets": {},
    }
    document, sheet = window.document, window.sheet
    if document is None or sheet is None or not sheet.isVisible():
        return found
    found["undo"] = document.history.undo_label
    for bucket_id, (layout, place) in document.analysis.places.items():
        x, y = sheet.frame.to_view(place.x, place.y)
        at = sheet.camera.to_viewport(QPointF(x, y)).toPoint()
        point = sheet.viewport().mapToGlobal(at)
        found["buckets"][bucket_id] = {
            "at": [point.x(), point.y()],
            "station": layout.run.length - place.station,
        }
    return found


def write(shell: Shell) -> None:
    if shell.windows:
        unfinished = report.with_suffix(".new")
        unfinished.write_text(json.dumps(seen(shell.windows[0])))
        unfinished.replace(report)


class WatchedShell(Shell):
    """The program's shell, with a look at its first window several times a second."""

    def __init__(self, *arguments: Any) -> None:
        super().__init__(*arguments)
        self._look = QTimer(interval=100)
        self._look.timeout.connect(lambda: write(self))
        self._look.start()


app.Shell = WatchedShell  # type: ignore[misc]
sys.exit(app.run(Path(sys.argv[2]) if len(sys.argv) > 2 else None, ["rillwright"]))
