"""The questions of the start page: from a few answers to a first design."""

from typing import Any, get_args

from PySide6.QtCore import QLocale, QSettings, Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from designer.model.catalogue import load_catalogue
from designer.model.design import Design, Paper
from designer.model.parts import BucketPart
from designer.sketch import Answers, SketchError, sketch
from designer.units import UnitSystem
from designer.window.bounds import Bounds, bounds_of
from designer.window.choice_fields import ChoiceField
from designer.window.fields import Field, LengthField, NumberField, TextField
from designer.window.part_forms import PART_FORMS, make_part, misfit, own_part_id

MEASURED = "measured"
"""The choice of a bucket that the person measures."""
_ASKED_SIZES = ("rim_diameter", "base_diameter", "height")
_BUCKET_BOUNDS = {
    "rim_diameter": Bounds(at_least=120.0, at_most=800.0),
    "base_diameter": Bounds(at_least=80.0, at_most=800.0),
    "height": Bounds(at_least=120.0, at_most=1000.0),
}
"""Sizes that a bucket for one plant can have; common practice, no source."""


class Questions(QWidget):
    """The form. `changed` comes after an answer; `problem` says what is still wrong."""

    changed = Signal()

    def __init__(self, settings: QSettings, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._settings = settings
        self.design: Design | None = None
        """The design that the answers give; None when they do not fit together."""
        self.problem = ""
        self._catalogue = load_catalogue()
        units = first_units(settings)
        self.title = TextField("Name of the bed", "What to call it", bounds_of(Design, "title"))
        self.title.show_value("My bucket bed")
        self.by = _choice(
            "How large?",
            "Say one; the other follows",
            (("count", "I know how many buckets"), ("length", "I know how long the space is")),
            "count",
        )
        self.count = NumberField(
            "Buckets", "How many buckets", Bounds(at_least=1, at_most=200), whole=True
        )
        self.count.show_value(8)
        self.length = LengthField(
            "Length of the whole space, reservoir included",
            "From end to end along the bed; a reservoir beyond the end stands in it too",
            Bounds(at_least=300.0, at_most=60_000.0),
            units,
        )
        length, bucket, _ = _USUAL[units]
        self.length.show_value(length)
        crops = tuple((crop.id, crop.name) for crop in self._catalogue.crops.values())
        self.crop = _choice("What will you grow?", "Sets the room for each plant", crops)
        buckets = tuple((part.id, part.name) for part in self._catalogue.of_kind("bucket"))
        self.bucket = _choice(
            "Which bucket?",
            "Makers differ: measure yours before you drill",
            (*buckets, (MEASURED, "One that I measure now")),
            bucket,
        )
        self.sizes = {
            size.field: LengthField(size.label, size.how, _BUCKET_BOUNDS[size.field], units)
            for size in PART_FORMS["bucket"].sizes
            if size.field in _ASKED_SIZES
        }
        self.reservoir = _choice(
            "Where does the reservoir stand?",
            "A sunken tote or barrel that the water runs back to",
            (("end", "Beyond the end of the bed"), ("beside", "Beside the bed")),
            "end",
        )
        self.units = _choice(
            "Units",
            "You can change them at any time",
            (("metric", "Metric (mm)"), ("imperial", "Feet, inches")),
            units,
        )
        self.paper = _choice(
            "Paper",
            "What your printer takes",
            (("a4", "A4"), ("letter", "Letter")),
            first_paper(settings),
        )
        self._units = units
        self._lay_out()
        self._read()

    @property
    def fields(self) -> tuple[Field, ...]:
        """Every question, from top to bottom."""
        return (
            self.title, self.by, self.count, self.length, self.crop, self.bucket,
            *self.sizes.values(), self.reservoir, self.units, self.paper,
        )  # fmt: skip

    def finish(self) -> Design | None:
        """The design drawn from the answers, half-typed ones included; None with a `problem`."""
        for field in self.fields:
            if not field.isHidden():
                field.finish()
        self._read()
        if self.design is not None:
            self._settings.setValue("units", self.units.value)
            self._settings.setValue("paper", self.paper.value)
        return self.design

    def _lay_out(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(9)
        for field in self.fields:
            field.entered.connect(self._entered)
            if field not in (self.units, self.paper):
                column.addWidget(field)
        line = QHBoxLayout()
        line.setSpacing(12)
        line.addWidget(self.units, 2)
        line.addWidget(self.paper, 1)
        column.addLayout(line)
        column.addStretch(1)

    def _entered(self, _value: Any) -> None:
        units: UnitSystem = self.units.value
        if units != self._units:
            self._change_units(units)
        self._read()
        self.changed.emit()

    def _change_units(self, units: UnitSystem) -> None:
        """Ask in other units; what was left as it was becomes what is usual with them."""
        for length in (self.length, *self.sizes.values()):
            length.set_units(units)
        fields: tuple[Field, ...] = (self.length, self.bucket, self.paper)
        for field, before, now in zip(fields, _USUAL[self._units], _USUAL[units], strict=True):
            if field.value == before:
                field.show_value(now)
        self._units = units

    def _read(self) -> None:
        """Show the questions that go with the answers, and draw the design."""
        by_length, measured = self.by.value == "length", self.bucket.value == MEASURED
        self.count.setVisible(not by_length)
        self.length.setVisible(by_length)
        for field in self.sizes.values():
            field.setVisible(measured)
        self.design, self.problem = None, ""
        refused = next((f for f in self.fields if f.reason and not f.isHidden()), None)
        if refused is not None:
            self.problem = refused.reason
            return
        bucket: str | BucketPart = self.bucket.value
        if measured:
            part = self._measured_bucket()
            if part is None:
                return
            bucket = part
        try:
            self.design = sketch(
                Answers(
                    title=self.title.value,
                    buckets=None if by_length else int(self.count.value),
                    space_length=self.length.value if by_length else None,
                    crop=self.crop.value,
                    bucket=bucket,
                    units=self.units.value,
                    paper=self.paper.value,
                    reservoir=self.reservoir.value,
                )
            )
        except SketchError as error:
            self.problem = str(error)

    def _measured_bucket(self) -> BucketPart | None:
        """The bucket as measured; its lip and wall are those of the shipped one nearest in width.

        Both can be measured later, under Measured parts.
        """
        sizes = {name: field.value for name, field in self.sizes.items()}
        if any(value is None for value in sizes.values()):
            self.problem = "Measure your bucket: across the rim, across the base, and its height."
            return None
        shipped = [
            self._catalogue.part(p.id, BucketPart) for p in self._catalogue.of_kind("bucket")
        ]
        like = min(shipped, key=lambda p: abs(p.rim_diameter - sizes["rim_diameter"]))
        lip = like.rim_diameter - like.top_diameter
        sizes |= {"top_diameter": sizes["rim_diameter"] - lip, "wall": like.wall}
        problem = misfit("bucket", sizes)
        if problem:
            self.problem = problem
            return None
        part_id = own_part_id(self._catalogue, "bucket")
        part = make_part("bucket", part_id, "My bucket", sizes)
        assert isinstance(part, BucketPart)
        return part


_USUAL: dict[UnitSystem, tuple[float, str, Paper]] = {
    "metric": (3000.0, "bucket-20-l", "a4"),
    "imperial": (3048.0, "pail-5-gal", "letter"),
}
"""Length of the space, bucket and paper to begin with."""


def _choice(
    label: str, why: str, choices: tuple[tuple[Any, str], ...], chosen: Any = None
) -> ChoiceField:
    field = ChoiceField(label, why)
    field.set_choices([(value, text, "") for value, text in choices])
    field.show_value(choices[0][0] if chosen is None else chosen)
    return field


def first_units(settings: QSettings) -> UnitSystem:
    """The units last used, else those of the person's country."""
    last = settings.value("units", "", type=str)
    if last in ("metric", "imperial"):
        return "imperial" if last == "imperial" else "metric"
    metric = QLocale().measurementSystem() == QLocale.MeasurementSystem.MetricSystem
    return "metric" if metric else "imperial"


def first_paper(settings: QSettings) -> Paper:
    """The name of the paper last used, else the usual one beside the units."""
    kept = settings.value("paper", "", type=str)
    usual = _USUAL[first_units(settings)][2]
    return next((paper for paper in get_args(Paper) if paper == kept), usual)
