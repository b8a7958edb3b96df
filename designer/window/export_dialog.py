"""Export: what to make, where to put it, how far it is, and opening what was made."""

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, QUrl
from PySide6.QtGui import QCloseEvent, QDesktopServices, QResizeEvent
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QProgressBar,
    QPushButton,
    QScrollArea,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from designer.canvas.document import Document
from designer.canvas.raster import PictureError
from designer.checks.finding import STATE_WORDS
from designer.model.file import file_name
from designer.window import asking
from designer.window.export_job import Export, ExportJob, What
from designer.window.picture_options import PictureOptions, copy_picture
from designer.window.print_options import PrintOptions
from designer.window.tints import toned_label

if TYPE_CHECKING:
    from designer.window.shell import Shell

ROLE = QDialogButtonBox.ButtonRole
FAILED = (
    "Something went wrong inside Rillwright, so this file was not made. Your design is safe. "
    "What went wrong is written in {log}"
)
_TITLES: dict[What, str] = {
    "sheet": "Export the build sheet",
    "templates": "Export the drill templates",
    "picture": "Export a picture",
}
_WORDS: dict[What, str] = {
    "sheet": "Drawings, hole schedule, cut list, materials, checks and full-scale drill templates, "
    "in one PDF. Print the templates at 100 %, not fitted to the page.",
    "templates": "Full-scale templates to wrap round buckets and pipes. Print them at 100 %, not "
    "fitted to the page, and measure the check bar before you drill.",
    "picture": "The drawing as a picture to show or to send. It is not for drilling from.",
}
_ENDINGS: dict[What, str] = {"sheet": "build sheet", "templates": "templates", "picture": "drawing"}


