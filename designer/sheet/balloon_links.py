"""Links from a drawing's balloons to the lines of the list of parts."""

from collections.abc import Iterable

from reportlab.pdfgen.canvas import Canvas

from designer.drawing.balloons import RADIUS
from designer.drawing.fonts import POINTS_PER_MM
from designer.drawing.records import Record, Text
from designer.sheet.links import link_to


def item_place(number: int) -> str:
    """The name of the place of a part's line in the list."""
    return f"item {number}"


def link_balloons(
    canvas: Canvas, records: Iterable[Record], origin_x: float, origin_y: float, scale: float
) -> None:
    """Make every balloon among records a link, as they were drawn from an origin in points."""
    unit, reach = POINTS_PER_MM / scale, RADIUS * POINTS_PER_MM
    for record in records:
        if isinstance(record, Text) and record.style == "balloon_number":
            x, y = origin_x + record.x * unit, origin_y + record.y * unit
            box = (x - reach, y - reach, x + reach, y + reach)
            words = f"Part {record.text} in the shopping list"
            link_to(canvas, item_place(int(record.text)), box, words)
