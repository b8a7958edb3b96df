"""Draws the pieces of a strip."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from functools import partial

from designer.sheet.pen import CHAIN, DASHED, WIDE, Pen, fitted, text_width
from designer.sheet.template import Numbering, Printing, Template, TemplatePage
from designer.sheet.template_mark_lines import draw_marks
from designer.sheet.template_marks import MarkStrip
from designer.sheet.template_page import begin_page, end_page
from designer.sheet.template_tiles import (
    BAND,
    OVERLAP,
    HoleStrip,
    Strip,
    StripHole,
    StripLayout,
    Tile,
    strip_heading,
    strip_layout,
)
from designer.units import UnitSystem, format_length, style_for

_BAND_TEXT = 7.0
_CROSS_ARM = 2.0
_LETTER = 11.0
_DISTANCE = 8.0
_NEAR_JOINT = 3.0

Span = tuple[float, float]


def strip_template(strip: Strip, buckets: Iterable[str] = ()) -> Template:
    """The strip as a template, for the buckets of these ids."""
    return Template(strip.kind, strip.title, partial(_pages, strip), frozenset(buckets))


def _pages(strip: Strip, printing: Printing) -> list[TemplatePage]:
    layout = strip_layout(strip, printing)
    return [
        TemplatePage(layout.sheet, partial(_draw_page, strip, layout, page, printing.units))
        for page in range(layout.tiles[-1].page + 1)
    ]


def _draw_page(
    strip: Strip,
    layout: StripLayout,
    page: int,
    units: UnitSystem,
    pen: Pen,
    numbering: Numbering,
) -> None:
    sheet, tiles = layout.sheet, layout.tiles
    begin_page(pen, sheet, strip_heading(strip, units))
    for tile in tiles:
        if tile.page == page:
            following = tiles[tile.piece] if tile.piece < len(tiles) else None
            _draw_caption(pen, strip, tile, following, len(tiles), units)
            _draw_piece(pen, strip, tile, len(tiles), units)
    end_page(pen, sheet, strip.title, numbering)


def _draw_caption(
    pen: Pen,
    strip: Strip,
    tile: Tile,
    following: Tile | None,
    count: int,
    units: UnitSystem,
) -> None:
    style = style_for(units)
    if following is None:
        then = "This is the last piece."
    elif following.page == tile.page:
        then = f"Piece {following.piece} follows below."
    else:
        then = f"Piece {following.piece} follows on the next page."
    words = (
        f"Piece {tile.piece} of {count}: {format_length(tile.start, style)} to "
        f"{format_length(tile.end, style)} from the {strip.first_end}. {then}"
    )
    pen.text(tile.left, tile.centre + strip.width / 2 + 1.3, words, 7.5)


def _draw_piece(pen: Pen, strip: Strip, tile: Tile, count: int, units: UnitSystem) -> None:
    half = strip.width / 2
    left, right = tile.left, tile.x_at(tile.end)
    corners = [(left, -half), (right, -half), (right, half), (left, half)]
    pen.chain([(x, tile.centre + y) for x, y in corners], close=True)
    pen.line(left, tile.centre, right, tile.centre, dash=CHAIN)
    joints = []
    if tile.piece > 1:
        joints.append(tile.start + OVERLAP / 2)
        _draw_joint(pen, strip, tile, joints[-1], tile.piece - 1)
    else:
        pen.line(left, tile.centre - half, left, tile.centre + half, WIDE)
        pen.text(left + 2, _band_line(strip, tile, 1), strip.first_end, _BAND_TEXT)
        pen.text(left + 2, _band_line(strip, tile, -1), strip.first_edge, _BAND_TEXT)
    if tile.piece < count:
        joints.append(tile.end - OVERLAP / 2)
        _draw_joint(pen, strip, tile, joints[-1], tile.piece + 1)
    _draw_name(pen, strip, tile, count)
    if isinstance(strip, MarkStrip):
        draw_marks(pen, strip, tile, count)
        return
    for hole in strip.holes:
        _draw_hole(pen, strip, tile, hole.station)
    _draw_labels(pen, strip, tile, joints, units)


def _band_line(strip: Strip, tile: Tile, side: int) -> float:
    """Baseline of the words along the upper (1) or lower (-1) edge of the piece."""
    return tile.centre + side * (strip.width / 2 - BAND / 2) - 0.9


def _draw_joint(pen: Pen, strip: Strip, tile: Tile, joint: float, other: int) -> None:
    """The joint line with a registration cross at both sides, and what joins there."""
    half, x = strip.width / 2, tile.x_at(joint)
    pen.line(x, tile.centre - half, x, tile.centre + half, dash=DASHED)
    for side in (1, -1):
        pen.cross(x, tile.centre + side * (half - BAND / 2), _CROSS_ARM)
    later = other > tile.piece
    align, beside = ("right", x - _NEAR_JOINT) if later else ("left", x + _NEAR_JOINT)
    act = f"lay piece {other} on this line" if later else "trim at this line"
    pen.text(
        beside,
        _band_line(strip, tile, 1),
        f"joins piece {other}",
        _BAND_TEXT,
        align=align,
        bold=True,
    )
    pen.text(beside, _band_line(strip, tile, -1), act, _BAND_TEXT, align=align)


def _draw_name(pen: Pen, strip: Strip, tile: Tile, count: int) -> None:
    """The piece's own name and the way to the capped end, for when it has been cut out."""
    room = tile.end - tile.start - 90.0
    middle = tile.left + (tile.end - tile.start) / 2
    if room < 30.0:
        return
    words, size = fitted(f"Piece {tile.piece} of {count}: {strip.title}", _BAND_TEXT, room)
    pen.text(middle, _band_line(strip, tile, 1), words, size, align="centre")
    if tile.piece > 1:
        y = _band_line(strip, tile, -1)
        words = f"to the {strip.first_end}"
        tip = middle - text_width(words, _BAND_TEXT) / 2 - 10.0
        pen.text(middle, y, words, _BAND_TEXT, align="centre")
        pen.line(tip, y + 0.9, tip + 8.0, y + 0.9)
        pen.chain([(tip + 2.0, y + 1.6), (tip, y + 0.9), (tip + 2.0, y + 0.2)])


