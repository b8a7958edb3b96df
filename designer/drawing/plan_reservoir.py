"""The reservoir in the plan, and its name where no pipe runs through it."""

from functools import partial

from shapely.geometry import MultiLineString, box

from designer.analysis import Analysis
from designer.drawing.dimensions import TEXT
from designer.drawing.fonts import text_width
from designer.drawing.frame import Points, ViewFrame, bounds, outline_points
from designer.drawing.records import Group, Line, Record, Text, text_box
from designer.layout.site import ReservoirLayout


def reservoir_group(
    analysis: Analysis, layout: ReservoirLayout, view: ViewFrame, scale: float
) -> Group:
    """The group of the reservoir; `scale` is mm of the thing for 1 mm of paper."""
    pipes = _pipes(analysis, view)
    return Group(
        "plan:reservoir",
        "reservoir",
        (layout, pipes, view, scale),
        partial(_reservoir, layout, pipes, view, scale),
    )


def _pipes(analysis: Analysis, view: ViewFrame) -> tuple[Points, ...]:
    """The feed and the return path of every run, as far as they lie ahead of it."""
    design, paths = analysis.design, []
    for layout in analysis.runs:
        run = layout.run
        paths.append((layout.frame.at(0.0), *layout.return_points))
        if design.reservoir is not None:
            pump = design.reservoir.place
            via = [(p.x, p.y) for p in run.feed_path]
            paths.append(((pump.x, pump.y), *via, layout.frame.at(0.0, run.manifold.offset)))
    return tuple(tuple(view.to_view(*point) for point in path) for path in paths)


def _reservoir(
    layout: ReservoirLayout, pipes: tuple[Points, ...], view: ViewFrame, scale: float
) -> list[Record]:
    rim, base = outline_points(layout.rim, view), outline_points(layout.base_outline, view)
    lines = MultiLineString([pipe for pipe in (*pipes, (*base, base[0])) if len(pipe) > 1])
    return [
        Line(rim, "reservoir", True),
        Line(base, "base", True),
        _name(*bounds(rim), lines, TEXT * scale),
    ]


def _name(
    left: float, bottom: float, right: float, top: float, lines: MultiLineString, size: float
) -> Text:
    """Its name inside it where no line runs through it, else below it; one that is wider than the
    reservoir grows away from the bed."""
    middle = (left + right) / 2
    name = Text(middle, bottom - 1.5 * size, "Reservoir", size)
    wide = text_width(name.text, size)
    aside = max((right - left - wide) / 2 - size, 0.0)
    if wide < 0.8 * (right - left):
        high = top - bottom
        for y in (1.7 * size, 0.3 * high, 0.7 * high, high - 1.7 * size):
            for x in (middle, middle + aside, middle - aside):
                place = name._replace(x=x, y=bottom + y)
                room = box(*text_box(place)).buffer(0.25 * size)
                if box(left, bottom, right, top).contains(room) and not lines.intersects(room):
                    return place
    if wide > right - left:
        return name._replace(x=right, anchor="end")
    return name
