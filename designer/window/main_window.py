"""The main window: start page or sheet in the middle, panels beside it, menus, status bar."""

from functools import partial
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QSize, Qt, QTimer, QUrl
from PySide6.QtGui import (
    QCloseEvent,
    QDragEnterEvent,
    QDropEvent,
    QGuiApplication,
    QKeySequence,
)
from PySide6.QtWidgets import QLabel, QMainWindow, QStackedWidget, QTabWidget, QToolBar, QWidget

from designer.canvas.document import Document
from designer.model.design import Design
from designer.model.file import SUFFIX
from designer.model.pdf_file import PDF_SUFFIX
from designer.window.actions import TOOLBAR, colour_icons, entries, fill_menus, make_actions
from designer.window.commands import Commands, fill_recent_menu, fill_samples_menu
from designer.window.dock import Dock
from designer.window.files import Files
from designer.window.recovery import Keeper, RecoveryDialog
from designer.window.start_page import StartPage
from designer.window.status import CheckCounts, UnitsButton

if TYPE_CHECKING:
    from designer.canvas.sheet import SheetView
    from designer.window.shell import Shell

LAYOUT_VERSION = 4
"""Of the remembered places of toolbar and panels; raise it when these are not the same any more."""
LOW_LINES = 54
"""In a window with less room, the panels on the right stand behind each other."""
LEFT, RIGHT = Qt.DockWidgetArea.LeftDockWidgetArea, Qt.DockWidgetArea.RightDockWidgetArea
PANELS: tuple[tuple[str, str, Qt.DockWidgetArea, str, str], ...] = (
    ("parts", "Parts bin", LEFT, "designer.window.parts_bin", "PartsBin"),
    ("dimensions", "Dimensions", RIGHT, "designer.window.dimensions", "DimensionsPanel"),
    ("checks", "Checks", RIGHT, "designer.window.checks_panel", "ChecksPanel"),
    ("water", "Water", RIGHT, "designer.window.water_panel", "WaterPanel"),
    ("takeoff", "Take-off", RIGHT, "designer.window.takeoff_panel", "TakeoffPanel"),
)
"""Name, title, place and class of each panel; loaded with the first design."""


