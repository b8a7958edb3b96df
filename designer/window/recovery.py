"""Nothing is lost in a crash: unsaved work is kept aside, and offered at the next start."""

import logging
from datetime import datetime
from uuid import uuid4

from PySide6.QtCore import QObject, Qt, QTimer, Signal
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QFrame,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from designer.canvas.document import Document
from designer.model.design import Design
from designer.model.faults import DesignError
from designer.model.file import format_design, parse_design, shown_path
from designer.model.journal import Abandoned, Journal
from designer.model.saving import SaveError

EVERY_MS = 3000


class Keeper(QObject):
    """Keeps the unsaved work of one document in the journal, every few seconds while it changes."""

    failed = Signal(str)

    def __init__(self, journal: Journal, document: Document) -> None:
        super().__init__()
        self._journal = journal
        self._document = document
        self._key = uuid4().hex
        self._kept: Design | None = None
        self._timer = QTimer(self)
        self._timer.setInterval(EVERY_MS)
        self._timer.timeout.connect(self.keep)
        self._timer.start()

    def keep(self) -> None:
        """Write the journal if there is unsaved work it does not hold yet."""
        design = self._document.committed
        if not self._document.history.changed:
            self.discard()
        elif design is not self._kept:
            try:
                self._journal.write(self._key, self._document.path, format_design(design))
            except (SaveError, DesignError) as error:
                logging.getLogger(__name__).warning("%s", error.message)
                self.failed.emit(error.message)
            # A failed write is tried again at the next step, not every few seconds.
            self._kept = design

    def discard(self) -> None:
        """Drop the journal: the work is saved, or not wanted."""
        if self._kept is not None:
            self._journal.discard(self._key)
            self._kept = None

    def stop(self) -> None:
        """The document is closed."""
        self._timer.stop()
        self.discard()


class RecoveryDialog(QDialog):
    """Offers what a crash left behind. `bring_back` carries the design and where it belongs."""

    bring_back = Signal(object, object)

    def __init__(self, journal: Journal, left: tuple[Abandoned, ...], parent: QWidget) -> None:
        super().__init__(parent)
        self._journal = journal
        self.setWindowTitle("Unsaved work")
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setMinimumWidth(460)
        box = QVBoxLayout(self)
        box.setSpacing(12)
        heading = QLabel("Rillwright stopped before this was saved")
        heading.setProperty("tone", "heading")
        words = QLabel("Bring it back and save it, or throw it away.")
        words.setProperty("tone", "soft")
        box.addWidget(heading)
        box.addWidget(words)
        self._rows = 0
        for abandoned in left:
            box.addWidget(self._row(abandoned))
            self._rows += 1
        box.addStretch(1)
        buttons = QDialogButtonBox()
        later = buttons.addButton("Decide &later", QDialogButtonBox.ButtonRole.RejectRole)
        later.setAutoDefault(False)
        buttons.rejected.connect(self.reject)
        box.addWidget(buttons)

    def _row(self, abandoned: Abandoned) -> QWidget:
        row = QFrame()
        row.setProperty("card", "true")
        line = QHBoxLayout(row)
        line.setContentsMargins(12, 10, 12, 10)
        when = datetime.fromtimestamp(abandoned.saved_at).strftime("%d %B, %H:%M")
        if abandoned.original_path is None:
            where = "never saved"
        else:
            where = f"belongs to {shown_path(abandoned.original_path)}"
        design, reason = _design_of(abandoned)
        name = design.title if design is not None and design.title else "Untitled bed"
        text = f"<b>{name}</b><br>{when}, {where}"
        label = QLabel(text if design is not None else f"<b>Damaged</b><br>{reason}")
        label.setTextFormat(Qt.TextFormat.RichText)
        label.setWordWrap(True)
        line.addWidget(label, 1)
        drop = QPushButton("&Throw away")
        drop.setAccessibleName(f"Throw away {name}")
        drop.clicked.connect(lambda: self._done(row, abandoned))
        if design is not None:
            back = QPushButton("&Bring back")
            back.setAccessibleName(f"Bring back {name}")
            back.clicked.connect(lambda: self._back(row, abandoned, design))
            line.addWidget(back)
        line.addWidget(drop)
        return row

    def _back(self, row: QWidget, abandoned: Abandoned, design: Design) -> None:
        # The new window keeps its own journal before the old one goes.
        self.bring_back.emit(design, abandoned.original_path)
        self._done(row, abandoned)

    def _done(self, row: QWidget, abandoned: Abandoned) -> None:
        self._journal.drop(abandoned)
        row.hide()
        self._rows -= 1
        if not self._rows:
            self.accept()


def _design_of(abandoned: Abandoned) -> tuple[Design | None, str]:
    try:
        return parse_design(abandoned.text), ""
    except DesignError as error:
        return None, error.message
