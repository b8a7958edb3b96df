"""The mouse on the sheet: what a press takes hold of, and what a drag does with it."""

from typing import TYPE_CHECKING

from PySide6.QtCore import QPoint, QPointF, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtWidgets import QRubberBand
from shapely.geometry import Point

from designer.canvas.gestures import (
    DragPoint,
    DragValue,
    Gesture,
    MoveThings,
    SlideBuckets,
    Spot,
)
from designer.canvas.handle_items import CURSORS, HANDLE_REACH, HANDLE_SHAPE
from designer.canvas.handles import AnyHandle, ValueHandle, nearest_handle
from designer.canvas.hit import within
from designer.canvas.snapping import rounded
from designer.model.stations import snapped_station
from designer.units import format_length, style_for

if TYPE_CHECKING:
    from designer.canvas.sheet import SheetView

HIT_REACH = 4.0
"""Pixels round the pointer that count as under it."""
UNDER = 0.5
"""Pixels round the pointer that count as right under it."""
DRAG_START = 4
"""Pixels the pointer goes before a press becomes a drag."""
_ADDING = Qt.KeyboardModifier.ShiftModifier | Qt.KeyboardModifier.ControlModifier


class Pointing:
    """Turns presses, moves and releases into choices, gestures, rubber bands and panning."""

    def __init__(self, sheet: "SheetView") -> None:
        self.sheet = sheet
        self.space_held = False
        self._pressed: QPointF | None = None
        self._handle: AnyHandle | None = None
        self._subject: str | None = None
        self._on_top: str | None = None
        self._drop_on_release = False
        self._banding = False
        self._panning: QPointF | None = None
        self._band: QRubberBand | None = None
        self._last: QPointF | None = None

    @property
    def busy(self) -> bool:
        """Whether a button is held that means something."""
        return self._pressed is not None

    def press(self, event: QMouseEvent) -> None:
        """Take hold of what is under the pointer, or begin to pan or to draw a rubber band."""
        position = event.position()
        button = event.button()
        if button == Qt.MouseButton.MiddleButton or (
            button == Qt.MouseButton.LeftButton and self.space_held
        ):
            self._panning = position
            self.sheet.viewport().setCursor(Qt.CursorShape.ClosedHandCursor)
            return
        if button != Qt.MouseButton.LeftButton:
            return
        self.sheet.hand.settle()
        self._pressed = self._last = position
        self._drop_on_release = self._banding = False
        self._handle = self.handle_at(position)
        adding = bool(event.modifiers() & _ADDING)
        self._on_top = None if self._handle else self.subject_at(position)
        self._subject = self._on_top
        if self._handle is None and not adding:
            self._subject = self._chosen_at(position) or self._on_top
        if self._handle is not None:
            self.sheet.focus_handle(self._handle.key)
        elif self._subject is not None:
            self._banding = self._beside_drain(self._subject, self.sheet.spot(position))
            self._choose(self._subject, adding)
        elif not adding:
            self.sheet.document.select(())
            self.sheet.focus_handle(None)

    def press_again(self, event: QMouseEvent) -> None:
        """The second press of two: on a run's rails or drain in the elevation it sets a block
        stack there, anywhere else it is a press."""
        position, sheet = event.position(), self.sheet
        spot, run_id = sheet.spot(position), sheet.run_id
        if (
            run_id is None
            or event.button() != Qt.MouseButton.LeftButton
            or self.space_held
            or spot.pane != "elevation"
            or self.handle_at(position) is not None
            or self.subject_at(position) != run_id
        ):
            self.press(event)
            return
        layout = sheet.document.analysis.run(run_id)
        station = spot.x - sheet.frame.to_view(*layout.frame.at(0.0))[0]
        if 0 <= station <= layout.run.length:
            pitched = snapped_station(layout.run, station)
            near = abs(pitched - station) <= spot.reach
            units = sheet.document.design.units
            sheet.put_support(run_id, pitched if near else rounded(station, units))

    def _choose(self, subject: str, adding: bool) -> None:
        chosen = self.sheet.document.selection
        self.sheet.focus_handle(None)
        if subject not in chosen:
            self.sheet.document.select(chosen | {subject} if adding else {subject})
        else:
            # A drag moves all that is chosen; only a click takes the choice back.
            self._drop_on_release = True

    def move(self, event: QMouseEvent) -> None:
        """Go on with what the press began; without a press, show what is under the pointer."""
        position = event.position()
        if self._panning is not None:
            by = position - self._panning
            self._panning = position
            self.sheet.pan(by.x(), by.y())
            return
        if self._pressed is None:
            self._show_cursor(position)
            return
        self._last = position
        if self.sheet.gesture is None and self._band is None:
            away = position - self._pressed
            if max(abs(away.x()), abs(away.y())) < DRAG_START:
                return
            self._begin()
        self.follow(bool(event.modifiers() & Qt.KeyboardModifier.AltModifier))

    def follow(self, free: bool) -> None:
        """Bring the gesture or the rubber band to where the pointer is."""
        if self._last is None or self._pressed is None:
            return
        if self._band is not None:
            corner = self._last.toPoint()
            self._band.setGeometry(QRect(self._pressed.toPoint(), corner).normalized())
        elif self.sheet.gesture is not None:
            self.sheet.hand.drag_to(self._last, free)

    def _beside_drain(self, subject: str, spot: Spot) -> bool:
        """Whether a spot is on a run that is not yet chosen, but not on its drain: a drag from
        its rails or blocks draws a rubber band round buckets rather than move the run."""
        document = self.sheet.document
        if spot.pane != "plan" or subject in document.selection:
            return False
        for layout in document.analysis.runs:
            if layout.run.id == subject:
                station, offset = layout.frame.of(spot.site.x, spot.site.y)
                near = layout.parts.drain.outside_diameter / 2 + spot.reach
                return 0 <= station <= layout.run.length and abs(offset) > near
        return False

    def _begin(self) -> None:
        assert self._pressed is not None
        if self._banding:
            self._subject = None
        spot = self.sheet.spot(self._pressed)
        gesture = self.gesture_at(spot)
        if gesture is not None:
            self.sheet.hand.begin(gesture, self._pressed)
        elif self._subject is None and self._handle is None:
            self._band = QRubberBand(QRubberBand.Shape.Rectangle, self.sheet.viewport())
            self._band.setGeometry(QRect(self._pressed.toPoint(), QSize()))
            self._band.show()

    def gesture_at(self, spot: Spot) -> Gesture | None:
        """The gesture that a drag from a spot begins; None where there is nothing to drag."""
        sheet = self.sheet
        if self._handle is not None:
            return handle_gesture(sheet, spot, self._handle)
        if self._subject is None:
            return None
        return subject_gesture(sheet, spot, self._subject)

    def release(self, event: QMouseEvent) -> None:
        """Finish what the press began."""
        if self._panning is not None:
            self._panning = None
            self._show_cursor(event.position())
            return
        if event.button() != Qt.MouseButton.LeftButton or self._pressed is None:
            return
        band, start = self._band, self._pressed
        dragged = self.sheet.gesture is not None or band is not None
        self._band = self._pressed = None
        if band is not None:
            self._choose_in(QRectF(start, event.position()).normalized(), event)
            band.deleteLater()
        elif self.sheet.gesture is not None:
            self.sheet.hand.let_go()
        elif not dragged and self._drop_on_release and self._on_top is not None:
            chosen = self.sheet.document.selection
            adding = bool(event.modifiers() & _ADDING)
            self.sheet.document.select(chosen - {self._on_top} if adding else {self._on_top})
        self.sheet.catch_up()
        self._show_cursor(event.position())

    def cancel(self) -> None:
        """Forget the press; the gesture has been dropped."""
        self._pressed = None
        if self._band is not None:
            self._band.deleteLater()
            self._band = None

    def _choose_in(self, area: QRectF, event: QMouseEvent) -> None:
        """Choose what lies wholly in a rubber band, in either pane."""
        first = self.sheet.camera.to_scene(area.topLeft())
        last = self.sheet.camera.to_scene(area.bottomRight())
        found: set[str] = set()
        for pane in self.sheet.panes.values():
            low = min(first.y(), last.y()) - pane.shift
            high = max(first.y(), last.y()) - pane.shift
            band = (min(first.x(), last.x()), low, max(first.x(), last.x()), high)
            found |= {s for s, box in pane.subject_boxes().items() if within(box, band)}
        before = self.sheet.document.selection
        adding = bool(event.modifiers() & _ADDING)
        self.sheet.document.select(before | found if adding else found)

    def handle_at(self, position: QPointF) -> AnyHandle | None:
        """The handle under a place in the viewport. On a chosen obstacle there are only its own,
        as they are drawn, so that a drag there moves it."""
        spot = self.sheet.spot(position)
        zoom, handles, reach = self.sheet.camera.zoom, self.sheet.handles, HANDLE_REACH
        obstacle = self._chosen_obstacle_at(spot)
        if obstacle is not None:
            handles, reach = [h for h in handles if h.subject == obstacle], HANDLE_SHAPE
        return nearest_handle(handles, spot.pane, spot.x, spot.y, reach / zoom)

    def _chosen_obstacle_at(self, spot: Spot) -> str | None:
        """The chosen obstacle whose body is under a spot, well within its edge."""
        document = self.sheet.document
        if spot.pane != "plan":
            return None
        point = Point(spot.site.x, spot.site.y)
        for subject in document.selection:
            shape = document.analysis.site.obstacles.get(subject)
            if shape is None or not shape.contains(point):
                continue
            if shape.exterior.distance(point) * self.sheet.camera.zoom > HIT_REACH:
                return subject
        return None

    def _chosen_at(self, position: QPointF) -> str | None:
        """What is chosen and lies right under a place, though something may lie over it. Runs
        and the outline do not count: whatever stands on them would be out of reach."""
        document, spot = self.sheet.document, self.sheet.spot(position)
        grounds = {run.id for run in document.design.runs} | {"site"}
        return self.sheet.panes[spot.pane].subject_at(
            spot.x, spot.y, UNDER / self.sheet.camera.zoom, document.selection - grounds
        )

    def subject_at(self, position: QPointF) -> str | None:
        """The subject under a place in the viewport."""
        spot = self.sheet.spot(position)
        reach = HIT_REACH / self.sheet.camera.zoom
        return self.sheet.panes[spot.pane].subject_at(spot.x, spot.y, reach)

    def _show_cursor(self, position: QPointF) -> None:
        cursor = Qt.CursorShape.ArrowCursor
        if self.space_held:
            cursor = Qt.CursorShape.OpenHandCursor
        elif (handle := self.handle_at(position)) is not None:
            cursor = CURSORS[handle.shape]
        elif self.subject_at(position) is not None:
            cursor = Qt.CursorShape.PointingHandCursor
        if self.sheet.viewport().cursor().shape() != cursor:
            self.sheet.viewport().setCursor(cursor)

    def tip_at(self, position: QPoint) -> str:
        """What a tooltip says at a place in the viewport."""
        handle = self.handle_at(QPointF(position))
        if handle is None:
            return ""
        if isinstance(handle, ValueHandle):
            style = style_for(self.sheet.document.design.units)
            return f"{handle.hint}. Now {format_length(handle.value, style)}."
        return f"{handle.hint}."


def handle_gesture(sheet: "SheetView", spot: Spot, handle: AnyHandle) -> Gesture:
    """The gesture of dragging a handle."""
    if isinstance(handle, ValueHandle):
        return DragValue(sheet.document, spot, handle)
    return DragPoint(sheet.document, spot, handle)


def subject_gesture(sheet: "SheetView", spot: Spot, grabbed: str) -> Gesture | None:
    """The gesture of dragging a thing by its body, with all that is chosen."""
    document = sheet.document
    places = document.analysis.places
    chosen = document.selection | {grabbed}
    buckets = {s for s in chosen if s in places}
    if grabbed in places and (spot.pane == "elevation" or buckets == chosen):
        return SlideBuckets(document, spot, grabbed, buckets)
    if spot.pane == "plan":
        return MoveThings(document, spot, chosen, sheet.frame)
    wanted = "sunk:reservoir" if grabbed == "reservoir" else f"stand:{grabbed}"
    handle = next((h for h in sheet.handles if h.key == wanted), None)
    return handle_gesture(sheet, spot, handle) if handle is not None else None
