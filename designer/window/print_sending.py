"""What is done with finished pages: printed at true size, opened in a viewer, or saved."""

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QUrl, Signal
from PySide6.QtGui import QDesktopServices
from PySide6.QtPrintSupport import QPrinter, QPrinterInfo
from PySide6.QtWidgets import QWidget

from designer.model.file import file_name
from designer.model.saving import reason_for, write_in_one_step
from designer.units import UnitSystem
from designer.window import asking
from designer.window.page_images import PageImages
from designer.window.print_layout import layout_of, paper_words
from designer.window.print_pages import PrintJob, page_order

if TYPE_CHECKING:
    from designer.window.shell import Shell

PRINTED = "Printed. Measure the check bars with a ruler before you drill."


class Sending(QObject):
    """Sends pages to where the person wants them, and says in one sentence how it went."""

    began = Signal()
    progressed = Signal(int, int)
    ended = Signal(str)
    """Printing has come to an end, and how."""
    said = Signal(str)

    def __init__(
        self,
        shell: "Shell",
        name: str,
        units: UnitSystem,
        parent: QWidget,
        printed: str = PRINTED,
    ) -> None:
        super().__init__(parent)
        self._words = printed
        self._dialog = parent
        self._shell = shell
        self._name = name
        self._units: UnitSystem = units
        self._job: PrintJob | None = None

    @property
    def printing(self) -> bool:
        """Whether pages are on their way to a printer."""
        return self._job is not None

    def printer(self, images: PageImages, name: str, kind: str) -> QPrinter | None:
        """The printer as the person set it in the system's dialog; None for not at all.

        `name` is the printer proposed, and `kind` what the pages are, for the printer's list.
        """
        info = QPrinterInfo.printerInfo(name) if name else QPrinterInfo()
        high = QPrinter.PrinterMode.HighResolution
        printer = QPrinter(high) if info.isNull() else QPrinter(info, high)
        printer.setDocName(f"{self._name} {kind}")
        printer.setFullPage(True)
        first = layout_of(images.sizes[0])
        printer.setPageLayout(first)
        if not asking.ask_printer(self._dialog, printer, len(images.sizes)):
            return None
        asked = printer.pageLayout().pageSize()
        if not asked.isEquivalentTo(first.pageSize()):
            ours = paper_words(images.sizes[0], self._units).split(",")[0]
            if not asking.ask_other_paper(self._dialog, asked.name(), ours):
                return None
        return printer

    def print(self, images: PageImages, printer: QPrinter, page: int) -> None:
        """Print the pages chosen for that printer; `page` is the one that is looked at."""
        pages = page_order(printer, len(images.sizes), page)
        self._job = job = PrintJob(images, printer, pages, self)
        job.progressed.connect(self.progressed)
        job.done.connect(lambda: self._end(self._words))
        job.failed.connect(self._end)
        job.cancelled.connect(lambda: self._end("Printing was stopped."))
        self.began.emit()
        job.start()

    def stop(self) -> None:
        """Print no more."""
        if self._job is not None:
            self._job.stop()

    def open(self, pdf: bytes, kind: str) -> None:
        """Show the pages in the system's viewer."""
        folder = self._shell.data / "shown"
        path = folder / f"{file_name(self._name)} {kind}.pdf"
        try:
            folder.mkdir(parents=True, exist_ok=True)
            write_in_one_step([(path, pdf)], 0o644)
        except OSError as error:
            self.said.emit(f"The pages were not written: {reason_for(error)}.")
            return
        if not QDesktopServices.openUrl(QUrl.fromLocalFile(str(path))):
            self.said.emit("This system has no viewer for PDF. Save the PDF and open it there.")

    def save(self, pdf: bytes, kind: str) -> None:
        """Save the pages as a PDF where the person wants it."""
        proposed = self._shell.folder / f"{file_name(self._name)} {kind}.pdf"
        path = asking.ask_export(self._dialog, proposed, "PDF (*.pdf)")
        if path is None:
            return
        path = path if path.suffix else path.with_suffix(".pdf")
        if path.exists() and not asking.ask_replace(self._dialog, path.name):
            return
        try:
            write_in_one_step([(path, pdf)], 0o644)
        except OSError as error:
            self.said.emit(f"{path.name} was not written: {reason_for(error)}.")
            return
        self._shell.folder = path.parent
        self.said.emit(f"{path.name} is in {path.parent}.")

    def _end(self, words: str) -> None:
        if self._job is not None:
            self._job.deleteLater()
        self._job = None
        self.ended.emit(words)