class MainWindow(QMainWindow):
    """One window with one design, or with the start page while there is none."""

    def __init__(self, shell: "Shell") -> None:
        super().__init__()
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setAcceptDrops(True)
        self.shell = shell
        self.files = Files(self)
        self.document: Document | None = None
        self.sheet: SheetView | None = None
        self._keeper: Keeper | None = None

        self.start_page = StartPage(shell)
        self.start_page.drawn.connect(self.files.begin)
        self.start_page.open_asked.connect(self.files.choose)
        self.start_page.file_chosen.connect(self.files.open)
        self.start_page.sample_chosen.connect(self.files.open_copy)
        self.stack = QStackedWidget()
        self.stack.addWidget(self.start_page)
        self.setCentralWidget(self.stack)

        self.actions_by_name = make_actions(self, Commands(self).by_name())
        grid = bool(shell.settings.value("grid", True, type=bool))
        self.actions_by_name["grid"].setChecked(grid)
        self.menus = fill_menus(self.menuBar(), self.actions_by_name)
        fill_recent = partial(fill_recent_menu, self.menus["recent"], self)
        self.menus["recent"].aboutToShow.connect(fill_recent)
        fill_samples_menu(self.menus["samples"], self)
        self.toolbar = self._make_toolbar()
        self.docks = {name: Dock(name, title, self) for name, title, *_ in PANELS}
        self.setTabPosition(RIGHT, QTabWidget.TabPosition.North)
        self.menus["panels"].addActions([d.toggleViewAction() for d in self.docks.values()])
        self._make_status_bar()

        self._restore_geometry()
        shell.theme.changed.connect(self._show_theme)
        self._show_theme()
        self._show_start()

    # --- what is shown --------------------------------------------------------------------------

    def show_design(self, design: Design, path: Path | None, unsaved: bool = False) -> None:
        """Show a design in place of what was shown; the caller has made sure that may go."""
        from designer.canvas.sheet import SheetView

        document = Document(design, path)
        if unsaved:
            document.history.mark_unsaved()
        sheet = SheetView(document, self.shell.theme.colours)
        sheet.setAccessibleName("Drawing sheet, plan above and elevation below")
        sheet.grid_shown = self.actions_by_name["grid"].isChecked()
        panels = {name: self._make_panel(name, document, sheet) for name in self.docks}
        for overlay in ("water", "sag"):
            self.actions_by_name[overlay].setChecked(False)
        was_on_start = self.document is None
        self._let_go()
        self.document, self.sheet = document, sheet
        for name, panel in panels.items():
            self.docks[name].setWidget(panel)
        self.stack.addWidget(sheet)
        self.stack.setCurrentWidget(sheet)
        self._keeper = Keeper(self.shell.journal, document)
        self._keeper.failed.connect(self.statusBar().showMessage)
        self._keeper.keep()
        sheet.hint.connect(self._hint.setText)
        sheet.announce_state()
        document.changed.connect(self._show_analysis)
        document.history_changed.connect(self._show_history)
        document.selection_changed.connect(self._enable)
        if was_on_start:
            self._show_panels()
        self._show_analysis()
        self._show_history()
        sheet.setFocus()
        # Once the layout gave the sheet its size.
        QTimer.singleShot(0, sheet, sheet.fit)

    def new(self) -> None:
        """Go to the start page, where a new design begins."""
        if self.files.may_leave():
            self._show_start()

    def close_design(self) -> None:
        """Close the design; the only window goes to its start page, others go away with it."""
        if len(self.shell.windows) > 1:
            self.close()
        else:
            self.new()

    def keep(self) -> None:
        """Put unsaved work into the journal at once."""
        if self._keeper is not None:
            self._keeper.keep()

    def offer_recovery(self) -> None:
        """Offer what a crash left behind, if anything."""
        left = self.shell.journal.abandoned()
        if left:
            dialog = RecoveryDialog(self.shell.journal, left, self)
            dialog.bring_back.connect(self._bring_back)
            dialog.open()

    def _bring_back(self, design: Design, path: Path | None) -> None:
        window = self if self.document is None else self.shell.new_window()
        window.files.bring_back(design, path)

    def _show_start(self) -> None:
        if self.document is not None:
            self._remember_layout()
        self._let_go()
        self.toolbar.hide()
        for dock in self.docks.values():
            # Hidden in their tabs they would leave an empty bar of tabs over the panels.
            self.removeDockWidget(dock)
        self.statusBar().hide()
        self._hint.setText("")
        self.start_page.refresh()
        self.stack.setCurrentWidget(self.start_page)
        # Nothing is typed into yet, and the first Tab goes to the first question.
        self.start_page.setFocus()
        self.setWindowTitle("Rillwright")
        self.setWindowModified(False)
        self.setWindowFilePath("")
        self._enable()

    def _let_go(self) -> None:
        """Take down the sheet and the panels of the present design."""
        if self._keeper is not None:
            self._keeper.stop()
            self._keeper.deleteLater()
            self._keeper = None
        if self.document is not None and self.sheet is not None:
            self.document.disconnect(self)
            self.stack.removeWidget(self.sheet)
            for dock in self.docks.values():
                panel = dock.widget()
                if panel is not None:
                    panel.deleteLater()
            self.sheet.deleteLater()
            self.document.close()
            self.document.deleteLater()
        self.document = self.sheet = None

    def _show_panels(self) -> None:
        self.toolbar.show()
        docks, line = self.docks, self.fontMetrics().height()
        low = self.height() < LOW_LINES * line
        above: Dock | None = None
        for name, _, area, *_ in PANELS:
            self.addDockWidget(area, docks[name])
            if area != RIGHT:
                continue
            # At once: one below the other they would ask for a window higher than the screen.
            if above is not None and (low or name != "checks"):
                self.tabifyDockWidget(above, docks[name])
            above = docks[name]
        for dock in docks.values():
            dock.show()
        docks["dimensions" if low else "checks"].raise_()
        self.statusBar().show()
        if not self.restoreState(self.shell.remembered("layout"), LAYOUT_VERSION):
            left, right = 10 * line, max(18 * line, min(20 * line, self.width() * 27 // 100))
            self.resizeDocks(
                [docks["parts"], docks["dimensions"]], [left, right], Qt.Orientation.Horizontal
            )
            self.resizeDocks(
                [docks["dimensions"], docks["checks"]], [9, 16], Qt.Orientation.Vertical
            )

    def _show_theme(self) -> None:
        colour_icons(self.actions_by_name)
        self._counts.show_colours()
        for dock in self.docks.values():
            dock.show_colours()
        self.actions_by_name[f"theme_{self.shell.theme.mode}"].setChecked(True)
        if self.sheet is not None:
            self.sheet.set_colours(self.shell.theme.colours)
        self.start_page.show_colours()

    def _show_analysis(self) -> None:
        assert self.document is not None
        design = self.document.design
        self._counts.show_counts(self.document.judged)
        self._units.show_units(design.units)
        self.actions_by_name[f"units_{design.units}"].setChecked(True)
        self.actions_by_name[f"paper_{design.paper}"].setChecked(True)
        self._enable()

    def _show_history(self) -> None:
        assert self.document is not None
        history, act = self.document.history, self.actions_by_name
        for name, word, label in (
            ("undo", "&Undo", history.undo_label),
            ("redo", "&Redo", history.redo_label),
        ):
            act[name].setText(f"{word}: {label[:1].lower()}{label[1:]}" if label else word)
            act[name].setIconText(word.strip("&"))
            keys = act[name].shortcut().toString(QKeySequence.SequenceFormat.NativeText)
            act[name].setToolTip(f"{act[name].text().replace('&', '')} ({keys})")
        self.setWindowTitle(f"{self.files.name}[*] – Rillwright")
        self.setWindowModified(history.changed)
        self.setWindowFilePath(str(self.document.path or ""))
        self._enable()

    def _enable(self) -> None:
        document = self.document
        can = {"nothing": True, "design": document is not None}
        if document is not None:
            can |= {
                "chosen": bool(document.selection),
                "bucket": any(s in document.analysis.places for s in document.selection),
                "undo": document.history.undo_label is not None,
                "redo": document.history.redo_label is not None,
            }
        self.menus["panels"].setEnabled(document is not None)
        for entry in entries():
            self.actions_by_name[entry.name].setEnabled(can.get(entry.needs, False))

    # --- pieces of the window -------------------------------------------------------------------

    def _make_toolbar(self) -> QToolBar:
        toolbar = QToolBar("Toolbar")
        toolbar.setObjectName("toolbar")
        toolbar.setMovable(False)
        toolbar.setIconSize(QSize(24, 24))
        toolbar.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextUnderIcon)
        toolbar.setContextMenuPolicy(Qt.ContextMenuPolicy.PreventContextMenu)
        for button in TOOLBAR:
            if button is None:
                toolbar.addSeparator()
                continue
            name, word = button
            action = self.actions_by_name[name]
            action.setIconText(word)
            toolbar.addAction(action)
            shown = toolbar.widgetForAction(action)
            shown.setFocusPolicy(Qt.FocusPolicy.TabFocus)
            shown.setAccessibleName(word)
        self.addToolBar(toolbar)
        return toolbar

    def _make_panel(self, name: str, document: Document, sheet: "SheetView") -> QWidget:
        module, cls = next((m, c) for panel, _, _, m, c in PANELS if panel == name)
        panel: Any = getattr(import_module(module), cls)(document, self)
        if name == "checks":
            panel.zoom_to.connect(sheet.zoom_to)
        elif name == "parts":
            panel.place.connect(sheet.place_at_centre)
        elif name == "water":
            panel.shown_asked.connect(sheet.show_water)
            panel.time_asked.connect(sheet.show_water_at)
            sheet.water_changed.connect(panel.show_on_sheet)
            sheet.water_changed.connect(self.actions_by_name["water"].setChecked)
        return panel

    def _make_status_bar(self) -> None:
        self._hint = QLabel()
        self._hint.setAccessibleName("Hint")
        self._hint.setContentsMargins(8, 0, 0, 0)
        self._counts = CheckCounts()
        self._counts.asked.connect(self._show_checks)
        self._units = UnitsButton(self.menus["units"])
        bar = self.statusBar()
        bar.setSizeGripEnabled(False)
        bar.addWidget(self._hint, 1)
        bar.addPermanentWidget(self._counts)
        bar.addPermanentWidget(self._units)

    def _show_checks(self) -> None:
        self.docks["checks"].show()
        self.docks["checks"].raise_()
        panel = self.docks["checks"].widget()
        if panel is not None:
            panel.setFocus(Qt.FocusReason.OtherFocusReason)

    # --- events, and what is remembered ---------------------------------------------------------

    def closeEvent(self, event: QCloseEvent) -> None:
        if not self.files.may_leave():
            event.ignore()
            return
        self.shell.settings.setValue("geometry", self.saveGeometry())
        if self.document is not None:
            self._remember_layout()
        self._let_go()
        self.shell.theme.changed.disconnect(self._show_theme)
        self.shell.windows.remove(self)
        event.accept()

    def _remember_layout(self) -> None:
        self.shell.settings.setValue("layout", self.saveState(LAYOUT_VERSION))

    def _restore_geometry(self) -> None:
        if not self.restoreGeometry(self.shell.remembered("geometry")):
            screen = QGuiApplication.primaryScreen().availableGeometry()
            self.resize(min(1360, screen.width()), min(860, screen.height() - 40))

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        if designs_in(event.mimeData().urls()):
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        paths = designs_in(event.mimeData().urls())
        event.acceptProposedAction()
        # After the drag has ended: a question here would leave its source waiting.
        QTimer.singleShot(0, self, lambda: self._open_all(paths))

    def _open_all(self, paths: list[Path]) -> None:
        for number, path in enumerate(paths):
            window = self if number == 0 else self.shell.new_window()
            window.files.open(path)


def designs_in(urls: list[QUrl]) -> list[Path]:
    """The files among dropped addresses that may hold a design."""
    paths = [Path(url.toLocalFile()) for url in urls if url.isLocalFile()]
    return [path for path in paths if path.suffix.lower() in (SUFFIX, PDF_SUFFIX)]
