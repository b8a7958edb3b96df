"""Preview and print: what is printed, how it looks, and sending it to a printer at true size."""

from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QCloseEvent, QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QHBoxLayout,
    QProgressBar,
    QPushButton,
    QScrollArea,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from designer.canvas.document import Document
from designer.window import asking
from designer.window.export_dialog import FAILED
from designer.window.page_images import PageImages
from designer.window.page_work import PageWork
from designer.window.pages_maker import PagesMaker
from designer.window.preview_bar import PreviewBar
from designer.window.preview_page import PageView
from designer.window.preview_thumbs import Thumbs
from designer.window.print_layout import limits_of, paper_words, warnings
from designer.window.print_options import PrintOptions
from designer.window.print_sending import Sending
from designer.window.tints import toned_label

if TYPE_CHECKING:
    from designer.window.shell import Shell

ROLE = QDialogButtonBox.ButtonRole
WORKING = "Working out the pages…"
STOPPED = "The pages are not made. Change a choice, or make them again."


class PrintPreview(QDialog):
    """Pages as they will come out, made anew with every choice."""

    def __init__(
        self,
        document: Document,
        name: str,
        shell: "Shell",
        parent: QWidget,
        only_templates: bool = False,
    ) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowFlag(Qt.WindowType.WindowMaximizeButtonHint)
        self.setWindowTitle("Preview and print")
        self._units = document.design.units
        self._shell = shell
        self._pdf = b""
        self._images: PageImages | None = None
        self._sending = Sending(shell, name, self._units, self)
        self._sending.progressed.connect(self._show_printing)
        self._sending.ended.connect(self._printed)
        self._work = PageWork(self)
        self._maker = PagesMaker(document.analysis, self)
        self._maker.progressed.connect(self._show_progress)
        self._maker.made.connect(self._take)
        self._maker.refused.connect(self._refuse)
        self.options = PrintOptions(document, only_templates, shell)
        self.options.changed.connect(self.make)
        self.options.printer_changed.connect(self._show_warnings)
        self.view = PageView(self._work)
        self.thumbs = Thumbs(self._work)
        self.bar = PreviewBar(self.view, shell, self._units)
        self._lay_out()
        self._connect_pages()
        screen = parent.screen().availableGeometry().size()
        self.resize(QSize(1180, 860).boundedTo(screen - QSize(40, 60)))
        self.make()

    def _lay_out(self) -> None:
        self.note = toned_label(WORKING, "heading")
        self.note.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.pages = QStackedWidget()
        shown = QWidget()
        row = QHBoxLayout(shown)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self.thumbs)
        row.addWidget(self.view, 1)
        self.pages.addWidget(self.note)
        self.pages.addWidget(shown)
        side = QScrollArea()
        side.setWidgetResizable(True)
        side.setFrameShape(QScrollArea.Shape.NoFrame)
        side.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        side.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.options.layout().setContentsMargins(2, 2, 12, 2)
        side.setWidget(self.options)
        side.setFixedWidth(19 * self.fontMetrics().height())
        right = QVBoxLayout()
        right.addWidget(self.bar)
        right.addWidget(self.pages, 1)
        middle = QHBoxLayout()
        middle.setSpacing(12)
        middle.addWidget(side)
        middle.addLayout(right, 1)
        self.warned = toned_label("", "refused")
        self.said = toned_label("", "soft")
        self.progress = QProgressBar()
        self.progress.setAccessibleName("Progress")
        self.stop = QPushButton("&Stop")
        self.stop.clicked.connect(self._stop)
        busy = QHBoxLayout()
        busy.addWidget(self.said, 1)
        busy.addWidget(self.progress)
        busy.addWidget(self.stop)
        outer = QVBoxLayout(self)
        outer.addLayout(middle, 1)
        outer.addWidget(self.warned)
        outer.addLayout(busy)
        outer.addWidget(self._foot())
        for button in self.findChildren(QPushButton):
            # Enter enters what is typed, and must not begin to print or stop the work.
            button.setAutoDefault(False)

    def _foot(self) -> QDialogButtonBox:
        foot = QDialogButtonBox()
        self.print = QPushButton("&Print…")
        self.opens = QPushButton("&Open in the system’s viewer")
        self.save = QPushButton("Save as P&DF…")
        self.close_button = QPushButton("&Close")
        for button, role, call in (
            # None accepts, for the first that does becomes the default one.
            (self.print, ROLE.ActionRole, self._print),
            (self.opens, ROLE.ActionRole, lambda: self._sending.open(self._pdf, self._kind)),
            (self.save, ROLE.ActionRole, lambda: self._sending.save(self._pdf, self._kind)),
            (self.close_button, ROLE.RejectRole, self.reject),
        ):
            button.clicked.connect(call)
            foot.addButton(button, role)
        return foot

    def _connect_pages(self) -> None:
        self._sending.said.connect(self.said.setText)
        self.thumbs.page_asked.connect(self.view.show_page)
        self.thumbs.page_asked.connect(lambda _: self._show_page())
        self.view.page_asked.connect(self.thumbs.show_page)
        self.view.page_asked.connect(lambda _: self._show_page())
        for keys, call in (
            ("Ctrl+0", self.view.fit),
            ("Ctrl+1", self.bar.true_size),
            ("Ctrl++", lambda: self.view.zoom_by(1.25)),
            ("Ctrl+=", lambda: self.view.zoom_by(1.25)),
            ("Ctrl+-", lambda: self.view.zoom_by(0.8)),
            ("Ctrl+P", self.print.click),
        ):
            QShortcut(QKeySequence(keys), self).activated.connect(call)

    # --- the pages ------------------------------------------------------------------------------

    @property
    def current(self) -> bool:
        """Whether the pages shown are those that were chosen."""
        return self._maker.idle and self._images is not None

    def make(self) -> None:
        """Make the pages that are chosen now."""
        self._maker.make(self.options.options())
        self.note.setText(WORKING)
        self._busy(WORKING)

    def _show_progress(self, done: int, total: int) -> None:
        self.progress.setRange(0, total)
        self.progress.setValue(done)
        self.said.setText(f"Page {done} of {total}")

    def _take(self, pdf: bytes, images: PageImages) -> None:
        page = self.view.page
        self._show_images(images, page)
        self._pdf = pdf
        self.pages.setCurrentIndex(1)
        self._rest()
        self._show_page()
        self._show_warnings()

    def _show_images(self, images: PageImages | None, page: int = 0) -> None:
        old, self._images = self._images, images
        self._work.forget()
        self.thumbs.show_pages(images)
        self.view.show_pages(images, page)
        self.thumbs.show_page(self.view.page)
        if old is not None:
            old.close()

    def _refuse(self, reason: str) -> None:
        self._show_images(None)
        self.note.setText(reason or FAILED.format(log=self._shell.log))
        self.pages.setCurrentIndex(0)
        self._rest()
        self.said.setText("")
        self._show_warnings()

    def _show_page(self) -> None:
        if self._images is not None and not self.progress.isVisible():
            size, count = self._images.sizes[self.view.page], len(self._images.sizes)
            words = f"Sheet {self.view.page + 1} of {count}: {paper_words(size, self._units)}"
            self.said.setText(words)
            self.view.setAccessibleDescription(words)

    def _show_warnings(self) -> None:
        name = self.options.printer_name
        told: tuple[str, ...] = ()
        if name and self._images is not None:
            told = warnings(limits_of(name), self._images.sizes, self._units)
        self.warned.setText("\n".join(told))
        self.warned.setVisible(bool(told))

    # --- busy or at rest ------------------------------------------------------------------------

    def _busy(self, words: str) -> None:
        self.said.setText(words)
        self.progress.setRange(0, 0)
        self.stop.setText("&Stop")
        self.stop.setEnabled(True)
        for widget in (self.progress, self.stop):
            widget.show()
        for button in (self.print, self.opens, self.save):
            button.setEnabled(False)

    def _rest(self) -> None:
        self.progress.hide()
        self.stop.hide()
        for button in (self.print, self.opens, self.save):
            button.setEnabled(self._images is not None)

    def _stop(self) -> None:
        if self._sending.printing:
            self._sending.stop()
        elif self._maker.idle:
            self.make()
        else:
            self._maker.stop()
            self._show_images(None)
            self.note.setText(STOPPED)
            self.pages.setCurrentIndex(0)
            self._rest()
            self.said.setText("")
            self.stop.setText("&Make them again")
            self.stop.show()
            self.stop.setFocus()

    # --- what to do with them -------------------------------------------------------------------

    @property
    def _kind(self) -> str:
        return "templates" if self.options.what.value == "templates" else "build sheet"

    def _print(self) -> None:
        images = self._images
        if images is None or self._sending.printing:
            return
        printer = self._sending.printer(images, self.options.printer_name, self._kind)
        if printer is None:
            return
        chosen = "" if printer.outputFileName() else printer.printerName()
        if chosen and chosen != self.options.printer_name:
            drawn_with = self.options.correction
            self.options.choose_printer(chosen)
            if self.options.correction != drawn_with:
                tell = f"{chosen} has another correction. Its pages are made now; print them then."
                asking.tell(self, tell)
                return
        self._busy("Printing…")
        self.options.setEnabled(False)
        self._sending.print(images, printer, self.view.page)

    def _show_printing(self, done: int, total: int) -> None:
        self.progress.setRange(0, total)
        self.progress.setValue(done)
        self.said.setText(f"Printing page {min(done + 1, total)} of {total}")

    def _printed(self, words: str) -> None:
        self.options.setEnabled(True)
        self._rest()
        self.said.setText(words)
        self.close_button.setFocus()

    # --- the end --------------------------------------------------------------------------------

    def reject(self) -> None:
        self._sending.stop()
        super().reject()

    def closeEvent(self, event: QCloseEvent) -> None:
        self.reject()

    def done(self, result: int) -> None:
        self._maker.stop()
        images, self._images = self._images, None
        self.thumbs.show_pages(None)
        self.view.show_pages(None)
        self._work.finish(images.close if images is not None else lambda: None)
        super().done(result)
