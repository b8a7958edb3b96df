"""Keeps Python's collection of cyclic garbage in the window's thread.

A collection starts in whichever thread happens to allocate. In a worker it would destroy there the
Qt objects of a sheet that was closed, which only the window's thread may do; Qt then crashes.
"""

import gc

from PySide6.QtCore import QObject, QTimer

EVERY_MS = 1000


class Collector(QObject):
    """Collects from a timer of the window's thread instead of by itself, while it lives."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        gc.disable()
        self._timer = QTimer(self)
        self._timer.setInterval(EVERY_MS)
        self._timer.timeout.connect(self.collect)
        self._timer.start()

    def collect(self) -> None:
        """Collect the oldest generation that is due by Python's own thresholds, if any."""
        due = [
            generation
            for generation, (count, most) in enumerate(
                zip(gc.get_count(), gc.get_threshold(), strict=True)
            )
            if count > most
        ]
        if due:
            gc.collect(due[-1])

    def stop(self) -> None:
        """Leave it to Python again."""
        self._timer.stop()
        gc.enable()
