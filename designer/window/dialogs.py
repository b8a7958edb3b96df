"""Two small dialogs: notes and title of the design, and repeating buckets."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QVBoxLayout, QWidget

from designer.canvas.document import Document
from designer.model import edits
from designer.model.design import Design
from designer.window.bounds import Bounds, bounds_of
from designer.window.choice_fields import NotesField
from designer.window.fields import Field, LengthField, NumberField, TextField
from designer.window.tints import toned_label

MOST_REPEATS = 100


def _lay_out(dialog: QDialog, fields: list[Field], words: str, done: str) -> None:
    column = QVBoxLayout(dialog)
    column.setSpacing(10)
    column.addWidget(toned_label(words, "soft", dialog))
    for field in fields:
        column.addWidget(field)
    column.addStretch(1)
    buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Cancel)
    buttons.addButton(done, QDialogButtonBox.ButtonRole.AcceptRole).setDefault(True)
    buttons.accepted.connect(dialog.accept)
    buttons.rejected.connect(dialog.reject)
    column.addWidget(buttons)


def all_allowed(fields: list[Field]) -> bool:
    """Enter what is half typed; False, with the focus there, when one field refuses."""
    for field in fields:
        field.finish()
    refused = next((field for field in fields if field.reason), None)
    if refused is not None:
        refused.entry.setFocus()
    return refused is None


class NotesDialog(QDialog):
    """The design's title and notes, changed in one step."""

    def __init__(self, document: Document, parent: QWidget) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle("Design notes and title")
        self.setMinimumWidth(440)
        self._document = document
        design = document.committed
        self.title = TextField("Title", "Stands on every page", bounds_of(Design, "title"))
        self.title.show_value(design.title)
        self.notes = NotesField("Notes", "Printed on the build sheet", bounds_of(Design, "notes"))
        self.notes.show_value(design.notes)
        _lay_out(self, [self.title, self.notes], "Both are printed on the build sheet.", "&Keep")

    def accept(self) -> None:
        if all_allowed([self.title, self.notes]):
            title, notes = self.title.value, self.notes.value
            self._document.apply(
                lambda design: edits.set_design(design, title=title, notes=notes),
                "Change title and notes",
            )
            super().accept()


class RepeatDialog(QDialog):
    """How often to repeat the chosen buckets, and at what pitch."""

    def __init__(self, pitch: float, document: Document, parent: QWidget) -> None:
        super().__init__(parent)
        self.setWindowTitle("Repeat")
        self.setMinimumWidth(340)
        self.pitch = LengthField(
            "Pitch",
            "From each to the next, towards the outlet end when negative",
            Bounds(at_least=-100_000.0, at_most=100_000.0),
            document.design.units,
        )
        self.pitch.show_value(pitch)
        self.times = NumberField(
            "How many times",
            "How many more of what is chosen",
            Bounds(at_least=1, at_most=MOST_REPEATS),
            whole=True,
        )
        self.times.show_value(1)
        words = "More of the chosen buckets, each one pitch farther towards the capped end."
        _lay_out(self, [self.pitch, self.times], words, "&Repeat")

    def accept(self) -> None:
        if all_allowed([self.pitch, self.times]):
            super().accept()


def ask_repeat(parent: QWidget, document: Document) -> tuple[float, int] | None:
    """The pitch, mm, and how many times to repeat the chosen buckets; None for not at all.

    The pitch proposed clears what is chosen: whole double pitches of the run, so that sides keep
    their stagger.
    """
    layout_places = [
        document.analysis.places[s] for s in document.selection if s in document.analysis.places
    ]
    if not layout_places:
        return None
    run = layout_places[0][0].run
    stations = [place.station for _, place in layout_places]
    reach = max(stations) - min(stations)
    proposed = run.pitch * 2 * (reach // (2 * run.pitch) + 1)
    dialog = RepeatDialog(proposed, document, parent)
    done = dialog.exec()
    dialog.deleteLater()
    return (float(dialog.pitch.value), int(dialog.times.value)) if done else None
