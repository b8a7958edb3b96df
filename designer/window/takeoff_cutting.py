"""The cutting page of the Take-off panel: each stick with its cuts, and how sticks are bought."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QPushButton, QVBoxLayout, QWidget

from designer.analysis import Analysis
from designer.model.parts import BoardPart, PipePart
from designer.takeoff.lines import JOINED_OTHERWISE
from designer.takeoff.pieces import joined_otherwise
from designer.takeoff.sticks import KERF, PartPlan
from designer.takeoff.whole import BedTakeoff
from designer.units import UnitSystem, format_length, style_for
from designer.window.sections import SectionBox
from designer.window.stick_bar import StickBar
from designer.window.takeoff_fields import BlankLengthField, LengthListField, kerf_text
from designer.window.takeoff_settings import KERF_BOUNDS, STICK_BOUNDS, TakeoffSettings
from designer.window.takeoff_words import alike, part_words, proof_words, stick_words
from designer.window.tints import toned_label


class PartBox(SectionBox):
    """One part that is cut: what to buy, its sticks, and the lengths it is sold or owned in."""

    lengths_entered = Signal(str, object)
    """"sticks" or "offcuts", and the lengths typed."""

    def __init__(self, title: str, units: UnitSystem) -> None:
        super().__init__(title, True)
        self.buy = toned_label("", "strong")
        self.proof = toned_label("", "soft")
        self.drawing = QWidget()
        self._column = QVBoxLayout(self.drawing)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(4)
        self.unplaced = toned_label("", "refused")
        self.note = toned_label(JOINED_OTHERWISE, "plain")
        self.sticks = LengthListField(
            "Lengths it is sold in",
            "With semicolons between them. Empty: those of the price book, else the usual stick.",
            STICK_BOUNDS,
            units,
        )
        self.offcuts = LengthListField(
            "Offcuts you own",
            "With semicolons between them, one for each piece. They are used first.",
            STICK_BOUNDS,
            units,
        )
        self.offcuts.line.setPlaceholderText("none")
        for shown in (
            self.buy,
            self.proof,
            self.drawing,
            self.unplaced,
            self.note,
            self.sticks,
            self.offcuts,
        ):
            self.column.addWidget(shown)
        self.note.hide()
        for name, field in (("sticks", self.sticks), ("offcuts", self.offcuts)):
            field.entered.connect(lambda value, name=name: self.lengths_entered.emit(name, value))
        self._shown: tuple[PartPlan, UnitSystem] | None = None

    def show_plan(self, plan: PartPlan, units: UnitSystem) -> None:
        """Draw the sticks."""
        if self._shown == (plan, units):
            return
        self._shown = plan, units
        self.buy.setText(part_words(plan, units))
        self.proof.setText(proof_words(plan))
        marks = ", ".join(cut.mark for cut in plan.unplaced)
        self.unplaced.setText(f"Longer than any stick that is sold: {marks}." if marks else "")
        self.unplaced.setVisible(bool(marks))
        while (item := self._column.takeAt(0)) is not None:
            shown = item.widget()
            shown.hide()
            shown.setParent(None)  # at once, for readers of the screen
            shown.deleteLater()
        longest = max((stick.stock for stick in plan.sticks), default=1.0)
        for stick, count in alike(plan.sticks):
            words = stick_words(stick, count, units)
            self._column.addWidget(StickBar(stick, longest, words))
            self._column.addWidget(toned_label(words, "soft"))


class CuttingPage(QWidget):
    """Kerf above, then a section for each part that is cut from sticks."""

    entered = Signal()
    """The settings have changed."""

    def __init__(self, settings: TakeoffSettings, units: UnitSystem) -> None:
        super().__init__()
        self._settings = settings
        self._units: UnitSystem = units
        self.kerf = BlankLengthField(
            "Width of the saw’s cut (kerf)",
            "What the saw turns to dust at each cut. Empty: the usual one.",
            KERF_BOUNDS,
            units,
            places=1,
        )
        self.kerf.entered.connect(self._kerf_entered)
        self.export = QPushButton("Save the sticks as CS&V…")
        self.boxes: dict[str, PartBox] = {}
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 4, 4, 0)
        self._column.setSpacing(6)
        self._column.addWidget(self.kerf)
        self._column.addStretch(1)
        self._column.addWidget(self.export)

    def results(self) -> list[QWidget]:
        """What is pale while it is worked out again."""
        shown = [[box.buy, box.proof, box.drawing, box.unplaced] for box in self.boxes.values()]
        return [self.export, *(widget for some in shown for widget in some)]

    def show_takeoff(self, analysis: Analysis, takeoff: BedTakeoff) -> None:
        """Show the stock plan of a take-off."""
        units = self._units = analysis.design.units
        self.kerf.set_units(units)
        self.kerf.show_value(self._settings.kerf(units))
        self.kerf.line.setPlaceholderText(kerf_text(KERF[units], units))
        otherwise = joined_otherwise(analysis, takeoff.plan.sold)
        plans = {plan.part_id: plan for plan in takeoff.plan.parts}
        for part_id in [part_id for part_id in self.boxes if part_id not in plans]:
            box = self.boxes.pop(part_id)
            box.hide()
            box.deleteLater()
        for number, (part_id, plan) in enumerate(plans.items(), 1):
            box = self.boxes.get(part_id) or self._make_box(part_id, plan.part)
            self._column.insertWidget(number, box)
            box.show_plan(plan, units)
            box.note.setVisible(part_id in otherwise)
            box.sticks.line.setPlaceholderText(self._sold(analysis, part_id))
            for field, kept in (
                (box.sticks, self._settings.stocks),
                (box.offcuts, self._settings.offcuts),
            ):
                field.set_units(units)
                field.show_value(kept.get(part_id, ()))

    def _make_box(self, part_id: str, title: str) -> PartBox:
        box = self.boxes[part_id] = PartBox(title, self._units)
        box.lengths_entered.connect(
            lambda name, lengths: self._lengths_entered(name, part_id, lengths)
        )
        return box

    def _sold(self, analysis: Analysis, part_id: str) -> str:
        """The sticks in force where none are typed."""
        part = analysis.catalogue.parts[part_id]
        assert isinstance(part, PipePart | BoardPart)
        book = self._settings.book
        sold = [p.holds[0] for p in book.of(part_id) if p.holds[1] == "length"] if book else []
        style = style_for(self._units)
        lengths = sorted(set(sold)) or [part.stick_length]
        return "; ".join(format_length(length, style) for length in lengths)

    def _kerf_entered(self, kerf: float | None) -> None:
        self._settings.set_kerf(self._units, kerf)
        self.entered.emit()

    def _lengths_entered(self, name: str, part_id: str, lengths: tuple[float, ...]) -> None:
        self._settings.set_lengths(name, part_id, lengths)
        self.entered.emit()
