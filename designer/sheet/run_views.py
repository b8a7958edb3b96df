"""Plan and elevation of one run at one scale: whole, with its reservoir broken off, or in parts."""

from collections.abc import Iterable
from dataclasses import replace
from itertools import pairwise

from shapely import box

from designer.analysis import Analysis
from designer.drawing.balloons import balloon_records
from designer.drawing.cut_marks import cut_mark_groups
from designer.drawing.dimensions import SLOPE_ROOM
from designer.drawing.elevation import elevation_groups
from designer.drawing.elevation_dimensions import FALL, INVERT, fall_words
from designer.drawing.frame import view_frame
from designer.drawing.part_places import PartPlace, plan_parts
from designer.drawing.plan import plan_groups
from designer.drawing.plan_dimensions import plan_dimension_groups
from designer.drawing.records import Box, Circle, Group, Line, Record, Text, extent, text_box
from designer.layout.run import Place, RunLayout
from designer.layout.site import SOLID
from designer.sheet.broken_view import broken_off, seen_in_frame
from designer.sheet.match_lines import KeyPlan, match_lines, part_of
from designer.sheet.name_places import named_apart
from designer.sheet.pages import page_room
from designer.sheet.paper import Paper
from designer.sheet.section_sheets import Numbers
from designer.sheet.views import (
    EDGE,
    NEARLY,
    Fitted,
    View,
    box_of,
    least_height,
    legible,
    records_of,
    without_small_letters,
)

_KEPT = 6.0
"""Of a broken reservoir this much is shown beyond the outfall, mm on paper."""

_SHARES = (0.5, 0.35, 0.65, 0.2, 0.8)
"""Where words that every part repeats may stand on its stretch of the run, the best first."""


