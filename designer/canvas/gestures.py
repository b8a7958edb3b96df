"""Gestures of the hand: each shows drafts while it moves and ends as one undo step, or as none.

Nothing here knows of events: a gesture is begun at a :class:`Spot`, moved to others, given a typed
distance, and finished or cancelled.
"""

from collections.abc import Iterable
from math import hypot
from typing import Literal, NamedTuple

from designer.canvas.document import Document
from designer.canvas.handles import PointHandle, ValueHandle
from designer.canvas.snapping import (
    ON_PITCH,
    Snap,
    clamped,
    is_on_pitch,
    rounded,
    snap_station,
)
from designer.drawing.frame import ViewFrame
from designer.model import edits
from designer.model.design import Bucket, Design, Point
from designer.units import format_length, style_for

PaneName = Literal["plan", "elevation"]

FURTHEST = 100_000.0
"""A typed movement is held to 100 m, mm: more is a slip of the keys."""


class Spot(NamedTuple):
    """A place under the pointer: the pane, its view coordinates (y up; in the elevation the level)
    and, for the plan, the point on the site. mm. `reach` is what the hand takes for "at"."""

    pane: PaneName
    x: float
    y: float
    site: Point
    reach: float = 8.0


class Gesture:
    """One movement of the hand."""

    label = ""
    prompt = ""
    """What the reading is, and a typed number."""
    outright = ""
    """What a number typed after "=" is; empty where there is nothing else to type."""
    far = False
    """Whether a typed number is how far the thing goes, so that + and - count from nothing."""

    def __init__(self, document: Document, start: Spot) -> None:
        self.document = document
        self.base: Design = document.committed
        self.draft: Design = self.base
        self.start = start

    def move(self, to: Spot, free: bool = False) -> None:
        """Follow the hand to a place; `free` lets go of what it snaps to."""
        raise NotImplementedError

    def type_value(self, mm: float) -> None:
        """Show the draft for a typed distance."""
        raise NotImplementedError

    def type_outright(self, mm: float) -> None:
        """Show the draft for a distance typed after "="."""
        self.type_value(mm)

    @property
    def typed_start(self) -> float:
        """The value now, from which a typed + or - counts."""
        raise NotImplementedError

    @property
    def reading(self) -> str:
        """The value now, in the person's units."""
        return self.say(self.typed_start)

    @property
    def besides(self) -> str:
        """What else a person wants to know of the draft."""
        return ""

    def finish(self) -> bool:
        """Make the draft one undo step; False when nothing changed."""
        return self.document.commit(self.draft, self.label)

    def cancel(self) -> None:
        """Put everything back as it was."""
        self.document.cancel()

    def say(self, mm: float) -> str:
        """A length in the person's units."""
        return format_length(mm, style_for(self.base.units))

    def show(self, draft: Design) -> None:
        """Show a draft."""
        self.draft = draft
        self.document.preview(draft)


