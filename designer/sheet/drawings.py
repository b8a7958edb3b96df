"""The drawing sheets: the site plan, then plan and elevation of each run."""

from collections.abc import Callable, Iterable
from functools import partial

from reportlab.pdfgen.canvas import Canvas

from designer.analysis import Analysis
from designer.drawing.elevation import elevation_groups
from designer.drawing.plan import plan_groups
from designer.drawing.records import Group, Record, Text
from designer.drawing.scales import reductions, scale_words
from designer.layout.run import RunLayout
from designer.sheet.cells import CellSheet, draw_cells
from designer.sheet.name_places import named_apart
from designer.sheet.pages import Room, SheetPage
from designer.sheet.paper import A4, Paper
from designer.sheet.picture_words import run_view_in_words, section_in_words, site_in_words
from designer.sheet.run_sheets import run_sheets
from designer.sheet.section_sheets import NO_NUMBERS, Numbers, section_sheets
from designer.sheet.site_dimensions import site_dimensions
from designer.sheet.tagging import artifact
from designer.sheet.title_block import draw_frame
from designer.sheet.views import (
    CAPTION,
    EDGE,
    Fitted,
    View,
    draw_views,
    fits,
    legible,
    records_of,
    size_of,
    without_small_letters,
)
from designer.sheet.words import in_words


def drawing_pages(
    analysis: Analysis, paper: Paper, numbers: Numbers = NO_NUMBERS
) -> list[SheetPage]:
    """The sheets of each run with its sections, and before them a site plan where they do not show
    everything. `numbers` are those of the list of parts, by part id; balloons bear them."""
    if not analysis.runs:
        return []
    pages = []
    site = analysis.site
    made = [(layout, run_sheets(analysis, layout, paper, numbers)) for layout in analysis.runs]
    about = bool(site.obstacles) or site.outline is not None
    if len(made) > 1 or about or any(s.broken or s.parted for _, s in made):
        told = site_in_words(analysis)
        pages.append(_page("Site plan", _site_sheet(analysis, paper), lambda _: told))
    for layout, sheets in made:
        name = f", {_called(analysis, layout)}" if len(made) > 1 else ""
        said = partial(run_view_in_words, analysis, layout)
        for fitted in sheets.sheets:
            first, *others = (view for view, _ in fitted.views)
            words = " and ".join([first, *(view.lower() for view in others)])
            title = f"{layout.run.name}, {fitted.key.words}" if fitted.key else layout.run.name
            pages.append(_page(f"{words}{name}", fitted, said, title))
    return pages + _section_pages(analysis, paper, numbers)


def _section_pages(analysis: Analysis, paper: Paper, numbers: Numbers) -> list[SheetPage]:
    pages = []
    for sheet, runs in section_sheets(analysis, paper, numbers):
        about = in_words([_called(analysis, layout) for layout in runs])
        said = partial(section_in_words, analysis, runs)
        draw = partial(_draw_cells, sheet, said)
        number = f", {_called(analysis, runs[0])}" if len(analysis.runs) > 1 else ""
        pages.append(
            SheetPage(
                f"{sheet.name}{number}", draw, sheet.paper, scale_words(sheet.scale), about=about
            )
        )
    return pages


def _draw_cells(sheet: CellSheet, said: Callable[[str], str], canvas: Canvas, room: Room) -> None:
    with artifact(canvas):
        draw_frame(canvas, sheet.paper, room.left)
    draw_cells(canvas, sheet, room, said)


def _called(analysis: Analysis, layout: RunLayout) -> str:
    """A run's name, with its number where another has the same."""
    names = [other.run.name for other in analysis.runs]
    name = layout.run.name
    return name if names.count(name) == 1 else f"{name} ({analysis.run_number(layout)})"


def _site_sheet(analysis: Analysis, paper: Paper) -> Fitted:
    for scale in reductions():
        views = _site_views(analysis, scale)
        width, height = size_of(views, scale)
        lying, standing = sorted((paper, paper.turned), key=lambda sheet: sheet.height)
        for sheet in (lying, standing) if width > height else (standing, lying):
            if fits(views, scale, sheet):
                return Fitted(sheet, scale, views)
    raise AssertionError("the series of scales has no end")


def _site_views(analysis: Analysis, scale: int) -> list[View]:
    plan = plan_groups(analysis, analysis.runs[0].run.id, scale)
    # The marks of buckets are on the sheet of their run, where they are larger than their marks.
    marks = {f"mark:{bucket}" for bucket in analysis.places}
    kept = [group for group in plan if not group.key.startswith("dim:") and group.key not in marks]
    named = {f"plan:{obstacle.id}" for obstacle in analysis.design.obstacles} | {"plan:reservoir"}
    things = [group.build() for group in kept if group.key in named]
    others = without_small_letters(
        records_of(group for group in kept if group.key not in named), scale
    )
    others += site_dimensions(analysis, scale)
    placed = named_apart([legible(thing, scale) for thing in things], others)
    return [("Site plan", [*(record for thing in placed for record in thing), *others])]


def _page(section: str, fitted: Fitted, said: Callable[[str], str], about: str = "") -> SheetPage:
    draw = partial(_draw, fitted, said)
    return SheetPage(section, draw, fitted.paper, scale_words(fitted.scale), about=about)


def _draw(fitted: Fitted, said: Callable[[str], str], canvas: Canvas, room: Room) -> None:
    with artifact(canvas):
        draw_frame(canvas, fitted.paper, room.left)
    draw_views(canvas, fitted, room, said)


def picture(analysis: Analysis, room_width: float, room_height: float) -> Fitted | None:
    """Plan of all beds and elevation of the first, without words, dimensions or marks, as
    large as the room allows.

    Sizes in mm. None for a design without a run.
    """
    if not analysis.runs:
        return None
    run_id = analysis.runs[0].run.id
    views = [
        ("Plan", _wordless(analysis, plan_groups(analysis, run_id, 1.0))),
        ("Elevation", _wordless(analysis, elevation_groups(analysis, run_id, 1.0))),
    ]
    width, height = size_of(views, 1.0)
    room = room_height - 2 * EDGE - len(views) * CAPTION
    high = height - len(views) * CAPTION
    scale = max(width / (room_width - 2 * EDGE), high / room)
    return Fitted(A4, scale, views)


def _wordless(analysis: Analysis, groups: Iterable[Group]) -> list[Record]:
    about = {obstacle.id for obstacle in analysis.design.obstacles} | {"site"}
    kept = (
        group
        for group in groups
        if group.subject not in about and not group.key.startswith(("dim:", "mark:"))
    )
    return [record for record in records_of(kept) if not isinstance(record, Text)]
