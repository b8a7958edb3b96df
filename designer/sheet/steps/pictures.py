"""The small drawing of a step: a view of the run in which what is worked on stands out."""

from collections.abc import Iterator

from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable

from designer.analysis import Analysis
from designer.drawing.elevation import elevation_groups
from designer.drawing.frame import view_frame
from designer.drawing.pdf import draw_records
from designer.drawing.plan import plan_groups
from designer.drawing.records import Circle, Group, Line, Record, Text, extent
from designer.drawing.styles import PRINT, Colours
from designer.sheet.broken_view import broken_off
from designer.sheet.pages import SMALL, paragraph
from designer.sheet.paper import POINTS_PER_MM
from designer.sheet.pen import LEAST_TEXT
from designer.sheet.steps.step import Picture
from designer.sheet.tagging import figure

MOST_TALL = 46.0
"""A picture is no taller, mm."""
_CAPTION = 5.5
_PALE: Colours = {
    role: "#ffffff" if role in ("sheet", "bucket", "wood", "stone") else "#c3c9ce" for role in PRINT
}
"""What only shows where the work is."""
_LEAST_LETTER = LEAST_TEXT / POINTS_PER_MM


class StepPicture(Flowable):  # type: ignore[misc]  # reportlab has no types
    """A picture as wide as the page, with its caption below it."""

    def __init__(self, analysis: Analysis, picture: Picture) -> None:
        super().__init__()
        self.analysis, self.picture = analysis, picture
        self.caption = paragraph(picture.caption, SMALL)

    def wrap(self, available_width: float, available_height: float) -> tuple[float, float]:
        """Size in points, as the page flow asks for it."""
        self.wide = available_width / POINTS_PER_MM
        self.records, self.scale = _fitted(self.analysis, self.picture, self.wide)
        left, bottom, right, top = extent(self.records) or (0.0, 0.0, 0.0, 0.0)
        self.left = (self.wide - (right - left) / self.scale) / 2 - left / self.scale
        self.bottom = _CAPTION + 0.5 - bottom / self.scale
        self.tall = (top - bottom) / self.scale + _CAPTION + 1.0
        self.caption.wrap(available_width, available_height)
        return available_width, self.tall * POINTS_PER_MM

    def draw(self) -> None:
        """Draw the pale part, then what stands out, then the caption."""
        box = (0.0, 0.0, self.wide * POINTS_PER_MM, self.tall * POINTS_PER_MM)
        with figure(self.canv, self.picture.caption, box):
            x, y = self.left * POINTS_PER_MM, self.bottom * POINTS_PER_MM
            self._layer(self.canv, False, x, y)
            self._layer(self.canv, True, x, y)
        self.caption.drawOn(self.canv, 0, 0)

    def _layer(self, canvas: Canvas, clear: bool, x: float, y: float) -> None:
        shown = self.picture.shown
        records = [record for record in self.records if (record.style in shown) == clear]
        draw_records(canvas, records, x, y, self.scale, PRINT if clear else _PALE)


def _fitted(analysis: Analysis, picture: Picture, wide: float) -> tuple[list[Record], float]:
    """The records of a picture and the scale at which they are `wide` mm or as tall as may be.

    Of a run so long that its letters could not be read, only the capped end is shown.
    """
    rough = list(_records(analysis, picture, 1.0))
    left, bottom, right, top = extent(rough) or (0.0, 0.0, 1.0, 1.0)
    scale = max((right - left) / wide, (top - bottom) / (MOST_TALL - _CAPTION), 1e-3)
    records = list(_records(analysis, picture, scale))
    letters = [record.height for record in records if isinstance(record, Text)]
    if not letters or min(letters) >= _LEAST_LETTER * scale:
        return records, scale
    # Letters do not shrink below 0.8 of the smallest rim's radius: at that scale they are read.
    scale = min(scale, min(letters) / _LEAST_LETTER)
    records = list(_records(analysis, picture, scale))
    cut = right - wide * scale
    if left >= cut:
        return records, scale
    return broken_off([one for one in records if _right_of(one, cut)], cut, scale), scale


def _right_of(record: Record, x: float) -> bool:
    """Whether a letter or circle lies right of a line; lines are cut there instead."""
    if isinstance(record, Line):
        return True
    reach = record.radius if isinstance(record, Circle) else record.height
    return record.x - reach > x


def _records(analysis: Analysis, picture: Picture, scale: float) -> Iterator[Record]:
    """What is drawn at a scale, without words other than letters that are shown."""
    groups = plan_groups if picture.view == "plan" else elevation_groups
    apart = _elsewhere(analysis, picture.run_id)
    for group in groups(analysis, picture.run_id, scale):
        if _wanted(group, apart):
            for record in group.build():
                if record.style != "canopy" and (
                    not isinstance(record, Text) or record.style in picture.shown
                ):
                    yield record
    if picture.holes:
        layout, view = analysis.run(picture.run_id), view_frame(analysis, picture.run_id)
        for place in layout.places:
            yield Circle(
                *view.to_view(place.hole_x, place.hole_y),
                layout.parts.drain_saw.diameter / 2,
                "hole",
            )


def _wanted(group: Group, apart: set[str]) -> bool:
    return group.subject not in apart and not group.key.startswith(("dim:", "mark:"))


def _elsewhere(analysis: Analysis, run_id: str) -> set[str]:
    """Ids of what stands on the site but is no part of this run."""
    others = {"site", *(obstacle.id for obstacle in analysis.design.obstacles)}
    for layout in analysis.runs:
        if layout.run.id != run_id:
            others |= {layout.run.id, *(place.bucket.id for place in layout.places)}
    return others
