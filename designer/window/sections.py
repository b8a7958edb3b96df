"""The body of the Dimensions panel: sections of fields made from the field table."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QLabel, QSizePolicy, QToolButton, QVBoxLayout, QWidget

from designer.analysis import Analysis
from designer.model.catalogue import Catalogue
from designer.units import UnitSystem
from designer.window.choice_fields import Choice, ChoiceField, NotesField, YesNoField
from designer.window.corners_field import CornersField
from designer.window.entries import Entry, Fact, Ids, Section
from designer.window.fields import (
    SEVERAL,
    Field,
    LengthField,
    LengthsField,
    LevelsField,
    NumberField,
    TextField,
)
from designer.window.part_forms import PART_FORMS, measure_note, part_evidence
from designer.window.quantity_fields import QuantityField
from designer.window.takeoff_fields import BagsField
from designer.window.tints import toned_label

MEASURE, AGAIN = "measure", "again"


def make_field(entry: Entry, units: UnitSystem) -> Field:
    """The field that suits an entry."""
    label, why, bounds = entry.label, entry.why, entry.bounds
    match entry.form:
        case "length":
            return LengthField(label, why, bounds, units)
        case "lengths":
            return LengthsField(label, why, bounds, units)
        case "levels":
            return LevelsField(label, why, bounds, units)
        case "degrees":
            return NumberField(label, why, bounds, "°")
        case "whole":
            return NumberField(label, why, bounds, whole=True)
        case "text":
            return TextField(label, why, bounds)
        case "notes":
            return NotesField(label, why, bounds)
        case "yes_no":
            return YesNoField(label, why)
        case "quantity":
            return QuantityField(label, why, bounds, entry.measure, units, entry.blank)
        case "bags":
            return BagsField(label, why, bounds, units)
        case "corners":
            return CornersField(label, why, bounds, units)
        case "choice":
            field = ChoiceField(label, why)
            field.set_choices([(value, text, "") for value, text in entry.options])
            return field
        case _:
            return ChoiceField(label, why)


def part_choices(entry: Entry, catalogue: Catalogue) -> tuple[Choice, ...]:
    """The parts or crops that an entry can be, with the evidence of their sizes."""
    blank: tuple[Choice, ...] = ((None, entry.blank, ""),) if entry.blank else ()
    if entry.form == "crop":
        crops = catalogue.crops.values()
        return blank + tuple(
            (c.id, c.name, str(catalogue.evidence_of(c.id, "canopy_spread"))) for c in crops
        )
    parts = catalogue.of_kind(entry.parts)
    return blank + tuple((p.id, p.name, part_evidence(catalogue, p)) for p in parts)


class FactLine(QWidget):
    """A computed value beside its name; not for typing."""

    def __init__(self, fact: Fact) -> None:
        super().__init__()
        self.fact = fact
        self.value = QLabel(self)
        self.value.setWordWrap(True)
        self.value.setTextFormat(Qt.TextFormat.PlainText)
        self.value.setAccessibleName(fact.label)
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setColumnStretch(0, 1)
        grid.setColumnStretch(1, 1)
        self.setToolTip(fact.why)
        self.value.setAccessibleDescription(fact.why)
        name = toned_label(fact.label, "soft", self)
        grid.addWidget(name, 0, 0, Qt.AlignmentFlag.AlignTop)
        grid.addWidget(self.value, 0, 1, Qt.AlignmentFlag.AlignTop)

    def show_text(self, text: str) -> None:
        """Show a text, if it is another one than before."""
        if text != self.value.text():
            self.value.setText(text)


class SectionBox(QWidget):
    """A heading that opens and closes the fields below it."""

    toggled = Signal(bool)

    def __init__(self, title: str, opened: bool) -> None:
        super().__init__()
        self.heading = QToolButton(self)
        self.heading.setObjectName("section")
        self.heading.setText(title)
        self.heading.setCheckable(True)
        self.heading.setAutoRaise(True)
        self.heading.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        self.heading.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.heading.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        font = self.heading.font()
        font.setBold(True)
        self.heading.setFont(font)
        self.body = QWidget(self)
        self.column = QVBoxLayout(self.body)
        self.column.setContentsMargins(6, 2, 0, 10)
        self.column.setSpacing(8)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.setSpacing(2)
        outer.addWidget(self.heading)
        outer.addWidget(self.body)
        self.heading.toggled.connect(self._toggle)
        self.heading.setChecked(opened)
        self._toggle(opened)

    def _toggle(self, opened: bool) -> None:
        self.heading.setArrowType(Qt.ArrowType.DownArrow if opened else Qt.ArrowType.RightArrow)
        self.heading.setAccessibleDescription("open" if opened else "closed")
        self.body.setVisible(opened)
        self.toggled.emit(opened)


class Form(QWidget):
    """All sections of one kind of thing. It shows values and passes on what is entered."""

    entered = Signal(object, object)
    """An Entry and the value that was entered for it."""
    asked = Signal(object, str)
    """An Entry of a part, and MEASURE or AGAIN."""

    def __init__(self, sections: tuple[Section, ...], units: UnitSystem) -> None:
        super().__init__()
        self.boxes: dict[str, SectionBox] = {}
        self.lines: list[tuple[SectionBox, Entry | Fact, Field | FactLine]] = []
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 4, 0)
        column.setSpacing(4)
        for section in sections:
            box = SectionBox(section.title, section.open)
            self.boxes[section.title] = box
            for line in section.lines:
                shown = self._line(line, units)
                box.column.addWidget(shown)
                self.lines.append((box, line, shown))
            column.addWidget(box)
        column.addStretch(1)

    def _line(self, line: Entry | Fact, units: UnitSystem) -> Field | FactLine:
        if isinstance(line, Fact):
            return FactLine(line)
        field = make_field(line, units)
        field.entered.connect(lambda value, entry=line: self.entered.emit(entry, value))
        if isinstance(field, ChoiceField):
            field.asked.connect(lambda name, entry=line: self.asked.emit(entry, name))
        return field

    def fields(self) -> list[Field]:
        """The fields, from the top."""
        return [line for _, _, line in self.lines if isinstance(line, Field)]

    def field(self, label: str) -> Field:
        """The field with a label; KeyError when there is none."""
        for field in self.fields():
            if field.label == label:
                return field
        raise KeyError(label)

    def show_values(self, analysis: Analysis, ids: Ids) -> None:
        """Show the values of things; facts of one thing only. Closed sections are left alone."""
        for box, line, shown in self.lines:
            if not box.heading.isChecked():
                continue
            if isinstance(shown, FactLine):
                assert isinstance(line, Fact)
                shown.setVisible(len(ids) == 1)
                if len(ids) == 1:
                    shown.show_text(line.text(analysis, ids[0]))
            else:
                assert isinstance(line, Entry)
                self._show_field(shown, line, analysis, ids)

    def _show_field(self, field: Field, entry: Entry, analysis: Analysis, ids: Ids) -> None:
        field.setVisible(entry.shown_if is None or any(entry.shown_if(analysis, i) for i in ids))
        field.set_units(analysis.design.units)
        value = common_value(entry.read, analysis, ids)
        if entry.form in ("part", "crop") and isinstance(field, ChoiceField):
            self._show_parts(field, entry, value, analysis)
        field.show_value(value)

    def _show_parts(self, field: ChoiceField, entry: Entry, value: Any, analysis: Analysis) -> None:
        catalogue = analysis.catalogue
        part = catalogue.parts.get(value) if isinstance(value, str) else None
        actions = []
        if entry.form == "part":
            actions.append((MEASURE, "New measured part…"))
            if part is not None and part in analysis.design.own_parts:
                actions.append((AGAIN, f"Measure “{part.name}” again…"))
            field.set_note(measure_note(catalogue, part) if part is not None else "")
        # The lists change only with the catalogue; making them anew at every drag would be slow.
        known = field.property("made_for")
        if known != (id(catalogue), tuple(actions)):
            field.setProperty("made_for", (id(catalogue), tuple(actions)))
            field.set_choices(part_choices(entry, catalogue), actions)


def common_value(read: Callable[[Analysis, str], Any], analysis: Analysis, ids: Ids) -> Any:
    """The value that all things share, or SEVERAL."""
    first = read(analysis, ids[0])
    return first if all(read(analysis, i) == first for i in ids[1:]) else SEVERAL


def plural(entry: Entry, ids: Ids) -> Entry:
    """An entry whose step says of how many things it is."""
    return entry if len(ids) == 1 else replace(entry, step=f"{entry.step} ({len(ids)} chosen)")


def noun_of(entry: Entry) -> str:
    """What a person calls the part that an entry chooses."""
    return PART_FORMS[entry.parts].noun
