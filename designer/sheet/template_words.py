"""Words of a flat template, put where they meet no line, no other words and no joint."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from typing import NamedTuple

from shapely import STRtree
from shapely.geometry import box

from designer.sheet.pen import Pen
from designer.sheet.template_page import Area
from designer.sheet.template_window import WindowPen, ink_of, text_box

TEXT = 8.0
"""Size of the words, points."""

_CLEAR = 0.5
_JOINT = 6.5
"""Words keep this far from a joint, mm: its own words and crosses stand there."""


class Spot(NamedTuple):
    """A place for one line of words, mm, and how they stand to it."""

    x: float
    y: float
    align: str = "left"


class WordsOnLines:
    """Draws words over the lines that `lines` draws, each at the first of its spots that is free.

    On every piece of a template the same spots are chosen, because the joints of all pieces are
    looked at.
    """

    def __init__(self, pen: Pen, lines: Callable[[Pen], None]) -> None:
        self._pen = pen
        self._lines = STRtree(ink_of(lines))
        self._words: list[Area] = []
        cells = pen.cells if isinstance(pen, WindowPen) else []
        self._rooms = [_inside(cell) for cell in cells]

    def draw(
        self,
        words: str,
        spots: Iterable[Spot],
        size: float = TEXT,
        *,
        bold: bool = False,
        needed: bool = True,
    ) -> None:
        """The words at the first free spot. Where none is free they are left out, or, when they
        are `needed`, drawn at the first spot that is clear of lines, or at the very first."""
        places = [
            (spot, text_box(spot.x, spot.y, words, size, bold=bold, align=spot.align))
            for spot in spots
        ]
        clear = [place for place in places if self._clear(place[1])]
        free = [place for place in clear if self._in_one_room(place[1])]
        if not free and not needed:
            return
        spot, area = (free or clear or places)[0]
        self._words.append(area)
        self._pen.text(spot.x, spot.y, words, size, bold=bold, align=spot.align)

    def _clear(self, area: Area) -> bool:
        shape = box(
            area.left - _CLEAR, area.bottom - _CLEAR, area.right + _CLEAR, area.top + _CLEAR
        )
        if len(self._lines.query(shape, predicate="intersects")):
            return False
        return not any(_meet(area, other) for other in self._words)

    def _in_one_room(self, area: Area) -> bool:
        return not self._rooms or any(_holds(room, area) for room in self._rooms)


def _inside(cell: Area) -> Area:
    return Area(cell.left + _JOINT, cell.bottom + _JOINT, cell.right - _JOINT, cell.top - _JOINT)


def _holds(room: Area, area: Area) -> bool:
    return (
        room.left <= area.left
        and area.right <= room.right
        and room.bottom <= area.bottom
        and area.top <= room.top
    )


def _meet(a: Area, b: Area) -> bool:
    return (
        a.left < b.right + _CLEAR
        and b.left < a.right + _CLEAR
        and a.bottom < b.top + _CLEAR
        and b.bottom < a.top + _CLEAR
    )


def around(x: float, y: float, radius: float) -> list[Spot]:
    """Spots for words about a hole: inside below its cross, beside, above and below it."""
    beside, low = radius + 2.0, radius + 4.5
    spots = [Spot(x + 2.0, y - 11.0)] if radius > 14.0 else []
    spots += [Spot(x + beside, y + up) for up in (1.5, -4.5)]
    spots += [Spot(x - beside, y + up, "right") for up in (1.5, -4.5)]
    slant = radius / math.sqrt(2) + 2.0
    spots += [Spot(x + slant, y + slant), Spot(x - slant, y + slant, "right")]
    spots += [Spot(x + 2.0, y + radius + 2.0), Spot(x - 2.0, y + radius + 2.0, "right")]
    spots += [Spot(x + 2.0, y - low), Spot(x - 2.0, y - low, "right")]
    return spots