class SlideBuckets(Gesture):
    """Slide buckets along their runs, held by one of them; across the axis they change side.

    A number typed during a drag is how far they go the way of the hand; without one there is no
    such way, and it is the distance from the capped end.
    """

    outright = "From the capped end"

    def __init__(
        self, document: Document, start: Spot, grabbed: str, bucket_ids: Iterable[str]
    ) -> None:
        super().__init__(document, start)
        self.ids = frozenset(bucket_ids) | {grabbed}
        self.layout, place = document.analysis.places[grabbed]
        self.run = self.layout.run
        self.bucket: Bucket = place.bucket
        self.offset = place.offset
        self.station = place.station
        self.note = ""
        self._way = 0
        # Those that move along cannot hold the bucket back.
        self.neighbours = [b.station for b in self.run.buckets if b.id not in self.ids]
        word = "bucket" if len(self.ids) == 1 else "buckets"
        self.label = f"Move {word}"

    def move(self, to: Spot, free: bool = False) -> None:
        """Slide to the nearest station that holds, and flip when across the axis."""
        along, across = self._travel(to)
        snap = snap_station(
            self.run,
            self.bucket.station + along,
            self.neighbours,
            to.reach,
            self.base.units,
            free,
        )
        if along or not self._way:
            self._way = -1 if along < 0 else 1
        # Past the axis by a tenth of the way: a hand that only slides does not flip by a slip.
        crossed = to.pane == "plan" and (self.offset + across) * self.offset < 0
        crossed = crossed and abs(self.offset + across) > abs(self.offset) / 10
        # A tiny slip of the hand leaves an off-pitch bucket where it is.
        if not free and abs(along) < to.reach / 2:
            on = is_on_pitch(self.run, self.bucket.station)
            snap = Snap(self.bucket.station, ON_PITCH if on else "")
        self.note = snap.to
        self._show_at(snap.station, crossed)

    def _travel(self, to: Spot) -> tuple[float, float]:
        if to.pane == "elevation":
            return to.x - self.start.x, 0.0
        old = self.layout.frame.of(self.start.site.x, self.start.site.y)
        new = self.layout.frame.of(to.site.x, to.site.y)
        return new[0] - old[0], new[1] - old[1]

    def _show_at(self, station: float, flipped: bool) -> None:
        self.station = station
        draft = edits.move_buckets(self.base, self.ids, station - self.bucket.station)
        self.show(edits.flip_buckets(draft, self.ids) if flipped else draft)

    @property
    def far(self) -> bool:
        """Whether the hand has shown a way to go."""
        return self._way != 0

    @property
    def prompt(self) -> str:
        """How far the buckets went in a drag, else where the grabbed one stands."""
        return "Moved" if self.far else self.outright

    def type_value(self, mm: float) -> None:
        """Move so far the way of the hand, or stand so far from the capped end."""
        if self.far:
            self._stand_at(self.bucket.station + self._way * mm)
        else:
            self.type_outright(mm)

    def type_outright(self, mm: float) -> None:
        """Stand the grabbed bucket so far from the capped end; the others move along."""
        self._stand_at(self.run.length - mm)

    def _stand_at(self, station: float) -> None:
        self.note = ""
        side = next(b.side for b in self.draft.run(self.run.id).buckets if b.id == self.bucket.id)
        station = clamped(station, 0.0, self.run.length)
        self._show_at(round(station, 4), side != self.bucket.side)

    @property
    def typed_start(self) -> float:
        """Distance of the grabbed bucket from the capped end."""
        return self.run.length - self.station

    @property
    def _moved(self) -> float:
        return abs(self.station - self.bucket.station)

    @property
    def reading(self) -> str:
        """How far the bucket went, else its distance from the capped end."""
        return self.say(self._moved if self.far else self.typed_start)

    @property
    def besides(self) -> str:
        """Where the bucket stands in a drag, and what holds it there; else how far it went."""
        if not self.far:
            return f"moved {self.say(self._moved)}" if self._moved > 0.5 else ""
        text = f"{self.say(self.typed_start)} from the capped end"
        return f"{text}, {self.note}" if self.note else text


class MoveThings(Gesture):
    """Move runs, the reservoir, obstacles and the outline on the plan, buckets along with them."""

    prompt = "Moved"
    far = True

    def __init__(
        self, document: Document, start: Spot, subjects: Iterable[str], frame: ViewFrame
    ) -> None:
        super().__init__(document, start)
        self.subjects = frozenset(subjects)
        self.frame = frame
        self.dx = self.dy = 0.0
        self._way = (1.0, 0.0)
        names = [document.analysis.subject_name(s) for s in self.subjects]
        self.label = f"Move {names[0]}" if len(names) == 1 else f"Move {len(names)} things"

    def move(self, to: Spot, free: bool = False) -> None:
        """Move with the hand, in steps of 1 mm or 1/16 in; mostly level or upright movements
        become quite so unless `free`."""
        dx, dy = to.x - self.start.x, to.y - self.start.y
        if not free and 2 * abs(dy) < 2 * to.reach < abs(dx):
            dy = 0.0
        elif not free and 2 * abs(dx) < 2 * to.reach < abs(dy):
            dx = 0.0
        self._way = _way(dx, dy)
        self._show_moved(rounded(dx, self.base.units), rounded(dy, self.base.units))

    def _show_moved(self, dx: float, dy: float) -> None:
        self.dx, self.dy = dx, dy
        self.show(edits.move(self.base, self.subjects, *self.frame.to_site(dx, dy)))

    def type_value(self, mm: float) -> None:
        """Move so far in the direction of the hand; to the right where there is none yet."""
        mm = clamped(mm, -FURTHEST, FURTHEST)
        self._show_moved(self._way[0] * mm, self._way[1] * mm)

    @property
    def typed_start(self) -> float:
        """How far things have been moved."""
        return hypot(self.dx, self.dy)

    @property
    def reading(self) -> str:
        """How far along and across the sheet."""
        if self.dx and self.dy:
            return f"{self.say(abs(self.dx))} along, {self.say(abs(self.dy))} across"
        return self.say(abs(self.dx or self.dy))


