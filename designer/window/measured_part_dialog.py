"""Put in a part as measured: the same form for every kind of part."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QFrame,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from designer.model.catalogue import Catalogue
from designer.model.parts import BucketPart, Part
from designer.units import MM_PER_INCH, UnitSystem
from designer.window.bounds import bounds_of
from designer.window.choice_fields import ChoiceField
from designer.window.fields import Field, FlowField, LengthField, NumberField, TextField, TypedField
from designer.window.part_forms import PART_FORMS, Size, make_part, misfit, own_part_id
from designer.window.quantity_fields import CurveField
from designer.window.tints import toned_label

_M_PER_FOOT = 12 * MM_PER_INCH / 1000


class MeasuredPartDialog(QDialog):
    """Asks for a name and every size of one part; `part_made` brings the part.

    `like` is a part of this kind whose sizes stand beside the empty fields as examples, so that
    nothing counts as measured that was not typed. An own part given as `again` is measured anew.
    """

    part_made = Signal(object)

    def __init__(
        self,
        kind: str,
        catalogue: Catalogue,
        units: UnitSystem,
        like: Part | None = None,
        again: Part | None = None,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._kind, self._catalogue, self._units = kind, catalogue, units
        self._again = again
        self._form = PART_FORMS[kind]
        self.setWindowTitle(f"Measure your own {self._form.noun}")
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.name = TextField("Name", "What to call it in the lists", bounds_of(BucketPart, "name"))
        self.name.show_value(again.name if again else "")
        if not again:
            self.name.line.setPlaceholderText(f"My {self._form.noun}")
        self.fields: dict[str, Field] = {}
        column = QVBoxLayout()
        column.addWidget(self.name)
        for size in self._form.sizes:
            field = self._field(size)
            field.set_note(size.how)
            if again is not None:
                field.show_value(getattr(again, size.field))
            elif like is not None and isinstance(field, TypedField):
                example = field.write(getattr(like, size.field))
                field.set_note(f"{size.how}; about {example}" if example else size.how)
            self.fields[size.field] = field
            column.addWidget(field)
        column.addStretch(1)
        if "shape" in self.fields:
            self._shape_chosen(self.fields["shape"].value)
        self.problem = toned_label("", "refused")
        self.problem.hide()
        buttons = QDialogButtonBox(
            QDialogButtonBox.StandardButton.Save | QDialogButtonBox.StandardButton.Cancel
        )
        buttons.accepted.connect(self._save)
        buttons.rejected.connect(self.reject)
        self._lay_out(column, buttons)

    def _lay_out(self, column: QVBoxLayout, buttons: QDialogButtonBox) -> None:
        column.setSpacing(10)
        inner = QWidget()
        inner.setLayout(column)
        scroll = QScrollArea()
        scroll.setWidget(inner)
        scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        scroll.setWidgetResizable(True)
        scroll.setFrameShape(QFrame.Shape.NoFrame)
        scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        outer = QVBoxLayout(self)
        outer.addWidget(
            toned_label("Measure the part in your hand, and type every size.", "soft", self)
        )
        outer.addWidget(scroll, 1)
        outer.addWidget(self.problem)
        outer.addWidget(buttons)
        self.resize(400, min(620, inner.sizeHint().height() + 150))

    def _field(self, size: Size) -> Field:
        bounds = bounds_of(self._form.record, size.field)
        match size.form:
            case "length":
                return LengthField(size.label, size.how, bounds, self._units, places=1)
            case "flow":
                return FlowField(size.label, size.how, bounds, self._units)
            case "head":
                unit, metres = ("m", 1.0) if self._units == "metric" else ("ft", _M_PER_FOOT)
                return NumberField(size.label, size.how, bounds, unit, size=metres)
            case "density":
                return NumberField(size.label, size.how, bounds, "kg/m³")
            case "percent":
                return NumberField(size.label, size.how, bounds, "%")
            case "power":
                return NumberField(size.label, size.how, bounds, "W")
            case "number":
                return NumberField(size.label, size.how, bounds, "")
            case "curve":
                return CurveField(size.label, size.how, self._units)
            case "shape":
                choice = ChoiceField(size.label, size.how)
                choice.set_choices((("box", "Box", ""), ("round", "Round", "")))
                choice.show_value("box")
                choice.entered.connect(self._shape_chosen)
                return choice

    def _shape_chosen(self, shape: str) -> None:
        for name in ("rim_width", "base_width"):
            self.fields[name].setVisible(shape == "box")

    def _save(self) -> None:
        """Hand the part over when every size is there and fits the others."""
        every: list[Field] = [self.name, *self.fields.values()]
        every = [field for field in every if not field.isHidden()]
        for field in every:
            field.finish()
        for field in every:
            if field.reason or field.value in (None, ""):
                self._say(field.reason or f"Type “{field.label}” too.")
                field.entry.setFocus()
                return
        sizes = {name: field.value for name, field in self.fields.items()}
        if sizes.get("shape") == "round":
            sizes["rim_width"], sizes["base_width"] = sizes["rim_length"], sizes["base_length"]
        problem = misfit(self._kind, sizes)
        if problem:
            self._say(problem)
            return
        part_id = self._again.id if self._again else own_part_id(self._catalogue, self._kind)
        self.part_made.emit(make_part(self._kind, part_id, self.name.value, sizes))
        self.accept()

    def _say(self, problem: str) -> None:
        self.problem.setText(problem)
        self.problem.show()
