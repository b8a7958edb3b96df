"""Makes a printer print true to size: print a page, measure two bars, keep what they say."""

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QHBoxLayout,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from designer.sheet.calibration import BarLengths, Correction, correction_from_measured
from designer.sheet.calibration_page import calibration_pdf, long_bars
from designer.sheet.paper import PAPERS, ROLLS, Paper
from designer.units import MM_PER_INCH, UnitSystem, format_length, style_for
from designer.window.bounds import Bounds
from designer.window.choice_fields import ChoiceField
from designer.window.dialogs import all_allowed
from designer.window.fields import LengthField, TextField
from designer.window.page_images import PageImages
from designer.window.print_layout import printer_names
from designer.window.print_sending import Sending
from designer.window.printer_corrections import (
    KeptCorrection,
    PrinterCorrections,
    correction_words,
)
from designer.window.tints import toned_label

if TYPE_CHECKING:
    from designer.window.shell import Shell

ANOTHER = "another"
KIND = "calibration page"
PRINTED = "Printed. Measure its long bars now."
_ITEM = Qt.ItemDataRole.UserRole


class BarField(LengthField):
    """A measured bar. Inches stand in decimals: to 1/16 in, a printer's fault would not be seen."""

    def write(self, value: float) -> str:
        if self.units == "metric":
            return super().write(value)
        return f"{value / MM_PER_INCH:.4f}".rstrip("0").rstrip(".") + '"'


