"""Charts along one run: the water in its drain, and the pressure line of its manifold."""

from reportlab.graphics.shapes import Drawing

from designer.drawing.chart_frame import (
    DASH_DOT,
    DASHED,
    NARROW,
    WIDE,
    ChartFrame,
    Key,
    Look,
    Plot,
)
from designer.drawing.chart_scales import (
    distance_measure,
    height_measure,
    scale_for,
    words_width,
)
from designer.drawing.styles import Colours
from designer.layout.run import RunLayout
from designer.units import LengthStyle, format_length
from designer.water.bed.drains import RunDrain
from designer.water.bed.feed import MM, feed_end_level, manifold_level, node_name
from designer.water.bed.solution import BedWater

PIPE = Look("ink", WIDE)
WATER = Look("water", NARROW, fill=0.35)
TAIL = Look("soft", WIDE)
GRADE = Look("water", WIDE, DASH_DOT)
MANIFOLD = Look("ink", NARROW)
END = Look("must", NARROW, DASHED)


def drain_chart(
    water: BedWater, run_id: str, width_mm: float, height_mm: float, colours: Colours
) -> Drawing:
    """The water's surface in a run's drain as its rounded shims make it fall, with invert, crown
    and the tails in their lettered holes. Heights are drawn larger than lengths and say so."""
    drain = water.drains[run_id]
    layout, profile = drain.layout, drain.profile
    units = water.design.units
    along, high = distance_measure(units), height_measure(units)
    bore = drain.line.section.height / MM
    stations = [drain.station(float(d)) for d in profile.distance]
    outfall = drain.invert(0.0) - layout.run.return_fall
    inverts = [outfall + float(v) / MM for v in profile.invert]
    depths = [float(d) / MM for d in profile.depth]
    xs = [s * along.per for s in stations]
    bottom = [v * high.per for v in inverts]
    surface = [(v + min(d, bore)) * high.per for v, d in zip(inverts, depths, strict=True)]
    crown = [(v + bore) * high.per for v in inverts]
    x = scale_for(
        f"Distance from the outlet end, {along.unit} (the capped end is at the right)",
        [*xs, 0.0],
        8,
        tight=True,
    )
    y = scale_for(f"Level above the ground, {high.unit}", [*bottom, *crown], 5)
    style = LengthStyle.M if units == "metric" else LengthStyle.FEET_INCHES
    station, fill = drain.fullest
    fullest = f"{100 * fill:.0f} % at {format_length(station, style)} from the outlet end"
    regime = f"{profile.regime.value} Fullest {fullest}."
    keys = (Key("pipe, inside", PIPE), Key("water", WATER), Key("tail in its hole", TAIL))
    title = f"Water in the drain of {layout.run.name}"

    def framed(times: str) -> Plot:
        stretch = f"Heights are drawn {times} times larger than lengths."
        return Plot(ChartFrame(width_mm, height_mm, colours, title, (regime, stretch), keys), x, y)

    # How much larger heights are drawn is known only once the plot has its size.
    trial = framed("10")
    (x0, y0), (x1, y1) = trial.at(0, 0), trial.at(along.per, high.per)
    larger = (y1 - y0) / (x1 - x0)
    plot = framed(f"{larger:.0f}" if larger >= 10 else f"{larger:.1f}")
    plot.area(
        [*zip(xs, bottom, strict=True), *reversed(list(zip(xs, surface, strict=True)))],
        Look("water", 0, fill=0.35),
    )
    plot.curve(list(zip(xs, surface, strict=True)), Look("water", WIDE))
    plot.curve(list(zip(xs, bottom, strict=True)), PIPE)
    plot.curve(list(zip(xs, crown, strict=True)), PIPE)
    _holes(plot, water, drain, along.per, high.per)
    return plot.frame.drawing


def _holes(plot: Plot, water: BedWater, drain: RunDrain, along: float, high: float) -> None:
    """Each tail from the crown down to its end, and its letter above the pipe."""
    layout, bore = drain.layout, drain.line.section.height / MM
    places = sorted(layout.places, key=lambda place: place.station)
    labels = [water.label(place.bucket.id) for place in places]
    widest = max(map(words_width, labels))
    drawn_to = float("-inf")
    for place, label in zip(places, labels, strict=True):
        invert = drain.invert(place.station)
        tip = max(place.socket - layout.tail_length(place), invert)
        at = place.station * along
        plot.curve(((at, (invert + bore) * high), (at, tip * high)), TAIL)
        x, y = plot.at(at, (invert + bore) * high)
        if x - drawn_to >= widest + 3:
            plot.frame.text(x, y + 5, label, "middle", bold=True, cleared=True)
            drawn_to = x


def grade_chart(
    water: BedWater, run_id: str, width_mm: float, height_mm: float, colours: Colours
) -> Drawing:
    """How high the water would stand in an upright tube on the manifold: the hydraulic grade
    line, with the manifold and the ends of the feed tubes below it."""
    layout = water.drains[run_id].layout
    units = water.design.units
    along, high = distance_measure(units), height_measure(units)
    grade = [(s * along.per, level * high.per) for s, level in grade_points(water, layout)]
    ends = [
        (place.station * along.per, feed_end_level(place, layout) * high.per, place.bucket.feed)
        for place in layout.places
    ]
    far = max(s for s, _ in grade)
    manifold = [
        (0.0, manifold_level(layout, 0.0) * high.per),
        (far, manifold_level(layout, far / along.per) * high.per),
    ]
    x = scale_for(
        f"Distance from the outlet end, {along.unit}",
        [*(s for s, *_ in grade), *(s for s, *_ in ends)],
        5,
        from_zero=True,
    )
    levels = [*(v for _, v in grade), *(v for _, v in manifold), *(v for _, v, _ in ends)]
    y = scale_for(f"Level above the ground, {high.unit}", levels, 5)
    frame = ChartFrame(
        width_mm,
        height_mm,
        colours,
        f"Pressure line of {layout.run.name}",
        ("How high water would stand in a tube on the manifold.",),
        (
            Key("pressure line", GRADE),
            Key("manifold", MANIFOLD),
            Key("end of a feed tube", END, "dot"),
        ),
    )
    plot = Plot(frame, x, y)
    plot.curve(manifold, MANIFOLD)
    plot.curve(grade, GRADE)
    for station, level, shut in ends:
        plot.dot(station, level, "must", filled=shut is not None)
    return frame.drawing


def grade_points(water: BedWater, layout: RunLayout) -> list[tuple[float, float]]:
    """The hydraulic grade line along a run's manifold: (station mm, level mm above the datum),
    from the outlet end up."""
    heads = water.feed.result.node_heads
    run = layout.run
    points = [(0.0, heads[node_name(run.id)] / MM)]
    for place in reversed(layout.from_cap):
        at = max(place.station, points[-1][0])
        points.append((at, heads[node_name(run.id, place.bucket.id)] / MM))
    return points
