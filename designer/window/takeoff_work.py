"""Works the take-off out beside the window, and hands back only what was asked for last.

The thread touches no Qt object: it is asked for its answer by a timer of the window's own thread.
"""

import logging
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from typing import Any

from PySide6.QtCore import QObject, QTimer, Signal

PAUSE_MS = 150
"""The hand has rested so long before the next take-off is begun."""
WATCH_MS = 10
Task = Callable[[], Any]
_log = logging.getLogger(__name__)


class TakeoffWork(QObject):
    """One thing at a time, in the order given; new tasks take the place of the last ones."""

    came = Signal(str, object)
    """The name of a task and its answer."""
    failed = Signal(str)
    """The name of a task that met an error; the log has it."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._thread = thread = ThreadPoolExecutor(1, "takeoff")
        self._waiting: list[tuple[str, Task]] = []
        self._running: tuple[str, Future[Any]] | None = None
        self._pause = QTimer(self, singleShot=True, interval=PAUSE_MS)
        self._pause.timeout.connect(self._look)
        self._watch = QTimer(self, interval=WATCH_MS)
        self._watch.timeout.connect(self._look)
        self._dropped = False
        # Whatever still runs ends by itself, and nobody hears of it.
        self.destroyed.connect(lambda: thread.shutdown(wait=False, cancel_futures=True))

    def take(self, tasks: list[tuple[str, Task]]) -> None:
        """Do these next. The answer to what runs is dropped."""
        self.drop()
        self._waiting = tasks
        self._pause.start()

    def drop(self) -> None:
        """Forget what waits and what runs."""
        self._waiting = []
        self._dropped = self._running is not None
        self._pause.stop()

    @property
    def idle(self) -> bool:
        """Whether no answer is to come."""
        return not self._waiting and (self._running is None or self._dropped)

    def _look(self) -> None:
        if self._running is not None:
            name, done = self._running
            if not done.done():
                return
            dropped, self._running, self._dropped = self._dropped, None, False
            if not dropped:
                self._hand_over(name, done)
        if self._running is None and self._waiting and not self._pause.isActive():
            name, task = self._waiting.pop(0)
            self._running = name, self._thread.submit(task)
        if self._running is not None:
            self._watch.start()
        else:
            self._watch.stop()

    def _hand_over(self, name: str, done: Future[Any]) -> None:
        error = done.exception()
        if error is None:
            self.came.emit(name, done.result())
        else:
            _log.error("The take-off was not worked out", exc_info=error)
            self.failed.emit(name)
