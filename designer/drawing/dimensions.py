"""Dimension lines after ISO 129: narrow extension and dimension lines, oblique-free small arrows.

Sizes are mm on paper times `scale`.
"""

from collections.abc import Sequence

from designer.drawing.fonts import text_width
from designer.drawing.records import XY, Line, Record, Text
from designer.layout.run import GRAIN
from designer.units import UnitSystem, format_length, style_for

TEXT = 3.5
"""Height of lettering, mm on paper."""
SMALL_TEXT = 3.0
ARROW = 2.5
GAP = 1.0
"""Between a thing and its extension line, and between a line and its text, mm on paper."""
SLOPE_ROOM = 10.0
"""From the tip of the sign of a fall to its words, mm on paper."""


def equal_distances(count: int, whole: float, units: UnitSystem) -> str:
    """Words of `count` equal distances that make up `whole` mm: "7 × 300 mm", or "10 equal in
    3048 mm" where each is no whole step of the reader's rule, for the product would be false."""
    style, grain = style_for(units), GRAIN[units]
    each, said = format_length(whole / count, style), format_length(whole, style)
    product = format_length(count * grain * int(whole / count / grain + 0.5), style)
    return f"{count} × {each}" if product == said else f"{count} equal in {said}"


def arrow(tip: XY, dx: float, dy: float, scale: float) -> Line:
    """A filled arrow head at `tip` pointing along the unit vector (dx, dy)."""
    long, half = ARROW * scale, ARROW * scale / 6
    back = (tip[0] - dx * long, tip[1] - dy * long)
    return Line(
        (
            tip,
            (back[0] - dy * half, back[1] + dx * half),
            (back[0] + dy * half, back[1] - dx * half),
        ),
        "dimension_end",
        True,
    )


def level_dimension(
    x1: float, x2: float, y: float, text: str, scale: float, from_y: Sequence[float] = ()
) -> list[Record]:
    """A horizontal dimension between x1 and x2 at height y, with extension lines from `from_y`.

    Where the text does not fit between the arrows it stands beside the right one.
    """
    low, high = min(x1, x2), max(x1, x2)
    records: list[Record] = []
    for x, start in zip((x1, x2), from_y, strict=False):
        up = 1 if y > start else -1
        records.append(Line(((x, start + up * GAP * scale), (x, y + up * 2 * scale)), "dimension"))
    width = text_width(text, TEXT * scale)
    if high - low >= width + 2 * GAP * scale:
        inside = high - low > 3 * ARROW * scale
        records.append(Line(((low, y), (high, y)), "dimension"))
        if inside:
            records += [arrow((low, y), -1, 0, scale), arrow((high, y), 1, 0, scale)]
        records.append(
            Text((low + high) / 2, y + (TEXT / 2 + GAP) * scale, text, TEXT * scale, "text_soft")
        )
        return records
    reach = 2 * ARROW * scale
    records += [
        Line(((low - reach, y), (high + reach + width, y)), "dimension"),
        arrow((low, y), 1, 0, scale),
        arrow((high, y), -1, 0, scale),
        Text(high + reach, y + (TEXT / 2 + GAP) * scale, text, TEXT * scale, "text_soft", "start"),
    ]
    return records


def fits_between(low: float, high: float, text: str, scale: float) -> bool:
    """Whether arrows and text of an upright dimension stand between its ends; else they stand
    outside, the text past the higher end."""
    width = text_width(text, TEXT * scale)
    return high - low >= width + 2 * GAP * scale and high - low > 3 * ARROW * scale


def upright_reach(low: float, high: float, text: str, scale: float) -> tuple[float, float]:
    """From where to where the line of an upright dimension goes."""
    if fits_between(low, high, text, scale):
        return low, high
    reach = 2 * ARROW * scale
    return low - reach, high + reach + text_width(text, TEXT * scale)


def upright_dimension(
    y1: float, y2: float, x: float, text: str, scale: float, from_x: Sequence[float] = ()
) -> list[Record]:
    """A vertical dimension between y1 and y2 at x, its text reading from the right."""
    low, high = min(y1, y2), max(y1, y2)
    records: list[Record] = []
    for y, start in zip((y1, y2), from_x, strict=False):
        side = 1 if x > start else -1
        records.append(
            Line(((start + side * GAP * scale, y), (x + side * 2 * scale, y)), "dimension")
        )
    width = text_width(text, TEXT * scale)
    at = x - (TEXT / 2 + GAP) * scale
    if fits_between(low, high, text, scale):
        records += [
            Line(((x, low), (x, high)), "dimension"),
            arrow((x, low), 0, -1, scale),
            arrow((x, high), 0, 1, scale),
            Text(at, (low + high) / 2, text, TEXT * scale, "text_soft", "middle", 90),
        ]
        return records
    reach = 2 * ARROW * scale
    records += [
        Line(((x, low - reach), (x, high + reach + width)), "dimension"),
        arrow((x, low), 0, 1, scale),
        arrow((x, high), 0, -1, scale),
        Text(at, high + reach, text, TEXT * scale, "text_soft", "start", 90),
    ]
    return records


def running_mark(
    x: float, y: float, text: str, scale: float, from_y: float, fits: bool = True
) -> list[Record]:
    """One mark of a running dimension at (x, y): a tick and its upright text, read from the right.

    Without `fits` only the tick is drawn; the hole schedule carries the number.
    """
    down = 1 if y > from_y else -1
    records: list[Record] = [
        Line(((x, from_y + down * GAP * scale), (x, y)), "dimension"),
        Line(((x - scale, y - scale), (x + scale, y + scale)), "dimension"),
    ]
    if fits:
        size = SMALL_TEXT * scale
        anchor = "start" if down > 0 else "end"
        records.append(
            Text(x, y + down * 1.5 * scale, text, size, "text_soft", anchor, 90)  # type: ignore[arg-type]
        )
    return records


def slope_symbol(x: float, y: float, text: str, scale: float) -> list[Record]:
    """The fall of a pipe: a right-angled triangle pointing down to the left, and its text after
    `SLOPE_ROOM`; y is the middle of both."""
    long, half = (SLOPE_ROOM - 2) * scale, scale
    return [
        Line(((x, y - half), (x + long, y - half), (x + long, y + half)), "dimension", True),
        Text(x + SLOPE_ROOM * scale, y, text, TEXT * scale, "text_soft", "start"),
    ]
