"""The drawing sheet on the screen: plan above, elevation below in projection, in one scene."""

from collections.abc import Callable, Iterable
from math import inf

from PySide6.QtCore import QEvent, QPointF, QRectF, Qt, QTimer, Signal
from PySide6.QtGui import (
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

from designer.canvas.camera import Camera, text_scale
from designer.canvas.commands import EditingCommands
from designer.canvas.document import Document
from designer.canvas.drops import DropTarget, TakesDrops
from designer.canvas.empty_note import EmptyNote
from designer.canvas.gestures import Gesture, PaneName, Spot
from designer.canvas.grid import ScaleBar, draw_grid
from designer.canvas.hand import Hand
from designer.canvas.handle_items import HandleItems
from designer.canvas.handles import AnyHandle, handles_of
from designer.canvas.keyboard import HELP, Keyboard
from designer.canvas.painter import Ink
from designer.canvas.pointing import Pointing
from designer.canvas.projection import Projection
from designer.canvas.sag_on_sheet import SagOnSheet
from designer.canvas.speaking import Speaks
from designer.canvas.water_on_sheet import WaterOnSheet
from designer.drawing.frame import view_frame
from designer.drawing.records import Box
from designer.drawing.styles import LIGHT, Colours
from designer.model.design import Point

SNAP_PIXELS = 8.0
"""How near a neighbour's station draws a bucket in, on the screen."""
ROOM_AROUND = 400.0
"""What is shown around the subjects that are zoomed to, mm."""
MOST_PAPER = 1.8
"""Dimensions and texts take room of their own, so with them the drawing is shown smaller, and its
scale is larger, than alone; but no more than by this. In a small window letters become smaller
instead, or they would crowd out what they tell of."""
_SETTLE_MS = 70


class SheetView(Speaks, EditingCommands, TakesDrops, WaterOnSheet, SagOnSheet, QGraphicsView):
    """Shows a document and lets the hand change it. One tab stop; see the keyboard module."""

    hint = Signal(str)
    """A line for the status bar."""
    water_changed = Signal(bool)
    """The water is drawn, or not any more."""

    def __init__(self, document: Document, colours: Colours = LIGHT) -> None:
        super().__init__()
        self.document = document
        self.handles: list[AnyHandle] = []
        self.focused_handle: str | None = None
        self.run_id = document.active_run
        self.frame = view_frame(document.analysis, self.run_id)
        self.ink = Ink(colours)
        self._grid_shown = True
        self._fitted = True
        # The view does not keep its scene alive.
        self._scene = QGraphicsScene(self)
        self.setScene(self._scene)
        self.projection = Projection(self._scene, self.ink)
        self.panes = self.projection.panes
        self.camera = Camera(self)
        self.scale_now = text_scale(self.camera.zoom)
        self._handle_items = HandleItems(self.panes)
        self.pointing = Pointing(self)
        self.keyboard = Keyboard(self)
        self.drops = DropTarget(self)
        self.hand = Hand(self)
        self.scale_bar = ScaleBar(self)
        self._empty_note = EmptyNote(self)
        self._settle_timer = QTimer(self, singleShot=True, interval=_SETTLE_MS)
        self._settle_timer.timeout.connect(self._settle)
        self._set_up()
        self.set_colours(colours)
        document.changed.connect(self._document_changed)
        document.day_came.connect(self._day_came)
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
        self.projection.set_ink(self.ink)
        self.hand.entry.set_colours(colours)
        self._empty_note.set_colours(colours)
        self.setStyleSheet(
            f"SheetView {{ border: 2px solid {colours['faint']}; }}"
            f"SheetView:focus {{ border-color: {colours['accent']}; }}"
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
        self.frame = view_frame(document.analysis, self.run_id)
        self.projection.update(
            document.analysis, self.run_id, self.scale_now, zoom, self._water(), self.sag_shown
        )
        if not self._holding or not known:
            self._place_elevation()
        self._show_choice()
        self.scale_bar.show_zoom(zoom, document.design.units, self.ink)
        self._empty_note.show_for(document.design)

    def _document_changed(self) -> None:
        self._refresh()
        if not self._holding:
            self._say_anew()

    def _place_elevation(self, exactly: bool = False) -> None:
        divide = self.projection.divide
        below = self.spot(self.camera.middle).pane == "elevation"
        moved = self.projection.place_elevation(self.scale_now, exactly)
        if moved and below and not self._fitted:
            self.translate(0.0, -moved)
        if self.projection.divide != divide:
            self._redraw_background()

    def _redraw_background(self) -> None:
        self.resetCachedContent()
        self.viewport().update()

    def _show_choice(self) -> None:
        self.projection.show_chosen(self.document.selection)
        self._show_handles()

    def _show_handles(self) -> None:
        """Show the handles that leave room on the screen for what they belong to."""
        document, zoom = self.document, self.camera.zoom
        found = handles_of(document.analysis, self.run_id, document.selection, self.frame)
        focused = self.focused_handle
        self.handles = [h for h in found if h.least_zoom <= zoom or h.key == focused]
        if self.focused_handle not in {handle.key for handle in self.handles}:
            self.focused_handle = None
        self._handle_items.show(self.handles, self.focused_handle, self.ink)

    def _selection_changed(self) -> None:
        if self.document.active_run != self.run_id and not self._holding:
            self._refresh()
        else:
            self._show_choice()
        self.announce_state()

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
            units, divide = self.document.design.units, self.projection.divide
            shift = self.projection.elevation.shift
            draw_grid(painter, rect, self.camera.zoom, units, self.ink, divide, shift)

    # --- zoom, pan and fit -----------------------------------------------------------------------

    def fit(self) -> None:
        """Show the whole sheet."""
        self._place_elevation(exactly=True)
        alone = self.camera.zoom_for(*self.projection.size_alone())
        self._fit_to(self.projection.whole, MOST_PAPER * text_scale(alone))
        self._fitted = True

    def zoom_to(self, subjects: Iterable[str], view: PaneName = "plan") -> None:
        """Show some subjects with what stands around them in one of the panes; in the plan where
        the elevation does not draw them."""
        wanted = list(subjects)
        self._fit_to(lambda: self.projection.around(wanted, ROOM_AROUND, view))

    def _fit_to(self, find_box: Callable[[], Box | None], largest: float = inf) -> None:
        # Dimensions have a size on paper, so what is shown depends on the scale and the other way.
        for _ in range(4):
            box = find_box()
            if box is None:
                return
            self.camera.fit(box)
            scale = min(text_scale(self.camera.zoom), largest)
            if scale == self.scale_now:
                break
            self.scale_now = scale
            self._refresh()
            self._place_elevation(exactly=True)
        self._fitted = False
        self._zoomed()

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
        self.projection.show_readable_texts(self.camera.zoom)
        self._show_handles()
        self.scale_bar.show_zoom(self.camera.zoom, self.document.design.units, self.ink)
        self._settle_timer.start()

    def _settle(self) -> None:
        """Lay texts and dimensions out for the zoom, once it has come to rest."""
        self._settle_timer.stop()
        if self._holding or self._fitted:
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
        self._empty_note.show_for(self.document.design)
        if self._fitted:
            self.fit()

    @property
    def gesture(self) -> Gesture | None:
        """The gesture under way."""
        return self.hand.gesture

    def spot(self, position: QPointF, pane: PaneName | None = None) -> Spot:
        """The spot at a place in the viewport, in the pane that lies there unless one is named."""
        point = self.camera.to_scene(position)
        x, y = point.x(), point.y()
        if pane is None:
            pane = self.projection.pane_at(y)
        level = y - self.panes[pane].shift
        site = Point(*self.frame.to_site(x, level))
        return Spot(pane, x, level, site, SNAP_PIXELS / self.camera.zoom)

    def catch_up(self) -> None:
        """Do what had to wait for the hand."""
        self._refresh()
        self._settle()

    # --- mouse, keys and drops -------------------------------------------------------------------

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """See the pointing module."""
        self.pointing.press(event)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """See the pointing module."""
        self.pointing.press_again(event)

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
        passing = event.reason() in (
            Qt.FocusReason.MenuBarFocusReason,  # Alt, let go before the mouse
            Qt.FocusReason.PopupFocusReason,
        )
        if self.gesture is not None:
            if self.pointing.busy and passing:
                return
            if self.pointing.busy:
                self.hand.end(keep=False)
            else:
                self.hand.settle()
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
