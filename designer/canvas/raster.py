"""Writes a picture of the drawing as PNG, by the same pens as the sheet on the screen."""

import os
import sys
from pathlib import Path

from PySide6.QtCore import QByteArray, QSaveFile
from PySide6.QtGui import QGuiApplication, QImage, QImageWriter, QPainter

from designer.analysis import Analysis
from designer.canvas.painter import Ink, paint_records
from designer.drawing.picture import View, picture_groups
from designer.drawing.records import Box, Record, extent
from designer.drawing.scales import reductions
from designer.drawing.styles import LIGHT, Colours

PAPER_WIDTH = 270.0
"""The picture is laid out as a drawing this wide, mm of paper, which sets the size of its texts."""
MARGIN = 8.0
"""Clear edge, mm of paper."""
WIDEST = 20_000


class PictureError(OSError):
    """The picture cannot be written; the message says why."""


def write_png(
    analysis: Analysis,
    view: View,
    path: Path | str,
    width_px: int = 1600,
    colours: Colours = LIGHT,
    run_id: str | None = None,
    paper_width: float | None = None,
) -> None:
    """Write a picture as PNG. The file appears whole or not at all.

    Raises PictureError when it cannot be written, and where `picture_image` does.
    """
    _save(picture_image(analysis, view, width_px, colours, run_id, paper_width), Path(path))


def picture_image(
    analysis: Analysis,
    view: View,
    width_px: int = 1600,
    colours: Colours = LIGHT,
    run_id: str | None = None,
    paper_width: float | None = None,
) -> QImage:
    """A view, `width_px` wide and as high as it comes out.

    It says of itself that it is `paper_width` mm wide, if that is given. Raises PictureError when
    the width is not from 100 to 20,000 pixels, or memory is short.
    """
    if not 100 <= width_px <= WIDEST:
        raise PictureError(f"A picture can be 100 to {WIDEST} pixels wide, not {width_px}.")
    _need_application()
    records, box, scale = _laid_out(analysis, view, run_id)
    left, bottom, right, top = box
    zoom = width_px / (right - left)
    image = QImage(width_px, max(1, round((top - bottom) * zoom)), QImage.Format.Format_RGB32)
    if image.isNull():
        raise PictureError("The picture is too large; choose a smaller width.")
    ink = Ink(colours, pixels_per_mm=scale * zoom)
    image.fill(ink.colour("sheet"))
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.scale(zoom, -zoom)
    painter.translate(-left, -top)
    paint_records(painter, records, ink)
    painter.end()
    if paper_width:
        per_metre = round(1000 * width_px / paper_width)
        image.setDotsPerMeterX(per_metre)
        image.setDotsPerMeterY(per_metre)
    return image


def _laid_out(
    analysis: Analysis, view: View, run_id: str | None
) -> tuple[list[Record], Box, float]:
    """Records, the box around them with its margin, and the scale they are laid out for."""
    for scale in reductions():
        groups = picture_groups(analysis, view, run_id, scale)
        records = [record for group in groups for record in group.build()]
        left, bottom, right, top = extent(records) or (0.0, 0.0, 1.0, 1.0)
        margin = MARGIN * scale
        if right - left + 2 * margin <= PAPER_WIDTH * scale:
            # The same paper for every drawing, so that a small one does not get giant texts.
            middle, half = (left + right) / 2, PAPER_WIDTH * scale / 2
            return records, (middle - half, bottom - margin, middle + half, top + margin), scale
    raise AssertionError("the series of scales has no end")


def _save(image: QImage, path: Path) -> None:
    file = QSaveFile(str(path))
    if (
        not file.open(QSaveFile.OpenModeFlag.WriteOnly)
        or not QImageWriter(file, QByteArray(b"png")).write(image)
        or not file.commit()
    ):
        raise PictureError(f"Cannot write {path}: {file.errorString()}.")


def _need_application() -> None:
    """Fonts need a Qt application; without one, one that needs no screen is made and kept."""
    if QGuiApplication.instance() is None:
        if sys.platform.startswith("linux"):
            os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
        _applications.append(QGuiApplication(["rillwright"]))


_applications: list[QGuiApplication] = []
