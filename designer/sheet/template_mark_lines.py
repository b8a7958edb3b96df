"""Draws the marks of a strip without holes on one of its pieces."""

from __future__ import annotations

from designer.sheet.pen import NARROW, WIDE, Pen, fitted, text_width
from designer.sheet.template_marks import MarkStrip, StripMark
from designer.sheet.template_tiles import BAND, OVERLAP, Tile

PIN = 3.0
"""Diameter of the ring about a place to punch, mm: a nail that is used as a pin goes through it."""

_ARM = 6.0
_NAME = 11.0
_WORDS = 8.0
_BESIDE = 2.5


def draw_marks(pen: Pen, strip: MarkStrip, tile: Tile) -> None:
    """As much of every mark as lies on this piece."""
    for mark in strip.marks:
        if mark.width:
            _draw_standing(pen, strip, tile, mark)
        else:
            _draw_point(pen, tile, mark)
        _draw_label(pen, tile, mark)


def _draw_standing(pen: Pen, strip: MarkStrip, tile: Tile, mark: StripMark) -> None:
    """The middle of what stands there as a wide line, its two sides as narrow ones."""
    half = strip.width / 2
    for beside, reach, width in (
        (0.0, half, WIDE),
        (-mark.width / 2, half - BAND, NARROW),
        (mark.width / 2, half - BAND, NARROW),
    ):
        station = mark.station + beside
        if tile.start <= station <= tile.end:
            x = tile.x_at(station)
            pen.line(x, tile.centre - reach, x, tile.centre + reach, width)


def _draw_point(pen: Pen, tile: Tile, mark: StripMark) -> None:
    """An upright cross with a ring for the pin, where the whole ring is on the piece."""
    near, far = max(mark.station - _ARM, tile.start), min(mark.station + _ARM, tile.end)
    if near < far:
        pen.line(tile.x_at(near), tile.centre, tile.x_at(far), tile.centre)
    if tile.start <= mark.station <= tile.end:
        x = tile.x_at(mark.station)
        pen.line(x, tile.centre - _ARM, x, tile.centre + _ARM)
        if tile.start + PIN / 2 <= mark.station <= tile.end - PIN / 2:
            pen.circle(x, tile.centre, PIN / 2)


def _draw_label(pen: Pen, tile: Tile, mark: StripMark) -> None:
    """Name and words right of the mark, or left of it near the end of the piece."""
    if not tile.start <= mark.station <= tile.end:
        return
    beside = _BESIDE if mark.width else _BESIDE + _ARM
    first = tile.start + (OVERLAP if tile.piece > 1 else 1.0)
    rooms = {
        "left": min(tile.end - OVERLAP, mark.station + (mark.width / 2 or 1e9)) - mark.station,
        "right": mark.station - max(first, mark.station - (mark.width / 2 or 1e9)),
    }
    wanted = max(text_width(mark.name, _NAME, bold=True), text_width(mark.words, _WORDS)) + beside
    align = "left" if rooms["left"] >= wanted or rooms["left"] >= rooms["right"] else "right"
    room = rooms[align] - beside - 1.0
    if room < 8.0:
        return
    x = tile.x_at(mark.station) + (beside if align == "left" else -beside)
    for words, size, bold, up in ((mark.name, _NAME, True, 1.3), (mark.words, _WORDS, False, -3.6)):
        shown, fit = fitted(words, size, room, bold=bold)
        pen.text(x, tile.centre + up, shown, fit, bold=bold, align=align)
