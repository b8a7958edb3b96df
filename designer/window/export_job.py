"""The work of an export, done beside the window so that it never freezes."""

import logging
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from PySide6.QtCore import QThread, Signal

from designer.analysis import Analysis, completed
from designer.drawing.picture import View, picture_svg
from designer.drawing.styles import DARK, LIGHT
from designer.model.file import shown_path
from designer.model.saving import reason_for, write_in_one_step

if TYPE_CHECKING:
    from designer.sheet.options import SheetOptions

What = Literal["sheet", "templates", "picture"]
Progress = Callable[[int, int], None]


@dataclass(frozen=True, slots=True)
class Export:
    """What to export, and where to. `options` go with a PDF, the rest with a picture.

    `width` is in pixels. `paper_width`, mm, is how wide a picture is on paper; an SVG has no other.
    """

    what: What
    path: Path
    options: "SheetOptions | None" = None
    view: View = "both"
    run_id: str | None = None
    width: int = 2400
    paper_width: float | None = None
    dark: bool = False


class CancelledError(Exception):
    """The person thought better of it."""


class ExportJob(QThread):
    """Does one export. Exactly one of `done`, `failed` and `cancelled` comes at its end, before
    `finished`; a file that was there before stays unless it is done."""

    progressed = Signal(int, int)
    done = Signal()
    failed = Signal(str)
    """Why, for the person; empty when something went wrong inside, which is in the log."""
    cancelled = Signal()

    def __init__(self, analysis: Analysis, export: Export) -> None:
        super().__init__()
        self._analysis = analysis
        self._export = export

    def run(self) -> None:
        try:
            write(completed(self._analysis), self._export, self._progress)
        except CancelledError:
            self.cancelled.emit()
        except OSError as error:
            if error.errno is None:  # said in words already
                self.failed.emit(str(error))
                return
            name = shown_path(self._export.path)
            self.failed.emit(f"{name} was not written: {reason_for(error)}.")
        except ValueError as error:
            self.failed.emit(str(error))
        except Exception:
            logging.getLogger(__name__).exception("Export failed")
            self.failed.emit("")
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
        _write_picture(analysis, export, progress)
        return
    from designer.sheet.build_sheet import write_build_sheet
    from designer.sheet.options import SheetOptions

    options = export.options or SheetOptions(only_templates=export.what == "templates")
    write_build_sheet(analysis, export.path, options, progress)


def _write_picture(analysis: Analysis, export: Export, progress: Progress) -> None:
    colours = DARK if export.dark else LIGHT
    progress(0, 1)
    if export.path.suffix.lower() == ".svg":
        text = picture_svg(analysis, export.view, colours, export.run_id, export.paper_width)
        progress(1, 1)
        write_in_one_step([(export.path, text.encode("utf-8"))], 0o644)
    else:
        from designer.canvas.raster import write_png

        size = export.run_id, export.paper_width
        write_png(analysis, export.view, export.path, export.width, colours, *size)
        progress(1, 1)
