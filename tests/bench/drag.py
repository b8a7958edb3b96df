"""Edit, analyse and repaint for one dragged bucket."""

import gc
from collections.abc import Iterator
from statistics import median
from time import perf_counter

from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from designer.canvas.document import Document
from designer.canvas.sheet import SheetView
from tests.bench.beds import bed

FRAME_MS = 1000 / 60
STEPS = 60


def rows() -> Iterator[str]:
    """A line for each size: milliseconds for a step of the drag, and its share of a frame."""
    application = QApplication.instance() or QApplication([])
    gc.disable()  # as the window does: cyclic garbage of Qt objects only goes in its own thread
    for buckets, on_a_run, aim in ((10, 30, 1 / 8), (100, 30, 1 / 2), (500, 30, 1), (500, 500, 1)):
        document = Document(bed(buckets, on_a_run))
        view = SheetView(document)
        view.resize(1600, 1000)
        view.show()
        view.fit()
        while not document.analysis.water_current:
            application.processEvents()
        run = document.design.runs[0]
        bucket = run.buckets[len(run.buckets) // 2]
        _, place = document.analysis.places[bucket.id]
        point = view.camera.to_viewport(QPointF(place.x, place.y)).toPoint()
        viewport = view.viewport()
        left, free = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.AltModifier
        QTest.mousePress(viewport, left, free, point)
        times = []
        for step in range(STEPS):
            start = perf_counter()
            to = QPointF(point + QPoint(10 + step % 20, 0))
            event = QMouseEvent(
                QEvent.Type.MouseMove, to, viewport.mapToGlobal(to), left, left, free
            )
            application.sendEvent(viewport, event)
            application.processEvents()
            times.append((perf_counter() - start) * 1000)
        moved = document.design != document.committed
        QTest.keyClick(viewport, Qt.Key.Key_Escape)
        QTest.mouseRelease(viewport, left, free, point)
        document.close()
        view.close()
        if not moved:
            raise RuntimeError("the bucket was not dragged")
        middle, best = median(times), min(times)
        runs = len(document.design.runs)
        yield (
            f"{buckets:4} buckets on {runs:2} runs: median {middle:6.2f} ms = "
            f"{middle / FRAME_MS:5.2f} of a frame (least {best:5.2f} ms); aim {aim:.3f}"
        )
