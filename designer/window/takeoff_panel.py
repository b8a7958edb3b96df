"""The Take-off panel: what to buy, how to cut and fill it, what it costs, and another design."""

from functools import partial
from pathlib import Path
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication, QShowEvent
from PySide6.QtWidgets import QFrame, QScrollArea, QTabWidget, QVBoxLayout, QWidget

from designer.analysis import Analysis, analyse, completed
from designer.canvas.document import Document
from designer.model.design import Design
from designer.model.faults import DesignError
from designer.model.file import file_name, read_design
from designer.takeoff.compare import compare
from designer.takeoff.cost import CostDifference
from designer.takeoff.prices import blank_prices
from designer.takeoff.record import csv_texts
from designer.takeoff.whole import BedTakeoff, TakeoffOptions, cost_of_one_more, work_out
from designer.window import asking
from designer.window.entries import Entry
from designer.window.takeoff_compare import ComparePage
from designer.window.takeoff_cost import CostPage
from designer.window.takeoff_cutting import CuttingPage
from designer.window.takeoff_fill import FillPage
from designer.window.takeoff_list import ShoppingPage
from designer.window.takeoff_settings import TakeoffSettings, sample_book
from designer.window.takeoff_words import shopping_text
from designer.window.takeoff_work import TakeoffWork, Task
from designer.window.tints import toned_label

CURRENT = "Worked out for what is drawn."
WORKING = "Being worked out…"
TROUBLE = "The take-off could not be worked out. Undo the last step, or change what you typed here."
COPIED = "The shopping list is on the clipboard."
TABLE = "Table (*.csv)"


