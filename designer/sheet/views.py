"""Views on paper: their sizes, the smallest words, and how they are set on a page."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from reportlab.pdfgen.canvas import Canvas

from designer.drawing.pdf import draw_records
from designer.drawing.records import Box, Group, Record, Text, extent
from designer.sheet.balloon_links import link_balloons
from designer.sheet.clear_words import clear_words
from designer.sheet.match_lines import KeyPlan, draw_key_plan
from designer.sheet.pages import Room, page_room
from designer.sheet.paper import BOLD, POINTS_PER_MM, Paper
from designer.sheet.pen import LEAST_TEXT, Pen
from designer.sheet.tagging import artifact, figure, marked

CAPTION = 7.0
"""Room above a view for its name, mm."""
MOST_BETWEEN = 14.0
"""Most room between two views, mm: further apart they no longer read as one."""
NEARLY = 0.95
"""A letter this near the smallest size we print is printed at that size in its bucket."""
EDGE = 3.0
"""Clear between a view and the frame, mm."""
_GROUPS = ((20, 0.5), (50, 0.35), (100, 0.25))
"""The line group up to each scale, and beyond the last."""

View = tuple[str, list[Record]]
"""A view's name and what is drawn in it."""


@dataclass(frozen=True)
class Fitted:
    """Views that fit on a paper, and the scale at which they do."""

    paper: Paper
    scale: float
    views: list[View]
    key: KeyPlan | None = None
    """Which part of a long run the views show."""


def fits(views: list[View], scale: int, paper: Paper) -> bool:
    """Whether views, one below the other, go on a paper as it is held."""
    width, height = size_of(views, scale)
    room = page_room(paper)
    return width <= room.width - 2 * EDGE and height <= room.height - 2 * EDGE


def size_of(views: list[View], scale: float) -> tuple[float, float]:
    """Width and height of views one below the other on paper, mm."""
    boxes = [box_of(records) for _, records in views]
    width = (max(box[2] for box in boxes) - min(box[0] for box in boxes)) / scale
    height = sum((box[3] - box[1]) / scale + CAPTION for box in boxes)
    return width, height


def box_of(records: list[Record]) -> Box:
    """The box of records, mm of the thing; a point at the origin where there are none."""
    return extent(records) or (0.0, 0.0, 0.0, 0.0)


def line_group(scale: float) -> float:
    """The line group of ISO 128 for a drawing, mm: 0.5 on A4, but thinner where the things drawn
    come out so small that wide lines would run together (common practice, no source)."""
    return next((group for most, group in _GROUPS if scale <= most), _GROUPS[-1][1])


def draw_views(
    canvas: Canvas, fitted: Fitted, room: Room, said: Callable[[str], str] = str
) -> None:
    """Draw fitted views in the middle of a room, one below the other on the same stations.

    `said` turns a view's name into its alternative text.
    """
    scale = fitted.scale
    boxes = [box_of(records) for _, records in fitted.views]
    width, height = size_of(fitted.views, scale)
    left = min(box[0] for box in boxes) / scale
    origin_x = room.left + (room.width - width) / 2 - left
    between = min(MOST_BETWEEN, (room.height - 2 * EDGE - height) / (len(boxes) + 1))
    used = height + between * (len(boxes) - 1)
    top = room.top - EDGE - (room.height - 2 * EDGE - used) / 2
    if fitted.key is not None:
        with artifact(canvas):
            draw_key_plan(Pen(canvas), fitted.key, room.left + room.width - EDGE, top - 2.8)
    for (name, records), box in zip(fitted.views, boxes, strict=True):
        canvas.setFillGray(0)
        canvas.setFont(BOLD, 11)
        with marked(canvas, "H2"):
            canvas.drawString((room.left + EDGE) * POINTS_PER_MM, (top - 4.0) * POINTS_PER_MM, name)
        top -= CAPTION
        origin_y = top - box[3] / scale
        foot = top - (box[3] - box[1]) / scale
        edges = (room.left, foot, room.left + room.width, top)
        with figure(canvas, said(name), _in_points(edges)):
            draw_records(
                canvas,
                clear_words(records),
                origin_x * POINTS_PER_MM,
                origin_y * POINTS_PER_MM,
                scale,
                group=line_group(scale),
            )
            link_balloons(
                canvas, records, origin_x * POINTS_PER_MM, origin_y * POINTS_PER_MM, scale
            )
        top = foot - between


def _in_points(box: Box) -> Box:
    left, bottom, right, top = (side * POINTS_PER_MM for side in box)
    return left, bottom, right, top


def without_small_letters(records: list[Record], scale: int) -> list[Record]:
    """A view without bucket letters that are too small to print; the run's plan carries them."""
    least = NEARLY * least_height(scale)
    return legible(
        [r for r in records if not isinstance(r, Text) or r.style != "letter" or r.height >= least],
        scale,
    )


def legible(records: list[Record], scale: int) -> list[Record]:
    """The records with no text smaller than we print."""
    least = least_height(scale)
    return [
        record._replace(height=max(record.height, least)) if isinstance(record, Text) else record
        for record in records
    ]


def least_height(scale: int) -> float:
    """Height of the smallest text we print, mm of the thing."""
    return LEAST_TEXT / POINTS_PER_MM * scale


def records_of(groups: Iterable[Group]) -> list[Record]:
    """All records of some groups, in their order."""
    return [record for group in groups for record in group.build()]
