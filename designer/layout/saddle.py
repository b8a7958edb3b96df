"""Where a round pipe, or a hole saw, meets a larger pipe square on: outlines laid flat.

All lengths are mm on the outside of the pipes, all angles radians. The branch stands on the crown
of the main, its axis `offset` to one side of the main's. With R and r the outside radii, e the
offset and phi the angle round the branch from the direction of the main's axis (closed forms,
recomputed and checked against a meeting of the two surfaces in space):

    cut of the branch   d(phi) = R - sqrt(R^2 - (e + r sin phi)^2), laid flat at x = r phi
    hole in the main    x = R (asin((e + r sin t) / R) - asin(e / R)),  y = r cos t

Both pipes are cylinders, so both outlines are true when the paper is wrapped.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

Point = tuple[float, float]


@dataclass(frozen=True)
class Saddle:
    """A branch square on a main pipe, by outside diameters and the offset of their axes, mm.

    Raises ValueError when a diameter is not a positive number or the branch does not stand on the
    main with its whole girth.
    """

    main_diameter: float
    branch_diameter: float
    offset: float = 0.0

    def __post_init__(self) -> None:
        for value, name in ((self.main_diameter, "pipe"), (self.branch_diameter, "branch")):
            if not (math.isfinite(value) and value > 0):
                raise ValueError(f"The diameter of the {name} must be more than zero.")
        if not math.isfinite(self.offset):
            raise ValueError("The offset of the branch must be a number.")
        if not abs(self.offset) + self.branch_diameter / 2 < self.main_diameter / 2:
            raise ValueError("The branch reaches past the side of the pipe it stands on.")

    @property
    def wrap(self) -> float:
        """Round the branch once, mm."""
        return math.pi * self.branch_diameter

    @property
    def deepest(self) -> float:
        """How far the branch's longest points hang below the main's crown, mm."""
        return self._below_crown(abs(self.offset) + self.branch_diameter / 2)

    def depth(self, phi: float) -> float:
        """How far below the main's crown the branch ends at ``phi``, mm: 0 on the crown itself."""
        return self._below_crown(self.offset + self.branch_diameter / 2 * math.sin(phi))

    def branch_outline(self, count: int = 145) -> tuple[Point, ...]:
        """``count`` flat points (x, y) of the branch's cut, once round from phi = -pi to pi.

        x runs round the branch from phi = 0, y up the branch from its longest points.
        """
        radius, deepest = self.branch_diameter / 2, self.deepest
        turns = [math.pi * (2 * i / (count - 1) - 1) for i in range(count)]
        return tuple((radius * turn, deepest - self.depth(turn)) for turn in turns)

    def hole_outline(self, count: int = 144) -> tuple[Point, ...]:
        """``count`` flat points (x, y) of the hole in the main, about the middle of its line.

        x runs round the main from the branch's axis, y along the main.
        """
        main, branch = self.main_diameter / 2, self.branch_diameter / 2
        middle = math.asin(self.offset / main)
        turns = [2 * math.pi * i / count for i in range(count)]
        return tuple(
            (
                main * (math.asin((self.offset + branch * math.sin(t)) / main) - middle),
                branch * math.cos(t),
            )
            for t in turns
        )

    def _below_crown(self, across: float) -> float:
        main = self.main_diameter / 2
        # R - sqrt(R^2 - a^2) loses its digits for a small a; this form of it does not.
        return across**2 / (main + math.sqrt(main**2 - across**2))
