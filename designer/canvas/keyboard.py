"""The keyboard on the sheet.

Tab and Shift+Tab walk through the parts and handles and leave the sheet past the last one; Esc
with nothing chosen, or Ctrl+Tab, leaves it at once. Arrows nudge what is chosen, with Shift by a
pitch; up and down take a bucket across the drain. Enter or a digit types a distance; during a drag
a number is how far it goes, and after = the distance from the capped end. F or Home fits, + and -
zoom, S changes side, Ctrl with an arrow moves the view. Insert sets a support in the widest gap
under the run, Delete takes the one away whose handle is in hand.
"""

from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QKeyEvent, QKeySequence

from designer.canvas.handles import AnyHandle
from designer.canvas.hit import joined
from designer.canvas.pointing import handle_gesture, subject_gesture
from designer.canvas.walk import next_stop, nudged, nudged_handle, stops

if TYPE_CHECKING:
    from designer.canvas.sheet import SheetView

HELP = (
    "Tab walks through the parts, arrows move the chosen one, Enter types its distance. "
    "While you drag, type how far it shall go, or = and the distance from the capped end. "
    "Ctrl+Tab leaves the sheet."
)

_ARROWS = {
    Qt.Key.Key_Left: (-1, 0),
    Qt.Key.Key_Right: (1, 0),
    Qt.Key.Key_Up: (0, 1),
    Qt.Key.Key_Down: (0, -1),
}
_ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
_PAN_PIXELS = 80


