"""The small drawing of a step: a view of the run in which what is worked on stands out."""

from collections.abc import Iterable, Iterator
from itertools import chain

from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable
from shapely import box

from designer.analysis import Analysis
from designer.drawing.dimensions import SMALL_TEXT
from designer.drawing.elevation import elevation_groups
from designer.drawing.frame import view_frame
from designer.drawing.pdf import draw_records
from designer.drawing.plan import plan_groups
from designer.drawing.records import Circle, Group, Line, Record, Text, extent
from designer.drawing.return_end import return_end_groups
from designer.drawing.section import section_groups
from designer.drawing.section_dimensions import return_dimension_groups
from designer.drawing.styles import PRINT, Colours
from designer.sheet.broken_view import broken_off, clipped
from designer.sheet.clear_words import clear_words
from designer.sheet.pages import SMALL, paragraph
from designer.sheet.paper import POINTS_PER_MM
from designer.sheet.pen import LEAST_TEXT, text_width
from designer.sheet.steps.step import Picture
from designer.sheet.tagging import figure

_TALL = {"plan": 50.0, "elevation": 50.0, "section": 66.0, "return end": 62.0}
"""A picture is no taller, mm."""
_CAPTION = 5.5
_PALE: Colours = {
    role: "#ffffff" if role in ("sheet", "bucket", "wood", "stone") else "#c3c9ce" for role in PRINT
}
"""What only shows where the work is."""
_LEAST_LETTER = LEAST_TEXT / POINTS_PER_MM
_TORN = 3.5
"""Room for the torn edge, mm."""
_ROUNDS = 4
"""Words and hatching keep their size on paper, so the scale that fits is found in so many steps."""


class StepPicture(Flowable):  # type: ignore[misc]  # reportlab has no types
    """A picture at most as wide as the page, with its caption below it."""

    def __init__(self, analysis: Analysis, picture: Picture) -> None:
        super().__init__()
        self.analysis, self.picture = analysis, picture
        self.wide = 0.0

    def wrap(self, available_width: float, available_height: float) -> tuple[float, float]:
        """Size in points, as the page flow asks for it. Without anything to draw it is nothing."""
        wide = available_width / POINTS_PER_MM
        if wide != self.wide:
            self.wide = wide
            self.records, self.scale, broken = fitted(self.analysis, self.picture, wide)
            self.words = self.picture.caption
            if broken:
                self.words += ". Only the part at the capped end is drawn"
            self.caption = paragraph(self.words, SMALL)
        if not self.records:
            return available_width, 0.0
        left, bottom, right, top = extent(self.records) or (0.0, 0.0, 0.0, 0.0)
        self.left = (wide - (right - left) / self.scale) / 2 - left / self.scale
        self.bottom = _CAPTION + 0.5 - bottom / self.scale
        self.tall = (top - bottom) / self.scale + _CAPTION + 1.0
        self.caption.wrap(available_width, available_height)
        return available_width, self.tall * POINTS_PER_MM

    def draw(self) -> None:
        """Draw the pale part, then what stands out, then the caption."""
        if not self.records:
            return
        room = (0.0, 0.0, self.wide * POINTS_PER_MM, self.tall * POINTS_PER_MM)
        with figure(self.canv, self.words, room):
            self._layer(self.canv, False)
            self._layer(self.canv, True)
        self.caption.drawOn(self.canv, 0, 0)

    def _layer(self, canvas: Canvas, clear: bool) -> None:
        shown = self.picture.shown
        records = [
            one
            for one in self.records
            if (not shown or one.style in shown or isinstance(one, Text)) == clear
        ]
        x, y = self.left * POINTS_PER_MM, self.bottom * POINTS_PER_MM
        if clear:
            records = clear_words(records)
        draw_records(canvas, records, x, y, self.scale, PRINT if clear else _PALE)


def fitted(analysis: Analysis, picture: Picture, wide: float) -> tuple[list[Record], float, bool]:
    """The records of a picture, the scale (mm of the thing for 1 mm of paper) at which they are at
    most `wide` mm wide and as tall as may be, and whether the run is broken off.

    Of a run so long that its letters could not be read, only the capped end is shown.
    """
    scale, tall = 10.0, _TALL[picture.view] - _CAPTION
    for steps in range(2 * _ROUNDS):
        records = list(records_of(analysis, picture, scale))
        ends = extent(records)
        if ends is None:
            return [], 1.0, False
        over = max((ends[2] - ends[0]) / scale / wide, (ends[3] - ends[1]) / scale / tall, 1e-3)
        # Words that give way to each other may never settle: from then on it only gets smaller.
        if steps >= _ROUNDS and over <= 1:
            break
        scale *= over * (1.001 if steps >= _ROUNDS - 1 else 1.0)
    else:
        records = list(records_of(analysis, picture, scale))
    letters = [one.height for one in records if isinstance(one, Text) and one.style == "letter"]
    if picture.view != "plan" or not letters or min(letters) >= _LEAST_LETTER * scale:
        return [one for one in records if _legible(one, scale)], scale, False
    # Letters keep their share of their buckets: at that scale the smallest can be read.
    scale = min(scale, min(letters) / _LEAST_LETTER)
    records = _by_the_bed(list(records_of(analysis, picture, scale)), 2 * tall * scale)
    left, _, right, _ = extent(records) or (0.0, 0.0, 0.0, 0.0)
    cut = right - wide * scale
    if left >= cut:
        return records, scale, False
    radius = max(one.radius for one in records if isinstance(one, Circle))
    clear = cut + radius + _TORN * scale
    kept = [one for one in records if _right_of(one, clear)]
    return broken_off(kept, cut, scale), scale, True


