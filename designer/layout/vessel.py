"""Tapered vessels: buckets, barrels and totes. SI: m, m2, m3.

With straight sides the length and the width of the section both grow in a straight line with the
depth z, so the section is A(z) = c (l0 + a z)(w0 + b z), where c is pi/4 for a round or oval vessel
and 1 for a box, and volumes and emptying times are exact.
"""

from dataclasses import dataclass
from math import isfinite, pi

from designer.model.parts import BucketPart, ReservoirPart

MM = 1e-3

# Volumes are matched this closely, as a share of the water.
_VOLUME_TOLERANCE = 1e-15
_MOST_ROUNDS = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class Vessel:
    """A straight-sided tapered vessel by its inside sizes in m; a round one gives diameters.

    Raises ValueError where a size is not a positive number.
    """

    base_length: float
    base_width: float
    rim_length: float
    rim_width: float
    height: float
    round: bool = False

    def __post_init__(self) -> None:
        sizes = (self.base_length, self.base_width, self.rim_length, self.rim_width, self.height)
        if not all(isfinite(size) and size > 0 for size in sizes):
            raise ValueError("every size of a vessel must be a number above zero")

    @property
    def section_terms(self) -> tuple[float, float, float]:
        """(c0, c1, c2) of the section A(z) = c0 + c1 z + c2 z2, in m2, m and 1."""
        shape = pi / 4 if self.round else 1.0
        longer = (self.rim_length - self.base_length) / self.height
        wider = (self.rim_width - self.base_width) / self.height
        return (
            shape * self.base_length * self.base_width,
            shape * (self.base_length * wider + self.base_width * longer),
            shape * longer * wider,
        )

    @property
    def capacity(self) -> float:
        """Volume to the rim, m3."""
        return self.volume(self.height)

    def section(self, depth: float) -> float:
        """Area of the water surface at `depth` m above the floor, m2."""
        depth = self._within(depth)
        c0, c1, c2 = self.section_terms
        return c0 + depth * (c1 + depth * c2)

    def volume(self, depth: float) -> float:
        """Volume to `depth` m above the floor, m3; the depth is held between floor and rim."""
        depth = self._within(depth)
        c0, c1, c2 = self.section_terms
        return depth * (c0 + depth * (c1 / 2 + depth * c2 / 3))

    def depth(self, volume: float) -> float:
        """Depth in m at which the vessel holds `volume` m3, held between floor and rim.

        The root of the cubic by Newton's method kept within a bracket: its closed form loses
        digits in a vessel of little taper.
        """
        capacity = self.capacity
        if not volume > 0:
            return 0.0
        if volume >= capacity:
            return self.height
        low, high = 0.0, self.height
        depth = self.height * volume / capacity
        for _ in range(_MOST_ROUNDS):
            error = self.volume(depth) - volume
            if abs(error) <= _VOLUME_TOLERANCE * volume:
                break
            low, high = (low, depth) if error > 0 else (depth, high)
            nearer = depth - error / self.section(depth)
            if not low < nearer < high:
                nearer = (low + high) / 2
            if nearer == depth:
                break
            depth = nearer
        return depth

    def _within(self, depth: float) -> float:
        return min(max(depth, 0.0), self.height)


def round_vessel(base_diameter: float, rim_diameter: float, height: float) -> Vessel:
    """A round tapered vessel by its inside diameters and height in m."""
    return Vessel(
        base_length=base_diameter,
        base_width=base_diameter,
        rim_length=rim_diameter,
        rim_width=rim_diameter,
        height=height,
        round=True,
    )


def bucket_vessel(bucket: BucketPart) -> Vessel:
    """A bucket inside its wall, as a straight taper from base to top."""
    inside = (max(d - 2 * bucket.wall, 1.0) for d in (bucket.base_diameter, bucket.top_diameter))
    base, top = inside
    return round_vessel(base * MM, top * MM, bucket.height * MM)


def reservoir_vessel(reservoir: ReservoirPart) -> Vessel:
    """A reservoir by its inside sizes."""
    return Vessel(
        base_length=reservoir.base_length * MM,
        base_width=reservoir.base_width * MM,
        rim_length=reservoir.rim_length * MM,
        rim_width=reservoir.rim_width * MM,
        height=reservoir.height * MM,
        round=reservoir.shape == "round",
    )