class RunViews:
    """Plan and elevation of one run at one scale, without what stands elsewhere on the site.

    In first angle projection the plan comes second, for it stands below. `numbers` are those of
    the balloons, by part id.
    """

    def __init__(
        self, analysis: Analysis, layout: RunLayout, scale: int, first: bool, numbers: Numbers
    ) -> None:
        self.analysis, self.layout, self.scale = analysis, layout, scale
        self.first, self.numbers = first, numbers
        self.frame = view_frame(analysis, layout.run.id)
        run_id = layout.run.id
        elsewhere = {obstacle.id for obstacle in analysis.design.obstacles} | {"site"}
        for other in analysis.runs:
            if other is not layout:
                elsewhere |= {other.run.id, *(place.bucket.id for place in other.places)}
        solid = analysis.site.of_kinds(SOLID)
        groups = [g for g in plan_groups(analysis, run_id, scale) if not g.key.startswith("dim:")]
        plan = [g for g in groups if g.subject not in elsewhere]
        dimensions = plan_dimension_groups(analysis, layout, self.frame, scale, alone=True)
        self.near = [records_of([g]) for g in groups if g.subject in solid]
        self.plan_words = legible(records_of(dimensions), scale)
        tank = [legible(g.build(), scale) for g in plan if g.key == "plan:reservoir"]
        rest = [g for g in plan if g.key != "plan:reservoir"]
        bed = _plan_records(analysis, rest, scale)
        axis = self.frame.to_view(*layout.frame.at(0.0))[1]
        reach = (0.0, 0.0)
        if any(isinstance(r, Text) and r.style == "letter" and r.angle for r in bed):
            # Between letters that stand beside their buckets is no room for marks.
            _, low, _, high = box_of(self.plan_words)
            reach = (axis - low, high - axis)
        marks = cut_mark_groups(analysis, layout, self.frame, scale, reach)
        self.cuts = legible(records_of(marks), scale)
        placed = named_apart(tank, [*bed, *self.plan_words, *self.cuts])
        self.plan = [*(record for thing in placed for record in thing), *bed]
        side = (g for g in elevation_groups(analysis, run_id, scale) if g.subject not in elsewhere)
        self.elevation = without_small_letters(records_of(side), scale)

    @property
    def frame_box(self) -> Box:
        """The box of both views, as if they lay on each other."""
        return box_of([*self.plan, *self.plan_words, *self.cuts, *self.elevation])

    @property
    def joints(self) -> list[float]:
        """Where a match line hides least: midway between holes, and past the last one."""
        layout = self.layout
        stations = sorted({0.0, *(place.station for place in layout.places)})
        between = [(a + b) / 2 for a, b in pairwise(stations)]
        return [self.frame.to_view(*layout.frame.at(station))[0] for station in between]

    def views(self, x: float | None) -> list[View]:
        """Both views, broken off at view `x` unless it is None."""
        plan, elevation, cuts = self.plan, self.elevation, self.cuts
        if x is not None:
            plan, elevation = broken_off(plan, x, self.scale), broken_off(elevation, x, self.scale)
            cuts = [record for record in cuts if box_of([record])[0] >= x]
        plan = plan + self.plan_words + cuts
        return self._in_order(self._with_near(plan), elevation)

    def part(self, plan: KeyPlan) -> list[View]:
        """Both views as far as a part goes, with its match lines."""
        overall = self._overall
        words = [record for record in self.plan_words if record not in overall]
        whole = [*self.plan, *words, *self.cuts]
        shown = self._with_near(part_of(whole, plan, self.scale))
        shown += [self._on_part(text, plan, shown) for text in overall]
        fall = self._fall
        side = part_of([r for r in self.elevation if r not in fall], plan, self.scale)
        side += self._fall_on(plan, side)
        shown += match_lines(shown, plan, self.scale)
        side += match_lines(side, plan, self.scale)
        return self._in_order(shown, side)

    def break_for(self, sheet: Paper) -> float | None:
        """The view x at which to break off so that the rest is as wide as a sheet; None where that
        would take away more than the far part of the reservoir."""
        tank = self.analysis.reservoir
        if tank is None:
            return None
        both = [*self.plan, *self.plan_words, *self.elevation]
        x = box_of(both)[2] - (page_room(sheet).width - 2 * EDGE - 0.5) * self.scale
        rim = [self.frame.to_view(*point)[0] for point in tank.rim.exterior.coords]
        kept = [self.frame.to_view(*point)[0] for point in self.layout.return_points]
        kept += [record.x - record.radius for record in both if isinstance(record, Circle)]
        clear = _KEPT * self.scale
        return x if min(rim) < x < min(*kept, max(rim)) - clear else None

    def _with_near(self, plan: list[Record]) -> list[Record]:
        """The plan with what stands near the run, as far as it lies in its frame."""
        around = seen_in_frame(self.near, box_of(plan), plan)
        return legible(around, self.scale) + plan

    def _in_order(self, plan: list[Record], elevation: list[Record]) -> list[View]:
        views = [("Plan", plan), ("Elevation", elevation)]
        return views[::-1] if self.first else views

    def numbered(self, fitted: Fitted, part: KeyPlan | None = None) -> Fitted:
        """A sheet with balloons in its plan, for the parts of the bed that this part of the run
        shows. They keep within the plan, so what fits goes on fitting."""
        low, high = part.own if part is not None else (-1e9, 1e9)
        parts = [p for p in plan_parts(self.layout, self.frame) if low <= p.x < high]
        views = [
            (name, records + self._balloons(parts, records) if name == "Plan" else records)
            for name, records in fitted.views
        ]
        return replace(fitted, views=views)

    def _balloons(self, parts: list[PartPlace], plan: list[Record]) -> list[Record]:
        return balloon_records(parts, self.numbers, plan, self.scale, extent(plan))

    @property
    def _overall(self) -> list[Text]:
        """The words of the dimension over the whole run, which every part repeats."""
        level = [
            record
            for record in self.plan_words
            if isinstance(record, Text) and record.anchor == "middle" and not record.angle
        ]
        lowest = min((record.y for record in level), default=0.0)
        return [record for record in level if record.y <= lowest]

    def _on_part(self, text: Text, plan: KeyPlan, drawn: list[Record]) -> Text:
        """Words of the whole run on the run's stretch on a part: in its middle, or as near to it
        as they are clear of other words."""
        low, high = plan.own
        frame, run = self.layout.frame, self.layout.run
        ends = [self.frame.to_view(*frame.at(station))[0] for station in (0.0, run.length)]
        low, high = max(low, min(ends)), min(high, max(ends))
        words = [box(*text_box(record)) for record in drawn if isinstance(record, Text)]
        places = [text._replace(x=low + share * (high - low)) for share in _SHARES]
        clear = (
            place
            for place in places
            if not any(box(*text_box(place)).intersects(other) for other in words)
        )
        return next(clear, places[0])

    @property
    def _fall(self) -> list[Record]:
        """The sign of the fall, its words and those of the inverts."""
        words = [r for r in self.elevation if isinstance(r, Text)]
        found: list[Record] = [r for r in words if r.text.split()[0] in (FALL, INVERT)]
        tips = {record.x - SLOPE_ROOM * self.scale for record in found if isinstance(record, Text)}
        signs = (r for r in self.elevation if isinstance(r, Line) and len(r.points) == 3)
        return found + [sign for sign in signs if sign.points[0][0] in tips]

    def _fall_on(self, plan: KeyPlan, drawn: list[Record]) -> list[Record]:
        """The sign of the fall at the right end of a part, below all words there."""
        words = [record for record in self._fall if isinstance(record, Text)]
        boxes = [text_box(record) for record in words]
        wide = max(box[2] for box in boxes) - min(box[0] for box in boxes)
        _, high = plan.own
        x = min(words[0].x, high - 2.0 * self.scale - wide)
        y, size = words[0].y, words[0].height
        said = [
            box_of([record])
            for record in drawn
            if isinstance(record, Text) or record.style == "reservoir"
        ]
        for left, low, right, top in sorted(said, key=lambda box: -box[3]):
            below = y - 2.0 * size < top and low < y + size
            if below and left < x + wide and right > x - SLOPE_ROOM * self.scale:
                y = low - 0.9 * size
        start = x - SLOPE_ROOM * self.scale
        return fall_words(start, y, words[0].text, words[1].text, self.scale)


def _plan_records(analysis: Analysis, groups: Iterable[Group], scale: int) -> list[Record]:
    """A plan's records; a letter too large for its bucket stands beside it, away from the run."""
    records: list[Record] = []
    least = least_height(scale)
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
    return legible(records, scale)


def _beside(letter: Text, place: Place, scale: int) -> Text:
    """A bucket's letter set upright past its rim, clear of the dimension line on the left row."""
    past = place.part.rim_diameter / 2 + 0.8 * scale
    if place.bucket.side == "left":
        return letter._replace(
            x=letter.x + 1.45 * scale, y=letter.y + past, anchor="start", angle=90.0
        )
    return letter._replace(y=letter.y - past, anchor="end", angle=90.0)
