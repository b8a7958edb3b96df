"""The charts of the water: one source for the screen (`chart_svg`) and the build sheet.

Each makes a reportlab Drawing from solved water, in the person's units. A dash, a pattern or a
letter says the same as every colour.
"""

from reportlab.graphics import renderSVG
from reportlab.graphics.shapes import Drawing

from designer.drawing.chart_frame import (
    DASH_DOT,
    DASHED,
    DOTTED,
    LINE,
    NARROW,
    WIDE,
    ChartFrame,
    Key,
    Look,
    Plot,
)
from designer.drawing.chart_scales import (
    Scale,
    every_nth,
    flow_measure,
    head_measure,
    scale_for,
    words_width,
)
from designer.drawing.charts_cycle import cycle_chart
from designer.drawing.charts_run import drain_chart, grade_chart
from designer.drawing.flow_classes import FLOW_CLASSES, SHUT, flow_class, mean_flow
from designer.drawing.fonts import BOLD, REGULAR
from designer.drawing.styles import Colours
from designer.units import UnitSystem, format_flow
from designer.water.bed.feed import LITRES_PER_HOUR
from designer.water.bed.solution import BedWater

__all__ = ["chart_svg", "cycle_chart", "drain_chart", "flow_bars", "grade_chart", "pump_chart"]

PUMP = Look("water", WIDE)
SYSTEM = Look("must", WIDE, DASHED)
USEFUL = Look("good", NARROW, DOTTED, 0.14)
MEAN = Look("ink", NARROW, DASH_DOT)
_CURVE_POINTS = 60


def chart_svg(drawing: Drawing) -> str:
    """A chart as SVG text, sized in points, its words in Noto Sans."""
    fonts = {
        REGULAR: {"family": "Noto Sans"},
        BOLD: {"family": "Noto Sans", "weight": "bold"},
    }
    text = str(renderSVG.drawToString(drawing, fontHacks=fonts))
    # "None" is no colour in SVG, and a reader that takes it for black fills open lines.
    return text.replace("fill: None", "fill: none")


def pump_chart(water: BedWater, width_mm: float, height_mm: float, colours: Colours) -> Drawing:
    """The pump's curve against what the bed needs, the duty point and the useful range."""
    feed, units = water.feed, water.design.units
    flow, head = flow_measure(units), head_measure(units)
    curve = feed.curve
    free = curve.free_flow
    flows = [free * i / _CURVE_POINTS for i in range(_CURVE_POINTS + 1)]
    pump = [(q / LITRES_PER_HOUR * flow.per, max(curve.head(q), 0.0) * head.per) for q in flows]
    needed = [(q * flow.per, h * head.per) for q, h in water.system]
    x = scale_for(f"Flow, {flow.unit}", [p[0] for p in pump], 5, from_zero=True)
    needed = _up_to(needed, x.high)
    heads = [h for _, h in (*pump, *needed)]
    y = scale_for(f"Head, {head.unit}", heads, 5, from_zero=True)
    duty = f"Duty point: {format_flow(feed.flow, units)} at {_head(feed.head, units)}"
    if not feed.running:
        duty = "The pump gives this bed no water."
    frame = ChartFrame(
        width_mm,
        height_mm,
        colours,
        "Pump and bed",
        (duty,),
        (
            Key("what the pump gives", PUMP),
            Key("what the bed needs", SYSTEM),
            Key("useful range", USEFUL),
        ),
    )
    plot = Plot(frame, x, y)
    low, high = (min(q * flow.per, x.high) for q in feed.useful)
    plot.band(low, high, USEFUL)
    for edge in (low, high):
        plot.curve(((edge, y.low), (edge, y.high)), Look("good", NARROW, DOTTED))
    plot.curve(pump, PUMP)
    plot.curve(needed, SYSTEM)
    if feed.running:
        at = feed.head * head.per
        least, most = feed.spread
        plot.curve(((least * flow.per, at), (most * flow.per, at)), Look("ink", WIDE))
        plot.dot(feed.flow * flow.per, at, "ink")
    return frame.drawing


def _up_to(points: list[tuple[float, float]], most: float) -> list[tuple[float, float]]:
    """A rising curve cut off at a value of x."""
    kept = [point for point in points if point[0] <= most]
    beyond = next((point for point in points if point[0] > most), None)
    if beyond is not None and kept:
        (x1, y1), (x2, y2) = kept[-1], beyond
        kept.append((most, y1 + (y2 - y1) * (most - x1) / (x2 - x1)))
    return kept


def _head(metres: float, units: UnitSystem) -> str:
    measure = head_measure(units)
    return f"{metres * measure.per:.{2 if units == 'metric' else 1}f} {measure.unit}"


def flow_bars(water: BedWater, width_mm: float, height_mm: float, colours: Colours) -> Drawing:
    """The flow of every bucket as a bar, run by run from the capped end, with the uniformity."""
    feed, units = water.feed, water.design.units
    measure = flow_measure(units)
    buckets = [place.bucket for layout in water.runs for place in layout.from_cap]
    mean = mean_flow(feed)
    classes = [flow_class(feed.flows[b.id], mean, b.feed is not None) for b in buckets]
    note = "No bucket gets water."
    if feed.running:
        note = (
            f"Emission uniformity {feed.emission_uniformity:.0f} %, Christiansen uniformity "
            f"{feed.christiansen:.0f} %, mean {format_flow(mean, units)}"
        )
    keys = [
        Key(one.words, Look(one.role, NARROW, fill=one.tint))
        for one in FLOW_CLASSES
        if one in classes and one is not SHUT
    ]
    if SHUT in classes:
        keys.append(Key(SHUT.words, MEAN, "cross"))
    frame = ChartFrame(
        width_mm, height_mm, colours, "Flow of each bucket", (note,), (*keys, Key("mean", MEAN))
    )
    values = [feed.flows[b.id] * measure.per for b in buckets]
    y = scale_for(f"Flow, {measure.unit}", values, 5, from_zero=True)
    count = float(len(buckets))
    x = Scale("Buckets, from the capped end", 0.0, count, count)
    plot = Plot(frame, x, y, numbers=False)
    labels = [water.label(b.id) for b in buckets]
    room = (plot.right - plot.left) / len(buckets)
    skip = every_nth(max(map(words_width, labels)), room)
    for i, (value, one) in enumerate(zip(values, classes, strict=True)):
        middle = plot.at(i + 0.5, 0)[0]
        if one is SHUT:
            frame.text(middle, plot.bottom + 2, "×", "middle", bold=True)
        else:
            look = Look(one.role, NARROW, fill=one.tint)
            plot.bar(i + 0.18, i + 0.82, value, look)
            for share in one.rungs:
                plot.curve(((i + 0.18, value * share), (i + 0.82, value * share)), look)
        if i % skip == 0:
            frame.text(middle, plot.bottom - LINE, labels[i], "middle")
    if mean > 0:
        plot.cross_line(mean * measure.per, MEAN)
    return frame.drawing