class TakeoffPanel(QWidget):
    """Follows the document. What is not current is pale, and the line above says so."""

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.document = document
        self.settings = TakeoffSettings()
        self.takeoff: BedTakeoff | None = None
        self._analysis: Analysis | None = None
        self._other: tuple[str, Design] | None = None
        self._beside: tuple[Analysis, BedTakeoff] | None = None
        self._wanted = False
        units = document.design.units
        self.status = toned_label(WORKING, "soft", self)
        self.status.setAccessibleName("State of the take-off")
        self.shopping = ShoppingPage()
        self.cutting = CuttingPage(self.settings, units)
        self.fill = FillPage(units)
        self.cost = CostPage(self.settings, units)
        self.compare = ComparePage()
        self.tabs = QTabWidget()
        self.tabs.setDocumentMode(True)
        self.tabs.tabBar().setDrawBase(False)
        self.tabs.addTab(self.shopping, "List")
        self.tabs.addTab(_scrolled(self.cutting), "Cutting")
        self.tabs.addTab(_scrolled(self.fill), "Fill")
        self.tabs.addTab(_scrolled(self.cost), "Cost")
        self.tabs.addTab(self.compare, "Compare")
        column = QVBoxLayout(self)
        column.setContentsMargins(8, 6, 4, 4)
        column.setSpacing(4)
        column.addWidget(self.status)
        column.addWidget(self.tabs, 1)
        self.work = TakeoffWork(self)
        self.work.came.connect(self._came)
        self.work.failed.connect(self._failed)
        self.shopping.copy.clicked.connect(self._copy)
        self.shopping.export.clicked.connect(lambda: self._export("shopping", "shopping list"))
        self.cutting.export.clicked.connect(lambda: self._export("sticks", "sticks"))
        for page in (self.cutting, self.cost):
            page.entered.connect(self._begin)
        self.fill.entered.connect(self._fill_entered)
        for box in self.fill.form.boxes.values():
            box.toggled.connect(self._show_fields)
        self.cost.open.clicked.connect(self._open_book)
        self.cost.blank.clicked.connect(self._save_blank)
        self.cost.sample.clicked.connect(lambda: self._take_book(sample_book()))
        self.cost.close_book.clicked.connect(self._close_book)
        self.compare.choose.clicked.connect(self._choose_other)
        document.changed.connect(self._follow)
        self._show_fields()
        self._begin()

    @property
    def current(self) -> bool:
        """Whether the list is that of what is drawn, bought and cut as was typed."""
        return self.takeoff is not None and self._same_as_drawn

    # --- working out ----------------------------------------------------------------------------

    @property
    def _same_as_drawn(self) -> bool:
        """Whether nothing that the take-off counts has changed since it was asked for. Block
        stacks and the water on its way come with the solved stand and water."""
        asked, drawn = self._analysis, self.document.analysis
        return (
            asked is not None
            and asked.design is drawn.design
            and asked.water is drawn.water
            and asked.stands is drawn.stands
            and asked.stands_current == drawn.stands_current
        )

    def _follow(self) -> None:
        self._show_fields()
        if not self._same_as_drawn:
            self._begin()
        else:
            self._show_compared()  # the findings may have come

    def _begin(self) -> None:
        """From now on nothing that is shown is current, until the answers come."""
        self.takeoff = self._beside = None
        self._analysis = self.document.analysis
        self._wanted = True
        self.work.drop()
        self._show_state(WORKING)
        if self.isVisible():
            self._ask()

    def _ask(self) -> None:
        self._wanted = False
        analysis = self.document.analysis
        options = self.settings.options(analysis.design.units)
        tasks: list[tuple[str, Task]] = [("list", partial(work_out, analysis, options))]
        if options.book is not None:
            tasks.append(("more", partial(cost_of_one_more, analysis, options)))
        if self._other is not None:
            tasks.append(("other", partial(_other, self._other[1], options)))
        self.work.take(tasks)

    def _came(self, name: str, answer: Any) -> None:
        if name == "list":
            self._show_takeoff(answer)
        elif name == "more":
            self._show_one_more(answer)
        else:
            self._beside = answer
            self._show_compared()

    def _failed(self, name: str) -> None:
        if name == "list":
            self.work.drop()
            self._show_state(TROUBLE)
        elif name == "more":
            self._show_one_more(None)
        else:
            self.compare.words.setText("The other design could not be worked out.")

    # --- what is shown --------------------------------------------------------------------------

    def _show_takeoff(self, takeoff: BedTakeoff) -> None:
        self.takeoff = takeoff
        analysis = self.document.analysis
        units = analysis.design.units
        self.shopping.show_takeoff(takeoff, units)
        self.cutting.show_takeoff(analysis, takeoff)
        self.fill.show_plan(takeoff.fill, units)
        self.cost.show_takeoff(takeoff, units)
        self._show_state(CURRENT if takeoff.materials else "Nothing is drawn yet.")
        self._show_compared()

    def _show_one_more(self, more: CostDifference | None) -> None:
        if self.takeoff is not None and self.takeoff.cost is not None:
            units, currency = self.document.design.units, self.takeoff.cost.currency
            self.cost.show_one_more(more, units, currency)

    def _show_compared(self) -> None:
        if self._other is None:
            return
        analysis = self.document.analysis
        known = analysis.complete or bool(self.document.water_trouble)
        ready = self.takeoff is not None and self._beside is not None and known
        self.compare.table.setEnabled(ready)
        self.compare.words.setText(f"The other: {self._other[0]}" if ready else WORKING)
        if ready:
            assert self.takeoff is not None
            assert self._beside is not None
            cost = self.takeoff.cost
            rows = compare((analysis, self.takeoff), self._beside)
            currency = cost.currency if cost is not None else ""
            self.compare.show_rows(rows, analysis.design.units, currency)

    def _show_fields(self, *_: object) -> None:
        self.fill.show_fields(self.document.analysis)

    def _show_state(self, words: str) -> None:
        if words != self.status.text():
            self.status.setText(words)
        results: list[QWidget] = [self.shopping.tree, self.shopping.copy, self.shopping.export]
        results += [*self.cutting.results(), *self.fill.results(), *self.cost.results()]
        for shown in results:
            shown.setEnabled(self.current)
        self._show_compared()

    # --- what the person does -------------------------------------------------------------------

    def _copy(self) -> None:
        if self.takeoff is not None:
            design = self.document.design
            text = shopping_text(self.takeoff, design.units, design.title or "Bed")
            QGuiApplication.clipboard().setText(text)
            self.status.setText(COPIED)

    def _export(self, table: str, ending: str) -> None:
        if self.takeoff is not None:
            # The mark at the start lets spreadsheets see that the letters are UTF-8.
            self._save(ending, "\ufeff" + csv_texts(self.takeoff)[f"{table}.csv"])

    def _fill_entered(self, entry: Entry, value: Any) -> None:
        self.document.apply(lambda design: entry.write(design, (), value), entry.step)
        self._show_fields()

    def _save_blank(self) -> None:
        if self.takeoff is not None:
            items = {line.id: line.name.split(", ")[0] for line in self.takeoff.materials}
            self._save("prices", blank_prices(items.items(), self.settings.currency))

    def _save(self, ending: str, text: str) -> None:
        folder = self.document.path.parent if self.document.path else Path.home()
        name = f"{file_name(self.document.design.title)} {ending}.csv"
        path = asking.ask_export(self, folder / name, TABLE)
        if path is None:
            return
        path = path if path.suffix else path.with_suffix(".csv")
        if path.exists() and not asking.ask_replace(self, path.name):
            return
        try:
            path.write_text(text, "utf-8", newline="")
        except OSError:
            asking.tell(self, f"“{path.name}” cannot be saved there; choose another folder.")
        else:
            self.status.setText(f"Saved as “{path.name}”.")

    def _open_book(self) -> None:
        kept = self.settings.book_path or self.document.path
        path = asking.ask_table(self, kept.parent if kept else Path.home())
        if path is not None:
            self._take_book(path)

    def _take_book(self, path: Path) -> None:
        taken = self.settings.open_book(path)
        self.cost.show_settings()
        if taken:
            self._begin()

    def _close_book(self) -> None:
        self.settings.close_book()
        self.cost.show_settings()
        self._begin()

    def _choose_other(self) -> None:
        folder = self.document.path.parent if self.document.path else Path.home()
        path = asking.ask_open(self, folder)
        if path is None:
            return
        try:
            design = read_design(path).design
        except DesignError as error:
            asking.tell(self, error.message)
            return
        self._other = path.stem, design
        self._begin()

    # --- events ---------------------------------------------------------------------------------

    def showEvent(self, event: QShowEvent) -> None:
        """Work out what was not while the panel was hidden."""
        super().showEvent(event)
        if self._wanted:
            self._ask()


def _other(design: Design, options: TakeoffOptions) -> tuple[Analysis, BedTakeoff]:
    """The other design with its findings, bought and cut in the same way."""
    analysis = completed(analyse(design))
    return analysis, work_out(analysis, options)


def _scrolled(page: QWidget) -> QScrollArea:
    area = QScrollArea()
    area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    area.setWidgetResizable(True)
    area.setFrameShape(QFrame.Shape.NoFrame)
    area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    area.setWidget(page)
    return area