def _draw_hole(pen: Pen, strip: HoleStrip, tile: Tile, station: float) -> None:
    """As much of the circle and the pilot cross as lies on this piece, cut exactly at its ends."""
    radius = strip.hole_diameter / 2
    if station + radius <= tile.start or station - radius >= tile.end:
        return
    x, y = tile.x_at(station), tile.centre
    if tile.start <= station - radius and station + radius <= tile.end:
        pen.circle(x, y, radius, WIDE)
    elif station - radius < tile.start:
        turn = math.degrees(math.acos((tile.start - station) / radius))
        pen.arc(x, y, radius, -turn, 2 * turn, WIDE)
    else:
        turn = math.degrees(math.acos((station - tile.end) / radius))
        pen.arc(x, y, radius, 180 - turn, 2 * turn, WIDE)
    arm = _pilot_arm(strip)
    near, far = max(station - arm, tile.start), min(station + arm, tile.end)
    if near < far:
        pen.line(tile.x_at(near), y, tile.x_at(far), y)
    if tile.start <= station <= tile.end:
        pen.line(x, y - arm, x, y + arm)


def _pilot_arm(strip: HoleStrip) -> float:
    """Long enough to show past a small hole, short enough to leave the letters clear."""
    return 6.0 if strip.hole_diameter >= 16.0 else 4.0


def _draw_labels(
    pen: Pen, strip: HoleStrip, tile: Tile, joints: Sequence[float], units: UnitSystem
) -> None:
    """Letter and distance beside each hole, on whichever side is free."""
    reach = max(strip.hole_diameter / 2, _pilot_arm(strip))
    taken: list[Span] = [(hole.station - reach, hole.station + reach) for hole in strip.holes]
    taken += [(joint - 1.0, joint + 1.0) for joint in joints]
    style = style_for(units)
    for station, letters in _by_station(strip.holes):
        if not tile.start <= station <= tile.end:
            continue
        distance = format_length(station, style)
        width = max(text_width(letters, _LETTER, bold=True), text_width(distance, _DISTANCE))
        spot = _free_spot(station, reach + 1.5, width, tile, taken)
        if spot is None:
            _draw_tight_letter(pen, strip, tile, joints, station, letters)
            continue
        taken.append((spot - 2.0, spot + width + 2.0))
        x = tile.x_at(spot)
        pen.text(x, tile.centre + 1.3, letters, _LETTER, bold=True)
        pen.text(x, tile.centre - 3.6, distance, _DISTANCE)


def _draw_tight_letter(
    pen: Pen,
    strip: HoleStrip,
    tile: Tile,
    joints: Sequence[float],
    station: float,
    letters: str,
) -> None:
    """Holes too close for a label carry the letter only: inside a large hole, above a small one.

    It keeps clear of joint lines and of the piece's ends; a hole that is so near them that it has
    no room is named on the piece that is joined there.
    """
    width = text_width(letters, _BAND_TEXT, bold=True)
    starts = [station + 1.2, station - 1.2 - width]
    above = 2.0
    if strip.hole_diameter < 12.0:
        starts.insert(0, station - width / 2)
        above = max(strip.hole_diameter / 2, _pilot_arm(strip)) + 0.5
    taken = [(joint - 0.8, joint + 0.8) for joint in joints]
    for start in starts:
        if _is_free(start, width, tile, taken):
            pen.text(tile.x_at(start), tile.centre + above, letters, _BAND_TEXT, bold=True)
            return


def _by_station(holes: Sequence[StripHole]) -> list[tuple[float, str]]:
    """Holes that share a station share a label."""
    letters: dict[float, list[str]] = {}
    for hole in sorted(holes, key=lambda hole: hole.station):
        letters.setdefault(round(hole.station, 3), []).append(hole.letter)
    return [(station, ", ".join(names)) for station, names in letters.items()]


def _free_spot(
    station: float, gap: float, width: float, tile: Tile, taken: Sequence[Span]
) -> float | None:
    """Where a label may start: right of the hole, else left of it, else nowhere."""
    for start in (station + gap, station - gap - width):
        if _is_free(start, width, tile, taken):
            return start
    return None


def _is_free(start: float, width: float, tile: Tile, taken: Sequence[Span]) -> bool:
    """Whether words from a station on lie on the piece and on nothing else."""
    inside = start >= tile.start + 1.0 and start + width <= tile.end - 1.0
    return inside and all(start + width <= low or start >= high for low, high in taken)
