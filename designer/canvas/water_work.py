"""Solves water and stand beside the window, one thing at a time, and hands back what is current.

The thread touches no Qt object: it is asked for its answer by a timer of the window's own thread,
so that a document may go at any moment.
"""

from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from time import monotonic
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject, QTimer, Signal

from designer.analysis import Analysis, completed

if TYPE_CHECKING:
    from designer.water.bed.solution import BedWater

PAUSE_MS = 30
"""Least time between two solvings. Water that takes no longer follows a drag."""
LONGEST_PAUSE_MS = 250
"""Water that takes longer waits until the hand has rested for as long as the last solving took, up
to this: it would be out of date when it comes, and only slow the drag."""
WATCH_MS = 5


class WaterWork(QObject):
    """Takes the newest analysis; answers by `solved` with the one it was given and its water, or
    by `failed` with the one it was given and the exception it met.

    A day of pump cycles is worked out on request only, after the water itself.
    """

    solved = Signal(object, object)
    failed = Signal(object, object)
    day_solved = Signal(object)
    """The BedWater whose day is known now."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._thread = ThreadPoolExecutor(1, "water")
        self._analysis: Analysis | None = None
        self._day: BedWater | None = None
        self._running: tuple[Future[Any], Callable[[Any], None], object] | None = None
        self._began = 0.0
        self._stopped = False
        self._pause = QTimer(self, singleShot=True, interval=PAUSE_MS)
        self._pause.timeout.connect(self._start)
        self._watch = QTimer(self, interval=WATCH_MS)
        self._watch.timeout.connect(self._look)

    def take(self, analysis: Analysis) -> None:
        """Solve this one next, in place of any other that waits."""
        self._analysis, self._day = analysis, None
        self._rest()

    def take_day(self, water: "BedWater") -> None:
        """Work out the day of a solved water, when nothing else waits."""
        self._day = water
        self._rest()

    @property
    def idle(self) -> bool:
        """Whether nothing is being solved or waits."""
        return self._running is None and self._analysis is None and self._day is None

    def stop(self) -> None:
        """Forget what waits, and wait for what runs. It takes nothing more."""
        self._stopped = True
        self._analysis = self._day = self._running = None
        self._pause.stop()
        self._watch.stop()
        self._thread.shutdown(wait=True, cancel_futures=True)

    def _rest(self) -> None:
        follows = self._pause.isActive() and self._pause.interval() <= PAUSE_MS
        if self._running is None and not self._stopped and not follows:
            self._pause.start()

    def _start(self) -> None:
        if self._analysis is not None:
            asked, self._analysis = self._analysis, None
            self._run(lambda: _solve(asked), lambda result: self.solved.emit(asked, result), asked)
        elif self._day is not None:
            water, self._day = self._day, None
            self._run(lambda: water.day, lambda _: self.day_solved.emit(water), water)

    def _run(
        self, task: Callable[[], Any], hand_over: Callable[[Any], None], asked: object
    ) -> None:
        self._began = monotonic()
        self._running = self._thread.submit(task), hand_over, asked
        self._watch.start()

    def _look(self) -> None:
        """Hand over what is done, and go on with what waits."""
        if self._running is None or not self._running[0].done():
            return
        (done, hand_over, asked), self._running = self._running, None
        self._watch.stop()
        took = (monotonic() - self._began) * 1000
        self._pause.setInterval(int(min(max(took, PAUSE_MS), LONGEST_PAUSE_MS)))
        if not self.idle:
            self._rest()
        error = done.exception()
        if error is None:
            hand_over(done.result())
        else:
            self.failed.emit(asked, error)


def _solve(analysis: Analysis) -> Analysis:
    """The analysis with water, stand, and the bed's curve that the pump's chart asks for."""
    result = completed(analysis)
    if result.water is not None:
        _ = result.water.system
    return result
