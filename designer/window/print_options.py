"""What to print, on which paper and by which printer: the fields shared by preview and export."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QCheckBox, QPushButton, QVBoxLayout, QWidget

from designer.canvas.document import Document
from designer.sheet.calibration import UNCORRECTED, Correction
from designer.sheet.options import USUAL, SheetOptions
from designer.sheet.paper import PAPERS, ROLLS, Paper, roll
from designer.sheet.template import KIND_WORDS, TemplateKind
from designer.sheet.template_values import templates_of
from designer.units import QuantityError
from designer.window.choice_fields import ChoiceField, YesNoField
from designer.window.dialogs import all_allowed
from designer.window.fields import LengthField
from designer.window.print_layout import printer_names
from designer.window.printer_corrections import PrinterCorrections, correction_words
from designer.window.tints import toned_label

if TYPE_CHECKING:
    from designer.window.shell import Shell

NO_PRINTER = ""
ROLL = "roll"
_PAPERS = [(name, paper.name, "") for name, paper in PAPERS.items()]


class RollField(LengthField):
    """The width of a roll of paper, one that a roll for templates has."""

    def read(self, text: str) -> float:
        width = super().read(text)
        try:
            roll(width)
        except ValueError as error:
            raise QuantityError(str(error)) from error
        return width


class PrintOptions(QWidget):
    """The fields. `changed` comes with every choice that changes the pages."""

    changed = Signal()
    printer_changed = Signal()

    def __init__(self, document: Document, only_templates: bool, shell: "Shell") -> None:
        super().__init__()
        self._shell = shell
        self._design = design = document.analysis.design
        self._corrections = PrinterCorrections(shell.settings)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(12)
        self.what = ChoiceField("What to print", "")
        self.what.set_choices(
            [
                ("sheet", "The whole build sheet", "Drawings, lists, checks and drill templates"),
                ("templates", "Drill templates only", "Full size, to drill through"),
                ("reading", "The build sheet without templates", "To read and to pass on"),
            ]
        )
        self.what.show_value("templates" if only_templates else "sheet")
        self.ticks = self._make_ticks(document)
        self.buckets = self._make_buckets(document)
        self.paper = ChoiceField("Paper", "What your printer takes")
        self.paper.set_choices(_PAPERS)
        self.paper.show_value(design.paper)
        self.template_paper = ChoiceField("Paper of the templates", "Large paper needs fewer seams")
        self.template_paper.set_choices([*_PAPERS, (ROLL, "From a roll", "In one long piece")])
        self.template_paper.show_value(design.paper)
        self.roll = RollField("Width of the roll", "Across the paper", units=design.units)
        self.roll.show_value(next(iter(ROLLS.values())).width)
        self._own_paper = False
        self.printer = ChoiceField("Printer", "Its correction is used for the templates")
        self.corrected = YesNoField("Correct the templates for it", "As its calibration page says")
        self.corrected.show_value(True)
        self.words = toned_label("", "soft")
        self.calibrate = QPushButton("Cali&brate a printer…")
        self.calibrate.setAutoDefault(False)
        self.calibrate.clicked.connect(self._calibrate)
        for widget in (
            self.what, self._tick_box, self.buckets, self.paper, self.template_paper, self.roll,
            self.printer, self.corrected, self.words, self.calibrate,
        ):  # fmt: skip
            column.addWidget(widget)
        column.addStretch(1)
        for field in (self.what, self.buckets, self.roll):
            field.entered.connect(lambda _: self._choose())
        self.corrected.entered.connect(self._choose_corrected)
        self.paper.entered.connect(self._choose_paper)
        self.template_paper.entered.connect(self._choose_template_paper)
        self.printer.entered.connect(self._choose_printer)
        self.show_printers(printer_names())
        self._show()

    # --- what was chosen ------------------------------------------------------------------------

    @property
    def printer_name(self) -> str:
        """The printer chosen; NO_PRINTER for none."""
        return self.printer.value or NO_PRINTER

    @property
    def template_sheet(self) -> Paper:
        """The paper of the templates."""
        name = self.template_paper.value
        return roll(self.roll.value) if name == ROLL else PAPERS[name]

    @property
    def correction(self) -> Correction:
        """What the templates are drawn with."""
        if not self.corrected.value or self.what.value == "reading":
            return UNCORRECTED
        return self._corrections.of(self.printer_name, self.template_sheet.name)

    def options(self) -> SheetOptions:
        """All of it, for the pages."""
        ticked = frozenset(kind for kind, box in self.ticks.items() if box.isChecked())
        return SheetOptions(
            paper=PAPERS[self.paper.value],
            template_paper=self.template_sheet,
            only_templates=self.what.value == "templates",
            templates=frozenset() if self.what.value == "reading" else ticked,
            buckets=self.buckets.value,
            correction=self.correction,
        )

    def allowed(self) -> bool:
        """Whether every field holds what can be; the one that does not has the focus."""
        return self.roll.isHidden() or all_allowed([self.roll])

    def choose_printer(self, name: str) -> None:
        """Take a printer that was chosen elsewhere."""
        if name not in self._printers:
            self.show_printers([*self._printers, name])
        self.printer.show_value(name)
        self._choose_printer(name)

    # --- the fields -----------------------------------------------------------------------------

    def _make_ticks(self, document: Document) -> dict[TemplateKind, QCheckBox]:
        """A box for each kind of template that this design has."""
        there = {template.kind for template in templates_of(document.analysis).templates}
        self._tick_box = QWidget()
        column = QVBoxLayout(self._tick_box)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        column.addWidget(toned_label("Templates", "strong"))
        made: dict[TemplateKind, QCheckBox] = {}
        for kind, words in KIND_WORDS.items():
            if kind in there:
                made[kind] = box = QCheckBox(words)
                box.setChecked(kind in USUAL)
                box.clicked.connect(lambda _: self._choose())
                column.addWidget(box)
        return made

    def _make_buckets(self, document: Document) -> ChoiceField:
        places, chosen = document.analysis.places, document.selection
        choices: list[tuple[frozenset[str] | None, str, str]] = [(None, "All buckets", "")]
        some = frozenset(subject for subject in chosen if subject in places)
        if some and len(some) < len(places):
            words = "The bucket" if len(some) == 1 else f"The {len(some)} buckets"
            choices.append((some, f"{words} chosen on the sheet", ""))
        if len(document.analysis.runs) > 1:
            for layout in document.analysis.runs:
                ids = frozenset(bucket.id for bucket in layout.run.buckets)
                if ids:
                    choices.append((ids, f"Those of {layout.run.name}", ""))
        field = ChoiceField("For which buckets", "Templates that serve these buckets")
        field.set_choices(choices)
        field.show_value(None)
        return field

    def show_printers(self, names: Sequence[str]) -> None:
        """Offer these printers and those whose corrections are kept."""
        kept = [one.printer for one in self._corrections.all()]
        self._printers = names = list(dict.fromkeys([*names, *kept]))
        self.printer.set_choices(
            [(NO_PRINTER, "Not chosen yet", "The templates are drawn as they are")]
            + [(name, name, "") for name in names]
        )
        last = str(self._shell.settings.value("printer", NO_PRINTER, type=str))
        self.printer.show_value(last if last in names else NO_PRINTER)

    def _choose(self) -> None:
        self._show()
        self.changed.emit()

    def _choose_corrected(self, corrected: bool) -> None:
        self.corrected.show_value(corrected)
        self._choose()

    def _choose_paper(self, name: str) -> None:
        if not self._own_paper:  # the templates go along until they are given their own
            self.template_paper.show_value(name)
        self._choose()

    def _choose_template_paper(self, name: str) -> None:
        self._own_paper = name != self.paper.value
        self._choose()

    def _choose_printer(self, name: str) -> None:
        before = self._drawn_with
        self._shell.settings.setValue("printer", name)
        self._show()
        self.printer_changed.emit()
        if self.correction != before:
            self.changed.emit()

    def _show(self) -> None:
        """Only the fields that mean something now."""
        templates = self.what.value != "reading"
        self._tick_box.setVisible(templates and bool(self.ticks))
        self.buckets.setVisible(templates and self.buckets.combo.count() > 1)
        self.paper.setVisible(self.what.value != "templates")
        self.template_paper.setVisible(templates)
        self.roll.setVisible(templates and self.template_paper.value == ROLL)
        self._drawn_with = self.correction
        kept = self._corrections.of(self.printer_name, self.template_sheet.name)
        self.corrected.setVisible(templates and kept != UNCORRECTED)
        paper = self.template_sheet.name
        if not templates:
            words = ""
        elif kept == UNCORRECTED:
            words = (
                f"No correction is kept for this printer on {paper}."
                if self.printer_name
                else "Choose your printer to use its correction, if it has one."
            )
        elif self.corrected.value:
            words = f"Templates on {paper} are drawn {correction_words(kept)} for this printer."
        else:
            words = f"The correction of this printer for {paper} is switched off."
        self.words.setText(words)
        self.words.setVisible(bool(words))

    def _calibrate(self) -> None:
        from designer.window.calibration_dialog import CalibrationDialog

        dialog = CalibrationDialog(
            self._shell, self._design.units, self.window(), self.printer_name, self.template_sheet
        )
        dialog.changed.connect(self._calibrated)
        dialog.kept.connect(lambda printer, _paper: self.choose_printer(printer))
        dialog.open()

    def _calibrated(self) -> None:
        """A correction came or went."""
        self.show_printers(self._printers)
        self._choose_printer(self.printer_name)