def _by_the_bed(records: list[Record], most: float) -> list[Record]:
    """A plan that is no taller than `most`, mm of the thing, or else only what lies beside the
    buckets: the reservoir may be far from them."""
    left, bottom, right, top = extent(records) or (0.0, 0.0, 0.0, 0.0)
    if top - bottom <= most:
        return records
    rims = [one for one in records if isinstance(one, Circle) and one.style == "rim"]
    low = min(rim.y - 1.5 * rim.radius for rim in rims)
    high = max(rim.y + 1.5 * rim.radius for rim in rims)
    region = box(left, low, right, high)
    kept: list[Record] = []
    for one in records:
        if isinstance(one, Line):
            kept += clipped(one, region)
        elif low < one.y < high:
            kept.append(one)
    return kept


def _legible(record: Record, scale: float) -> bool:
    return not isinstance(record, Text) or record.height >= 0.999 * _LEAST_LETTER * scale


def _right_of(record: Record, x: float) -> bool:
    """Whether a bucket's letter, circles or tubes lie right of a line; the rest is cut there."""
    if isinstance(record, Line):
        return record.style not in ("nipple", "feed") or max(p[0] for p in record.points) > x
    return record.x > x


def records_of(analysis: Analysis, picture: Picture, scale: float) -> Iterator[Record]:
    """What is drawn at a scale: without other runs and, where only some of it is to stand out,
    without words other than those that do."""
    apart = _elsewhere(analysis, picture.run_id)
    for group in _groups(analysis, picture, scale):
        if group.subject not in apart and not group.key.startswith("mark:"):
            for record in group.build():
                words = isinstance(record, Text) and bool(picture.shown)
                if record.style != "canopy" and (not words or record.style in picture.shown):
                    yield record
    if picture.marks == "holes":
        yield from _holes(analysis, picture.run_id)
    elif picture.marks == "supports":
        yield from _numbers(analysis, picture.run_id, scale)


def _groups(analysis: Analysis, picture: Picture, scale: float) -> Iterable[Group]:
    run_id = picture.run_id
    if picture.view == "section":
        return section_groups(analysis, run_id, scale)
    if picture.view == "return end":
        return chain(
            return_end_groups(analysis, run_id, scale),
            return_dimension_groups(analysis, run_id, scale),
        )
    view = plan_groups if picture.view == "plan" else elevation_groups
    return (g for g in view(analysis, run_id, scale) if not g.key.startswith("dim:"))


def _holes(analysis: Analysis, run_id: str) -> Iterator[Record]:
    """The holes in the drain, from above."""
    layout, view = analysis.run(run_id), view_frame(analysis, run_id)
    for place in layout.places:
        x, y = view.to_view(place.hole_x, place.hole_y)
        yield Circle(x, y, layout.parts.drain_saw.diameter / 2, "hole")


def _numbers(analysis: Analysis, run_id: str, scale: float) -> Iterator[Record]:
    """Each support's number in its top course, from the side, where it has room there."""
    layout = analysis.run(run_id)
    start, _ = view_frame(analysis, run_id).to_view(layout.run.start.x, layout.run.start.y)
    size, top = SMALL_TEXT * scale, layout.levels.block_top
    course = top / max(layout.blocks_high, 1)
    for number, (station, _) in enumerate(layout.shims, 1):
        wide = text_width(str(number), SMALL_TEXT * POINTS_PER_MM, bold=True) * scale
        if wide < 0.8 * layout.parts.block.width and course > 1.3 * size:
            yield Text(start + station, top - course / 2, str(number), size, "letter")


def _elsewhere(analysis: Analysis, run_id: str) -> set[str]:
    """Ids of what stands on the site but is no part of this run."""
    others = {"site", *(obstacle.id for obstacle in analysis.design.obstacles)}
    for layout in analysis.runs:
        if layout.run.id != run_id:
            others |= {layout.run.id, *(place.bucket.id for place in layout.places)}
    return others
