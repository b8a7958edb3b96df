"""Levels along a run, mm above the site datum, each a straight line over the station."""

from dataclasses import dataclass

from designer.model.design import Run
from designer.model.parts import BoardPart, PipePart


@dataclass(frozen=True, slots=True)
class Levels:
    """Levels of stand and drain at any station of a run.

    Rails stand on the blocks; the drain lies on the same blocks between the rails, on packing that
    grows towards the capped end and makes the fall.
    """

    length: float
    block_top: float
    rail_depth: float
    rail_rise: float
    packing: float
    fall: float
    outside_diameter: float
    wall: float

    @property
    def slope(self) -> float:
        """Fall of the drain by length of the run."""
        return self.fall / self.length

    def _rise(self, station: float) -> float:
        return self.fall * station / self.length

    def rail_top(self, station: float) -> float:
        """Where the buckets stand."""
        return self.block_top + self.rail_depth + self.rail_rise * station / self.length

    def underside(self, station: float) -> float:
        """Underside of the drain pipe: block top, packing and shim."""
        return self.block_top + self.packing + self._rise(station)

    def invert(self, station: float) -> float:
        """Lowest point of the drain's bore."""
        return self.underside(station) + self.wall

    def crown(self, station: float) -> float:
        """Top of the drain pipe, outside."""
        return self.underside(station) + self.outside_diameter


def run_levels(run: Run, rail: BoardPart, drain: PipePart) -> Levels:
    """The levels of a run from its stand and its drain."""
    depth = rail.width if run.stand.on_edge else rail.thickness
    return Levels(
        length=run.length,
        block_top=run.stand.height - depth,
        rail_depth=depth,
        rail_rise=run.drain.fall if run.stand.follow_fall else 0.0,
        packing=run.drain.packing,
        fall=run.drain.fall,
        outside_diameter=drain.outside_diameter,
        wall=drain.wall,
    )


def shim_schedule(run: Run, levels: Levels, grain: float) -> tuple[tuple[float, float], ...]:
    """(station, thickness) of the packing under the drain at every support, outlet end first.

    Thickness is rounded to `grain`, the thinnest step a person can make, mm.
    """
    return tuple(
        (
            station,
            max(0.0, round((levels.underside(station) - levels.block_top) / grain) * grain),
        )
        for station in sorted(run.stand.supports)
    )