class Keyboard:
    """Turns keys into what they mean on the sheet."""

    def __init__(self, sheet: "SheetView") -> None:
        self.sheet = sheet
        self._leaving = False

    @property
    def stop(self) -> str | None:
        """Where the walk stands: the focused handle, or the one thing chosen."""
        if self.sheet.focused_handle is not None or len(self.sheet.document.selection) != 1:
            return self.sheet.focused_handle
        return next(iter(self.sheet.document.selection))

    def _place(self) -> QPointF | None:
        """The place in the viewport of the handle or of what is chosen; None when nothing is."""
        sheet = self.sheet
        handle = self._handle(sheet.focused_handle)
        if handle is not None:
            shift = sheet.panes[handle.pane].shift
            return sheet.camera.to_viewport(QPointF(handle.x, handle.y + shift))
        boxes = sheet.panes["plan"].subject_boxes()
        box = joined([boxes[s] for s in sheet.document.selection if s in boxes])
        if box is None:
            return None
        middle = QPointF((box[0] + box[2]) / 2, (box[1] + box[3]) / 2)
        return sheet.camera.to_viewport(middle)

    def _bring_into_sight(self) -> None:
        at, room = self._place(), self.sheet.viewport().rect()
        if at is not None and not room.adjusted(20, 20, -20, -20).contains(at.toPoint()):
            self.sheet.pan(room.center().x() - at.x(), room.center().y() - at.y())

    def press(self, event: QKeyEvent) -> bool:
        """Do what a key means; False when it means nothing here."""
        if self.sheet.gesture is not None:
            return self._press_in_gesture(event)
        key, control = event.key(), bool(event.modifiers() & Qt.KeyboardModifier.ControlModifier)
        if key not in (Qt.Key.Key_Tab, Qt.Key.Key_Backtab):
            self._leaving = False
        if key in _ARROWS:
            right, up = _ARROWS[Qt.Key(key)]
            if control:
                self.sheet.pan(-right * _PAN_PIXELS, up * _PAN_PIXELS)
            else:
                self._nudge(right, up, event)
            return True
        return self._press_command(event, control) or self._press_letter(event, control)

    def _press_command(self, event: QKeyEvent, control: bool) -> bool:
        key, sheet = event.key(), self.sheet
        if key == Qt.Key.Key_Escape:
            self._escape()
        elif key in _ENTER:
            self._type("")
        elif key == Qt.Key.Key_Space:
            if not event.isAutoRepeat():
                sheet.hold_space(True)
        elif key in (Qt.Key.Key_Tab, Qt.Key.Key_Backtab) and control:
            sheet.leave(key == Qt.Key.Key_Tab)
        elif key in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            sheet.delete()
        elif key == Qt.Key.Key_Insert:
            sheet.add_support()
        elif key == Qt.Key.Key_Home:
            sheet.fit()
        elif event.matches(QKeySequence.StandardKey.SelectAll):
            sheet.select_all()
        elif event.matches(QKeySequence.StandardKey.Copy):
            sheet.copy()
        elif event.matches(QKeySequence.StandardKey.Paste):
            sheet.paste()
        else:
            return False
        return True

    def _press_letter(self, event: QKeyEvent, control: bool) -> bool:
        if control or event.modifiers() & Qt.KeyboardModifier.AltModifier:
            return False
        text, sheet = event.text().lower(), self.sheet
        if text == "f":
            sheet.fit()
        elif text == "s":
            sheet.flip()
        elif text in ("+", "="):
            sheet.zoom_by(1.25)
        elif text in ("-", "_"):
            sheet.zoom_by(1 / 1.25)
        elif text.isdigit():
            self._type(text)
        else:
            return False
        return True

    def _press_in_gesture(self, event: QKeyEvent) -> bool:
        """Keys during a drag, or while a distance is typed."""
        sheet, key = self.sheet, event.key()
        if key == Qt.Key.Key_Escape:
            sheet.hand.end(keep=False)
        elif key in _ENTER:
            sheet.hand.settle(by_key=True)
        elif key == Qt.Key.Key_Backspace:
            sheet.hand.rub_out()
        elif key == Qt.Key.Key_Alt:
            sheet.pointing.follow(free=True)
        elif sheet.hand.entry.takes(event.text()):
            sheet.hand.type(event.text())
        # Everything else is swallowed: no other edit may cut into a gesture.
        return True

    def release(self, event: QKeyEvent) -> None:
        """Let go of the space bar or of Alt."""
        if event.key() == Qt.Key.Key_Space and not event.isAutoRepeat():
            self.sheet.hold_space(False)
        elif event.key() == Qt.Key.Key_Alt and self.sheet.gesture is not None:
            self.sheet.pointing.follow(free=False)

    def tab(self, forward: bool) -> bool:
        """Walk to the next stop; False when the sheet is to be left."""
        sheet = self.sheet
        if sheet.gesture is not None:
            return True
        leaving, self._leaving = self._leaving, False
        if leaving:
            return False
        stop = next_stop(stops(sheet.document.analysis, sheet.handles), self.stop, forward)
        if stop is None:
            return False
        handle = self._handle(stop)
        sheet.document.select([handle.subject if handle else stop])
        sheet.focus_handle(stop if handle else None)
        self._bring_into_sight()
        return True

    def _handle(self, key: str | None) -> AnyHandle | None:
        return next((h for h in self.sheet.handles if h.key == key), None)

    def _escape(self) -> None:
        if self.sheet.focused_handle is not None:
            self.sheet.focus_handle(None)
        elif self.sheet.document.selection:
            self.sheet.document.select(())
        else:
            self._leaving = True
            self.sheet.say("Tab now leaves the sheet.")

    def _nudge(self, right: int, up: int, event: QKeyEvent) -> None:
        sheet, document = self.sheet, self.sheet.document
        coarse = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        handle = self._handle(sheet.focused_handle)
        if handle is not None:
            document.apply(
                lambda design: nudged_handle(design, handle, right, up, coarse), handle.label
            )
        elif document.selection:
            document.apply(
                lambda design: nudged(
                    design, document.analysis, document.selection, sheet.frame, right, up, coarse
                ),
                "Nudge",
            )
        else:
            sheet.say(HELP)
            return
        sheet.announce_state()

    def _type(self, text: str) -> None:
        """Begin to type the distance of what is chosen, without a drag."""
        sheet, document = self.sheet, self.sheet.document
        handle = self._handle(sheet.focused_handle)
        at = self._place()
        if at is None or (handle is None and not document.selection):
            sheet.say(HELP)
            return
        spot = sheet.spot(at)
        if handle is not None:
            gesture = handle_gesture(sheet, spot, handle)
        else:
            grabbed = min(document.selection, key=lambda s: (len(s), s))
            found = subject_gesture(sheet, spot._replace(pane="plan"), grabbed)
            if found is None:
                return
            gesture = found
        sheet.hand.begin(gesture, at)
        if text:
            sheet.hand.type(text)
