"""The Dimensions panel: the fields of what is chosen, to read and to type in."""

from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QScrollArea, QVBoxLayout, QWidget

from designer.canvas.document import Document
from designer.model import edits
from designer.model.design import Design
from designer.model.parts import Part
from designer.window.entries import Entry, Ids, Kind, kind_and_ids
from designer.window.field_table import SECTIONS
from designer.window.fields import SEVERAL
from designer.window.measured_part_dialog import MeasuredPartDialog
from designer.window.sections import AGAIN, Form, common_value, noun_of, plural
from designer.window.tints import toned_label


class DimensionsPanel(QWidget):
    """Follows the document's selection. One change of a field is one undo step."""

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.document = document
        self.form: Form | None = None
        self._kind: Kind | None = None
        self._ids: Ids = ()
        self._forms: dict[Kind, Form] = {}
        self.heading = toned_label("", "heading", self)
        self.remark = toned_label("", "soft", self)
        self._scroll = QScrollArea(self)
        self._scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._scroll.setWidgetResizable(True)
        self._scroll.setFrameShape(QFrame.Shape.NoFrame)
        self._scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        column = QVBoxLayout(self)
        column.setContentsMargins(8, 8, 4, 4)
        column.addWidget(self.heading)
        column.addWidget(self.remark)
        column.addWidget(self._scroll, 1)
        document.changed.connect(self._follow)
        document.selection_changed.connect(self._reselect)
        self._reselect()

    def _reselect(self) -> None:
        """Show what is chosen now; what was half typed goes to what was chosen before."""
        if self.form is not None and self._all_there(self._ids):
            for field in self.form.fields():
                field.finish()
        self._choose()

    def _choose(self) -> None:
        kind, ids = kind_and_ids(self.document.analysis, self.document.selection)
        if self.form is not None and ids != self._ids:
            for field in self.form.fields():
                field.revert()
        self._ids = ids
        if kind != self._kind:
            self._kind = kind
            self._show_form(kind)
        self._refresh()

    def _show_form(self, kind: Kind) -> None:
        """Put the form of a kind in place. Forms are kept, with what the person opened in them."""
        if self.form is not None:
            self._scroll.takeWidget().setParent(self)
            self.form.hide()
        form = self._forms.get(kind)
        if form is None:
            form = self._forms[kind] = Form(SECTIONS[kind], self.document.design.units)
            form.entered.connect(self._entered)
            form.asked.connect(self._measure)
            for box in form.boxes.values():
                box.toggled.connect(self._refresh)
        self.form = form
        self._scroll.setWidget(form)
        form.show()

    def _follow(self) -> None:
        """Update the values; only what is gone or came makes another form."""
        if self._all_there(self._ids):
            self._refresh()
        else:
            self._choose()

    def _refresh(self, *_: object) -> None:
        self._title()
        if self.form is not None:
            self.form.show_values(self.document.analysis, self._ids)

    def _title(self) -> None:
        analysis, count = self.document.analysis, len(self._ids)
        remark = ""
        if self._kind == "design":
            title, remark = "Design", "Choose a part on the sheet to see its dimensions."
        elif self._kind == "mixed":
            title = f"{count} parts chosen"
            remark = "Choose parts of one kind to change them together."
        elif count > 1:
            title = f"{count} {self._kind}s"
            remark = "A change goes to all of them."
        else:
            title = analysis.subject_name(self._ids[0])
            if self._kind == "bucket" and len(analysis.runs) > 1:
                remark = f"in {analysis.places[self._ids[0]][0].run.name}"
            elif self._kind == "site":
                title = "Site outline"
        for label, text in ((self.heading, title), (self.remark, remark)):
            if label.text() != text:
                label.setText(text)
        self.remark.setVisible(bool(remark))

    def _all_there(self, ids: Ids) -> bool:
        if self._kind == "design":
            return True
        return bool(ids) and kind_and_ids(self.document.analysis, frozenset(ids))[1] == ids

    def _entered(self, entry: Entry, value: Any) -> None:
        ids = self._ids
        self.document.apply(lambda design: entry.write(design, ids, value), plural(entry, ids).step)
        self._refresh()

    def _measure(self, entry: Entry, what: str) -> None:
        analysis, ids = self.document.analysis, self._ids
        value = common_value(entry.read, analysis, ids)
        if value is None and entry.parts == "bucket":
            value = analysis.places[ids[0]][1].part.id
        current = None if value is SEVERAL else analysis.catalogue.parts.get(value)
        dialog = MeasuredPartDialog(
            entry.parts,
            analysis.catalogue,
            analysis.design.units,
            like=current,
            again=current if what == AGAIN else None,
            parent=self,
        )
        dialog.part_made.connect(lambda part: self._keep(entry, ids, part))
        dialog.open()

    def _keep(self, entry: Entry, ids: Ids, part: Part) -> None:
        def edit(design: Design) -> Design:
            return entry.write(edits.keep_own_part(design, part), ids, part.id)

        self.document.apply(edit, f"Measure the {noun_of(entry)}")
        self._refresh()
