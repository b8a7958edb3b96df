"""The words of the site plan: the runs' names, how far apart they are, the ground they take."""

from itertools import pairwise

from designer.analysis import Analysis
from designer.drawing.dimensions import TEXT, level_dimension, upright_dimension
from designer.drawing.frame import view_frame
from designer.drawing.records import Record, Text
from designer.layout.site import bed_footprint
from designer.units import format_length, style_for

_ROW = 9.0
"""From the drawing to the first dimension line and between two, mm on paper."""
_LETTERS = 16
_LEVEL = 1e-3
"""Two runs are dimensioned when neither turns from the first by more than this, degrees."""


def site_dimensions(analysis: Analysis, scale: float) -> list[Record]:
    """Names of the runs, overall length and width of beds and reservoir, and the distance between
    the axes of parallel runs.

    In the view frame of the first run. Nothing when there is no run.
    """
    if not analysis.runs:
        return []
    style = style_for(analysis.design.units)
    view = view_frame(analysis, None)
    shapes = [bed_footprint(layout) for layout in analysis.runs]
    if analysis.reservoir is not None:
        shapes.append(analysis.reservoir.rim)
    points = [view.to_view(x, y) for shape in shapes for x, y in shape.exterior.coords]
    left, right = min(x for x, _ in points), max(x for x, _ in points)
    bottom, top = min(y for _, y in points), max(y for _, y in points)
    # Dimension lines stand outside everything on the site, and the names outside them.
    outside = [*shapes, *analysis.site.obstacles.values()]
    if analysis.site.outline is not None:
        outside.append(analysis.site.outline)
    all_points = [view.to_view(x, y) for shape in outside for x, y in shape.exterior.coords]
    edge, foot = max(x for x, _ in all_points), min(y for _, y in all_points)
    row = _ROW * scale
    records = level_dimension(
        left, right, foot - 1.5 * row, format_length(right - left, style), scale, (bottom, bottom)
    )
    parallel = [
        layout
        for layout in analysis.runs
        if abs((layout.run.heading - analysis.runs[0].run.heading + 90) % 180 - 90) < _LEVEL
    ]
    first = edge + 1.5 * row
    if len(analysis.runs) > 1:
        for layout in analysis.runs:
            x, y = view.to_view(*layout.frame.at(layout.run.length))
            if layout in parallel:
                x = first + row
            name = shortened(layout.run.name)
            records.append(Text(x + 3 * scale, y, name, TEXT * scale, anchor="start"))
    axes = sorted(view.to_view(*layout.frame.at(0.0))[1] for layout in parallel)
    for low, high in pairwise(axes):
        if high - low > 1.0:
            text = format_length(high - low, style)
            records += upright_dimension(low, high, first, text, scale, (right, right))
    text = format_length(top - bottom, style)
    records += upright_dimension(bottom, top, first + row, text, scale, (right, right))
    return records


def shortened(name: str) -> str:
    """A run's name as it stands on the site plan: at most 16 letters."""
    return name if len(name) <= _LETTERS else name[: _LETTERS - 1].rstrip() + "…"
