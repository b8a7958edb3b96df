"""Draws the marks of a strip without holes on one of its pieces."""

from __future__ import annotations

from collections.abc import Sequence

from designer.sheet.pen import NARROW, WIDE, Pen, fitted, text_width
from designer.sheet.template_marks import MarkStrip, StripMark
from designer.sheet.template_tiles import BAND, OVERLAP, Tile

PIN = 3.0
"""Diameter of the ring about a place to punch, mm: a nail that is used as a pin goes through it."""

_ARM = 6.0
_NAME = 11.0
_WORDS = 8.0
_BESIDE = 2.5
_LEAST_ROOM = 12.0


def draw_marks(pen: Pen, strip: MarkStrip, tile: Tile, count: int) -> None:
    """As much of every mark as lies on this piece of `count`."""
    for mark in strip.marks:
        if mark.width:
            _draw_standing(pen, strip, tile, mark)
        else:
            _draw_point(pen, tile, mark)
    lines = _upright_lines(strip, tile, count)
    for mark in strip.marks:
        if tile.start <= mark.station <= tile.end:
            _draw_label(pen, tile, mark, lines)


def _draw_standing(pen: Pen, strip: MarkStrip, tile: Tile, mark: StripMark) -> None:
    """The middle of what stands there as a wide line, its two sides as narrow ones."""
    reach = strip.width / 2 - BAND
    half = mark.width / 2
    for beside, width in ((0.0, WIDE), (-half, NARROW), (half, NARROW)):
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


def _upright_lines(strip: MarkStrip, tile: Tile, count: int) -> list[float]:
    """Stations of all lines across the piece: its ends, its joints, the marks and their sides."""
    lines = [tile.start, tile.end]
    if tile.piece > 1:
        lines.append(tile.start + OVERLAP / 2)
    if tile.piece < count:
        lines.append(tile.end - OVERLAP / 2)
    for mark in strip.marks:
        lines += [mark.station - mark.width / 2, mark.station, mark.station + mark.width / 2]
    return [station for station in lines if tile.start <= station <= tile.end]


def _draw_label(pen: Pen, tile: Tile, mark: StripMark, lines: Sequence[float]) -> None:
    """Name and words right of the mark up to the next line, or left of it where that has more
    room; none where there is none on either side."""
    beside = _BESIDE if mark.width else _BESIDE + _ARM
    after = min((s for s in lines if s > mark.station), default=mark.station)
    before = max((s for s in lines if s < mark.station), default=mark.station)
    wanted = max(text_width(mark.name, _NAME, bold=True), text_width(mark.words, _WORDS))
    right, left = after - mark.station - beside - 1.0, mark.station - before - beside - 1.0
    align, room = ("left", right) if right >= min(wanted, left) else ("right", left)
    if room < _LEAST_ROOM:
        return
    x = tile.x_at(mark.station) + (beside if align == "left" else -beside)
    for words, size, bold, up in ((mark.name, _NAME, True, 1.3), (mark.words, _WORDS, False, -3.6)):
        shown, fit = fitted(words, size, room, bold=bold)
        pen.text(x, tile.centre + up, shown, fit, bold=bold, align=align)
