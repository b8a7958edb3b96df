"""What each entry of the menus does in its window."""

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, Any

from PySide6.QtWidgets import QMenu

from designer.model import edits
from designer.resources import sample_paths
from designer.window.panel_walk import ORDER, PanelWalk
from designer.window.recent import short_folder, short_name
from designer.window.start_page import sample_title

if TYPE_CHECKING:
    from designer.window.export_job import What
    from designer.window.main_window import MainWindow

ZOOM_STEP = 1.25
_ON_SHEET = (
    "copy", "paste", "duplicate", "mirror", "flip", "align", "spread", "delete", "select_all",
    "add_support", "fit",
)  # fmt: skip
"""Entries that are a command of the sheet under the same name."""


class Commands:
    """The commands of one window. Without a design those that need one do nothing."""

    def __init__(self, window: "MainWindow") -> None:
        self._window = window

    def by_name(self) -> dict[str, Callable[[], object]]:
        """A command for every entry of the menus."""
        window, files, shell = self._window, self._window.files, self._window.shell
        walk = PanelWalk(window)
        on_sheet = {name: self._on_sheet(name) for name in _ON_SHEET}
        go = {f"go_{name}": partial(walk.go, name) for name in ORDER}
        return (
            on_sheet
            | go
            | {
                "go_next": lambda: walk.step(1),
                "go_back": lambda: walk.step(-1),
                "new": window.new,
                "new_window": shell.new_window,
                "open": files.choose,
                "save": files.save,
                "save_as": files.save_as,
                "export_sheet": lambda: self._export("sheet"),
                "export_templates": lambda: self._export("templates"),
                "export_picture": lambda: self._export("picture"),
                "copy_picture": self._copy_picture,
                "print": self._print,
                "calibrate": self._calibrate,
                "close": window.close_design,
                "quit": shell.quit,
                "undo": self._undo,
                "redo": self._redo,
                "cut": self._cut,
                "repeat": self._repeat,
                "zoom_in": lambda: self._zoom(ZOOM_STEP),
                "zoom_out": lambda: self._zoom(1 / ZOOM_STEP),
                "grid": self._grid,
                "water": self._water,
                "sag": self._sag,
                "theme_light": lambda: shell.choose_theme("light"),
                "theme_dark": lambda: shell.choose_theme("dark"),
                "theme_system": lambda: shell.choose_theme("system"),
                "units_metric": lambda: self._set("Change units", units="metric"),
                "units_imperial": lambda: self._set("Change units", units="imperial"),
                "paper_a4": lambda: self._set("Change paper", paper="a4"),
                "paper_letter": lambda: self._set("Change paper", paper="letter"),
                "notes": self._notes,
                "measured": self._measured,
                "how": lambda: self._page("how"),
                "cautions": lambda: self._page("cautions"),
                "about": lambda: self._page("about"),
            }
        )

    def _on_sheet(self, name: str) -> Callable[[], object]:
        return lambda: (
            getattr(self._window.sheet, name)() if self._window.sheet is not None else None
        )

    def _set(self, label: str, **values: Any) -> None:
        if self._window.document is not None:
            self._window.document.apply(lambda design: edits.set_design(design, **values), label)

    def _undo(self) -> None:
        if self._window.document is not None:
            self._window.document.undo()

    def _redo(self) -> None:
        if self._window.document is not None:
            self._window.document.redo()

    def _zoom(self, factor: float) -> None:
        if self._window.sheet is not None:
            self._window.sheet.zoom_by(factor)

    def _cut(self) -> None:
        if self._window.sheet is not None:
            self._window.sheet.copy()
            self._window.sheet.delete()

    def _repeat(self) -> None:
        from designer.window.dialogs import ask_repeat

        if self._window.document is not None and self._window.sheet is not None:
            asked = ask_repeat(self._window, self._window.document)
            if asked is not None:
                self._window.sheet.repeat(*asked)

    def _grid(self) -> None:
        shown = self._window.actions_by_name["grid"].isChecked()
        self._window.shell.settings.setValue("grid", shown)
        if self._window.sheet is not None:
            self._window.sheet.grid_shown = shown

    def _water(self) -> None:
        if self._window.sheet is not None:
            self._window.sheet.water_shown = self._window.actions_by_name["water"].isChecked()

    def _sag(self) -> None:
        if self._window.sheet is not None:
            self._window.sheet.sag_shown = self._window.actions_by_name["sag"].isChecked()

    def _notes(self) -> None:
        from designer.window.dialogs import NotesDialog

        if self._window.document is not None:
            NotesDialog(self._window.document, self._window).open()

    def _measured(self) -> None:
        from designer.window.measured_parts import MeasuredParts

        if self._window.document is not None:
            MeasuredParts(self._window.document, self._window).open()

    def _export(self, what: "What") -> None:
        from designer.window.export_dialog import ExportDialog

        if self._window.document is not None:
            ExportDialog(
                what,
                self._window.document,
                self._window.files.name,
                self._window.shell,
                self._window,
            ).open()

    def _copy_picture(self) -> None:
        from designer.window.picture_options import CopiedPicture, copy_picture

        document = self._window.document
        if document is not None:
            copy_picture(document.analysis, CopiedPicture(run_id=document.active_run))
            self._window.statusBar().showMessage("The picture is on the clipboard.", 4000)

    def _print(self) -> None:
        from designer.window.print_preview import PrintPreview

        if self._window.document is not None:
            PrintPreview(
                self._window.document, self._window.files.name, self._window.shell, self._window
            ).open()

    def _calibrate(self) -> None:
        from designer.sheet.paper import PAPERS
        from designer.window.calibration_dialog import CalibrationDialog
        from designer.window.questions import first_paper, first_units

        shell, document = self._window.shell, self._window.document
        if document is None:
            units, paper = first_units(shell.settings), first_paper(shell.settings)
        else:
            units, paper = document.design.units, document.design.paper
        CalibrationDialog(shell, units, self._window, paper=PAPERS[paper]).open()

    def _page(self, name: str) -> None:
        from designer.window.about import show_page

        show_page(name, self._window)


def fill_samples_menu(menu: QMenu, window: "MainWindow") -> None:
    """Fill a menu with the samples, each opened as a copy."""
    for path in sample_paths():
        action = menu.addAction(sample_title(path))
        action.triggered.connect(lambda _=False, path=path: window.files.open_copy(path))


def fill_recent_menu(menu: QMenu, window: "MainWindow") -> None:
    """Fill a menu with the recent files that exist."""
    menu.clear()
    paths = window.shell.recent.paths()
    for number, path in enumerate(paths, 1):
        action = menu.addAction(f"&{number % 10} {short_name(path)}  ({short_folder(path)})")
        action.triggered.connect(lambda _=False, path=path: window.files.open(path))
    if paths:
        menu.addSeparator()
        menu.addAction("&Forget these").triggered.connect(window.shell.recent.clear)
    else:
        menu.addAction("None yet").setEnabled(False)
