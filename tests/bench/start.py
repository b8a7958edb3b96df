"""From the start of the interpreter to a window that has been painted and takes events."""

import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from time import perf_counter

from designer.resources import sample_paths

_EMPTY = """
from PySide6.QtWidgets import QApplication, QMainWindow
application = QApplication([]); window = QMainWindow(); window.show(); application.processEvents()
"""
_OURS = """
import sys
from pathlib import Path
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication
from designer.window import app
QTimer.singleShot(0, lambda: None)
exec_ = QApplication.exec
def once(*_):
    for _ in range(3): QApplication.processEvents()
    return 0
QApplication.exec = staticmethod(once)
path = Path(sys.argv[1]) if len(sys.argv) > 1 else None
app.run(path, ["rillwright"])
"""
TRIES = 5


def rows() -> Iterator[str]:
    """A line for the start page and one for a sample, beside an empty window."""
    empty = _least(_EMPTY)
    yield f"empty Qt window {empty:.2f} s"
    for name, arguments in (
        ("start page", []),
        ("largest sample", [str(max(sample_paths(), key=lambda p: p.stat().st_size))]),
    ):
        ours = _least(_OURS, *arguments)
        yield f"{name:14} {ours:.2f} s = {ours / empty:.1f} x an empty window"


def _least(program: str, *arguments: str) -> float:
    times = []
    for _ in range(TRIES):
        start = perf_counter()
        subprocess.run(
            [sys.executable, "-c", program, *arguments],
            check=True,
            cwd=Path(__file__).parent.parent.parent,
            capture_output=True,
        )
        times.append(perf_counter() - start)
    return min(times)
