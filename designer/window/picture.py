"""Small pictures of a design, for the start page: drawn as on the sheet, without dimensions."""

from collections.abc import Iterable

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QImage, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from designer.analysis import Analysis, analyse
from designer.canvas.painter import Ink, paint_records
from designer.drawing.elevation import elevation_groups
from designer.drawing.plan import plan_groups
from designer.drawing.records import Group, Record, Text, extent
from designer.drawing.styles import Colours
from designer.model.design import Design
from designer.units import LengthStyle, format_length

_GAP = 0.06
"""Space between plan and elevation, and around both, as a share of the picture's width."""


_PIXELS_PER_MM = 2.8
_SMALL_PIXELS_PER_MM = 1.4
"""Of paper: what the lines' widths and the texts' heights come from; smaller without letters."""


def render(
    design: Design, size: QSize, colours: Colours, both: bool = True, ratio: float = 1.0
) -> QImage:
    """The plan with the elevation below it, fitted into `size` logical pixels.

    Without `both` it is the plan alone and without letters, which would be too small to read.
    """
    image = QImage(size * ratio, QImage.Format.Format_ARGB32_Premultiplied)
    image.setDevicePixelRatio(ratio)
    image.fill(QColor(colours["sheet"]))
    analysis = analyse(design)
    views: list[list[Record]] = []
    margin = _GAP * size.width()
    pixels_per_mm = _PIXELS_PER_MM if both else _SMALL_PIXELS_PER_MM
    scale, zoom = 20.0, 1.0
    for _ in range(2):  # first to find the zoom, then with texts of a size that suits it
        views = _views(analysis, both, scale)
        boxes = [box for records in views if (box := extent(records)) is not None]
        if not boxes:
            return image
        left, right = min(box[0] for box in boxes), max(box[2] for box in boxes)
        height = sum(top - bottom for _, bottom, _, top in boxes)
        room_high = max(size.height() - margin * (len(boxes) + 1), 1.0)
        zoom = min((size.width() - 2 * margin) / (right - left), room_high / height)
        scale = pixels_per_mm / zoom
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    ink = Ink(colours, pixels_per_mm)
    spare = (size.height() - height * zoom - margin * (len(boxes) - 1)) / 2
    y = spare
    for records, (_, bottom, _, top) in zip(views, boxes, strict=False):
        painter.save()
        painter.translate(size.width() / 2, y)
        painter.scale(zoom, -zoom)
        painter.translate(-(left + right) / 2, -top)
        paint_records(painter, records, ink)
        painter.restore()
        y += (top - bottom) * zoom + margin
    painter.end()
    return image


def in_words(design: Design) -> str:
    """A design in one line: "8 buckets, drain 4.05 m long", the way to the reservoir included."""
    count = sum(len(run.buckets) for run in design.runs)
    longest = max((layout.drain_length for layout in analyse(design).runs), default=0.0)
    style = LengthStyle.M if design.units == "metric" else LengthStyle.FEET_INCHES
    buckets = "1 bucket" if count == 1 else f"{count} buckets"
    runs = "" if len(design.runs) < 2 else f" on {len(design.runs)} runs"
    return f"{buckets}{runs}, drain {format_length(longest, style)} long"


def _views(analysis: Analysis, both: bool, scale: float) -> list[list[Record]]:
    run_id = analysis.design.runs[0].id if analysis.design.runs else None
    plan = _undimensioned(plan_groups(analysis, run_id, scale))
    views = [plan if both else _wordless(plan)]
    if both:
        views.append(_undimensioned(elevation_groups(analysis, run_id, scale)))
    return [records for records in views if extent(records) is not None]


def _undimensioned(groups: Iterable[Group]) -> list[Record]:
    return [r for group in groups if not group.key.startswith("dim:") for r in group.build()]


def _wordless(records: list[Record]) -> list[Record]:
    return [record for record in records if not isinstance(record, Text)]


class Picture(QWidget):
    """Shows a picture at its own size, or a sentence in its place."""

    resized = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._image: QImage | None = None
        self._words = ""
        self.setMinimumSize(240, 220)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    @property
    def image(self) -> QImage | None:
        """The picture shown; None while a sentence stands in its place."""
        return self._image

    def show_image(self, image: QImage, words: str) -> None:
        """Show a picture, and say `words` of it below and to a screen reader."""
        self._image, self._words = image, words
        self.setAccessibleDescription(words)
        self.update()

    def clear(self, words: str) -> None:
        """Show a sentence in place of the picture."""
        self._image, self._words = None, words
        self.setAccessibleDescription(words)
        self.update()

    @property
    def room(self) -> QSize:
        """The size a picture may have, with the line of words left free below."""
        return QSize(self.width(), max(self.height() - 2 * self.fontMetrics().height(), 1))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.resized.emit()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        words = QRectF(self.rect())
        if self._image is not None:
            size = self._image.deviceIndependentSize().toSize()
            painter.drawImage((self.width() - size.width()) // 2, 0, self._image)
            words.setTop(self.height() - 1.6 * self.fontMetrics().height())
        painter.setPen(self.palette().placeholderText().color())
        painter.drawText(words, int(Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap),
                         self._words)  # fmt: skip
        painter.end()
