"""Marks of cutting planes in the plan: at each end a wide dash, an arrow that looks and a letter.

As ISO 128-3 has them (from memory). They are drawn on sheets, where the sections are.
"""

from collections.abc import Iterator

from designer.analysis import Analysis
from designer.drawing.dimensions import TEXT, arrow
from designer.drawing.fonts import text_width
from designer.drawing.frame import ViewFrame, unit_vector
from designer.drawing.records import XY, Group, Line, Record, Text, plain_group
from designer.drawing.return_plane import return_end_of
from designer.drawing.section_plane import plane_letters, section_of
from designer.layout.run import RunLayout

_DASH = 3.0
"""Length of the wide dash at each end, mm on paper."""
_CLEAR = 1.0
"""Between what is cut and the dash, mm on paper."""
_SHAFT = 4.5
"""Length of an arrow, mm on paper."""


def cut_mark_groups(
    analysis: Analysis,
    layout: RunLayout,
    view: ViewFrame,
    scale: float,
    reach: tuple[float, float] = (0.0, 0.0),
) -> Iterator[Group]:
    """The planes of a run's cross-section and of its return end, in the plan. The first stands
    further out than the plants, and than `reach` right and left of the axis, mm of the thing."""
    letters = plane_letters(layout)
    section = section_of(analysis, layout.run.id)
    if section is not None:
        ends = [
            view.to_view(*layout.frame.at(section.station, side * (away + _CLEAR * scale)))
            for side, away in zip((-1, 1), (max(layout.half_canopy, r) for r in reach), strict=True)
        ]
        look = unit_vector(
            view.to_view(*layout.frame.at(0.0)), view.to_view(*layout.frame.at(layout.run.length))
        )
        yield plain_group(
            f"cut:{layout.run.id}", None, _plane(ends[0], ends[1], look, letters[0], scale)
        )
    end = return_end_of(analysis, layout.run.id)
    if end is not None:
        (x, y), (ux, uy) = layout.outfall, end.direction
        points = [
            view.to_view(x + ux * to, y + uy * to)
            for to in (end.left - _CLEAR * scale, end.right + _CLEAR * scale)
        ]
        along = unit_vector(points[0], points[1])
        look = (-along[1], along[0])
        yield plain_group(
            f"cut:{layout.run.id}/end", None, _plane(points[0], points[1], look, letters[1], scale)
        )


def _plane(a: XY, b: XY, look: XY, letter: str, scale: float) -> list[Record]:
    """Both ends of a plane from a to b; the dashes lie outside them, the arrows at their tips."""
    records: list[Record] = []
    size = TEXT * scale
    wide = text_width(letter, size, bold=True)
    for near, far in ((b, a), (a, b)):
        ux, uy = unit_vector(near, far)
        tip = far[0] + ux * _DASH * scale, far[1] + uy * _DASH * scale
        head = tip[0] + look[0] * _SHAFT * scale, tip[1] + look[1] * _SHAFT * scale
        past = 0.6 * scale + (abs(look[0]) * wide + abs(look[1]) * size) / 2
        at = head[0] + look[0] * past, head[1] + look[1] * past
        records += [
            Line((far, tip), "cut"),
            Line((tip, head), "leader"),
            arrow(head, *look, scale),
            Text(*at, letter, size, "letter"),
        ]
    return records