class CalibrationDialog(QDialog):
    """Three steps one below the other, and what is kept already."""

    kept = Signal(str, str)
    """A printer and a paper whose correction is kept now."""
    changed = Signal()
    """What is kept changed."""

    def __init__(
        self,
        shell: "Shell",
        units: UnitSystem,
        parent: QWidget,
        printer: str = "",
        paper: Paper | None = None,
    ) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle("Calibrate a printer")
        self.setMinimumWidth(560)
        self._units = units
        self._corrections = PrinterCorrections(shell.settings)
        self._papers = {p.name: p for p in (*PAPERS.values(), *ROLLS.values())}
        if paper is not None:
            self._papers[paper.name] = paper
        self._sending = Sending(shell, "Rillwright", units, self, PRINTED)
        self._sending.ended.connect(self._say)
        self._sending.said.connect(self._say)
        self._images: PageImages | None = None
        column = QVBoxLayout(self)
        column.setSpacing(10)
        for part in (self._page_part(printer, paper), self._bars_part(), self._kept_part()):
            column.addWidget(part)
        column.addStretch(1)
        close = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        # Enter enters a length; it must not close what was half done.
        close.button(QDialogButtonBox.StandardButton.Close).setAutoDefault(False)
        close.rejected.connect(self.reject)
        column.addWidget(close)
        self._show_bars()
        self._show_kept()

    # --- the parts ------------------------------------------------------------------------------

    def _page_part(self, printer: str, paper: Paper | None) -> QWidget:
        part, column = _part("1. Print the calibration page at 100 %, on the paper you will use")
        names = list(dict.fromkeys([*filter(None, [printer]), *printer_names()]))
        self.printer = ChoiceField("Printer", "The one that will print your templates")
        self.printer.set_choices(
            [(name, name, "") for name in names]
            + [(ANOTHER, "Another one…", "On another computer, or at a print shop")]
        )
        self.printer.show_value(names[0] if names else ANOTHER)
        self.name = TextField(
            "Its name", "So that you know it again", Bounds(shortest=1, longest=60)
        )
        self.name.show_value("")
        self.paper = ChoiceField("Paper", "Each paper goes through a printer in its own way")
        self.paper.set_choices([(name, name, "") for name in self._papers])
        self.paper.show_value(paper.name if paper else next(iter(self._papers)))
        self.printer.entered.connect(lambda _: self._show_bars())
        self.paper.entered.connect(lambda _: self._show_bars())
        line = QHBoxLayout()
        line.addWidget(self.printer, 3)
        line.addWidget(self.paper, 2)
        column.addLayout(line)
        column.addWidget(self.name)
        self.print = QPushButton("&Print it…")
        self.save = QPushButton("Save it as P&DF…")
        self.print.clicked.connect(self._print)
        self.save.clicked.connect(self._save)
        buttons = QHBoxLayout()
        for button in (self.print, self.save):
            button.setAutoDefault(False)
            buttons.addWidget(button)
        self.said = toned_label("", "soft")
        buttons.addWidget(self.said, 1)
        column.addLayout(buttons)
        return part

    def _bars_part(self) -> QWidget:
        part, column = _part("2. Measure the two long bars, from tick to tick")
        self.across = self._bar_field("Bar across the page")
        self.along = self._bar_field("Bar along the page")
        for field in (self.across, self.along):
            column.addWidget(field)
            field.entered.connect(lambda _: self._show_result())
            field.line.textEdited.connect(lambda _: self._show_result())
        self.means = toned_label("", "strong")
        self.reason = toned_label("", "refused")
        column.addWidget(self.means)
        column.addWidget(self.reason)
        self.keep = QPushButton("&Keep this correction")
        self.keep.setAutoDefault(False)
        self.keep.clicked.connect(self._keep)
        line = QHBoxLayout()
        line.addWidget(self.keep)
        line.addStretch(1)
        column.addLayout(line)
        return part

    def _kept_part(self) -> QWidget:
        part, column = _part("Kept corrections")
        self.none = toned_label("None yet. Templates are drawn as they are.", "soft")
        self.list = QListWidget()
        self.list.setAccessibleName("Kept corrections")
        self.list.setMaximumHeight(6 * self.fontMetrics().lineSpacing())
        self.list.currentItemChanged.connect(lambda *_: self._enable())
        self.forget = QPushButton("&Forget it")
        self.forget.setAutoDefault(False)
        self.forget.clicked.connect(self._forget)
        column.addWidget(self.none)
        column.addWidget(self.list)
        line = QHBoxLayout()
        line.addWidget(self.forget)
        line.addStretch(1)
        column.addLayout(line)
        return part

    def _bar_field(self, label: str) -> BarField:
        field = BarField(label, "As your ruler says; to half a mm, or 1/32 in",
                            units=self._units, places=1)  # fmt: skip
        field.show_value(None)
        return field

    # --- what is shown --------------------------------------------------------------------------

    @property
    def _paper(self) -> Paper:
        return self._papers[self.paper.value]

    @property
    def _printer(self) -> str:
        """The printer's name; empty while it has none."""
        return self.name.value if self.printer.value == ANOTHER else self.printer.value

    def _show_bars(self) -> None:
        """The bars of the paper chosen; what was measured on another one is dropped."""
        self.name.setVisible(self.printer.value == ANOTHER)
        drawn = long_bars(self._paper, self._units)
        for field, length in ((self.across, drawn.across), (self.along, drawn.along)):
            field.show_value(None)
            words = format_length(length, style_for(self._units), 1)
            field.line.setPlaceholderText(words)
            field.set_note(f"Should be {words}")
        self._show_result()

    def _show_result(self) -> None:
        result, reason = "", ""
        if self.across.value is not None and self.along.value is not None:
            try:
                result = _said(self._correction())
            except ValueError as error:
                reason = str(error)
        for label, words in ((self.means, result), (self.reason, reason)):
            label.setText(words)
            label.setVisible(bool(words))
        self.keep.setEnabled(not reason)

    def _show_kept(self) -> None:
        self.list.clear()
        for one in self._corrections.all():
            item = QListWidgetItem(
                f"{one.printer}, {one.paper}: {correction_words(one.correction)}"
            )
            item.setData(_ITEM, one)
            self.list.addItem(item)
        self.none.setVisible(not self.list.count())
        for widget in (self.list, self.forget):
            widget.setVisible(bool(self.list.count()))
        self._enable()

    def _enable(self) -> None:
        self.forget.setEnabled(self.list.currentItem() is not None)

    def _say(self, words: str) -> None:
        self.said.setText(words)
        self.print.setEnabled(not self._sending.printing)

    # --- what is done ---------------------------------------------------------------------------

    def _correction(self) -> Correction:
        measured = BarLengths(self.across.value, self.along.value)
        return correction_from_measured(measured, long_bars(self._paper, self._units))

    def _print(self) -> None:
        self._close_images()
        self._images = images = PageImages(calibration_pdf(self._paper, self._units))
        name = "" if self.printer.value == ANOTHER else self.printer.value
        printer = self._sending.printer(images, name, KIND)
        if printer is None:
            return
        chosen = "" if printer.outputFileName() else printer.printerName()
        if chosen and chosen != self.printer.value:  # what will be measured is of that one
            self.printer.set_choices([(chosen, chosen, ""), (ANOTHER, "Another one…", "")])
            self.printer.show_value(chosen)
            self._show_bars()
        self._say("Printing…")
        self.print.setEnabled(False)
        self._sending.print(images, printer, 0)

    def _save(self) -> None:
        self._sending.save(calibration_pdf(self._paper, self._units), KIND)

    def _keep(self) -> None:
        named = [self.name] if self.printer.value == ANOTHER else []
        if not all_allowed([*named, self.across, self.along]):
            return
        if named and not self.name.value:
            self._refuse("Type a name for the printer.", self.name)
            return
        for field in (self.across, self.along):
            if field.value is None:
                self._refuse("Type what your ruler says of both bars.", field)
                return
        try:
            correction = self._correction()
        except ValueError:
            self._show_result()
            return
        self._corrections.keep(self._printer, self._paper.name, correction)
        self._show_kept()
        self.means.setText(f"{_said(correction)} Kept for {self._printer} on {self._paper.name}.")
        self.kept.emit(self._printer, self._paper.name)
        self.changed.emit()

    def _refuse(self, reason: str, field: TextField | LengthField) -> None:
        self.reason.setText(reason)
        self.reason.show()
        field.entry.setFocus()

    def _forget(self) -> None:
        item = self.list.currentItem()
        if item is not None:
            one: KeptCorrection = item.data(_ITEM)
            self._corrections.forget(one.printer, one.paper)
            self._show_kept()
            self.changed.emit()

    def _close_images(self) -> None:
        if self._images is not None:
            self._images.close()
            self._images = None

    def event(self, event: QEvent) -> bool:
        """Grows for words that wrap: a layout's least height takes each for one line."""
        done = super().event(event)
        if event.type() == QEvent.Type.LayoutRequest:
            needed = self.layout().totalHeightForWidth(self.width())
            self.resize(self.width(), max(self.height(), needed))
        return done

    def done(self, result: int) -> None:
        self._sending.stop()
        self._close_images()
        super().done(result)


def _part(heading: str) -> tuple[QWidget, QVBoxLayout]:
    part = QWidget()
    column = QVBoxLayout(part)
    column.setContentsMargins(0, 0, 0, 6)
    column.setSpacing(8)
    column.addWidget(toned_label(heading, "strong"))
    return part, column


def _said(correction: Correction) -> str:
    """What a correction means, in a sentence."""
    ways = (("across", correction.across), ("along", correction.along))
    off = [(way, round(100 * (1 / factor - 1), 1)) for way, factor in ways]
    told = [f"{abs(by)} % {'too large' if by > 0 else 'too small'} {way}" for way, by in off if by]
    if not told:
        return "This printer prints true to size."
    return (
        f"This printer prints {' and '.join(told)}. Templates will be drawn "
        f"{correction_words(correction)}, and say so."
    )