class ExportDialog(QDialog):
    """Asks, works and reports, in three pages of one dialog."""

    def __init__(
        self, what: What, document: Document, name: str, shell: "Shell", parent: QWidget
    ) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(_TITLES[what])
        self.setMinimumWidth(500)
        self._what = what
        self._document = document
        self._analysis = document.analysis
        self._name = file_name(name)
        self._proposed = f"{self._name} {_ENDINGS[what]}"
        self.options: PictureOptions | PrintOptions = (
            PictureOptions(document)
            if what == "picture"
            else PrintOptions(document, what == "templates", shell)
        )
        self._shell = shell
        self._job: ExportJob | None = None
        self._export: Export | None = None
        self.pages = QStackedWidget()
        suffix = ".png" if what == "picture" else ".pdf"
        proposed = shell.folder / f"{self._proposed}{suffix}"
        for page in (self._asking_page(proposed), self._working_page(), self._done_page()):
            self.pages.addWidget(page)
        outer = QVBoxLayout(self)
        outer.addWidget(self.pages)
        # Only now, for a button that is not in its dialog yet does not become the default one.
        self.start.setDefault(True)

    # --- the three pages ------------------------------------------------------------------------

    def _asking_page(self, proposed: Path) -> QWidget:
        page = QWidget()
        column = QVBoxLayout(page)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(12)
        column.addWidget(toned_label(_WORDS[self._what], "soft"))
        column.addWidget(self._shown_options())
        column.addWidget(self._file_line(proposed))
        must = self._analysis.counts["must_fix"]
        if must and self._what != "picture":
            says = "1 check says" if must == 1 else f"{must} checks say"
            column.addWidget(
                toned_label(
                    f"{says} “{STATE_WORDS['must_fix']}”. Mend that before you buy or drill.",
                    "refused",
                )
            )
        self.reason = toned_label("", "refused")
        self.reason.hide()
        column.addWidget(self.reason)
        column.addStretch(1)
        self.start = QPushButton("&Export")
        self.start.clicked.connect(self._start)
        give_up = QPushButton("&Cancel")
        give_up.clicked.connect(self.reject)
        picture = self._what == "picture"
        self.other = QPushButton("Cop&y it" if picture else "Pre&view and print…")
        self.other.setAutoDefault(False)
        self.other.clicked.connect(self._copy if picture else self._preview)
        column.addWidget(
            _foot(
                (self.start, ROLE.AcceptRole),
                (self.other, ROLE.ActionRole),
                (give_up, ROLE.RejectRole),
            )
        )
        return page

    def _shown_options(self) -> QWidget:
        """The fields of a picture, or of pages; those are many, so they scroll."""
        if isinstance(self.options, PictureOptions):
            self.options.named.connect(self._propose)
            return self.options
        room = QScrollArea()
        room.setWidgetResizable(True)
        room.setFrameShape(QScrollArea.Shape.NoFrame)
        room.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        room.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.options.layout().setContentsMargins(0, 0, 12, 0)
        room.setWidget(self.options)
        high = self.options.sizeHint().height()
        room.setMinimumHeight(min(high, self.screen().availableGeometry().height() // 2))
        return room

    def _file_line(self, proposed: Path) -> QWidget:
        holder = QWidget()
        column = QVBoxLayout(holder)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        self.file = QLineEdit(str(proposed))
        self.file.setAccessibleName("File")
        label = QLabel("&File")
        label.setBuddy(self.file)
        browse = QPushButton("C&hoose…")
        browse.setAccessibleName("Choose a file")
        browse.setAutoDefault(False)
        browse.clicked.connect(self._choose)
        line = QHBoxLayout()
        line.addWidget(self.file, 1)
        line.addWidget(browse)
        column.addWidget(label)
        column.addLayout(line)
        return holder

    def _working_page(self) -> QWidget:
        page = QWidget()
        column = QVBoxLayout(page)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(12)
        self._working = toned_label("", "soft")
        self.bar = QProgressBar()
        self.bar.setAccessibleName("Progress")
        self.cancel = QPushButton("&Stop")
        self.cancel.clicked.connect(self._cancel)
        column.addStretch(1)
        column.addWidget(self._working)
        column.addWidget(self.bar)
        column.addStretch(1)
        column.addWidget(_foot((self.cancel, ROLE.RejectRole)))
        return page

    def _done_page(self) -> QWidget:
        page = QWidget()
        column = QVBoxLayout(page)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(12)
        self.made = toned_label("", "heading")
        self._where = toned_label("", "soft")
        opens = QPushButton("&Open it")
        opens.clicked.connect(self._open_made)
        folder = QPushButton("Show the &folder")
        folder.clicked.connect(self._show_folder)
        self.close_button = QPushButton("&Close")
        self.close_button.clicked.connect(self.accept)
        column.addStretch(1)
        column.addWidget(self.made)
        column.addWidget(self._where)
        column.addStretch(1)
        column.addWidget(
            _foot(
                (opens, ROLE.ActionRole),
                (folder, ROLE.ActionRole),
                (self.close_button, ROLE.RejectRole),
            )
        )
        return page

    # --- asking ---------------------------------------------------------------------------------

    def _propose(self) -> None:
        """A file name that goes with the picture chosen, unless the person typed one."""
        assert isinstance(self.options, PictureOptions)
        path = Path(self.file.text())
        if path.stem == self._proposed:
            self._proposed = f"{self._name} {self.options.ending}"
            path = path.with_name(self._proposed + self.options.suffix)
        self.file.setText(str(path.with_suffix(self.options.suffix)))

    def _copy(self) -> None:
        assert isinstance(self.options, PictureOptions)
        if not self.options.allowed():
            return
        try:
            copy_picture(self._analysis, self.options.picture())
        except PictureError as error:
            self._refuse(str(error))
            return
        self._refuse("")
        self.other.setText("Copied")

    def _preview(self) -> None:
        from designer.window.print_preview import PrintPreview

        parent, only_templates = self.parentWidget(), self._what == "templates"
        assert parent is not None
        preview = PrintPreview(self._document, self._name, self._shell, parent, only_templates)
        self.reject()
        preview.open()

    def _choose(self) -> None:
        suffix = Path(self.file.text()).suffix
        kinds = f"{suffix.lstrip('.').upper()} (*{suffix})"
        path = asking.ask_export(self, Path(self.file.text()), kinds)
        if path is not None:
            self.file.setText(str(path if path.suffix else path.with_suffix(suffix)))

    def _start(self) -> None:
        if not self.options.allowed():
            return
        export = self._asked()
        if not self.file.text().strip():
            self._refuse("Type a file name, or choose one.")
            return
        if not export.path.parent.is_dir():
            self._refuse("That folder is not there; choose another one.")
            return
        if export.path.exists() and not asking.ask_replace(self, export.path.name):
            return
        self._refuse("")
        self._export = export
        self._job = job = ExportJob(self._analysis, export)
        job.progressed.connect(self._show_progress)
        job.done.connect(self._show_done)
        job.failed.connect(lambda reason: self._back(reason or FAILED.format(log=self._shell.log)))
        job.cancelled.connect(lambda: self._back(""))
        self.bar.setRange(0, 0)
        self._working.setText("Working out the pages…")
        self.cancel.setEnabled(True)
        self.pages.setCurrentIndex(1)
        self.cancel.setFocus()
        job.start()

    def _asked(self) -> Export:
        path = Path(self.file.text().strip()).expanduser()
        if isinstance(self.options, PictureOptions):
            return self.options.export(path)
        return Export(self._what, path, self.options.options())

    def _refuse(self, reason: str) -> None:
        self.reason.setText(reason)
        self.reason.setVisible(bool(reason))
        self._give_room()

    def _give_room(self) -> None:
        """As high as its words and fields need; the stack of pages does not ask wrapping ones."""
        page = self.pages.widget(0)
        layout = page.layout()
        layout.activate()
        page.setMinimumHeight(layout.totalHeightForWidth(self.pages.width()))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._give_room()

    # --- working and done -----------------------------------------------------------------------

    def _show_progress(self, done: int, total: int) -> None:
        self.bar.setRange(0, total)
        self.bar.setValue(done)
        pages = "picture" if self._what == "picture" else "page"
        self._working.setText(f"{pages.capitalize()} {done} of {total}")

    def _cancel(self) -> None:
        if self._job is not None:
            self.cancel.setEnabled(False)
            self._working.setText("Stopping…")
            self._job.requestInterruption()

    def _back(self, reason: str) -> None:
        self._finish_job()
        self._refuse(reason)
        self.pages.setCurrentIndex(0)
        self.start.setFocus()

    def _show_done(self) -> None:
        self._finish_job()
        assert self._export is not None
        self._shell.folder = self._export.path.parent
        self.made.setText(self._export.path.name)
        self._where.setText(f"is in {self._export.path.parent}")
        self.pages.setCurrentIndex(2)
        self.close_button.setFocus()

    def _finish_job(self) -> None:
        if self._job is not None:
            self._job.wait()
            self._job = None

    def _open_made(self) -> None:
        if self._export is not None:
            QDesktopServices.openUrl(QUrl.fromLocalFile(str(self._export.path)))

    def _show_folder(self) -> None:
        if self._export is not None:
            QDesktopServices.openUrl(QUrl.fromLocalFile(str(self._export.path.parent)))

    def reject(self) -> None:
        if self._job is not None:
            self._cancel()
        else:
            super().reject()

    def closeEvent(self, event: QCloseEvent) -> None:
        if self._job is not None:
            self._cancel()
            event.ignore()


def _foot(*buttons: tuple[QPushButton, QDialogButtonBox.ButtonRole]) -> QDialogButtonBox:
    """Buttons in the order that the system is used to."""
    foot = QDialogButtonBox()
    for button, role in buttons:
        foot.addButton(button, role)
    return foot
