"""The chart of a day of pump cycles: who holds the water when."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from reportlab.graphics.shapes import Drawing

from designer.drawing.chart_frame import (
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
    height_measure,
    label_room,
    scale_for,
    volume_measure,
)
from designer.drawing.styles import Colours
from designer.water.bed.feed import MM
from designer.water.bed.solution import BedWater

HOUR = 3600.0
PUMP_ON = Look("look", 0, fill=0.22)
HIGHEST = Look("water", WIDE)
LOWEST = Look("axis", WIDE, DASHED)
LINES = Look("soft", NARROW, DOTTED)
NOW = Look("must", WIDE)
_SHOWN_HOURS = 24.0
_ALIKE = 0.1
"""Bucket levels closer than this are shown as one line, mm."""


@dataclass(frozen=True)
class DayChart:
    """The chart of a day. Its times run from `begin` to `end`, shares of its width, and its plots
    stand between `foot` and `top`, shares of its height."""

    drawing: Drawing
    begin: float
    end: float
    foot: float
    top: float


def cycle_chart(
    water: BedWater,
    width_mm: float,
    height_mm: float,
    colours: Colours,
    hours: float = _SHOWN_HOURS,
    at_seconds: float | None = None,
) -> Drawing:
    """Reservoir, buckets and water under way over the first `hours` of the day, one above the
    other, with the pump's times as bands and a mark at `at_seconds` from midnight."""
    return day_chart(water, width_mm, height_mm, colours, hours, at_seconds).drawing


def day_chart(
    water: BedWater,
    width_mm: float,
    height_mm: float,
    colours: Colours,
    hours: float = _SHOWN_HOURS,
    at_seconds: float | None = None,
) -> DayChart:
    """As `cycle_chart`, for a reader that puts a mark of its own on it."""
    day, units = water.day, water.design.units
    high, litres = height_measure(units), volume_measure(units)
    kept = day.time <= hours * HOUR + 1e-6
    times = day.time[kept] / HOUR
    floor = water.layout.floor_level
    level = (day.reservoir_level[kept] / MM - floor) * high.per
    buckets = day.bucket_level[kept] / MM * high.per
    most, least = buckets.max(axis=1), buckets.min(axis=1)
    several = bool(np.any(most - least > _ALIKE * high.per))
    transit = (day.in_drain + day.in_feed_line)[kept] * 1e3 * litres.per
    full = (water.layout.full_level - floor) * high.per
    scales = (
        scale_for(f"Reservoir, {high.unit} over its floor", [*level, full], 3),
        scale_for(f"Buckets, {high.unit} over the outlet", [*most, *least], 3),
        scale_for(f"In tubes and drain, {litres.unit}", transit, 3, from_zero=True),
    )
    keys = [Key("pump on", PUMP_ON), Key("highest" if several else "level", HIGHEST)]
    if several:
        keys.append(Key("lowest bucket", LOWEST))
    keys.append(Key("full line", LINES))
    notes = ["Plants drink through the day; the first watering starts with the reservoir full."]
    if at_seconds is not None:
        keys.append(Key(f"at {clock(at_seconds)}", NOW))
    frame = ChartFrame(width_mm, height_mm, colours, "The water over a day", notes, keys)
    margin = max(map(label_room, scales))
    x = Scale("Hour of the day", 0.0, hours, _hour_step(hours))
    foot = 2 * LINE
    each = (frame.top - foot) / len(scales)
    tops = [frame.top - i * each for i in range(len(scales))]
    plots = [
        Plot(
            frame,
            x,
            scale,
            bottom=0.0 if scale is scales[-1] else top - each,
            top=top,
            titled=scale is scales[-1],
            margin=margin,
        )
        for scale, top in zip(scales, tops, strict=True)
    ]
    for plot in plots:
        for start, stop in _runs(times, day.pump_on[kept]):
            plot.band(start, stop, PUMP_ON)
    plots[0].cross_line(full, LINES)
    plots[0].curve(list(zip(times, level, strict=True)), HIGHEST)
    if several:
        plots[1].curve(list(zip(times, least, strict=True)), LOWEST)
    plots[1].curve(list(zip(times, most, strict=True)), HIGHEST)
    plots[2].curve(list(zip(times, transit, strict=True)), HIGHEST)
    if at_seconds is not None and at_seconds <= hours * HOUR:
        for plot, scale in zip(plots, scales, strict=True):
            plot.curve(((at_seconds / HOUR, scale.low), (at_seconds / HOUR, scale.high)), NOW)
    return DayChart(
        frame.drawing,
        plots[0].left / frame.width,
        plots[0].right / frame.width,
        plots[-1].bottom / frame.height,
        plots[0].top / frame.height,
    )


def clock(seconds: float) -> str:
    """A time of the day: "6:05"."""
    minutes = round(seconds / 60)
    return f"{minutes // 60}:{minutes % 60:02d}"


def _hour_step(hours: float) -> float:
    return next((step for step in (0.25, 0.5, 1.0, 2.0, 3.0) if hours / step <= 12), 6.0)


def _runs(times: NDArray[np.float64], on: NDArray[np.bool_]) -> list[tuple[float, float]]:
    """From and to of each time the pump runs; `on` holds for the step that ends at its time."""
    runs: list[tuple[float, float]] = []
    for k in range(1, len(times)):
        if on[k] and runs and runs[-1][1] == times[k - 1]:
            runs[-1] = (runs[-1][0], float(times[k]))
        elif on[k]:
            runs.append((float(times[k - 1]), float(times[k])))
    return runs
