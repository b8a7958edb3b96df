"""Solves the water beside the window, one analysis at a time, and hands back what is current."""

from PySide6.QtCore import QObject, QRunnable, Qt, QThreadPool, QTimer, Signal

from designer.analysis import Analysis, with_water

PAUSE_MS = 30
"""A moment's rest before the water is solved, so that a quick drag is not slowed by it."""


class _Report(QObject):
    done = Signal(object, object)
    """The analysis it started from, and the one with water or the exception it met."""


class _Task(QRunnable):
    def __init__(self, analysis: Analysis, report: _Report) -> None:
        super().__init__()
        self.analysis, self.report = analysis, report

    def run(self) -> None:
        """Solve; whatever happens is handed to the window's thread."""
        result: Analysis | Exception
        try:
            result = with_water(self.analysis)
        except Exception as error:
            result = error
        self.report.done.emit(self.analysis, result)


class WaterWork(QObject):
    """Takes the newest analysis, and answers by `solved` with the one it was given and its water.

    Only one is worked on at a time; while it is, only the newest of the others waits.
    """

    solved = Signal(object, object)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._pool = QThreadPool(self)
        self._pool.setMaxThreadCount(1)
        self._report = _Report(self)
        self._report.done.connect(self._done, Qt.ConnectionType.QueuedConnection)
        self._waiting: Analysis | None = None
        self._busy = False
        self._pause = QTimer(self, singleShot=True, interval=PAUSE_MS)
        self._pause.timeout.connect(self._start)

    def take(self, analysis: Analysis) -> None:
        """Solve this one next."""
        self._waiting = analysis
        if not self._busy and not self._pause.isActive():
            self._pause.start()

    @property
    def idle(self) -> bool:
        """Whether nothing is being solved or waits."""
        return not self._busy and self._waiting is None

    def stop(self) -> None:
        """Forget what waits, and wait for what runs."""
        self._waiting = None
        self._pause.stop()
        self._pool.waitForDone()

    def _start(self) -> None:
        analysis, self._waiting = self._waiting, None
        if analysis is not None:
            self._busy = True
            self._pool.start(_Task(analysis, self._report))

    def _done(self, asked: Analysis, result: Analysis | Exception) -> None:
        self._busy = False
        if self._waiting is not None:
            self._pause.start()
        if isinstance(result, Exception):
            raise result
        self.solved.emit(asked, result)
