"""Dimensions and words of the elevation."""

from designer.drawing.dimensions import (
    ARROW,
    SLOPE_ROOM,
    TEXT,
    arrow,
    slope_symbol,
    upright_dimension,
)
from designer.drawing.elevation_ground import Profile, lowest_beyond
from designer.drawing.fonts import text_width
from designer.drawing.records import Box, Line, Record, Text, text_box
from designer.layout.run import Place, RunLayout
from designer.layout.site import ReservoirLayout
from designer.units import UnitSystem, format_length, format_slope, style_for

FALL, INVERT = "fall", "invert"
"""What the words of the fall and those of the inverts begin with."""
_FIRST_LINE, _NEXT_LINE = 1.6, 1.35
"""From the ground to the middle of the first line of words under it, and from one line to the
next, in heights of the words."""


def elevation_dimensions(
    layout: RunLayout,
    nearest: Place | None,
    origin: float,
    reservoir: ReservoirLayout | None,
    sides: tuple[float, float, float, float] | None,
    ground: Profile,
    scale: float,
) -> list[Record]:
    """Heights at the capped end, the fall, and the levels of the reservoir.

    `nearest` is the bucket whose height is dimensioned; `sides` are the reservoir's rim from and
    to and its floor from and to, in view x; `origin` is the view x of the outlet end, and `ground`
    the line of the ground: words stand below it.
    """
    run, levels, style = layout.run, layout.levels, style_for(layout.units)
    end = origin + run.length
    right = end + 8 * scale
    far = max(right + 7 * scale, end + layout.past_cap + 6 * scale)
    records = upright_dimension(
        0.0,
        levels.rail_top(run.length),
        far,
        format_length(levels.rail_top(run.length), style),
        scale,
        (end, end),
    )
    if nearest is not None:
        base, top = nearest.base, nearest.base + nearest.part.height
        records += upright_dimension(
            base,
            top,
            right,
            format_length(nearest.part.height, style),
            scale,
            (end, origin + nearest.station + nearest.part.rim_diameter / 2),
        )
    taken: list[Box] = []
    if reservoir is not None and sides is not None:
        low = lowest_beyond(ground, sides[1])
        said = _reservoir_levels(reservoir, sides, layout.units, low, scale)
        records += said
        taken = [
            (sides[0], reservoir.floor_level, sides[1], 0.0),
            *(text_box(r) for r in said if isinstance(r, Text)),
        ]
    records += _fall(layout, end, taken, ground, scale)
    return records


def _fall(
    layout: RunLayout, end: float, taken: list[Box], ground: Profile, scale: float
) -> list[Record]:
    """The fall, under the ground at the capped end: over the buckets the pressure line of the feed
    would run through it. Below what is `taken` there. As ISO 6412 has it, the sign points as the
    pipe falls and levels go with it: those of the invert, above the datum."""
    run, levels, style = layout.run, layout.levels, style_for(layout.units)
    fall = f"{FALL} {format_length(run.drain.fall, style)}, "
    fall += format_slope(levels.slope, layout.units)
    cap, outlet = (
        f"{'+' if level > 0 else ''}{format_length(level, style)}"
        for level in (levels.invert(run.length), levels.invert(0.0))
    )
    inverts = f"{INVERT} {cap} at the cap, {outlet} at the outlet"
    size = TEXT * scale
    wide = SLOPE_ROOM * scale + max(text_width(words, size) for words in (fall, inverts))
    y = lowest_beyond(ground, end - wide) - _FIRST_LINE * size
    for _, bottom, right, _ in sorted(taken, key=lambda box: -box[3]):
        if right > end - wide - size:
            y = min(y, bottom - 0.85 * size)
    return fall_words(end - wide, y, fall, inverts, scale)


def fall_words(x: float, y: float, fall: str, inverts: str, scale: float) -> list[Record]:
    """The sign of a fall, its words, and those of the inverts in a line below."""
    size = TEXT * scale
    below = Text(x + SLOPE_ROOM * scale, y - _NEXT_LINE * size, inverts, size, "text_soft", "start")
    return [*slope_symbol(x, y, fall, scale), below]


def _reservoir_levels(
    layout: ReservoirLayout,
    sides: tuple[float, float, float, float],
    units: UnitSystem,
    low: float,
    scale: float,
) -> list[Record]:
    """How deep it is sunk, and its rim and full level in words. They stand under the ground, which
    reaches down to `low` there, to the right, where nothing else is drawn, so that the sheet need
    not be wider for them."""
    style = style_for(units)
    floor, rim = layout.floor_level, layout.rim_level
    x = sides[1] + 4 * scale
    records: list[Record] = []
    words = []
    if floor < 0:
        reach = 0.0 if -floor > 3 * ARROW * scale else 2 * ARROW * scale
        turn = 1 if reach else -1
        records += [
            Line(((sides[3] + scale, floor), (x + 2 * scale, floor)), "dimension"),
            Line(((x, floor - reach), (x, reach)), "dimension"),
            arrow((x, floor), 0, turn, scale),
            arrow((x, 0.0), 0, -turn, scale),
        ]
        words.append(f"sunk {format_length(-floor, style)}")
    side = "above" if rim >= 0 else "below"
    words.append(f"rim {format_length(abs(rim), style)} {side} the ground")
    if layout.reservoir.freeboard > 0:
        words.append(f"full {format_length(layout.reservoir.freeboard, style)} below the rim")
    size = TEXT * scale
    records += [
        Text(
            x + 3 * scale,
            low - (_FIRST_LINE + _NEXT_LINE * i) * size,
            line,
            size,
            "text_soft",
            "start",
        )
        for i, line in enumerate(words)
    ]
    return records
