"""The dimensions of the site plan: how far apart the runs are, and the ground they take."""

from itertools import pairwise

from designer.analysis import Analysis
from designer.drawing.dimensions import level_dimension, upright_dimension
from designer.drawing.frame import view_frame
from designer.drawing.records import Record
from designer.layout.site import bed_footprint
from designer.units import format_length, style_for

_ROW = 9.0
"""From the drawing to the first dimension line and between two, mm on paper."""
_LEVEL = 1e-3
"""Two runs are dimensioned when neither turns from the first by more than this, degrees."""


def site_dimensions(analysis: Analysis, scale: float) -> list[Record]:
    """Overall length and width of beds and reservoir, and between the axes of parallel runs.

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
    row = _ROW * scale
    records = level_dimension(
        left, right, bottom - 1.5 * row, format_length(right - left, style), scale, (bottom, bottom)
    )
    parallel = [
        layout
        for layout in analysis.runs
        if abs((layout.run.heading - analysis.runs[0].run.heading + 90) % 180 - 90) < _LEVEL
    ]
    axes = sorted(view.to_view(*layout.frame.at(0.0))[1] for layout in parallel)
    for low, high in pairwise(axes):
        if high - low > 1.0:
            text = format_length(high - low, style)
            records += upright_dimension(low, high, right + 1.5 * row, text, scale, (right, right))
    text = format_length(top - bottom, style)
    records += upright_dimension(bottom, top, right + 2.5 * row, text, scale, (right, right))
    return records
