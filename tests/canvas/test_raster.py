"""Pictures of the drawing."""

import subprocess
import sys

import pytest
from PySide6.QtGui import QColor, QImage

from designer.analysis import analyse
from designer.canvas.raster import PictureError, write_png
from designer.drawing.styles import DARK, LIGHT
from designer.model.design import Design
from designer.sketch import Answers, sketch


@pytest.fixture(scope="module")
def bed():
    return analyse(sketch(Answers(buckets=6)))


@pytest.mark.parametrize("view", ["plan", "elevation", "both"])
def test_a_picture_is_as_wide_as_asked_and_shows_the_bed(bed, view, tmp_path, qapp):
    path = tmp_path / "bed.png"
    write_png(bed, view, path, width_px=900)
    image = QImage(str(path))
    assert image.width() == 900
    found = {
        image.pixelColor(x, y).name() for x in range(0, 900, 2) for y in range(0, image.height(), 2)
    }
    assert len(found) > 20


def test_plan_and_elevation_together_are_higher_than_either(bed, tmp_path, qapp):
    heights = {}
    for view in ("plan", "elevation", "both"):
        write_png(bed, view, tmp_path / f"{view}.png", width_px=600)
        heights[view] = QImage(str(tmp_path / f"{view}.png")).height()
    assert heights["both"] > max(heights["plan"], heights["elevation"])


def test_a_picture_of_an_empty_design_is_an_empty_sheet(tmp_path, qapp):
    write_png(analyse(Design(title="Empty")), "both", tmp_path / "empty.png", 300)
    assert QImage(str(tmp_path / "empty.png")).pixelColor(150, 5) == QColor(LIGHT["sheet"])


def test_a_dark_picture_has_a_dark_sheet(bed, tmp_path, qapp):
    write_png(bed, "plan", tmp_path / "dark.png", 400, DARK)
    assert QImage(str(tmp_path / "dark.png")).pixelColor(2, 2) == QColor(DARK["sheet"])


def test_a_picture_that_cannot_be_written_says_so(bed, tmp_path, qapp):
    with pytest.raises(PictureError, match="Cannot write"):
        write_png(bed, "plan", tmp_path / "no such folder" / "bed.png")
    with pytest.raises(PictureError, match="pixels wide"):
        write_png(bed, "plan", tmp_path / "bed.png", width_px=3)


def test_a_picture_needs_no_screen_and_no_running_application(tmp_path):
    program = (
        "from designer.analysis import analyse\n"
        "from designer.sketch import Answers, sketch\n"
        "from designer.canvas.raster import write_png\n"
        f"write_png(analyse(sketch(Answers(buckets=2))), 'both', {str(tmp_path / 'a.png')!r})\n"
    )
    subprocess.run([sys.executable, "-c", program], check=True, timeout=100)
    assert QImage(str(tmp_path / "a.png")).width() == 1600
