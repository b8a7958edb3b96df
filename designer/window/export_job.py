"""The work of an export, done beside the window so that it never freezes."""

import logging
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from PySide6.QtCore import QThread, Signal

from designer.analysis import Analysis
from designer.drawing.styles import DARK, LIGHT, Colours
from designer.model.design import Paper
from designer.model.file import shown_path
from designer.model.saving import reason_for

What = Literal["sheet", "templates", "picture"]
View = Literal["plan", "elevation", "both"]
Progress = Callable[[int, int], None]
_SVG_ROOM = 400.0, 277.0
"""The room of an A3 sheet within its edges, mm; the scale of an SVG picture fits it."""


@dataclass(frozen=True, slots=True)
class Export:
    """What to export, and where to. `paper` goes with a PDF, the rest with a picture."""

    what: What
    path: Path
    paper: Paper = "a4"
    view: View = "both"
    width: int = 2400
    dark: bool = False

    @property
    def files(self) -> tuple[Path, ...]:
        """The files it writes; both views in SVG are one file each."""
        if self.path.suffix.lower() == ".svg" and self.view == "both":
            return tuple(
                self.path.with_name(f"{self.path.stem} {view}.svg")
                for view in ("plan", "elevation")
            )
        return (self.path,)


class CancelledError(Exception):
    """The person thought better of it."""


class ExportJob(QThread):
    """Does one export. Exactly one of `done`, `failed` and `cancelled` comes at its end, before
    `finished`; a file that was there before stays unless it is done."""

    progressed = Signal(int, int)
    done = Signal()
    failed = Signal(str)
    cancelled = Signal()

    def __init__(self, analysis: Analysis, export: Export) -> None:
        super().__init__()
        self._analysis = analysis
        self._export = export

    def run(self) -> None:
        try:
            write(self._analysis, self._export, self._progress)
        except CancelledError:
            self.cancelled.emit()
        except OSError as error:
            name = shown_path(self._export.path)
            self.failed.emit(f"{name} was not written: {reason_for(error)}.")
        except ValueError as error:
            self.failed.emit(str(error))
        except Exception:
            logging.getLogger(__name__).exception("Export failed")
            self.failed.emit(
                "Rillwright could not make this file; the design is not harmed. "
                "Try another paper or picture size."
            )
        else:
            self.done.emit()

    def _progress(self, done: int, total: int) -> None:
        if self.isInterruptionRequested():
            raise CancelledError
        self.progressed.emit(done, total)


def write(analysis: Analysis, export: Export, progress: Progress) -> None:
    """Write the files of an export, calling `progress(done, total)`, which may raise to stop.

    Raises OSError where a file cannot be written, ValueError with a sentence for the person where
    there is nothing to export.
    """
    if export.what == "picture":
        _write_pictures(analysis, export, progress)
        return
    from designer.sheet.build_sheet import write_build_sheet

    only_templates = export.what == "templates"
    write_build_sheet(analysis, export.path, export.paper, only_templates, progress)


def _write_pictures(analysis: Analysis, export: Export, progress: Progress) -> None:
    files = export.files
    colours = DARK if export.dark else LIGHT
    progress(0, len(files))
    for number, path in enumerate(files, 1):
        unfinished = path.with_name(f".{path.stem}-unfinished{path.suffix}")
        try:
            if path.suffix.lower() == ".svg":
                view: View = export.view
                if view == "both":
                    view = "plan" if number == 1 else "elevation"
                unfinished.write_text(_svg(analysis, view, colours), "utf-8")
            else:
                from designer.canvas.raster import write_png

                write_png(analysis, export.view, unfinished, export.width, colours)
            progress(number, len(files))
            unfinished.replace(path)
        finally:
            with suppress(OSError):
                unfinished.unlink()


def _svg(analysis: Analysis, view: View, colours: Colours) -> str:
    from designer.drawing.elevation import elevation_groups
    from designer.drawing.plan import plan_groups
    from designer.drawing.records import extent
    from designer.drawing.scales import fitting_scale
    from designer.drawing.svg import svg_text

    draw = plan_groups if view == "plan" else elevation_groups
    run_id = analysis.design.runs[0].id if analysis.design.runs else None
    records = [record for group in draw(analysis, run_id, 20.0) for record in group.build()]
    left, bottom, right, top = extent(records) or (0.0, 0.0, 1.0, 1.0)
    scale = float(fitting_scale(right - left, top - bottom, *_SVG_ROOM))
    return svg_text(draw(analysis, run_id, scale), scale, colours, analysis.design.title)
