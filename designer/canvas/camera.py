"""Zoom, pan and fit of a graphics view whose scene has y up, and the scale that texts follow."""

from collections.abc import Iterator
from math import log

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QTransform, QWheelEvent
from PySide6.QtWidgets import QGraphicsView

from designer.drawing.records import Box

LOWEST_ZOOM, HIGHEST_ZOOM = 0.002, 40.0
"""Pixels per mm of the thing."""
WORLD = QRectF(-3e6, -3e6, 6e6, 6e6)
"""A scene rectangle that no view reaches the edge of, for scrolling clamps there. mm."""
EDGE, EDGE_BELOW = 18.0, 42.0
"""Clear edge of what is fitted into the view, and that at its foot, where the scale bar lies."""
PAPER_MM_PIXELS = 4.1
"""Pixels that 1 mm of paper should come near to: texts of 2.5 to 3.5 mm are then 10 to 15 px."""
_SLACK = 1.28
_WHEEL_STEP = 1.2
_NOTCH = 120


class Camera:
    """Moves a view. All zooming keeps the scene's point under the given place where it is."""

    def __init__(self, view: QGraphicsView) -> None:
        self.view = view
        view.setSceneRect(WORLD)
        view.setTransformationAnchor(QGraphicsView.ViewportAnchor.NoAnchor)
        view.setResizeAnchor(QGraphicsView.ViewportAnchor.NoAnchor)
        view.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        view.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        view.setTransform(QTransform.fromScale(0.1, -0.1))

    @property
    def zoom(self) -> float:
        """Pixels per mm of the thing."""
        return self.view.transform().m11()

    def to_scene(self, position: QPointF) -> QPointF:
        """The scene's point at a place in the viewport."""
        inverted, _ = self.view.viewportTransform().inverted()
        return inverted.map(position)

    def to_viewport(self, point: QPointF) -> QPointF:
        """The place in the viewport of a point of the scene."""
        return self.view.viewportTransform().map(point)

    @property
    def middle(self) -> QPointF:
        """The middle of the viewport, in the viewport."""
        return QRectF(self.view.viewport().rect()).center()

    def zoom_at(self, position: QPointF, factor: float) -> None:
        """Zoom about a place in the viewport."""
        zoom = min(HIGHEST_ZOOM, max(LOWEST_ZOOM, self.zoom * factor))
        before = self.to_scene(position)
        self.view.setTransform(QTransform.fromScale(zoom, -zoom))
        after = self.to_scene(position)
        self.view.translate(after.x() - before.x(), after.y() - before.y())

    def pan(self, dx: float, dy: float) -> None:
        """Move what is shown by pixels, to the right and down."""
        for bar, by in (
            (self.view.horizontalScrollBar(), dx),
            (self.view.verticalScrollBar(), dy),
        ):
            bar.setValue(bar.value() - round(by))

    def fit(self, box: Box) -> None:
        """Show a box of the scene as large as goes, with a clear edge."""
        left, bottom, right, top = box
        zoom = self.zoom_for(right - left, top - bottom)
        self.view.setTransform(QTransform.fromScale(zoom, -zoom))
        lower = (EDGE_BELOW - EDGE) / 2 / zoom
        self.view.centerOn((left + right) / 2, (bottom + top) / 2 - lower)

    def zoom_for(self, width: float, height: float) -> float:
        """The zoom at which so many mm go into the view, with a clear edge."""
        size = self.view.viewport().size()
        zoom = min(
            max(40.0, size.width() - 2 * EDGE) / max(1.0, width),
            max(40.0, size.height() - EDGE - EDGE_BELOW) / max(1.0, height),
        )
        return min(HIGHEST_ZOOM, max(LOWEST_ZOOM, zoom))

    def wheel(self, event: QWheelEvent) -> bool:
        """Zoom by a wheel, pan by a touchpad, zoom by either with Ctrl; whether it zoomed."""
        pixels, angle = event.pixelDelta(), event.angleDelta()
        touchpad = event.phase() != Qt.ScrollPhase.NoScrollPhase and not pixels.isNull()
        if touchpad and not event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self.pan(pixels.x(), pixels.y())
            return False
        # With Alt, Qt turns the wheel sideways.
        turned = angle.y() or angle.x()
        if not turned:
            return False
        self.zoom_at(event.position(), _WHEEL_STEP ** (turned / _NOTCH))
        return True


def series() -> Iterator[float]:
    """Steps of scale, as mm of the thing to 1 mm of paper: those of ISO 5455 and between them the
    preferred numbers R10 of ISO 3 (from memory), for a screen states no scale and the texts should
    keep their size."""
    for decade in range(-2, 5):
        for step in (1.0, 1.25, 1.6, 2.0, 2.5, 3.2, 4.0, 5.0, 6.3, 8.0):
            yield step * 10.0**decade


def text_scale(zoom: float, now: float | None = None) -> float:
    """The scale at which dimensions and texts are laid out for a zoom; `now` is kept while texts
    stay readable, so that zooming to and fro does not make them jump."""
    if now is not None and 1 / _SLACK <= now * zoom / PAPER_MM_PIXELS <= _SLACK:
        return now
    return min(series(), key=lambda scale: abs(log(scale * zoom / PAPER_MM_PIXELS)))
