"""Prints pages at their true size: one mm of a page is one mm of paper.

Nothing is ever fitted to the printer's idea of its page, which Qt keeps in whole points (A4 would
come out 0.05 % short). Pages are drawn in bands, so that none has to stand in memory whole.
"""

import math
from collections.abc import Sequence

from PySide6.QtCore import QObject, QRectF, Signal
from PySide6.QtGui import QImage, QPainter
from PySide6.QtPrintSupport import QPrinter

from designer.units import MM_PER_INCH
from designer.window.page_images import PageImages, Raster
from designer.window.page_work import PageWork
from designer.window.print_layout import layout_of

FINEST = 800
"""Dots per inch that pages are drawn with at most."""
BAND_PIXELS = 4_000_000


def drawing_dots(resolution: int) -> float:
    """Dots per inch to draw with: a whole part of the printer's own, so that a dot of ours is a
    whole number of its dots."""
    return resolution / math.ceil(resolution / FINEST)


def page_order(printer: QPrinter, count: int, current: int) -> list[int]:
    """The pages in the order they go out, from 0, by what was chosen in the system's dialog.

    Copies stand in it only where the printer does not make them itself.
    """
    pages = list(range(count))
    if printer.printRange() == QPrinter.PrintRange.CurrentPage:
        pages = [current]
    elif printer.printRange() == QPrinter.PrintRange.PageRange:
        ranges = printer.pageRanges()
        pages = [page for page in pages if ranges.isEmpty() or ranges.contains(page + 1)]
    if printer.pageOrder() == QPrinter.PageOrder.LastPageFirst:
        pages.reverse()
    if printer.supportsMultipleCopies():
        return pages
    copies = max(printer.copyCount(), 1)
    if printer.collateCopies():
        return pages * copies
    return [page for page in pages for _ in range(copies)]


class PrintJob(QObject):
    """Prints pages one after another while the window stays awake. Exactly one of `done`, `failed`
    and `cancelled` comes at its end."""

    progressed = Signal(int, int)
    """Pages printed, and pages in all."""
    done = Signal()
    failed = Signal(str)
    cancelled = Signal()

    def __init__(
        self,
        images: PageImages,
        printer: QPrinter,
        pages: Sequence[int],
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._images = images
        self._printer = printer
        self._pages = list(pages)
        self._painter = QPainter()
        self._dots = drawing_dots(printer.resolution()) / MM_PER_INCH
        self._at = 0
        self._top = 0
        self._work = PageWork(self)
        self._work.came.connect(self._draw)
        self._work.failed.connect(self._fail)

    def start(self) -> None:
        """Open the printer and begin."""
        printer = self._printer
        if not self._pages:
            self.failed.emit("There is no page with that number.")
            return
        printer.setFullPage(True)
        printer.setPageLayout(layout_of(self._images.sizes[self._pages[0]]))
        if not self._painter.begin(printer):
            where = printer.outputFileName() or printer.printerName() or "The printer"
            self.failed.emit(f"{where} could not be opened for printing.")
            return
        self._set_up()
        self._ask()

    def stop(self) -> None:
        """Print no more; what the printer already has it may still print."""
        if self._painter.isActive():
            self._work.forget()
            self._printer.abort()
            self._painter.end()
            self.cancelled.emit()

    def _set_up(self) -> None:
        painter = self._painter
        painter.setRenderHint(QPainter.RenderHint.LosslessImageRendering)
        painter.resetTransform()
        painter.scale(*[self._printer.resolution() / MM_PER_INCH] * 2)
        self._top = 0

    def _ask(self) -> None:
        page = self._pages[self._at]
        size = self._images.sizes[page]
        width = math.ceil(size.width * self._dots)
        high = max(BAND_PIXELS // width, 1)
        high = min(high, math.ceil(size.height * self._dots) - self._top)
        box, images, dots = (0, self._top, width, high), self._images, self._dots
        self._work.ask(self._at, lambda: images.raster(page, dots, box))

    def _draw(self, _key: object, band: Raster) -> None:
        if not self._painter.isActive():
            return
        if not band.blank:
            image = band.image()
            if image.isGrayscale():  # a third of the memory on its way to the printer
                image = image.convertToFormat(QImage.Format.Format_Grayscale8)
            place = (0, self._top / self._dots, band.width / self._dots, band.height / self._dots)
            self._painter.drawImage(QRectF(*place), image)
        self._top += band.height
        if self._top < self._images.sizes[self._pages[self._at]].height * self._dots:
            self._ask()
        else:
            self._turn()

    def _turn(self) -> None:
        self._at += 1
        self.progressed.emit(self._at, len(self._pages))
        if not self._painter.isActive():  # stopped by who heard of the page
            return
        if self._at == len(self._pages):
            self._end()
            return
        self._printer.setPageLayout(layout_of(self._images.sizes[self._pages[self._at]]))
        if not self._printer.newPage():
            self._fail()
            return
        self._set_up()
        self._ask()

    def _end(self) -> None:
        if self._painter.end() and self._printer.printerState() != QPrinter.PrinterState.Error:
            self.done.emit()
        else:
            self.failed.emit("The printer did not take the pages.")

    def _fail(self, _key: object = None) -> None:
        self._printer.abort()
        self._painter.end()
        self.failed.emit("The printer did not take the pages.")
