"""The words of the site plan: the runs' names, how far apart they are, the ground they take, and
how far what stands about is from them."""

from collections.abc import Sequence
from itertools import groupby, pairwise

from shapely.geometry import Point, Polygon

from designer.analysis import Analysis
from designer.drawing.dimensions import (
    TEXT,
    equal_distances,
    fits_between,
    level_dimension,
    upright_dimension,
    upright_reach,
)
from designer.drawing.frame import ViewFrame, bounds, outline_points, view_frame
from designer.drawing.records import Record, Text
from designer.layout.run import RunLayout
from designer.layout.site import bed_footprint
from designer.units import UnitSystem, format_length, style_for

_ROW = 9.0
"""From the drawing to the first dimension line and between two, mm on paper."""
_LETTERS = 16
_LEVEL = 1e-3
"""Two runs are dimensioned when neither turns from the first by more than this, degrees."""

_Gap = tuple[float, float, str]
"""From where to where an upright dimension goes in view y, and its words."""


def site_dimensions(analysis: Analysis, scale: float) -> list[Record]:
    """Names of the runs, overall length and width of beds and reservoir, and the distance between
    the axes of parallel runs.

    In the view frame of the first run. Nothing when there is no run.
    """
    if not analysis.runs:
        return []
    style = style_for(analysis.design.units)
    view = view_frame(analysis, None)
    shapes = [_ground_taken(layout) for layout in analysis.runs]
    if analysis.reservoir is not None:
        shapes.append(analysis.reservoir.rim)
    points = [view.to_view(x, y) for shape in shapes for x, y in shape.exterior.coords]
    left, right = min(x for x, _ in points), max(x for x, _ in points)
    bottom, top = min(y for _, y in points), max(y for _, y in points)
    # Dimension lines stand outside everything on the site, and the names outside them.
    outside = [*shapes, *analysis.site.obstacles.values()]
    if analysis.site.outline is not None:
        outside.append(analysis.site.outline)
    outside += [
        Point(place.x, place.y).buffer(place.crop.canopy_spread / 2)
        for layout in analysis.runs
        for place in layout.places
    ]
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
    axes = sorted(view.to_view(*layout.frame.at(0.0))[1] for layout in parallel)
    between = _columns(_between(axes, analysis.design.units, scale), scale)
    last = first + len(between) * row
    if len(analysis.runs) > 1:
        for layout in analysis.runs:
            x, y = view.to_view(*layout.frame.at(layout.run.length))
            if layout in parallel:
                x = last
            name = shortened(layout.run.name)
            records.append(Text(x + 3 * scale, y, name, TEXT * scale, anchor="start"))
    for i, column in enumerate(between):
        for low, high, text in column:
            starts = [_clear_of(analysis, view, right, y) for y in (low, high)]
            records += upright_dimension(low, high, first + i * row, text, scale, starts)
    text = format_length(top - bottom, style)
    starts = [_clear_of(analysis, view, right, y) for y in (bottom, top)]
    records += upright_dimension(bottom, top, last, text, scale, starts)
    start = min(x for x, _ in all_points)
    size = TEXT * scale
    records += [
        Text(start, foot - 2.3 * row - 1.6 * i * size, line, size, anchor="start")
        for i, line in enumerate(clearances(analysis))
    ]
    return records


def _between(axes: Sequence[float], units: UnitSystem, scale: float) -> list[_Gap]:
    """The distances between axes. Many that are alike and too small for their words are one
    dimension, "10 × 1500 mm"."""
    style = style_for(units)
    gaps = [
        (low, high, format_length(high - low, style))
        for low, high in pairwise(axes)
        if high - low > 1.0
    ]
    found: list[_Gap] = []
    for _, same in groupby(gaps, key=lambda gap: gap[2]):
        alike = list(same)
        if len(alike) < 3 or fits_between(*alike[0], scale):
            found += alike
        else:
            low, high = alike[0][0], alike[-1][1]
            found.append((low, high, equal_distances(len(alike), high - low, units)))
    return found


def _columns(gaps: Sequence[_Gap], scale: float) -> list[list[_Gap]]:
    """Upright dimensions in as many columns as it takes for none to run into the next."""
    columns: list[list[_Gap]] = []
    for gap in gaps:
        low = upright_reach(*gap, scale)[0]
        for column in columns:
            if upright_reach(*column[-1], scale)[1] <= low:
                column.append(gap)
                break
        else:
            columns.append([gap])
    return columns


def _clear_of(analysis: Analysis, view: ViewFrame, x: float, y: float) -> float:
    """View x at which an extension line at `y` may begin: at `x`, or past what stands to its
    right."""
    boxes = [bounds(outline_points(shape, view)) for shape in analysis.site.obstacles.values()]
    return max([x, *(box[2] for box in boxes if box[0] >= x and box[1] < y < box[3])])


def _ground_taken(layout: RunLayout) -> Polygon:
    """The ground under all that is drawn of a run: buckets, rails and blocks."""
    run, parts = layout.run, layout.parts
    half, across = parts.block.width / 2, layout.block_offsets[-1] + parts.block.length / 2
    footprint = [layout.frame.of(x, y) for x, y in bed_footprint(layout).exterior.coords]
    low = min([s for s, _ in footprint] + [s - half for s in run.stand.supports])
    high = max([s for s, _ in footprint] + [s + half for s in run.stand.supports])
    wide = max([layout.half_width] + [across] * bool(run.stand.supports))
    corners = ((low, -wide), (high, -wide), (high, wide), (low, wide))
    return Polygon([layout.frame.at(*corner) for corner in corners])


def clearances(analysis: Analysis) -> list[str]:
    """A line for each thing that stands about: how far it is from the rims of the nearest bed."""
    style = style_for(analysis.design.units)
    beds = [(bed_footprint(layout), layout.run.name) for layout in analysis.runs]
    lines = []
    for obstacle in analysis.design.obstacles:
        shape = analysis.site.obstacles[obstacle.id]
        gap, name = min((bed.distance(shape), name) for bed, name in beds)
        where = f"the rims of {name}" if len(beds) > 1 else "the bed's rims"
        if gap > 0:
            lines.append(f"{obstacle.name}: {format_length(gap, style)} from {where}")
        else:
            lines.append(
                f"{obstacle.name}: over the ground of {name if len(beds) > 1 else 'the bed'}"
            )
    return lines


def shortened(name: str) -> str:
    """A run's name as it stands on the site plan: at most 16 letters."""
    return name if len(name) <= _LETTERS else name[: _LETTERS - 1].rstrip() + "…"
