"""The drawing sheets: plan above elevation, sharing their stations, at a scale of ISO 5455."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import partial

from reportlab.pdfgen.canvas import Canvas

from designer.analysis import Analysis
from designer.drawing.elevation import elevation_groups
from designer.drawing.frame import view_frame
from designer.drawing.pdf import draw_records
from designer.drawing.plan import plan_groups
from designer.drawing.plan_dimensions import plan_dimension_groups
from designer.drawing.records import Box, Group, Record, Text, extent
from designer.drawing.scales import fitting_scale, reductions, scale_words
from designer.layout.run import Place, RunLayout
from designer.sheet.pages import Room, SheetPage, page_room
from designer.sheet.paper import A4, BOLD, POINTS_PER_MM, Paper
from designer.sheet.pen import LEAST_TEXT
from designer.sheet.site_dimensions import site_dimensions
from designer.sheet.title_block import draw_frame

CAPTION = 7.0
"""Room above a view for its name, mm."""
MOST_BETWEEN = 14.0
"""Most room between two views, mm: further apart they no longer read as one."""
NEARLY = 0.95
"""A letter this near the smallest size we print is printed at that size in its bucket."""
EDGE = 3.0
"""Clear between a view and the frame, mm."""

Maker = Callable[[int], list[tuple[str, list[Record]]]]
"""Makes the named views of a sheet at a scale, from the top one down."""


@dataclass(frozen=True)
class Fitted:
    """Views that fit on a paper, and the scale at which they do."""

    paper: Paper
    scale: int
    views: list[tuple[str, list[Record]]]


def drawing_pages(analysis: Analysis, paper: Paper) -> list[SheetPage]:
    """One sheet for each run, and before them a site plan where there is more than one bed to see.

    What stands about a bed is on the site plan only, clear of the bed's dimensions.
    """
    if not analysis.runs:
        return []
    pages = []
    site = analysis.site
    if len(analysis.runs) > 1 or site.obstacles or site.outline is not None:
        pages.append(_page("Site plan", paper, partial(_site_views, analysis)))
    for layout in analysis.runs:
        name = f", {layout.run.name}" if len(analysis.runs) > 1 else ""
        pages.append(_page(f"Plan and elevation{name}", paper, _views_of(analysis, layout)))
    return pages


def _site_views(analysis: Analysis, scale: int) -> list[tuple[str, list[Record]]]:
    plan = plan_groups(analysis, analysis.runs[0].run.id, scale)
    kept = (group for group in plan if not group.key.startswith("dim:"))
    records = _without_small_letters(_records(kept), scale)
    return [("Site plan", records + site_dimensions(analysis, scale))]


def _views_of(analysis: Analysis, layout: RunLayout) -> Maker:
    """Plan and elevation of one run without what stands elsewhere on the site."""
    run_id = layout.run.id
    elsewhere = _about(analysis)
    for other in analysis.runs:
        if other is not layout:
            elsewhere |= {other.run.id, *(place.bucket.id for place in other.places)}

    view = view_frame(analysis, run_id)

    def make(scale: int) -> list[tuple[str, list[Record]]]:
        plan = [
            g
            for g in plan_groups(analysis, run_id, scale)
            if g.subject not in elsewhere and not g.key.startswith("dim:")
        ]
        plan += plan_dimension_groups(analysis, layout, view, scale, alone=True)
        side = (g for g in elevation_groups(analysis, run_id, scale) if g.subject not in elsewhere)
        return [
            ("Plan", _plan_records(analysis, plan, scale)),
            ("Elevation", _without_small_letters(_records(side), scale)),
        ]

    return make


def _about(analysis: Analysis) -> set[str]:
    """Subjects of what stands about the beds: the site's outline and the obstacles."""
    return {obstacle.id for obstacle in analysis.design.obstacles} | {"site"}


def _plan_records(analysis: Analysis, groups: Iterable[Group], scale: int) -> list[Record]:
    """A plan's records; a letter too large for its bucket stands beside it, away from the run."""
    records: list[Record] = []
    least = _least_height(scale)
    for group in groups:
        built = group.build()
        bucket_id = group.key.removeprefix("plan:")
        if bucket_id in analysis.places:
            _, place = analysis.places[bucket_id]
            built = [
                _beside(record, place, scale)
                if isinstance(record, Text) and record.height < NEARLY * least
                else record
                for record in built
            ]
        records += built
    return _legible(records, scale)


