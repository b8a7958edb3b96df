"""The gesture under way, with the distance that may be typed into it."""

from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF

from designer.canvas.accessible import announce
from designer.canvas.distance_entry import DistanceEntry
from designer.canvas.gestures import Gesture
from designer.units import LengthError

if TYPE_CHECKING:
    from designer.canvas.sheet import SheetView


class Hand:
    """Holds the one gesture under way, or none, and ends it as one undo step or as none."""

    def __init__(self, sheet: "SheetView") -> None:
        self.sheet = sheet
        self.gesture: Gesture | None = None
        self.entry = DistanceEntry(sheet)
        self._typed_from = 0.0

    def begin(self, gesture: Gesture, position: QPointF) -> None:
        """Begin a gesture at a place in the viewport."""
        self.gesture = gesture
        self._typed_from = gesture.typed_start
        self.entry.start(self.sheet.document.design.units, bool(gesture.outright))
        self._show(position)

    def drag_to(self, position: QPointF, free: bool) -> None:
        """Follow the hand, unless a typed distance has taken over."""
        if self.gesture is not None and not self.entry.text:
            self.gesture.move(self.sheet.spot(position, self.gesture.start.pane), free)
            self._show(position)

    def type(self, text: str) -> None:
        """Add typed text to the distance."""
        self.entry.type(text)
        self._show_typed()

    def rub_out(self) -> None:
        """Take the last typed letter back."""
        self.entry.rub_out()
        self._show_typed()

    def _show_typed(self) -> None:
        gesture, entry = self.gesture, self.entry
        assert gesture is not None
        start = 0.0 if gesture.far and not entry.outright else self._typed_from
        if not entry.text:
            if self.sheet.pointing.busy:
                self.sheet.pointing.follow(free=False)
            else:
                gesture.type_value(start)
        else:
            try:
                typed = entry.value(start)
            except LengthError:
                pass  # half a number, such as 3 1/: Enter says what is missing
            else:
                (gesture.type_outright if entry.outright else gesture.type_value)(typed)
        self._show()

    def _show(self, position: QPointF | None = None, problem: str = "") -> None:
        gesture, entry = self.gesture, self.entry
        assert gesture is not None
        prompt = gesture.outright if entry.outright else gesture.prompt
        note = ""
        if entry.text:
            note = problem or "Enter keeps it, Esc leaves it as it was"
        elif gesture.outright and gesture.far:
            note = f"Type how far, or = and the distance {gesture.outright.lower()}"
        besides = gesture.besides if gesture.outright and not entry.outright else ""
        entry.show_reading(prompt, gesture.reading, besides, note)
        if position is not None:
            corner = self.sheet.viewport().mapTo(self.sheet, position.toPoint())
            self.entry.place_near(corner)
        announce(self.sheet, self.entry.accessibleDescription())

    def let_go(self) -> None:
        """The hand lets go: keep the draft, but wait for Enter where a distance is being typed."""
        if not self.entry.text:
            self.end(keep=True)

    def settle(self, by_key: bool = False) -> None:
        """Keep a typed distance. What cannot be read is said by Enter and dropped by a press."""
        if self.gesture is None:
            return
        problem = self.entry.problem() if self.entry.text else ""
        if problem and by_key:
            self._show(problem=problem)
            self.sheet.say(problem)
        else:
            self.end(keep=not problem)

    def end(self, keep: bool) -> None:
        """Make the draft an undo step, or drop it."""
        gesture, self.gesture = self.gesture, None
        self.entry.hide()
        self.sheet.pointing.cancel()
        if gesture is not None and keep:
            gesture.finish()
        elif gesture is not None:
            gesture.cancel()
        self.sheet.catch_up()
        self.sheet.announce_state()
