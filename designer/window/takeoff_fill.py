"""The filling page of the Take-off panel: medium and bags, solution, nutrient, EC and pH."""

from collections.abc import Iterable

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from designer.analysis import Analysis
from designer.takeoff.fill import FillPlan
from designer.takeoff.fill_words import (
    FillLine,
    crop_lines,
    medium_lines,
    nutrient_lines,
    solution_lines,
    source_lines,
)
from designer.units import UnitSystem
from designer.window.entries import Section, fill_entry
from designer.window.quantity_fields import CONDUCTIVITY, DOSE, PERCENT
from designer.window.sections import Form, SectionBox
from designer.window.tints import toned_label

MEDIUM, SOLUTION, NUTRIENT = "Medium", "Solution", "Nutrient"
WINDOWS, SOURCES = "EC and pH to hold", "What each source says"
FILL_FIELDS: tuple[Section, ...] = (
    Section(
        MEDIUM,
        (
            fill_entry(
                "bags",
                "Bags it is sold in",
                "With semicolons between them. Empty: only the litres are told.",
                "bags",
                step="Set the bags of medium",
            ),
            fill_entry(
                "settling",
                "Settles by",
                "How much loose medium sinks when it is watered in: 5 to 10 % (from memory).",
                measure=PERCENT,
                step="Set how much the medium settles",
            ),
        ),
    ),
    Section(SOLUTION, ()),
    Section(
        NUTRIENT,
        (
            fill_entry("nutrient", "Name", "What is written on the jug.", "text"),
            fill_entry(
                "dose_unit",
                "Dosed in",
                "Millilitres of a liquid, or grams of a powder.",
                "choice",
                options=(("ml", "millilitres"), ("g", "grams")),
                step="Change what the nutrient is dosed in",
            ),
            fill_entry(
                "label_rate",
                "Rate on its label, ml or g",
                "To a litre of water, or to a gallon in feet and inches. Of a nutrient in two "
                "parts, that of one part.",
                measure=DOSE,
                blank="not known",
                step="Set the rate on the nutrient's label",
            ),
            fill_entry(
                "rate_ec",
                "EC this rate adds",
                "Stir it into plain water at the label’s rate, measure, and take off the EC of the "
                "plain water.",
                measure=CONDUCTIVITY,
                blank="not measured",
                step="Set the EC the rate adds",
            ),
            fill_entry(
                "water_ec",
                "EC of plain water",
                "Your tap or rain water, measured before anything is stirred in.",
                measure=CONDUCTIVITY,
                blank="not measured",
            ),
            fill_entry(
                "target_ec",
                "EC you aim at",
                "Sources differ; see the ranges below. Where water stands in the sump salts "
                "gather, so stay in their lower half (common practice, no source).",
                measure=CONDUCTIVITY,
                blank="not set",
                step="Set the EC you aim at",
            ),
        ),
    ),
    Section(WINDOWS, ()),
    Section(SOURCES, (), open=False),
)


class Lines(QWidget):
    """Names with what is to be said of each below, over the whole width."""

    def __init__(self) -> None:
        super().__init__()
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(2)
        self._shown: tuple[FillLine, ...] = ()

    def show_lines(self, lines: Iterable[FillLine]) -> None:
        """Show these, if they are others than before."""
        lines = tuple(lines)
        if lines == self._shown:
            return
        self._shown = lines
        while (item := self._column.takeAt(0)) is not None:
            gone = item.widget()
            gone.hide()
            gone.setParent(None)  # at once, for readers of the screen
            gone.deleteLater()
        for line in lines:
            name = toned_label(line.label, "soft")
            said = toned_label(line.text[:1].upper() + line.text[1:], "plain")
            said.setAccessibleName(line.label)
            said.setContentsMargins(0, 0, 0, 6)
            for shown in (name, said):
                shown.setToolTip(line.why)
                self._column.addWidget(shown)

    @property
    def text(self) -> str:
        """All that is shown."""
        return "\n".join(f"{line.label}: {line.text}" for line in self._shown)


class FillPage(QWidget):
    """Shows the filling of a take-off, and the fields of the design that it needs."""

    entered = Signal(object, object)
    """An Entry and the value that was entered for it."""

    def __init__(self, units: UnitSystem) -> None:
        super().__init__()
        self.form = Form(FILL_FIELDS, units)
        self.form.entered.connect(self.entered)
        self.lines = {title: Lines() for title in (MEDIUM, SOLUTION, NUTRIENT, WINDOWS, SOURCES)}
        for title, lines in self.lines.items():
            self.box(title).column.insertWidget(0, lines)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 4, 4, 0)
        column.addWidget(self.form, 1)

    def box(self, title: str) -> SectionBox:
        """The section with a heading."""
        return self.form.boxes[title]

    def results(self) -> list[QWidget]:
        """What is pale while it is worked out again."""
        return list(self.lines.values())

    def show_fields(self, analysis: Analysis) -> None:
        """Show what the design holds."""
        self.form.show_values(analysis, ("fill",))

    def show_plan(self, plan: FillPlan, units: UnitSystem) -> None:
        """Show the filling."""
        self.lines[MEDIUM].show_lines(medium_lines(plan, units))
        self.lines[SOLUTION].show_lines(solution_lines(plan, units))
        self.lines[NUTRIENT].show_lines(nutrient_lines(plan, units))
        self.lines[WINDOWS].show_lines(crop_lines(plan))
        self.lines[SOURCES].show_lines(
            FillLine(f"{need.crop.name}: {said.label}", said.text)
            for need in plan.crops
            for said in source_lines(need)
        )
        for title in (WINDOWS, SOURCES):
            self.box(title).setVisible(bool(plan.crops))
