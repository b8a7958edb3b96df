"""Edit, analyse and repaint for one dragged bucket."""

from collections.abc import Iterator
from statistics import median
from time import perf_counter

from PySide6.QtWidgets import QApplication

from designer.canvas.document import Document
from designer.canvas.sheet import SheetView
from designer.model import edits
from tests.bench.beds import bed

FRAME_MS = 1000 / 60
STEPS = 60


def rows() -> Iterator[str]:
    """A line for each size: milliseconds for a step of the drag, and its share of a frame."""
    application = QApplication.instance() or QApplication([])
    for buckets, on_a_run, aim in ((10, 30, 1 / 8), (100, 30, 1 / 2), (500, 30, 1), (500, 500, 1)):
        document = Document(bed(buckets, on_a_run))
        view = SheetView(document)
        view.resize(1600, 1000)
        view.show()
        view.fit()
        application.processEvents()
        run = document.design.runs[0]
        bucket = run.buckets[len(run.buckets) // 2]
        document.select([bucket.id])
        times = []
        for step in range(STEPS):
            start = perf_counter()
            moved = edits.move_buckets(document.committed, [bucket.id], 2.0 * (step % 20 + 1))
            document.preview(moved)
            application.processEvents()
            times.append((perf_counter() - start) * 1000)
        document.cancel()
        view.close()
        middle, best = median(times), min(times)
        runs = len(document.design.runs)
        yield (
            f"{buckets:4} buckets on {runs:2} runs: median {middle:6.2f} ms = "
            f"{middle / FRAME_MS:5.2f} of a frame (least {best:5.2f} ms); aim {aim:.3f}"
        )
