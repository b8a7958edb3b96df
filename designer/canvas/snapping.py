"""Where a thing that is moved by hand comes to rest. Pure; lengths in mm."""

from collections.abc import Iterable
from math import ceil, floor, log10
from typing import NamedTuple

from designer.layout.run import GRAIN
from designer.model.design import Run, Side
from designer.model.edits import OTHER
from designer.units import UnitSystem

COARSE_STEP = {"metric": 100.0, "imperial": 4 * 25.4}
"""What Shift and an arrow key move things by that are not on a run: 100 mm or 4 in."""


ON_PITCH = "on the pitch"


class Snap(NamedTuple):
    """A station and what holds it there; `to` is empty where nothing does."""

    station: float
    to: str


def rounded(value: float, units: UnitSystem) -> float:
    """A value at the step a person can mark: 1 mm or 1/16 in."""
    grain = GRAIN[units]
    return round(round(value / grain) * grain, 4)


def clamped(value: float, low: float, high: float) -> float:
    """A value held between two limits."""
    return min(high, max(low, value))


def snap_station(
    run: Run,
    station: float,
    neighbours: Iterable[float],
    reach: float,
    units: UnitSystem,
    free: bool = False,
) -> Snap:
    """Where a bucket dragged to `station` comes to rest on its run.

    A neighbour's station within `reach` holds it, else the nearest whole pitch from the capped
    end; `free` leaves it at the nearest step a person can mark. It never leaves the run.
    """
    station = clamped(station, 0.0, run.length)
    if free:
        return Snap(rounded(station, units), "")
    pitched = pitch_station(run, station)
    near = min(neighbours, key=lambda other: abs(other - station), default=None)
    if near is not None and near != pitched and abs(near - station) <= min(reach, run.pitch / 4):
        return Snap(near, "in line with its neighbour")
    if pitched is None:
        return Snap(rounded(station, units), "")
    return Snap(pitched, ON_PITCH)


def pitch_station(run: Run, station: float) -> float | None:
    """The nearest station on the run that is one or more whole pitches from the capped end;
    None when not even one pitch fits."""
    most = floor((run.length + 0.001) / run.pitch)
    if most < 1:
        return None
    count = clamped(round((run.length - station) / run.pitch), 1, most)
    return round(run.length - count * run.pitch, 3)


def is_on_pitch(run: Run, station: float) -> bool:
    """Whether a station is whole pitches from the capped end, to 0.05 mm."""
    pitched = pitch_station(run, station)
    return pitched is not None and abs(station - pitched) < 0.05


def next_slot(run: Run) -> tuple[float, Side]:
    """(station, side) of the next bucket of a staggered row: one pitch on from the bucket
    nearest the outlet end, on the other side; the first one pitch from the capped end."""
    if not run.buckets:
        return max(0.0, round(run.length - run.pitch, 3)), "left"
    last = min(run.buckets, key=lambda bucket: bucket.station)
    return max(0.0, round(last.station - run.pitch, 3)), OTHER[last.side]


def grid_step(pixels_per_mm: float, units: UnitSystem, least: float = 14.0) -> tuple[float, int]:
    """(step in mm, steps to a stronger line) of a grid; its lines are `least` px apart or more."""
    inch, foot = 25.4, 304.8
    steps = (
        [(1.0, 10), (5.0, 10), (10.0, 10), (50.0, 10), (100.0, 10), (500.0, 10), (1000.0, 10)]
        if units == "metric"
        else [(inch / 4, 4), (inch, 12), (foot / 2, 2), (foot, 5), (5 * foot, 4), (20 * foot, 5)]
    )
    for step, strong in steps:
        if step * pixels_per_mm >= least:
            return step, strong
    step, strong = steps[-1]
    return step * 10 ** ceil(log10(least / (step * pixels_per_mm))), strong
