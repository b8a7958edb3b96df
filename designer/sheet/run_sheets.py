"""The sheets of one run: plan and elevation at the larger scale of ISO 5455 that paper allows.

At each scale the plan stands above the elevation, sharing its stations, on the paper held either
way; else each has a sheet of its own. Where even so the whole would come out small, a long
reservoir ahead of the run is broken off: the site plan shows it whole.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from designer.analysis import Analysis
from designer.drawing.elevation import elevation_groups
from designer.drawing.frame import view_frame
from designer.drawing.plan import plan_groups
from designer.drawing.plan_dimensions import plan_dimension_groups
from designer.drawing.records import Circle, Group, Record, Text
from designer.drawing.scales import reductions
from designer.layout.run import Place, RunLayout
from designer.layout.site import SOLID
from designer.sheet.broken_view import broken_off, seen_in_frame
from designer.sheet.name_places import named_apart
from designer.sheet.pages import page_room
from designer.sheet.paper import Paper
from designer.sheet.views import (
    EDGE,
    Fitted,
    View,
    box_of,
    fits,
    least_height,
    legible,
    records_of,
    without_small_letters,
)

_SMALL = 20
"""The reservoir is broken off only where the whole would be drawn smaller than 1 to this."""
_NEARLY = 0.95
"""A letter this near the smallest size we print is printed at that size in its bucket."""
_KEPT = 6.0
"""Of a broken reservoir this much is shown beyond the outfall, mm on paper."""


@dataclass(frozen=True)
class RunSheets:
    """The sheets of a run in order; `broken` says that they do not show the whole reservoir."""

    sheets: tuple[Fitted, ...]
    broken: bool = False


def run_sheets(analysis: Analysis, layout: RunLayout, paper: Paper) -> RunSheets:
    """One sheet with plan and elevation, or two, at the largest scale that fits."""
    for scale in reductions():
        made = _RunViews(analysis, layout, scale)
        whole = _arranged(made.views(None), scale, (paper, paper.turned))
        if whole:
            return RunSheets(whole)
        for sheet in (paper, paper.turned) if scale >= _SMALL else ():
            x = made.break_for(sheet)
            broken = _arranged(made.views(x), scale, (sheet,)) if x is not None else ()
            if broken:
                return RunSheets(broken, broken=True)
    raise AssertionError("the series of scales has no end")


def _arranged(views: list[View], scale: int, papers: Iterable[Paper]) -> tuple[Fitted, ...]:
    """The views on one sheet or, where that is too small, on one each; nothing where neither."""
    for sheet in papers:
        if fits(views, scale, sheet):
            return (Fitted(sheet, scale, views),)
    for sheet in papers:
        if all(fits([view], scale, sheet) for view in views):
            return tuple(Fitted(sheet, scale, [view]) for view in views)
    return ()


class _RunViews:
    """Plan and elevation of one run at one scale, without what stands elsewhere on the site."""

    def __init__(self, analysis: Analysis, layout: RunLayout, scale: int) -> None:
        self.analysis, self.layout, self.scale = analysis, layout, scale
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
        placed = named_apart(tank, [*bed, *self.plan_words])
        self.plan = [*(record for thing in placed for record in thing), *bed]
        side = (g for g in elevation_groups(analysis, run_id, scale) if g.subject not in elsewhere)
        self.elevation = without_small_letters(records_of(side), scale)

    def views(self, x: float | None) -> list[View]:
        """Both views, broken off at view `x` unless it is None."""
        plan, elevation = self.plan, self.elevation
        if x is not None:
            plan, elevation = broken_off(plan, x, self.scale), broken_off(elevation, x, self.scale)
        plan = plan + self.plan_words
        around = seen_in_frame(self.near, box_of(plan), plan)
        return [("Plan", legible(around, self.scale) + plan), ("Elevation", elevation)]

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
                if isinstance(record, Text) and record.height < _NEARLY * least
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
