"""A whole picture: plan, elevation, the plan above the elevation with the same stations, or the
cross-section of a run."""

from collections.abc import Callable, Iterator
from functools import partial
from typing import Literal

from designer.analysis import Analysis
from designer.drawing.elevation import elevation_groups
from designer.drawing.plan import plan_groups
from designer.drawing.records import Box, Group, Record, extent, shifted
from designer.drawing.scales import fitting_scale
from designer.drawing.section import section_groups
from designer.drawing.section_dimensions import section_dimension_groups
from designer.drawing.styles import LIGHT, Colours
from designer.drawing.svg import svg_text

View = Literal["plan", "elevation", "both", "section"]
BETWEEN_VIEWS = 16.0
"""Clear sheet between plan and elevation, mm on paper."""
ROOM = (380.0, 270.0)
"""The sheet a picture is composed for, mm: an A3 without its edges."""


def picture_groups(
    analysis: Analysis, view: View, run_id: str | None = None, scale: float = 10.0
) -> Iterator[Group]:
    """Groups of a picture in one frame; the elevation is shifted down below the plan."""
    if view == "section":
        yield from section_groups(analysis, run_id, scale)
        yield from section_dimension_groups(analysis, run_id, scale)
        return
    lowest = 0.0
    if view != "elevation":
        plan = list(plan_groups(analysis, run_id, scale))
        yield from plan
        box = _extent(plan)
        lowest = box[1] if box is not None else 0.0
    if view == "plan":
        return
    elevation = list(elevation_groups(analysis, run_id, scale))
    box = _extent(elevation)
    if box is None:
        return
    down = lowest - BETWEEN_VIEWS * scale - box[3] if view == "both" else 0.0
    for group in elevation:
        yield Group(
            group.key, group.subject, (group.token, down), partial(_lowered, group.build, down)
        )


def _lowered(build: Callable[[], list[Record]], down: float) -> list[Record]:
    return [shifted(record, 0.0, down) for record in build()]


def _extent(groups: list[Group]) -> Box | None:
    return extent([record for group in groups for record in group.build()])


def picture_scale(analysis: Analysis, view: View, run_id: str | None = None) -> int:
    """The largest standard scale at which the picture goes on its sheet."""
    box = _extent(list(picture_groups(analysis, view, run_id, 10.0)))
    if box is None:
        return 10
    return max(fitting_scale(box[2] - box[0], box[3] - box[1], *ROOM), 2)


def picture_svg(
    analysis: Analysis,
    view: View,
    colours: Colours = LIGHT,
    run_id: str | None = None,
    width: float | None = None,
) -> str:
    """The picture as SVG text, sized in mm of paper: `width`, or as large as at its own scale."""
    scale = picture_scale(analysis, view, run_id)
    groups = picture_groups(analysis, view, run_id, scale)
    return svg_text(groups, scale, colours, analysis.design.title, width)
