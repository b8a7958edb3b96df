"""The scales of a chart: units of the axes, round numbers on them, and the room these take."""

from collections.abc import Iterable
from dataclasses import dataclass
from math import ceil, floor, log10

from designer.drawing.fonts import text_width
from designer.units import LITRES_PER_GALLON, MM_PER_INCH, UnitSystem

SIZE = 7.5
"""Size of a chart's words, points."""
_STEPS = (1.0, 2.0, 2.5, 5.0, 10.0)


@dataclass(frozen=True)
class Measure:
    """A unit on an axis: its name and how many of it make one of ours."""

    unit: str
    per: float


def flow_measure(units: UnitSystem) -> Measure:
    """From L/h."""
    return Measure("L/h", 1.0) if units == "metric" else Measure("gal/h", 1 / LITRES_PER_GALLON)


def head_measure(units: UnitSystem) -> Measure:
    """From m of water."""
    return Measure("m", 1.0) if units == "metric" else Measure("ft", 1 / 0.3048)


def height_measure(units: UnitSystem) -> Measure:
    """From mm."""
    return Measure("mm", 1.0) if units == "metric" else Measure("in", 1 / MM_PER_INCH)


def distance_measure(units: UnitSystem) -> Measure:
    """From mm."""
    return Measure("m", 1e-3) if units == "metric" else Measure("ft", 1 / (12 * MM_PER_INCH))


def volume_measure(units: UnitSystem) -> Measure:
    """From L."""
    return Measure("L", 1.0) if units == "metric" else Measure("gal", 1 / LITRES_PER_GALLON)


@dataclass(frozen=True)
class Scale:
    """One axis: its title, its ends and the step of its numbers, in the person's unit."""

    title: str
    low: float
    high: float
    step: float


def scale_for(
    title: str,
    values: Iterable[float],
    most_steps: int = 6,
    from_zero: bool = False,
    tight: bool = False,
) -> Scale:
    """An axis that holds all values, with round numbers; `tight` ends at the values themselves."""
    found = list(values)
    low, high = min(found, default=0.0), max(found, default=0.0)
    if from_zero:
        low = min(low, 0.0)
        high = max(high, 0.0)
    span = high - low
    if span <= 0:
        span = max(abs(high), 1.0)
        high = low + span
    raw = span / most_steps
    size = 10.0 ** floor(log10(raw))
    step = next(s * size for s in _STEPS if s * size >= raw * (1 - 1e-9))
    if not tight:
        if not from_zero:  # a little room, so that no line lies on the axis
            low, high = low - 0.02 * span, high + 0.02 * span
        low = floor(low / step + 1e-9) * step
        high = ceil(high / step - 1e-9) * step
    return Scale(title, low, high, step)


def number(value: float) -> str:
    """A number on an axis."""
    return f"{round(value, 6) + 0.0:g}"


def words_width(words: str, size: float = SIZE) -> float:
    """Width of words in points."""
    return text_width(words, size)


def label_room(scale: Scale) -> float:
    """Room that the numbers of an upright axis take left of it, points."""
    first, last = ceil(scale.low / scale.step - 1e-9), floor(scale.high / scale.step + 1e-9)
    return max(words_width(number(i * scale.step)) for i in range(first, last + 1)) + 8


def every_nth(widest: float, room: float) -> int:
    """Label only every n-th of a row of things that stand `room` points apart."""
    return max(1, ceil((widest + 3) / room)) if room > 0 else 1
