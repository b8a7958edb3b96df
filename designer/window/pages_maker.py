"""Makes the pages of a build sheet beside the window, and begins again when other ones are wanted.

The thread touches no Qt object: it is asked for its answer by a timer of the window's own thread.
"""

import logging
from concurrent.futures import Future, ThreadPoolExecutor
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer, Signal

from designer.analysis import Analysis, completed
from designer.window.page_images import PageImages

if TYPE_CHECKING:
    from designer.sheet.options import SheetOptions

PAUSE_MS = 120
"""What is wanted has rested so long before the pages are begun."""
WATCH_MS = 20
Made = tuple[bytes, PageImages]


class _StoppedError(Exception):
    """Other pages are wanted, or none."""


class _Making:
    """The pages in the making: how far they are, and whether they are still wanted."""

    def __init__(self) -> None:
        self.done = (0, 0)
        self.wanted = True

    def progress(self, done: int, total: int) -> None:
        if not self.wanted:
            raise _StoppedError
        self.done = done, total

    def make(self, analysis: Analysis, options: "SheetOptions") -> tuple[Analysis, Made]:
        from designer.sheet.build_sheet import build_sheet_bytes

        self.progress(0, 0)
        analysis = completed(analysis)
        self.progress(0, 0)
        pdf = build_sheet_bytes(analysis, options, self.progress)
        return analysis, (pdf, PageImages(pdf))


class PagesMaker(QObject):
    """Answers by exactly one of `made` and `refused`, unless stopped or asked for others."""

    progressed = Signal(int, int)
    made = Signal(object, object)
    """The PDF's bytes, and its PageImages, which the receiver closes."""
    refused = Signal(str)
    """Why there are no pages, for the person; empty where something failed, which is in the log."""

    def __init__(self, analysis: Analysis, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._analysis = analysis
        self._thread = thread = ThreadPoolExecutor(1, "sheet")
        self._waiting: SheetOptions | None = None
        self._running: tuple[_Making, Future[tuple[Analysis, Made]]] | None = None
        self._pause = QTimer(self, singleShot=True, interval=PAUSE_MS)
        self._pause.timeout.connect(self._begin)
        self._watch = QTimer(self, interval=WATCH_MS)
        self._watch.timeout.connect(self._look)
        self.destroyed.connect(lambda: thread.shutdown(wait=False, cancel_futures=True))

    @property
    def idle(self) -> bool:
        """Whether no answer is to come."""
        return self._waiting is None and (self._running is None or not self._running[0].wanted)

    def make(self, options: "SheetOptions") -> None:
        """Make these next; what is in the making is dropped."""
        self.stop()
        self._waiting = options
        self._pause.start()

    def stop(self) -> None:
        """Drop what waits and what is in the making."""
        self._waiting = None
        self._pause.stop()
        if self._running is not None:
            self._running[0].wanted = False

    def _begin(self) -> None:
        if self._running is not None or self._waiting is None:
            return
        options, self._waiting = self._waiting, None
        making = _Making()
        self._running = making, self._thread.submit(making.make, self._analysis, options)
        self._watch.start()

    def _look(self) -> None:
        if self._running is None:
            return
        making, future = self._running
        if not future.done():
            if making.wanted and making.done[1]:
                self.progressed.emit(*making.done)
            return
        self._running = None
        self._watch.stop()
        error = future.exception()
        if error is None:
            # Water and stand are solved once, for whatever is asked next.
            self._analysis, (pdf, images) = future.result()
            if making.wanted:
                self.made.emit(pdf, images)
            else:
                images.close()
        elif making.wanted and isinstance(error, ValueError):
            self.refused.emit(str(error))
        elif making.wanted:
            logging.getLogger(__name__).error("The pages were not made", exc_info=error)
            self.refused.emit("")
        if self._waiting is not None and not self._pause.isActive():
            self._begin()
