"""The icons: one grid, one stroke, in the colours of the theme."""

import xml.etree.ElementTree as ET

import pytest
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QApplication

from designer.resources import resource_path
from designer.window.actions import entries
from designer.window.icons import icon, picture, program_icon

PARTS = (
    "bucket", "run", "reservoir", "wall", "post", "door", "path", "keep_free", "outline",
)  # fmt: skip
LINE_ICONS = sorted(
    path
    for path in resource_path("icons").glob("*.svg")
    if path.stem not in ("rillwright", "arrow_up", "arrow_down", "tick_on_dark", "tick_on_light")
)


@pytest.mark.parametrize("path", LINE_ICONS, ids=lambda path: path.stem)
def test_every_icon_keeps_to_the_24_px_grid_and_the_common_stroke(path) -> None:
    root = ET.parse(path).getroot()
    assert root.get("viewBox") == "0 0 24 24"
    assert root.get("stroke-width") == "1.75"
    colours = {e.get(key) for e in root.iter() for key in ("stroke", "fill")} - {None}
    assert colours <= {"#000", "none"}


def test_every_part_and_every_action_with_an_icon_has_its_file() -> None:
    names = {path.stem for path in LINE_ICONS}
    assert set(PARTS) <= names
    assert {entry.icon for entry in entries() if entry.icon} <= names


def test_an_icon_is_drawn_in_the_colour_asked_for(qapp: QApplication) -> None:
    image = picture("undo", 24, "#b84a00").toImage()
    inked = {
        image.pixelColor(x, y).name()
        for x in range(image.width())
        for y in range(image.height())
        if image.pixelColor(x, y).alpha() == 255
    }
    assert inked
    for name in inked:
        assert all(
            abs(a - b) <= 3
            for a, b in zip(QColor(name).getRgb(), QColor("#b84a00").getRgb(), strict=True)
        )


def test_an_icon_that_does_not_exist_is_an_error(qapp: QApplication) -> None:
    with pytest.raises(FileNotFoundError):
        icon("no such icon")


def test_the_program_icon_has_sizes_for_taskbar_and_launcher(qapp: QApplication) -> None:
    sizes = {size.width() for size in program_icon().availableSizes()}
    assert {16, 32, 48, 256} <= sizes
