"""Turns drawing records into pens, brushes and fonts, as items of a scene or by a painter.

Both keep the drawing's own frame: mm, y up. Scene and painter are flipped by their transform, and
texts are flipped back, so they stand upright.
"""

from functools import cache, cached_property

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import (
    QBrush,
    QColor,
    QFont,
    QFontDatabase,
    QFontMetricsF,
    QPainter,
    QPainterPath,
    QPen,
    QPolygonF,
    QTransform,
)
from PySide6.QtWidgets import (
    QGraphicsEllipseItem,
    QGraphicsItem,
    QGraphicsLineItem,
    QGraphicsPathItem,
    QGraphicsPolygonItem,
    QGraphicsSimpleTextItem,
)

from designer.drawing.records import Circle, Line, Record, Text
from designer.drawing.styles import STYLES, WIDTH_MM, Colours, Role, Style
from designer.resources import resource_path

SCREEN_PIXELS_PER_MM = 4.0
"""Pixels for 1 mm of paper on the screen: narrow lines are 1 px wide and wide lines 2 px."""

_FONT_PIXELS = 100
_ANCHORED = {"start": 0.0, "middle": 0.5, "end": 1.0}


@cache
def font_family() -> str:
    """The family of the font that comes with the program, or the system's own where it fails."""
    families: list[str] = []
    for name in ("NotoSans-Regular.ttf", "NotoSans-Bold.ttf"):
        try:
            number = QFontDatabase.addApplicationFont(str(resource_path("fonts", name)))
        except FileNotFoundError:
            continue
        families += QFontDatabase.applicationFontFamilies(number) if number >= 0 else []
    return families[0] if families else QFont().family()


class Ink:
    """Pens, brushes and fonts for one table of colours.

    Pens are cosmetic, so that lines stay crisp at any zoom; `pixels_per_mm` of paper sets their
    width and the length of their dashes.
    """

    def __init__(self, colours: Colours, pixels_per_mm: float = SCREEN_PIXELS_PER_MM) -> None:
        self.colours = colours
        self.pixels_per_mm = pixels_per_mm
        self._pens: dict[str, QPen] = {}
        self._brushes: dict[str, QBrush] = {}

    def colour(self, role: Role) -> QColor:
        """The colour of a role."""
        return QColor(self.colours[role])

    def pen(self, style: str) -> QPen:
        """The pen of a style's lines."""
        if style not in self._pens:
            self._pens[style] = self._make_pen(STYLES[style])
        return self._pens[style]

    def brush(self, style: str) -> QBrush:
        """The brush of a style's fill; no brush where it has none."""
        if style not in self._brushes:
            self._brushes[style] = self._make_brush(STYLES[style])
        return self._brushes[style]

    def text_brush(self, style: str) -> QBrush:
        """The brush a text is filled with."""
        return QBrush(self.colour(STYLES[style].colour))

    def font(self, style: str) -> QFont:
        """The font of a style, at a fixed size that :func:`text_transform` scales."""
        return self._bold if STYLES[style].bold else self._plain

    @cached_property
    def _plain(self) -> QFont:
        font = QFont(font_family())
        font.setPixelSize(_FONT_PIXELS)
        font.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
        return font

    @cached_property
    def _bold(self) -> QFont:
        font = QFont(self._plain)
        font.setBold(True)
        return font

    def _make_pen(self, style: Style) -> QPen:
        if style.weight == "none":
            return QPen(Qt.PenStyle.NoPen)
        width = WIDTH_MM[style.weight] * self.pixels_per_mm
        pen = QPen(self.colour(style.colour), width)
        pen.setCosmetic(True)
        pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
        pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        if style.dash:
            pen.setDashPattern([d * self.pixels_per_mm / width for d in style.dash])
        return pen

    def _make_brush(self, style: Style) -> QBrush:
        if style.fill is None:
            return QBrush(Qt.BrushStyle.NoBrush)
        colour = self.colour(style.fill)
        colour.setAlphaF(style.opacity)
        return QBrush(colour)


