"""Dimensions of the plan: running from the capped end above, the chain from hole to hole and the
overall length below, the width beside.

Each row stands as near to its bed as it can without crossing another run, an obstacle or the
edge of the site.
"""

from collections.abc import Iterator
from functools import partial
from itertools import groupby, pairwise

from designer.analysis import Analysis
from designer.drawing.dimensions import (
    SMALL_TEXT,
    TEXT,
    equal_distances,
    fits_between,
    level_dimension,
    running_mark,
    upright_dimension,
)
from designer.drawing.frame import ViewFrame, bounds, outline_points
from designer.drawing.records import Box, Circle, Group, Line, Record, Text
from designer.layout.run import Place, RunLayout
from designer.layout.site import bed_footprint
from designer.units import format_length, style_for

_CHAIN_ROW = 7.0
"""From the chain of distances to the overall length below it, mm on paper."""


def plan_dimension_groups(
    analysis: Analysis, layout: RunLayout, view: ViewFrame, scale: float, alone: bool = False
) -> Iterator[Group]:
    """Running dimensions from the capped end above the bed; overall length and width.

    They keep clear of what else stands on the site unless the run is drawn `alone`.
    """
    run, style = layout.run, style_for(analysis.design.units)
    x0, y0 = view.to_view(*layout.frame.at(0.0))
    x1, _ = view.to_view(*layout.frame.at(run.length))
    edge = layout.half_canopy + 4 * scale
    others = [] if alone else _others(analysis, layout, view, scale)
    beside = [box for box in others if box[0] < x1 and box[2] > x0]
    row = clear_band(beside, y0 + edge, 18 * scale) - y0 + 4 * scale
    below = -clear_band(_turned(beside, 2), edge - y0, (12 + _CHAIN_ROW) * scale) - y0 - 7 * scale
    wide = layout.half_width
    level = [box for box in others if box[1] < y0 + wide and box[3] > y0 - wide]
    beyond = x1 + max(5 * scale, layout.past_cap + 0.5 * scale)
    right = clear_band(_turned(level, 1), beyond, 9 * scale) + 5 * scale
    far = row > edge + 5 * scale
    room = 1.25 * SMALL_TEXT * scale
    shown: float | None = None
    for place in layout.from_cap:
        fits = shown is None or shown - place.station >= room
        shown = place.station if fits else shown
        yield Group(
            f"dim:{place.bucket.id}",
            None,
            (place, run.length, view, scale, row, far, fits, style),
            partial(_running, place, layout, view, scale, row, far, fits),
        )
    yield Group(
        f"dim:{run.id}",
        None,
        (run.start, run.heading, run.length, run.pitch, layout.parts.drain, view, scale, row, right,
         far, style, wide, bool(layout.places)),
        partial(_overall, layout, view, scale, row, right, far),
    )  # fmt: skip
    yield from _length_groups(layout, x0, y0, y0 + below, scale)


def _length_groups(
    layout: RunLayout, x0: float, y0: float, y: float, scale: float
) -> Iterator[Group]:
    """The chain at `y` and the overall length below it, or both on one line where all distances
    are alike. Each distance is a group of its own: a bucket that moves changes only those beside
    it. Distances without room for their words are left to the row of the running ones."""
    run = layout.run
    whole, parts = format_length(run.length, style_for(layout.units)), _chain(layout)
    shown: list[_Part] = []
    if len(parts) == 1 and layout.places:
        words = parts[0][2]
        whole = words if words.endswith(whole) else f"{words} (= {whole})"
    elif layout.places:
        shown = [part for part in parts if fits_between(*part, scale)]
    start = y0 - layout.half_width
    for i, (low, high, words) in enumerate(shown):
        chained = (x0 + low, x0 + high, y, words, scale, (start, start))
        yield Group(f"dim:{run.id}/chain:{i}", None, chained, partial(level_dimension, *chained))
    below = y - _CHAIN_ROW * scale if shown else y
    overall = (x0, x0 + run.length, below, whole, scale, (y0 - 40, y0 - 40))
    yield Group(f"dim:{run.id}/length", None, overall, partial(level_dimension, *overall))


