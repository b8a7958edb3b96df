"""Draws a view's records on a reportlab canvas at a scale.

Line widths and dashes are paper sizes and do not change with the scale. Coordinates are written
out in points rather than put into a transformation, so that a drawing can be measured in the file.
"""

from collections.abc import Iterable

from reportlab.lib.colors import HexColor
from reportlab.pdfgen.canvas import Canvas

from designer.drawing.fonts import BOLD, POINTS_PER_MM, REGULAR, register_fonts
from designer.drawing.records import Circle, Line, Record, Text
from designer.drawing.styles import PRINT, STYLES, WIDTH_MM, Colours, Style

_MIDDLE_OF_CAPITALS = 0.357
"""Half the height of a capital of the fonts we print, as a share of the text's height."""


def draw_records(
    canvas: Canvas,
    records: Iterable[Record],
    origin_x_pt: float,
    origin_y_pt: float,
    scale: float,
    colours: Colours = PRINT,
    group: float = 0.5,
) -> None:
    """Draw records so that the view's origin lies at a place on the page, given in points.

    `scale` is mm of the thing to one mm of paper; `group` is the line group of ISO 128, the width
    of its wide lines in mm. The canvas is left as it was found.
    """
    register_fonts()
    unit = POINTS_PER_MM / scale
    canvas.saveState()
    canvas.setLineJoin(1)
    last = ""
    filled = stroked = False
    for record in records:
        style = STYLES[record.style]
        if isinstance(record, Text):
            _draw_text(canvas, record, style, origin_x_pt, origin_y_pt, unit, colours)
            last = ""
            continue
        if record.style != last:
            filled, stroked = _set_style(canvas, style, colours, group)
            last = record.style
        if isinstance(record, Circle):
            canvas.circle(
                origin_x_pt + record.x * unit,
                origin_y_pt + record.y * unit,
                record.radius * unit,
                stroke=int(stroked),
                fill=int(filled),
            )
        else:
            _draw_line(canvas, record, filled, stroked, origin_x_pt, origin_y_pt, unit)
    canvas.restoreState()


def _set_style(canvas: Canvas, style: Style, colours: Colours, group: float) -> tuple[bool, bool]:
    """Set the canvas up for a style; says whether it fills and whether it strokes."""
    width = WIDTH_MM[style.weight] * group / WIDTH_MM["wide"]
    if style.fill is not None:
        canvas.setFillColor(HexColor(colours[style.fill]))
        canvas.setFillAlpha(style.opacity)
    if width:
        canvas.setStrokeColor(HexColor(colours[style.colour]))
        canvas.setLineWidth(width * POINTS_PER_MM)
        canvas.setDash([part * POINTS_PER_MM for part in style.dash])
    return style.fill is not None, bool(width)


def _draw_line(
    canvas: Canvas,
    record: Line,
    filled: bool,
    stroked: bool,
    origin_x: float,
    origin_y: float,
    unit: float,
) -> None:
    path = canvas.beginPath()
    for i, (x, y) in enumerate(record.points):
        go = path.lineTo if i else path.moveTo
        go(origin_x + x * unit, origin_y + y * unit)
    if record.closed:
        path.close()
    fill = filled and record.closed
    if fill or stroked:
        canvas.drawPath(path, stroke=int(stroked), fill=int(fill))


def _draw_text(
    canvas: Canvas,
    record: Text,
    style: Style,
    origin_x: float,
    origin_y: float,
    unit: float,
    colours: Colours,
) -> None:
    size = record.height * unit
    canvas.saveState()
    canvas.setFillColor(HexColor(colours[style.colour]))
    canvas.setFillAlpha(1.0)
    canvas.setFont(BOLD if style.bold else REGULAR, size)
    canvas.translate(origin_x + record.x * unit, origin_y + record.y * unit)
    if record.angle:
        canvas.rotate(record.angle)
    draw = {
        "start": canvas.drawString,
        "middle": canvas.drawCentredString,
        "end": canvas.drawRightString,
    }[record.anchor]
    draw(0, -_MIDDLE_OF_CAPITALS * size, record.text)
    canvas.restoreState()