class DragValue(Gesture):
    """Drag a handle that stands for one value, such as the fall."""

    def __init__(self, document: Document, start: Spot, handle: ValueHandle) -> None:
        super().__init__(document, start)
        self.handle = handle
        self.value = handle.value
        self.label = handle.label
        self.prompt = handle.name

    def move(self, to: Spot, free: bool = False) -> None:
        """Change the value by the movement along the handle's direction; a guide within reach
        holds it unless `free`."""
        along = self.handle.direction
        by = (to.x - self.start.x) * along[0] + (to.y - self.start.y) * along[1]
        value = self.handle.value + by
        near = min(self.handle.guides, key=lambda guide: abs(guide - value), default=None)
        if near is not None and not free and abs(near - value) <= to.reach:
            self.type_value(near)
        else:
            self.type_value(rounded(value, self.base.units))

    def type_value(self, mm: float) -> None:
        """Show a value, held within its limits."""
        self.value = clamped(mm, self.handle.low, self.handle.high)
        self.show(self.handle.edit(self.base, self.value))

    @property
    def typed_start(self) -> float:
        """The value now."""
        return self.value


class DragPoint(Gesture):
    """Drag a handle that stands for a corner."""

    prompt = "Moved"
    far = True

    def __init__(self, document: Document, start: Spot, handle: PointHandle) -> None:
        super().__init__(document, start)
        self.handle = handle
        self.label = handle.label
        self.dx = self.dy = 0.0
        self._way = (1.0, 0.0)

    def move(self, to: Spot, free: bool = False) -> None:
        """Move the corner with the hand, into line with its guides unless `free`."""
        x = self.handle.x + to.x - self.start.x
        y = self.handle.y + to.y - self.start.y
        x, y = rounded(x, self.base.units), rounded(y, self.base.units)
        if not free:
            for guide_x, guide_y in self.handle.guides:
                x = guide_x if abs(x - guide_x) <= to.reach else x
                y = guide_y if abs(y - guide_y) <= to.reach else y
        self._way = _way(x - self.handle.x, y - self.handle.y)
        self._show_at(x - self.handle.x, y - self.handle.y)

    def _show_at(self, dx: float, dy: float) -> None:
        self.dx, self.dy = dx, dy
        self.show(self.handle.edit(self.base, self.handle.x + dx, self.handle.y + dy))

    def type_value(self, mm: float) -> None:
        """Move the corner so far in the direction of the hand."""
        mm = clamped(mm, -FURTHEST, FURTHEST)
        self._show_at(self._way[0] * mm, self._way[1] * mm)

    @property
    def typed_start(self) -> float:
        """How far the corner has been moved."""
        return hypot(self.dx, self.dy)

    @property
    def reading(self) -> str:
        """The size that results, else the movement."""
        if self.handle.size is not None:
            wide, deep = self.handle.size(self.draft)
            return f"{self.say(wide)} × {self.say(deep)}"
        return self.say(self.typed_start)


def _way(dx: float, dy: float) -> tuple[float, float]:
    """The direction of a movement, as a vector of length 1; to the right where there is none."""
    far = hypot(dx, dy)
    return (dx / far, dy / far) if far else (1.0, 0.0)
