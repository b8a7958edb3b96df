"""Tail windows: how long each tail pipe may be, and whether one length serves all.

A tail hangs from its bucket's outer elbow into a hole in the drain's crown. Its tip must stand at
least `reach` below the crown, and above both the invert by `clear_invert` and the water's surface
by `clear_water`. The crown rises towards the capped end while the buckets stay level (unless the
rails follow the fall), so every bucket has its own window of lengths.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from designer.layout.levels import Levels


@dataclass(frozen=True, slots=True)
class TailLimits:
    """What a tail tip must keep, mm. `water_depth` is the depth of water in the drain."""

    reach: float
    clear_invert: float
    clear_water: float
    water_depth: float

    @property
    def floor(self) -> float:
        """How far above the invert a tip must stay."""
        return max(self.clear_invert, self.water_depth + self.clear_water)


@dataclass(frozen=True, slots=True)
class TailWindow:
    """Allowed tail lengths at one bucket, mm; there are none when `shortest` > `longest`."""

    shortest: float
    longest: float

    @property
    def open(self) -> bool:
        """Whether any length fits."""
        return self.shortest <= self.longest

    @property
    def middle(self) -> float:
        """The length with the same room on both sides."""
        return (self.shortest + self.longest) / 2

    def holds(self, length: float, tolerance: float = 1e-6) -> bool:
        """Whether a tail of this length fits."""
        return self.shortest - tolerance <= length <= self.longest + tolerance


def tail_window(
    levels: Levels, station: float, socket_level: float, limits: TailLimits
) -> TailWindow:
    """The window at a station, for a tail that begins at `socket_level` above the datum."""
    return TailWindow(
        shortest=socket_level - levels.crown(station) + limits.reach,
        longest=socket_level - levels.invert(station) - limits.floor,
    )


def common_window(windows: Sequence[TailWindow]) -> TailWindow | None:
    """The lengths that all windows share; not open when there are none. None for no windows."""
    if not windows:
        return None
    return TailWindow(
        max(window.shortest for window in windows), min(window.longest for window in windows)
    )


def rounded_within(window: TailWindow, grain: float, wanted: float | None = None) -> float:
    """A length a person can cut, to `grain` mm, inside the window when one exists.

    The multiple of `grain` nearest to `wanted` (the middle when None) is taken; if rounding leaves
    the window the exact length is kept.
    """
    target = window.middle if wanted is None else min(max(wanted, window.shortest), window.longest)
    length = round(target / grain) * grain
    for candidate in (length, length + grain, length - grain):
        if window.holds(candidate):
            return candidate
    return target
