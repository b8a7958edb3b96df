"""The drawing sheet on the screen: plan above, elevation below in projection, in one scene."""

from collections.abc import Callable, Iterable

from PySide6.QtCore import QEvent, QPointF, QRectF, Qt, QTimer, Signal
from PySide6.QtGui import (
    QCloseEvent,
    QFocusEvent,
    QHelpEvent,
    QKeyEvent,
    QMouseEvent,
    QNativeGestureEvent,
    QPainter,
    QResizeEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QGraphicsScene, QGraphicsView, QToolTip

from designer.canvas.accessible import announce, describe, describe_handle
from designer.canvas.camera import Camera, text_scale
from designer.canvas.commands import EditingCommands
from designer.canvas.distance_entry import DistanceEntry
from designer.canvas.document import Document
from designer.canvas.drops import DropTarget
from designer.canvas.gestures import Gesture, PaneName, Spot
from designer.canvas.grid import ScaleBar, draw_grid
from designer.canvas.handle_items import HandleItems
from designer.canvas.handles import AnyHandle, handles_of
from designer.canvas.hit import joined
from designer.canvas.keyboard import HELP, Keyboard
from designer.canvas.painter import Ink
from designer.canvas.pointing import Pointing
from designer.canvas.scene import Pane
from designer.drawing.elevation import elevation_groups
from designer.drawing.frame import view_frame
from designer.drawing.plan import plan_groups
from designer.drawing.records import Box
from designer.drawing.styles import LIGHT, Colours
from designer.model.design import Point
from designer.units import LengthError, format_length, style_for

SNAP_PIXELS = 8.0
"""How near a neighbour's station draws a bucket in, on the screen."""
GAP = 12.0
"""Room between plan and elevation, mm of paper."""
_SETTLE_MS = 70


class SheetView(EditingCommands, QGraphicsView):
    """Shows a document and lets the hand change it. One tab stop; see the keyboard module."""

    hint = Signal(str)
    """A line for the status bar."""

    def __init__(self, document: Document, colours: Colours = LIGHT) -> None:
        super().__init__()
        self.document = document
        self.gesture: Gesture | None = None
        self.handles: list[AnyHandle] = []
        self.focused_handle: str | None = None
        self.run_id = document.active_run
        self.frame = view_frame(document.analysis, self.run_id)
        self.ink = Ink(colours)
        self._grid_shown = True
        self._fitted = True
        self._divide: float | None = None
        self._typed_from = 0.0
        # The view does not keep its scene alive.
        self._scene = QGraphicsScene(self)
        self.setScene(self._scene)
        self.panes: dict[PaneName, Pane] = {
            "plan": Pane(self._scene, self.ink),
            "elevation": Pane(self._scene, self.ink),
        }
        self.camera = Camera(self)
        self.scale_now = text_scale(self.camera.zoom)
        self._handle_items = HandleItems(self.panes)
        self.pointing = Pointing(self)
        self.keyboard = Keyboard(self)
        self.drops = DropTarget(self)
        self.entry = DistanceEntry(self)
        self.scale_bar = ScaleBar(self)
        self._settle_timer = QTimer(self, singleShot=True, interval=_SETTLE_MS)
        self._settle_timer.timeout.connect(self._settle)
        self._set_up()
        self.set_colours(colours)
        document.changed.connect(self._refresh)
        document.selection_changed.connect(self._selection_changed)

    def _set_up(self) -> None:
        self.setRenderHint(QPainter.RenderHint.Antialiasing)
        self.setInteractive(False)
        self.setCacheMode(QGraphicsView.CacheModeFlag.CacheBackground)
        self.setOptimizationFlag(QGraphicsView.OptimizationFlag.DontSavePainterState)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAcceptDrops(True)
        self.viewport().setMouseTracking(True)
        self.setMinimumSize(240, 180)
        self.setAccessibleName("Drawing sheet")
        self.setWhatsThis(HELP)

    # --- what is shown ---------------------------------------------------------------------------

    @property
    def grid_shown(self) -> bool:
        """Whether the grid is drawn."""
        return self._grid_shown

    @grid_shown.setter
    def grid_shown(self, shown: bool) -> None:
        self._grid_shown = shown
        self._redraw_background()

    def set_colours(self, colours: Colours) -> None:
        """Draw with another table of colours."""
        self.ink = Ink(colours)
        for pane in self.panes.values():
            pane.set_ink(self.ink)
        self.entry.set_colours(colours)
        self.setStyleSheet(
            f"SheetView {{ border: 2px solid {colours['faint']}; }}"
            f"SheetView:focus {{ border-color: {colours['chosen']}; }}"
        )
        self._refresh()
        self._redraw_background()

    @property
    def _holding(self) -> bool:
        """Whether a hand is at work, so that nothing may jump under it."""
        return self.gesture is not None or self.pointing.busy or self.drops.active

    def _refresh(self) -> None:
        """Bring the scene in step with the document."""
        document, zoom = self.document, self.camera.zoom
        known = self.run_id in {run.id for run in document.design.runs}
        if not self._holding or not known:
            self.run_id = document.active_run
        analysis = document.analysis
        self.frame = view_frame(analysis, self.run_id)
        plan, elevation = self.panes["plan"], self.panes["elevation"]
        plan.update(plan_groups(analysis, self.run_id, self.scale_now), zoom)
        elevation.update(elevation_groups(analysis, self.run_id, self.scale_now), zoom)
        if not self._holding or not known:
            self._place_elevation()
        self._show_choice()
        self.scale_bar.show_zoom(zoom, document.design.units, self.ink)

    def _place_elevation(self) -> None:
        """Put the elevation below the plan; it stays where it is while the room between them is
        near enough to what it should be."""
        plan, elevation = self.panes["plan"], self.panes["elevation"]
        box, below = plan.box(), elevation.box()
        if below is None:
            self._set_divide(None)
            return
        gap, bottom = GAP * self.scale_now, box[1] if box else 0.0
        wanted = bottom - gap - below[3]
        moved = wanted - elevation.shift
        if not -gap / 2 <= moved <= gap / 2:
            looking_below = self.spot(self.camera.middle).pane == "elevation"
            elevation.set_shift(wanted)
            if looking_below and not self._fitted:
                self.translate(0.0, -moved)
        self._set_divide((bottom + below[3] + elevation.shift) / 2)

    def _set_divide(self, divide: float | None) -> None:
        if divide != self._divide:
            self._divide = divide
            self._redraw_background()

    def _redraw_background(self) -> None:
        self.resetCachedContent()
        self.viewport().update()

    def _show_choice(self) -> None:
        selection = self.document.selection
        for pane in self.panes.values():
            pane.show_chosen(selection)
        analysis = self.document.analysis
        self.handles = handles_of(analysis, self.run_id, selection, self.frame)
        if self.focused_handle not in {handle.key for handle in self.handles}:
            self.focused_handle = None
        self._handle_items.show(self.handles, self.focused_handle, self.ink)

    def _selection_changed(self) -> None:
        if self.document.active_run != self.run_id and not self._holding:
            self._refresh()
        else:
            self._show_choice()
        self.announce_state()

    def announce_state(self) -> None:
        """Say what is chosen and where it stands, aloud and in the status bar."""
        analysis = self.document.analysis
        handle = next((h for h in self.handles if h.key == self.focused_handle), None)
        if handle is not None:
            text = describe_handle(analysis, handle)
        else:
            text = describe(analysis, self.document.selection)
        announce(self, text)
        self.say(text)

    def say(self, text: str) -> None:
        """Show a line in the status bar."""
        self.hint.emit(text)

    def say_length(self, mm: float) -> str:
        """A length in the person's units."""
        return format_length(mm, style_for(self.document.design.units))

    def focus_handle(self, key: str | None) -> None:
        """Give a handle the keyboard's arrows, or take them back."""
        if key != self.focused_handle:
            self.focused_handle = key
            self._show_choice()
            self.announce_state()

    def drawBackground(self, painter: QPainter, rect: QRectF) -> None:
        """Draw the sheet and its grid."""
        painter.fillRect(rect, self.ink.colour("sheet"))
        if self._grid_shown:
            shift = self.panes["elevation"].shift
            units = self.document.design.units
            draw_grid(painter, rect, self.camera.zoom, units, self.ink, self._divide, shift)

    # --- zoom, pan and fit -----------------------------------------------------------------------

    def fit(self) -> None:
        """Show the whole sheet."""
        self._fit_to(self._whole)
        self._fitted = True

    def zoom_to(self, subjects: Iterable[str]) -> None:
        """Show some subjects with what stands around them."""
        wanted = list(subjects)

        def around() -> Box | None:
            box = self.panes["plan"].box(wanted)
            if box is None:
                return self._whole()
            room = max(400.0, (box[2] - box[0]) / 2, (box[3] - box[1]) / 2)
            return box[0] - room, box[1] - room, box[2] + room, box[3] + room

        self._fit_to(around)

    def _fit_to(self, find_box: Callable[[], Box | None]) -> None:
        # Dimensions have a size on paper, so what is shown depends on the scale and the other way.
        for _ in range(4):
            box = find_box()
            if box is None:
                return
            self.camera.fit(box)
            scale = text_scale(self.camera.zoom)
            if scale == self.scale_now:
                break
            self.scale_now = scale
            self._refresh()
        self._fitted = False
        self._zoomed()

    def _whole(self) -> Box | None:
        boxes = []
        for pane in self.panes.values():
            box = pane.box()
            if box is not None:
                boxes.append((box[0], box[1] + pane.shift, box[2], box[3] + pane.shift))
        return joined(boxes)

    def zoom_by(self, factor: float) -> None:
        """Zoom about the middle of the view."""
        self.camera.zoom_at(self.camera.middle, factor)
        self._fitted = False
        self._zoomed()
        self._settle()

    def pan(self, dx: float, dy: float) -> None:
        """Move what is shown by pixels, to the right and down."""
        self.camera.pan(dx, dy)
        self._fitted = False

    def _zoomed(self) -> None:
        for pane in self.panes.values():
            pane.show_readable_texts(self.camera.zoom)
        self.scale_bar.show_zoom(self.camera.zoom, self.document.design.units, self.ink)
        self._settle_timer.start()

    def _settle(self) -> None:
        """Lay texts and dimensions out for the zoom, once it has come to rest."""
        self._settle_timer.stop()
        if self._holding:
            return
        scale = text_scale(self.camera.zoom, self.scale_now)
        if scale != self.scale_now:
            self.scale_now = scale
            self._refresh()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Zoom about the pointer, or pan by a touchpad."""
        before = self.camera.zoom
        self.camera.wheel(event)
        self._fitted = False
        if self.camera.zoom != before:
            self._zoomed()
        event.accept()

    def viewportEvent(self, event: QEvent) -> bool:
        """Pinch to zoom; tooltips of the handles."""
        if isinstance(event, QNativeGestureEvent):
            if event.gestureType() == Qt.NativeGestureType.ZoomNativeGesture:
                self.camera.zoom_at(event.position(), 1.0 + event.value())
                self._fitted = False
                self._zoomed()
                return True
        elif isinstance(event, QHelpEvent) and event.type() == QEvent.Type.ToolTip:
            QToolTip.showText(event.globalPos(), self.pointing.tip_at(event.pos()), self)
            return True
        return super().viewportEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the whole sheet in sight until the person has moved it."""
        super().resizeEvent(event)
        room = self.viewport().geometry()
        self.scale_bar.move(room.left() + 8, room.bottom() - self.scale_bar.height() - 8)
        if self._fitted:
            self.fit()

    # --- gestures --------------------------------------------------------------------------------

    def spot(self, position: QPointF, pane: PaneName | None = None) -> Spot:
        """The spot at a place in the viewport, in the pane that lies there unless one is named."""
        point = self.camera.to_scene(position)
        x, y = point.x(), point.y()
        if pane is None:
            pane = "plan" if self._divide is None or y >= self._divide else "elevation"
        level = y - self.panes[pane].shift
        site = Point(*self.frame.to_site(x, level))
        return Spot(pane, x, level, site, SNAP_PIXELS / self.camera.zoom)

    def begin(self, gesture: Gesture, position: QPointF) -> None:
        """Begin a gesture."""
        self.gesture = gesture
        self._typed_from = gesture.typed_start
        self.entry.start(gesture.prompt, self.document.design.units)
        self._show_entry(position)

    def drag_to(self, position: QPointF, free: bool) -> None:
        """Follow the hand, unless a typed distance has taken over."""
        if self.gesture is not None and not self.entry.text:
            self.gesture.move(self.spot(position, self.gesture.start.pane), free)
            self._show_entry(position)

    def _show_entry(self, position: QPointF | None = None, note: str = "") -> None:
        if self.gesture is None:
            return
        self.entry.show_reading(self.gesture.reading, note)
        if position is not None:
            self.entry.place_near(self.viewport().mapTo(self, position.toPoint()))
        announce(self, self.entry.accessibleDescription())

    def type(self, text: str) -> None:
        """Add typed text to the distance of the gesture."""
        self.entry.type(text)
        self._show_typed()

    def rub_out(self) -> None:
        """Take the last typed letter back."""
        self.entry.rub_out()
        self._show_typed()

    def _show_typed(self) -> None:
        assert self.gesture is not None
        try:
            typed = self.entry.value(self._typed_from) if self.entry.text else self._typed_from
        except LengthError:
            pass  # half a number, such as 3 1/: Enter says what is missing
        else:
            self.gesture.type_value(typed)
        self._show_entry()

    def let_go(self) -> None:
        """The hand lets go: keep the draft, but wait for Enter where a distance is being typed."""
        if not self.entry.text:
            self._end(keep=True)

    def settle_typing(self, by_key: bool = False) -> None:
        """Keep a typed distance. What cannot be read is said by Enter and dropped by a press."""
        if self.gesture is None:
            return
        problem = self.entry.problem() if self.entry.text else ""
        if problem and by_key:
            self._show_entry(note=problem)
            self.say(problem)
        else:
            self._end(keep=not problem)

    def cancel(self) -> None:
        """Drop the gesture; everything is as it was."""
        self._end(keep=False)

    def _end(self, keep: bool) -> None:
        gesture, self.gesture = self.gesture, None
        self.entry.hide()
        self.pointing.cancel()
        if gesture is not None:
            if keep:
                gesture.finish()
            else:
                gesture.cancel()
        self.catch_up()
        self.announce_state()

    def catch_up(self) -> None:
        """Do what had to wait for the hand."""
        self._refresh()
        self._settle()

    # --- mouse, keys and drops -------------------------------------------------------------------

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """See the pointing module."""
        self.pointing.press(event)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """The second press of two is a press."""
        self.pointing.press(event)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """See the pointing module."""
        self.pointing.move(event)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """See the pointing module."""
        self.pointing.release(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """See the keyboard module."""
        if not self.keyboard.press(event):
            event.ignore()

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        """See the keyboard module."""
        self.keyboard.release(event)

    def focusNextPrevChild(self, forward: bool) -> bool:
        """Tab walks through the parts before it leaves the sheet."""
        return self.keyboard.tab(forward) or super().focusNextPrevChild(forward)

    def leave(self, forward: bool) -> None:
        """Go to the next or the previous widget."""
        super().focusNextPrevChild(forward)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """A distance that is being typed is kept; a drag is dropped."""
        super().focusOutEvent(event)
        if self.gesture is not None:
            if self.pointing.busy:
                self.cancel()
            else:
                self.settle_typing()
        self.hold_space(False)

    def event(self, event: QEvent) -> bool:
        """Keep shortcuts of the window out of a running gesture."""
        if event.type() == QEvent.Type.ShortcutOverride and self.gesture is not None:
            event.accept()
            return True
        return super().event(event)

    def hold_space(self, held: bool) -> None:
        """With the space bar held, a drag pans."""
        self.pointing.space_held = held
        shape = Qt.CursorShape.OpenHandCursor if held else Qt.CursorShape.ArrowCursor
        self.viewport().setCursor(shape)

    @property
    def stop(self) -> str | None:
        """Where the keyboard's walk stands: the focused handle, or the one thing chosen."""
        if self.focused_handle is not None or len(self.document.selection) != 1:
            return self.focused_handle
        return next(iter(self.document.selection))

    def stop_position(self) -> QPointF | None:
        """The place in the viewport of what is chosen; None when nothing is."""
        for handle in self.handles:
            if handle.key == self.focused_handle:
                shift = self.panes[handle.pane].shift
                return self.camera.to_viewport(QPointF(handle.x, handle.y + shift))
        boxes = self.panes["plan"].subject_boxes()
        box = joined([boxes[s] for s in self.document.selection if s in boxes])
        if box is None:
            return None
        return self.camera.to_viewport(QPointF((box[0] + box[2]) / 2, (box[1] + box[3]) / 2))

    def show_stop(self) -> None:
        """Bring the present stop into sight."""
        at = self.stop_position()
        room = self.viewport().rect()
        if at is not None and not room.adjusted(20, 20, -20, -20).contains(at.toPoint()):
            self.pan(room.center().x() - at.x(), room.center().y() - at.y())

    def dragEnterEvent(self, event) -> None:
        """See the drops module."""
        self.drops.enter(event)

    def dragMoveEvent(self, event) -> None:
        """See the drops module."""
        self.drops.move(event)

    def dragLeaveEvent(self, event) -> None:
        """See the drops module."""
        self.drops.leave(event)

    def dropEvent(self, event) -> None:
        """See the drops module."""
        self.drops.drop(event)

    def drop_part(
        self,
        kind: str,
        scene_pos: QPointF,
        modifiers: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier,
    ) -> None:
        """Place a part at a point of the scene."""
        self.drops.drop_part(kind, scene_pos, modifiers)

    def place_at_centre(self, kind: str) -> None:
        """Place a part without the mouse."""
        self.drops.place_at_centre(kind)

    def closeEvent(self, event: QCloseEvent) -> None:
        """Drop a running gesture."""
        if self.gesture is not None:
            self.cancel()
        super().closeEvent(event)