def text_transform(record: Text, font: QFont) -> QTransform:
    """Puts a text drawn at the origin with the item's top left corner there onto its place.

    The height of a record is the size of its font; its middle is that of the capitals.
    """
    metrics = QFontMetricsF(font)
    scale = record.height / font.pixelSize()
    transform = QTransform.fromTranslate(record.x, record.y)
    transform.rotate(record.angle)
    transform.scale(scale, -scale)
    return transform.translate(
        -metrics.horizontalAdvance(record.text) * _ANCHORED[record.anchor],
        metrics.capHeight() / 2 - metrics.ascent(),
    )


def add_records(
    records: list[Record], parent: QGraphicsItem, ink: Ink
) -> list[tuple[float, QGraphicsItem]]:
    """Make scene items for records under `parent`; returns (height, item) of every text.

    The caller drops the texts together with the parent, which owns them.
    """
    texts: list[tuple[float, QGraphicsItem]] = []
    strokes: list[Line] = []
    for record in records:
        if isinstance(record, Line) and not record.closed:
            if strokes and strokes[0].style != record.style:
                _add_strokes(strokes, parent, ink)
                strokes = []
            strokes.append(record)
            continue
        if strokes:
            _add_strokes(strokes, parent, ink)
            strokes = []
        if isinstance(record, Text):
            texts.append((record.height, _add_text(record, parent, ink)))
        else:
            _add_shape(record, parent, ink)
    if strokes:
        _add_strokes(strokes, parent, ink)
    return texts


def _add_strokes(lines: list[Line], parent: QGraphicsItem, ink: Ink) -> None:
    """Lines of one style that follow each other: one item, for they change together."""
    if len(lines) == 1 and len(lines[0].points) == 2:
        (x1, y1), (x2, y2) = lines[0].points
        line_item = QGraphicsLineItem(QLineF(x1, y1, x2, y2), parent)
        line_item.setPen(ink.pen(lines[0].style))
        return
    path = QPainterPath()
    for line in lines:
        path.moveTo(*line.points[0])
        for point in line.points[1:]:
            path.lineTo(*point)
    item = QGraphicsPathItem(path, parent)
    item.setPen(ink.pen(lines[0].style))


def _add_shape(record: Line | Circle, parent: QGraphicsItem, ink: Ink) -> None:
    item: QGraphicsPolygonItem | QGraphicsEllipseItem
    if isinstance(record, Circle):
        item = QGraphicsEllipseItem(_box(record), parent)
    else:
        item = QGraphicsPolygonItem(_polygon(record), parent)
    item.setPen(ink.pen(record.style))
    item.setBrush(ink.brush(record.style))


def _add_text(record: Text, parent: QGraphicsItem, ink: Ink) -> QGraphicsSimpleTextItem:
    font = ink.font(record.style)
    item = QGraphicsSimpleTextItem(record.text, parent)
    item.setFont(font)
    item.setBrush(ink.text_brush(record.style))
    item.setTransform(text_transform(record, font))
    return item


def paint_records(painter: QPainter, records: list[Record], ink: Ink) -> None:
    """Draw records with a painter whose transform has y up."""
    for record in records:
        if isinstance(record, Text):
            _paint_text(painter, record, ink)
            continue
        painter.setPen(ink.pen(record.style))
        filled = isinstance(record, Circle) or record.closed
        painter.setBrush(ink.brush(record.style) if filled else QBrush(Qt.BrushStyle.NoBrush))
        if isinstance(record, Circle):
            painter.drawEllipse(_box(record))
        elif record.closed:
            painter.drawPolygon(_polygon(record))
        else:
            painter.drawPolyline(_polygon(record))


def _paint_text(painter: QPainter, record: Text, ink: Ink) -> None:
    font = ink.font(record.style)
    painter.save()
    painter.setTransform(text_transform(record, font), combine=True)
    painter.setFont(font)
    painter.setPen(ink.colour(STYLES[record.style].colour))
    painter.drawText(QPointF(0.0, QFontMetricsF(font).ascent()), record.text)
    painter.restore()


def _box(circle: Circle) -> QRectF:
    x, y, radius, _ = circle
    return QRectF(x - radius, y - radius, 2 * radius, 2 * radius)


def _polygon(line: Line) -> QPolygonF:
    return QPolygonF([QPointF(x, y) for x, y in line.points])
