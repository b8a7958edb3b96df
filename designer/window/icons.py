"""Our line icons: one 24 px grid, 1.75 px strokes, coloured to suit the theme when loaded."""

from PySide6.QtCore import QByteArray, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QGuiApplication, QIcon, QPainter, QPalette, QPixmap
from PySide6.QtSvg import QSvgRenderer

from designer.resources import resource_path

_SIZES = (24, 48)
_DRAWN_IN = "#000"


def icon(name: str, colour: str | None = None) -> QIcon:
    """An icon of `resources/icons` by name, in a colour "#rrggbb" or that of the palette's text.

    Raises FileNotFoundError where there is no such icon.
    """
    palette = QGuiApplication.palette()
    normal = colour or palette.color(QPalette.ColorRole.WindowText).name()
    faint = palette.color(QPalette.ColorGroup.Disabled, QPalette.ColorRole.WindowText).name()
    return _coloured(name, normal, faint)


def picture(name: str, size: int, colour: str | None = None) -> QPixmap:
    """An icon as a picture of `size` logical pixels."""
    screen = QGuiApplication.primaryScreen()
    ratio = screen.devicePixelRatio() if screen else 1.0
    return icon(name, colour).pixmap(QSize(size, size), ratio)


def program_icon() -> QIcon:
    """The program's own icon, in its own colours."""
    shown = QIcon()
    text = resource_path("icons", "rillwright.svg").read_text("utf-8")
    for size in (16, 24, 32, 48, 64, 128, 256):
        shown.addPixmap(_pixmap(text, size))
    return shown


def _coloured(name: str, normal: str, faint: str) -> QIcon:
    text = resource_path("icons", f"{name}.svg").read_text("utf-8")
    made = QIcon()
    for mode, colour in ((QIcon.Mode.Normal, normal), (QIcon.Mode.Disabled, faint)):
        coloured = text.replace(f'"{_DRAWN_IN}"', f'"{QColor(colour).name()}"')
        for size in _SIZES:
            made.addPixmap(_pixmap(coloured, size), mode)
    return made


def _pixmap(svg: str, size: int) -> QPixmap:
    pixmap = QPixmap(size, size)
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    QSvgRenderer(QByteArray(svg.encode())).render(painter, QRectF(0, 0, size, size))
    painter.end()
    return pixmap
