"""Parts dropped on the sheet from the parts bin, with a ghost while they are dragged over it."""

from typing import TYPE_CHECKING

from PySide6.QtCore import QMimeData, QPointF, Qt
from PySide6.QtGui import QDragEnterEvent, QDragLeaveEvent, QDragMoveEvent, QDropEvent

from designer.analysis import Analysis
from designer.canvas.dropping import PART_KINDS, Drop, dropped, placed

if TYPE_CHECKING:
    from designer.canvas.sheet import SheetView

IN_THE_PLAN = "Drop it in the plan, above the elevation; you can drag it further from there."
PART_MIME = "application/x-rillwright-part"


def part_kind(data: QMimeData) -> str | None:
    """The kind of part that is dragged; None for anything else."""
    if not data.hasFormat(PART_MIME):
        return None
    kind = bytes(data.data(PART_MIME).data()).decode("utf-8", "replace")
    return kind if kind in PART_KINDS else None


class DropTarget:
    """Takes parts for a sheet."""

    def __init__(self, sheet: "SheetView") -> None:
        self.sheet = sheet
        self._before: Analysis | None = None

    @property
    def active(self) -> bool:
        """Whether a part is being dragged over the sheet."""
        return self._before is not None

    def enter(self, event: QDragEnterEvent) -> None:
        """Take notice of a part."""
        if part_kind(event.mimeData()) is None or self.sheet.gesture is not None:
            event.ignore()
            return
        self._before = self.sheet.document.analysis
        event.acceptProposedAction()

    def move(self, event: QDragMoveEvent) -> None:
        """Show the part where it would go."""
        kind = part_kind(event.mimeData())
        if kind is None or self._before is None:
            event.ignore()
            return
        drop = self._dropped(self._before, kind, event.position(), event.modifiers())
        self.sheet.document.preview(drop.design)
        self.sheet.say(drop.hint if drop.subject is None else "Let go to place it here.")
        event.acceptProposedAction()

    def leave(self, event: QDragLeaveEvent) -> None:
        """Take the ghost away."""
        self._end()
        event.accept()

    def drop(self, event: QDropEvent) -> None:
        """Place the part."""
        kind = part_kind(event.mimeData())
        self._end()
        if kind is None:
            event.ignore()
            return
        self.sheet.drop_part(kind, self.sheet.camera.to_scene(event.position()), event.modifiers())
        event.acceptProposedAction()

    def _end(self) -> None:
        if self._before is not None:
            self._before = None
            self.sheet.document.cancel()
            self.sheet.catch_up()
            self.sheet.announce_state()

    def drop_part(self, kind: str, scene_pos: QPointF, modifiers: Qt.KeyboardModifier) -> None:
        """Place a part at a point of the scene, as one undo step."""
        position = self.sheet.camera.to_viewport(scene_pos)
        self._keep(self._dropped(self.sheet.document.analysis, kind, position, modifiers))

    def place_at_centre(self, kind: str) -> None:
        """Place a part without a pointer: a bucket on the next place of the stagger, other things
        in the middle of the sheet or beside what stands there."""
        sheet = self.sheet
        analysis, run_id = sheet.document.analysis, sheet.document.active_run
        at = sheet.spot(sheet.camera.middle, "plan").site
        self._keep(placed(analysis, sheet.frame, kind, at, run_id))

    def _dropped(
        self, analysis: Analysis, kind: str, position: QPointF, modifiers: Qt.KeyboardModifier
    ) -> Drop:
        sheet = self.sheet
        spot = sheet.spot(position)
        at = spot.site
        if spot.pane == "elevation" and kind != "bucket":
            return Drop(analysis.design, None, "", IN_THE_PLAN)
        if spot.pane == "elevation" and sheet.run_id is not None:
            # A bucket in the elevation: at the same station of the run on show.
            layout = analysis.run(sheet.run_id)
            on_axis = sheet.frame.to_view(*layout.frame.at(0.0))[1]
            at = type(at)(*sheet.frame.to_site(spot.x, on_axis))
        free = bool(modifiers & Qt.KeyboardModifier.AltModifier)
        return dropped(analysis, sheet.frame, kind, at, spot.reach, free)

    def _keep(self, drop: Drop) -> None:
        if drop.subject is not None:
            self.sheet.document.commit(drop.design, drop.label)
            self.sheet.document.select([drop.subject])
        if drop.hint:
            self.sheet.say(drop.hint)


class TakesDrops:
    """The part of the sheet that hands drags and drops on to its `drops`."""

    drops: DropTarget

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """See DropTarget."""
        self.drops.enter(event)

    def dragMoveEvent(self, event: QDragMoveEvent) -> None:
        """See DropTarget."""
        self.drops.move(event)

    def dragLeaveEvent(self, event: QDragLeaveEvent) -> None:
        """See DropTarget."""
        self.drops.leave(event)

    def dropEvent(self, event: QDropEvent) -> None:
        """See DropTarget."""
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
