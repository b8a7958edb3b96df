"""Where the holes of a bucket's lid stand, in mm from its centre: y towards the outlet."""

from __future__ import annotations

import math
from dataclasses import dataclass

from designer.model.design import Run
from designer.model.parts import Crop, TubePart

Point = tuple[float, float]

CLEAR = 10.0
"""Wall left between two holes and to the rim, mm. Common practice, no source."""
RING = 0.42
"""Several plants stand on a circle of this share of the rim's radius. Common practice."""

FEED_PLAY = 1.0
"""The feed tube's hole is this much wider than the tube, mm. Common practice, no source."""


def plant_hole(run: Run, crop: Crop) -> float:
    """Diameter of the hole for each plant, mm: the run's own, or what its crop needs."""
    return run.plant_hole or crop.plant_hole


def feed_hole(tube: TubePart) -> float:
    """Diameter of the feed tube's hole, mm."""
    return tube.outside_diameter + FEED_PLAY


@dataclass(frozen=True)
class LidHoles:
    """The holes of a lid: `rim` is the bucket's rim, `plant` and `feed` the holes' diameters, mm.

    One plant stands in the middle; several stand evenly on a circle, none of them on the line to
    the outlet. The feed tube comes in on that line, because the manifold runs there. Raises
    ValueError when the holes do not fit.
    """

    rim: float
    plants: int
    plant: float
    feed: float

    def __post_init__(self) -> None:
        if not (self.plant > 0 and self.feed > 0 and self.plants > 0):
            raise ValueError("The holes of a lid need a diameter.")
        reach = max(math.hypot(*point) for point in self.plant_places) + self.plant / 2
        if not reach + CLEAR <= self.rim / 2:
            raise ValueError("The hole for the plant is as wide as the lid; choose a smaller one.")
        if self.plants > 1 and not math.dist(*self.plant_places[:2]) >= self.plant + CLEAR:
            raise ValueError(
                f"{self.plants} plants do not fit in one lid; choose fewer or a smaller hole."
            )
        nearest = min(math.dist(self.feed_place, point) for point in self.plant_places)
        if not (
            nearest >= (self.plant + self.feed) / 2 + CLEAR
            and self.feed_place[1] + self.feed / 2 + CLEAR <= self.rim / 2
        ):
            raise ValueError("The hole for the feed tube does not fit beside the plant's.")

    @property
    def plant_places(self) -> tuple[Point, ...]:
        """Centres of the plants' holes."""
        if self.plants == 1:
            return ((0.0, 0.0),)
        radius = RING * self.rim / 2
        turns = [math.pi / 2 + 2 * math.pi * (i + 0.5) / self.plants for i in range(self.plants)]
        return tuple((radius * math.cos(turn), radius * math.sin(turn)) for turn in turns)

    @property
    def feed_place(self) -> Point:
        """Centre of the feed tube's hole: half way from the plant, or the centre, to the rim."""
        inner = self.plant / 2 if self.plants == 1 else 0.0
        return 0.0, (inner + self.rim / 2) / 2