def _beside(letter: Text, place: Place, scale: int) -> Text:
    """A bucket's letter set upright past its rim, clear of the dimension line on the left row."""
    past = place.part.rim_diameter / 2 + 0.8 * scale
    if place.bucket.side == "left":
        return letter._replace(
            x=letter.x + 1.45 * scale, y=letter.y + past, anchor="start", angle=90.0
        )
    return letter._replace(y=letter.y - past, anchor="end", angle=90.0)


def _without_small_letters(records: list[Record], scale: int) -> list[Record]:
    """A view without bucket letters that are too small to print; the run's plan carries them."""
    least = NEARLY * _least_height(scale)
    return _legible(
        [r for r in records if not isinstance(r, Text) or r.style != "letter" or r.height >= least],
        scale,
    )


def _legible(records: list[Record], scale: int) -> list[Record]:
    """The records with no text smaller than we print."""
    least = _least_height(scale)
    return [
        record._replace(height=max(record.height, least)) if isinstance(record, Text) else record
        for record in records
    ]


def _least_height(scale: int) -> float:
    """Height of the smallest text we print, mm of the thing."""
    return LEAST_TEXT / POINTS_PER_MM * scale


def _records(groups: Iterable[Group]) -> list[Record]:
    return [record for group in groups for record in group.build()]


def _page(section: str, paper: Paper, make: Maker) -> SheetPage:
    fitted = fit_views(make, paper)

    def draw(canvas: Canvas, room: Room) -> None:
        draw_frame(canvas, fitted.paper, room.left)
        draw_views(canvas, fitted, room)

    return SheetPage(section, draw, fitted.paper, scale_words(fitted.scale))


def fit_views(make: Maker, paper: Paper) -> Fitted:
    """The views at the largest scale that fits, on the paper held the better way."""
    for scale in reductions():
        views = make(scale)
        width, height = _size(views, scale)
        for sheet in (paper, paper.turned):
            room = page_room(sheet)
            if width <= room.width - 2 * EDGE and height <= room.height - 2 * EDGE:
                return Fitted(sheet, scale, views)
    raise AssertionError("the series of scales has no end")


def _size(views: list[tuple[str, list[Record]]], scale: float) -> tuple[float, float]:
    """Width and height of views one below the other on paper, mm."""
    boxes = [_box(records) for _, records in views]
    width = (max(box[2] for box in boxes) - min(box[0] for box in boxes)) / scale
    height = sum((box[3] - box[1]) / scale + CAPTION for box in boxes)
    return width, height


def _box(records: list[Record]) -> Box:
    return extent(records) or (0.0, 0.0, 0.0, 0.0)


def draw_views(canvas: Canvas, fitted: Fitted, room: Room) -> None:
    """Draw fitted views in the middle of a room, one below the other on the same stations."""
    scale = fitted.scale
    boxes = [_box(records) for _, records in fitted.views]
    width, height = _size(fitted.views, scale)
    left = min(box[0] for box in boxes) / scale
    origin_x = room.left + (room.width - width) / 2 - left
    between = min(MOST_BETWEEN, (room.height - 2 * EDGE - height) / (len(boxes) + 1))
    used = height + between * (len(boxes) - 1)
    top = room.top - EDGE - (room.height - 2 * EDGE - used) / 2
    for (name, records), box in zip(fitted.views, boxes, strict=True):
        canvas.setFillGray(0)
        canvas.setFont(BOLD, 11)
        canvas.drawString((room.left + EDGE) * POINTS_PER_MM, (top - 4.0) * POINTS_PER_MM, name)
        top -= CAPTION
        origin_y = top - box[3] / scale
        draw_records(canvas, records, origin_x * POINTS_PER_MM, origin_y * POINTS_PER_MM, scale)
        top -= (box[3] - box[1]) / scale + between


def picture(analysis: Analysis, room_width: float, room_height: float) -> Fitted | None:
    """Plan of all beds and elevation of the first, without words, dimensions or marks.

    Sizes in mm. None for a design without a run.
    """
    if not analysis.runs:
        return None
    run_id = analysis.runs[0].run.id
    views = [
        ("Plan", _wordless(analysis, plan_groups(analysis, run_id, 1.0))),
        ("Elevation", _wordless(analysis, elevation_groups(analysis, run_id, 1.0))),
    ]
    width, height = _size(views, 1.0)
    room = room_height - 2 * EDGE - len(views) * CAPTION
    scale = fitting_scale(width, height - len(views) * CAPTION, room_width - 2 * EDGE, room)
    return Fitted(A4, scale, views)


def _wordless(analysis: Analysis, groups: Iterable[Group]) -> list[Record]:
    about = _about(analysis)
    kept = (
        group
        for group in groups
        if group.subject not in about and not group.key.startswith(("dim:", "mark:"))
    )
    return [record for record in _records(kept) if not isinstance(record, Text)]
