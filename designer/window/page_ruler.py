"""A ruler's ticks: how far apart they stand at a zoom, and which of them carry a number."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from designer.units import MM_PER_INCH, UnitSystem

CLOSEST = 5.0
"""Least pixels between two ticks, so that they can be told apart."""
ROOM_FOR_NUMBER = 44.0
"""Least pixels between two numbers."""
_METRIC = (1.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0)
_INCHES = tuple(MM_PER_INCH * n for n in (1 / 16, 1 / 8, 1 / 4, 1 / 2, 1, 2, 3, 6, 12, 24, 60))


@dataclass(frozen=True, slots=True)
class Tick:
    """One tick: its place in mm, its length as a share of the ruler's width, and its number."""

    at: float
    share: float
    number: str = ""


def ticks(start: float, end: float, pixels_per_mm: float, units: UnitSystem) -> Iterator[Tick]:
    """The ticks from `start` to `end`, mm, of a ruler whose zero is at 0."""
    steps = _METRIC if units == "metric" else _INCHES
    small = _first(steps, CLOSEST / pixels_per_mm)
    # Numbers stand on whole inches only.
    numbered = [s for s in steps if units == "metric" or s >= MM_PER_INCH]
    large = max(_first(numbered, ROOM_FOR_NUMBER / pixels_per_mm), small)
    middle = large / 2 if units == "metric" else MM_PER_INCH / 2
    for n in range(math.ceil(start / small - 1e-9), math.floor(end / small + 1e-9) + 1):
        at = n * small
        if _whole(at / large):
            shown = at if units == "metric" else at / MM_PER_INCH
            yield Tick(at, 1.0, f"{shown:.0f}")
        elif _whole(at / middle):
            yield Tick(at, 0.6)
        else:
            yield Tick(at, 0.35)


def _first(steps: tuple[float, ...] | list[float], least: float) -> float:
    return next((step for step in steps if step >= least), steps[-1])


def _whole(number: float) -> bool:
    return abs(number - round(number)) < 1e-6
