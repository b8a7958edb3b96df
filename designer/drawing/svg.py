"""Writes a view's records as an SVG picture at a scale, sized in mm of paper."""

from collections.abc import Iterable
from xml.sax.saxutils import escape, quoteattr

from designer.drawing.records import Circle, Group, Record, Text, extent
from designer.drawing.styles import LIGHT, STYLES, WIDTH_MM, Colours, Style

FONTS = "Noto Sans, DejaVu Sans, Helvetica, Arial, sans-serif"
MARGIN = 5.0
"""Clear edge round the drawing, mm of paper."""

_MIDDLE_OF_CAPITALS = 0.357


def svg_text(
    groups: Iterable[Group],
    scale: float,
    colours: Colours = LIGHT,
    title: str = "",
    shown_width: float | None = None,
) -> str:
    """The whole picture as text. One unit of its view box is 1 mm of paper.

    `scale` is mm of the thing to one mm of paper. A view without records gives an empty sheet.
    `shown_width` is the width in mm at which all of it is shown, where not at that scale.
    """
    built = [(group, group.build()) for group in groups]
    box = extent([record for _, records in built for record in records]) or (0.0, 0.0, 0.0, 0.0)
    left, bottom, right, top = (edge / scale for edge in box)
    x, y = left - MARGIN, -top - MARGIN
    width, height = right - left + 2 * MARGIN, top - bottom + 2 * MARGIN
    size = 1.0 if shown_width is None else shown_width / width
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        '<svg xmlns="http://www.w3.org/2000/svg" role="img"',
        f'width="{_n(width * size)}mm" height="{_n(height * size)}mm"',
        f'viewBox="{_n(x)} {_n(y)} {_n(width)} {_n(height)}"',
        f'font-family="{FONTS}" stroke-linejoin="round" fill="none">',
        f"<title>{escape(_clean(title))}</title>",
        f'<rect x="{_n(x)}" y="{_n(y)}" width="{_n(width)}" height="{_n(height)}"',
        f'fill="{colours["sheet"]}"/>',
    ]
    for group, records in built:
        subject = f" data-subject={quoteattr(group.subject)}" if group.subject else ""
        lines.append(f"<g data-key={quoteattr(group.key)}{subject}>")
        lines += [_record(record, scale, colours) for record in records]
        lines.append("</g>")
    lines.append("</svg>\n")
    return "\n".join(lines)


def _record(record: Record, scale: float, colours: Colours) -> str:
    style = STYLES[record.style]
    if isinstance(record, Text):
        return _text(record, style, scale, colours)
    if isinstance(record, Circle):
        return (
            f'<circle cx="{_n(record.x / scale)}" cy="{_n(-record.y / scale)}" '
            f'r="{_n(record.radius / scale)}"{_paint(style, colours, closed=True)}/>'
        )
    points = " ".join(f"{_n(x / scale)},{_n(-y / scale)}" for x, y in record.points)
    name = "polygon" if record.closed else "polyline"
    return f'<{name} points="{points}"{_paint(style, colours, closed=record.closed)}/>'


def _text(record: Text, style: Style, scale: float, colours: Colours) -> str:
    x, y, size = record.x / scale, -record.y / scale, record.height / scale
    turn = f' transform="rotate({_n(-record.angle)} {_n(x)} {_n(y)})"' if record.angle else ""
    bold = ' font-weight="bold"' if style.bold else ""
    # The baseline is moved by hand: dominant-baseline is not read alike by all viewers.
    return (
        f'<text x="{_n(x)}" y="{_n(y + _MIDDLE_OF_CAPITALS * size)}" font-size="{_n(size)}" '
        f'text-anchor="{record.anchor}" fill="{colours[style.colour]}"{bold}{turn}>'
        f"{escape(_clean(record.text))}</text>"
    )


def _paint(style: Style, colours: Colours, *, closed: bool) -> str:
    paint = ""
    if style.fill is not None and closed:
        paint += f' fill="{colours[style.fill]}"'
        if style.opacity < 1:
            paint += f' fill-opacity="{_n(style.opacity)}"'
    if width := WIDTH_MM[style.weight]:
        paint += f' stroke="{colours[style.colour]}" stroke-width="{_n(width)}"'
        if style.dash:
            paint += f' stroke-dasharray="{" ".join(_n(part) for part in style.dash)}"'
    return paint


def _clean(text: str) -> str:
    """The text without the control characters that XML 1.0 has no way to write."""
    return "".join(c for c in text if c >= " " and c not in "\ufffe\uffff")


def _n(value: float) -> str:
    """A number to a thousandth, without needless zeros."""
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text
