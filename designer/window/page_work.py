"""Draws pages beside the window: what is looked at first, and nothing that nobody waits for.

The thread touches no Qt object: it is asked for its answer by a timer of the window's own thread.
"""

import logging
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from typing import Any

from PySide6.QtCore import QObject, QTimer, Signal

WATCH_MS = 5
Task = Callable[[], Any]
_log = logging.getLogger(__name__)


class PageWork(QObject):
    """One task at a time. Each has a key; a task with the key of one that waits takes its place."""

    came = Signal(object, object)
    """The key of a task and its answer."""
    failed = Signal(object)
    """The key of a task that met an error; the log has it."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._thread = thread = ThreadPoolExecutor(1, "pages")
        self._waiting: dict[Any, tuple[int, Task]] = {}
        self._running: tuple[Any, Future[Any]] | None = None
        self._forgotten = False
        self._watch = QTimer(self, interval=WATCH_MS)
        self._watch.timeout.connect(self._look)
        self.destroyed.connect(lambda: thread.shutdown(wait=False, cancel_futures=True))

    def ask(self, key: Any, task: Task, after: int = 0) -> None:
        """Do this, when all that waits with a smaller `after` is done; the latest asked for is the
        first among equals, for that is what is being looked at."""
        self._waiting.pop(key, None)
        self._waiting[key] = (after, task)
        self._next()

    def forget(self, wanted: Callable[[Any], bool] = lambda _: False) -> None:
        """Drop what waits and what runs, but for the keys that are still wanted."""
        self._waiting = {key: task for key, task in self._waiting.items() if wanted(key)}
        if self._running is not None and not wanted(self._running[0]):
            self._forgotten = True

    @property
    def idle(self) -> bool:
        """Whether no answer is to come."""
        return not self._waiting and (self._running is None or self._forgotten)

    def finish(self, last: Task) -> None:
        """Forget everything, and do one thing more in the thread. It takes nothing after that."""
        self.forget()
        self._running = None
        self._watch.stop()
        self._thread.submit(last)
        self._thread.shutdown(wait=False)

    def _next(self) -> None:
        if self._running is not None or not self._waiting:
            return
        first = min(after for after, _ in self._waiting.values())
        key = next(key for key in reversed(self._waiting) if self._waiting[key][0] == first)
        _, task = self._waiting.pop(key)
        self._forgotten = False
        self._running = key, self._thread.submit(task)
        self._watch.start()

    def _look(self) -> None:
        if self._running is None or not self._running[1].done():
            return
        (key, done), self._running = self._running, None
        self._watch.stop()
        forgotten = self._forgotten
        self._next()
        if forgotten:
            return
        error = done.exception()
        if error is None:
            self.came.emit(key, done.result())
        else:
            _log.error("A page was not drawn", exc_info=error)
            self.failed.emit(key)