def clear_band(boxes: list[Box], start: float, depth: float) -> float:
    """The lowest y from `start` up at which a band of `depth` meets none of the boxes."""
    for _, bottom, _, top in sorted(boxes, key=lambda box: box[1]):
        if bottom < start + depth and top > start:
            start = top
    return start


def _turned(boxes: list[Box], quarters: int) -> list[Box]:
    """Boxes turned counter-clockwise, so that what was right (1) or below (2) is above."""
    for _ in range(quarters):
        boxes = [(-y1, x0, -y0, x1) for x0, y0, x1, y1 in boxes]
    return boxes


def _others(analysis: Analysis, layout: RunLayout, view: ViewFrame, scale: float) -> list[Box]:
    """Boxes that dimensions keep clear of: other runs, obstacles with their names, the edges of
    the site outline."""
    boxes = [
        bounds(outline_points(bed_footprint(other), view))
        for other in analysis.runs
        if other is not layout
    ]
    for shape in analysis.site.obstacles.values():
        x0, y0, x1, y1 = bounds(outline_points(shape, view))
        boxes.append((x0, y0, x1, y1 + 2 * TEXT * scale))
    if analysis.site.outline is not None:
        x0, y0, x1, y1 = bounds(outline_points(analysis.site.outline, view))
        line = 0.5 * scale
        boxes += [
            (x0, y0 - line, x1, y0 + line),
            (x0, y1 - line, x1, y1 + line),
            (x0 - line, y0, x0 + line, y1),
            (x1 - line, y0, x1 + line, y1),
        ]
    return boxes


def _running(
    place: Place,
    layout: RunLayout,
    view: ViewFrame,
    scale: float,
    row: float,
    far: bool,
    fits: bool,
) -> list[Record]:
    x, base = view.to_view(*layout.frame.at(place.station))
    start = abs(place.offset) + place.part.rim_diameter / 2 if place.offset > 0 else 40.0
    if far:
        start = row - 4 * scale
    text = format_length(layout.run.length - place.station, style_for(layout.units))
    return running_mark(x, base + row, text, scale, base + start, fits)


def _overall(
    layout: RunLayout,
    view: ViewFrame,
    scale: float,
    row: float,
    right: float,
    far: bool,
) -> list[Record]:
    run, style = layout.run, style_for(layout.units)
    x0, y0 = view.to_view(*layout.frame.at(0.0))
    x1, _ = view.to_view(*layout.frame.at(run.length))
    above = y0 + row
    low = above - 3 * scale if far else y0 + layout.parts.drain.outside_diameter
    records: list[Record] = [
        Line(((x0, above), (x1, above)), "dimension"),
        Line(((x1, low), (x1, above + 2 * scale)), "dimension"),
        Circle(x1, above, scale, "origin"),
        Text(x1 + 2 * scale, above, "0", SMALL_TEXT * scale, "text_soft", "start"),
    ]
    if layout.places:
        wide = layout.half_width
        records += upright_dimension(
            y0 - wide,
            y0 + wide,
            right,
            format_length(2 * wide, style),
            scale,
            (x1 - run.pitch / 2, x1 - run.pitch / 2),
        )
    return records


_Part = tuple[float, float, str]
"""From and to a station, and what stands between: a distance, or "7 × 300 mm"."""


def _chain(layout: RunLayout) -> list[_Part]:
    """From the capped end from hole to hole to the outlet end, with what is alike as one."""
    run, style = layout.run, style_for(layout.units)
    at = [run.length, *(place.station for place in layout.from_cap), 0.0]
    words_of: dict[float, str] = {}  # few differ, and there may be hundreds at each step of a drag
    gaps = []
    for high, low in pairwise(at):
        distance = round(high - low, 6)
        if distance not in words_of:
            words_of[distance] = format_length(distance, style)
        gaps.append((low, high, words_of[distance]))
    parts: list[_Part] = []
    for text, same in groupby(gaps, key=lambda gap: gap[2]):
        alike = list(same)
        low, high = alike[-1][0], alike[0][1]
        many = len(alike) > 1
        words = equal_distances(len(alike), high - low, layout.units) if many else text
        parts.append((low, high, words))
    return parts
