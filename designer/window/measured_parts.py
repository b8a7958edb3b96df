"""The parts that the person measured, kept in the design: measure again, add, take away."""

from dataclasses import replace

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QHBoxLayout,
    QListWidget,
    QListWidgetItem,
    QMenu,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from designer.canvas.document import Document
from designer.model import edits
from designer.model.catalogue import load_catalogue
from designer.model.design import Design
from designer.model.parts import Part
from designer.model.references import reference_faults
from designer.window.measured_part_dialog import MeasuredPartDialog
from designer.window.part_forms import PART_FORMS
from designer.window.tints import toned_label


def design_of_buckets(design: Design, part_id: str) -> Design:
    """The design with one bucket for all its runs, where a bucket of its own goes with its run."""
    for run in design.runs:
        design = edits.set_run(design, run.id, bucket=part_id)
    ids = [bucket.id for run in design.runs for bucket in run.buckets]
    return edits.change_buckets(design, ids, lambda bucket: replace(bucket, part=None))


class MeasuredParts(QDialog):
    """The list of a design's own parts. Every change is one step that undo takes back."""

    def __init__(self, document: Document, parent: QWidget) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle("Measured parts")
        self.resize(460, 380)
        self._document = document
        self.list = QListWidget()
        self.list.setAccessibleName("Parts you measured")
        self.list.currentItemChanged.connect(self._enable)
        self.list.itemActivated.connect(self._again)
        self._words = toned_label("", "soft")
        self.reason = toned_label("", "refused")
        self.reason.hide()
        menu = QMenu(self)
        for kind, form in PART_FORMS.items():
            if form.sizes:
                action = menu.addAction(form.noun.capitalize())
                action.triggered.connect(lambda _=False, kind=kind: self._measure(kind))
        self.add = QPushButton("&Measure a new…")
        self.add.setMenu(menu)
        self.again = QPushButton("Measure &again…")
        self.again.clicked.connect(self._again)
        self.drop = QPushButton("&Take away")
        self.drop.clicked.connect(self._drop)
        line = QHBoxLayout()
        for button in (self.add, self.again, self.drop):
            button.setAutoDefault(False)
            line.addWidget(button)
        line.addStretch(1)
        close = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        close.rejected.connect(self.reject)
        self.kept = toned_label("", "soft")
        self.use = QPushButton("&Use it for the whole bed now")
        self.use.setAutoDefault(False)
        self.use.clicked.connect(self._use)
        self._made: Part | None = None
        column = QVBoxLayout(self)
        column.setSpacing(10)
        for widget in (self._words, self.list, self.reason, self.kept, self.use):
            column.addWidget(widget)
        column.addLayout(line)
        column.addWidget(close)
        document.changed.connect(self._show)
        self._show()

    def _show(self) -> None:
        chosen = self._chosen()
        self.list.clear()
        for part in self._document.committed.own_parts:
            item = QListWidgetItem(f"{part.name}  ({PART_FORMS[part.kind].noun})")
            item.setData(Qt.ItemDataRole.UserRole, part.id)
            self.list.addItem(item)
            if chosen is not None and part.id == chosen.id:
                self.list.setCurrentItem(item)
        self._words.setText(
            "Makers differ. What you measure is used for the drawings and the drill templates."
            if self.list.count()
            else "Nothing measured yet. Makers differ, so measure your buckets before you drill."
        )
        made = self._made
        self._offer(made if made in self._document.committed.own_parts else None)
        self._enable()

    def _enable(self) -> None:
        for button in (self.again, self.drop):
            button.setEnabled(self._chosen() is not None)

    def _chosen(self) -> Part | None:
        item = self.list.currentItem()
        if item is None:
            return None
        part_id = item.data(Qt.ItemDataRole.UserRole)
        own = self._document.committed.own_parts
        return next((part for part in own if part.id == part_id), None)

    def _measure(self, kind: str, again: Part | None = None) -> None:
        self._say("")
        self._offer(None)
        catalogue = self._document.analysis.catalogue
        like = next(iter(catalogue.of_kind(kind)), None)
        units = self._document.design.units
        dialog = MeasuredPartDialog(kind, catalogue, units, like, again, self)
        dialog.part_made.connect(self._keep)
        dialog.open()

    def _again(self) -> None:
        part = self._chosen()
        if part is not None:
            self._measure(part.kind, part)

    def _keep(self, part: Part) -> None:
        self._document.apply(
            lambda design: edits.keep_own_part(design, part), f"Measure {part.name}"
        )
        self._offer(part)

    def _offer(self, part: Part | None) -> None:
        """Say where a part that was just measured is chosen; a bucket can be used at once."""
        design = self._document.committed
        used = (
            part is not None
            and any(run.bucket == part.id for run in design.runs)
            and design_of_buckets(design, part.id) == design
        )
        self._made = part
        self.kept.setVisible(part is not None)
        self.use.setVisible(
            part is not None and part.kind == "bucket" and bool(design.runs) and not used
        )
        if part is None:
            return
        if used:
            self.kept.setText(f"{part.name} is kept, and the whole bed uses it.")
        elif part.kind == "bucket":
            self.kept.setText(
                f"{part.name} is kept. The whole bed does not use it yet; for one run or bucket "
                "choose it under Dimensions, Bucket."
            )
        else:
            self.kept.setText(
                f"{part.name} is kept. To use it, click the run or the reservoir on the sheet and "
                "choose it under Dimensions."
            )

    def _use(self) -> None:
        part = self._made
        if part is not None:
            self._document.apply(
                lambda design: design_of_buckets(design, part.id), f"Use {part.name} everywhere"
            )

    def _drop(self) -> None:
        part = self._chosen()
        if part is None:
            return
        without = edits.set_design(
            self._document.committed,
            own_parts=tuple(p for p in self._document.committed.own_parts if p is not part),
        )
        if reference_faults(without, load_catalogue()):
            self._say(f"{part.name} is used in the design; choose another in its place first.")
            return
        self._say("")
        self._offer(None)
        self._document.commit(without, f"Take away {part.name}")

    def _say(self, reason: str) -> None:
        self.reason.setText(reason)
        self.reason.setVisible(bool(reason))
