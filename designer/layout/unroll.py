"""Unrolling a bucket's wall onto flat paper.

A tapered wall is a frustum of a cone and a straight one is a cylinder. Both are developable: they
unroll flat without stretching, so a line measured on the paper is the same line on the wall.
All lengths are mm on the outside surface, all angles are radians.

For a frustum of radii R_b (bottom) and R_t (top) and height H (classical geometry):

    slant      s   = sqrt(H^2 + (R_t - R_b)^2)
    half angle sin a = (R_t - R_b) / s,   cos a = H / s
    flat radii rho = R / sin a            (the base line is an arc of radius R_b / sin a)
    sector     theta = 2 pi sin a
    point      at bearing phi and height z: flat radius R(z) / sin a, flat angle phi sin a

The formulas here are written so that they pass smoothly into the cylinder's (x = R phi, y = z) as
the taper goes to nothing, and they also serve a wall that narrows upward (a negative half angle).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

Point = tuple[float, float]


@dataclass(frozen=True)
class Frustum:
    """The outside of a round bucket between two levels, in mm.

    Raises ValueError when a diameter or the height is not a positive number.
    """

    bottom_diameter: float
    top_diameter: float
    height: float

    def __post_init__(self) -> None:
        for value, name in (
            (self.bottom_diameter, "bottom diameter"),
            (self.top_diameter, "top diameter"),
            (self.height, "height"),
        ):
            if not (math.isfinite(value) and value > 0):
                raise ValueError(f"The {name} of the bucket must be more than zero.")

    @property
    def slant(self) -> float:
        """Length up the wall from bottom to top, mm."""
        return math.hypot(self.height, (self.top_diameter - self.bottom_diameter) / 2)

    @property
    def sin_half_angle(self) -> float:
        """sin a; negative when the wall narrows upward."""
        return (self.top_diameter - self.bottom_diameter) / 2 / self.slant

    @property
    def cos_half_angle(self) -> float:
        """cos a = H / s."""
        return self.height / self.slant

    @property
    def half_angle(self) -> float:
        """Lean of the wall from upright, rad; negative when the wall narrows upward."""
        return math.asin(self.sin_half_angle)

    @property
    def rho_inner(self) -> float:
        """Flat radius of the smaller end's arc, mm; infinite for a cylinder."""
        return self._flat_radius(min(self.bottom_diameter, self.top_diameter) / 2)

    @property
    def rho_outer(self) -> float:
        """Flat radius of the larger end's arc, mm; infinite for a cylinder."""
        return self._flat_radius(max(self.bottom_diameter, self.top_diameter) / 2)

    @property
    def sector(self) -> float:
        """Angle of the whole flat wall, rad; zero for a cylinder."""
        return 2 * math.pi * abs(self.sin_half_angle)

    @property
    def wall_area(self) -> float:
        """Area of the wall, mm^2: pi (R_t + R_b) s."""
        return math.pi * (self.top_diameter + self.bottom_diameter) / 2 * self.slant

    def radius_at(self, z: float) -> float:
        """Outside radius at height ``z`` mm above the bottom; the cone runs on past its ends."""
        slope = (self.top_diameter - self.bottom_diameter) / 2 / self.height
        return self.bottom_diameter / 2 + slope * z

    def along_wall(self, z: float) -> float:
        """Distance up the wall from the bottom to height ``z``, mm: z / cos a."""
        return z / self.cos_half_angle

    def _flat_radius(self, radius: float) -> float:
        taper = abs(self.sin_half_angle)
        return radius / taper if taper else math.inf


@dataclass(frozen=True)
class Unrolling:
    """The flat picture of a frustum about one point of its wall.

    The origin is the point at angle 0 and height ``origin_height``; y runs up the wall through it,
    x runs to the right as seen from outside. Lengths mm, angles rad.
    """

    frustum: Frustum
    origin_height: float = 0.0

    def __post_init__(self) -> None:
        if self.frustum.radius_at(self.origin_height) <= 0:
            raise ValueError("The origin lies at or beyond the tip of the cone.")

    def unroll(self, phi: float, z: float) -> Point:
        """Flat (x, y) in mm of the wall's point at angle ``phi`` (rad) and height ``z`` (mm).

        With k = sin a, r_0 the radius at the origin and t the distance up the wall from it:
        x = (r_0 + k t) sin(k phi) / k,   y = t cos(k phi) - r_0 (1 - cos(k phi)) / k.
        """
        k = self.frustum.sin_half_angle
        r_0 = self.frustum.radius_at(self.origin_height)
        t = (z - self.origin_height) / self.frustum.cos_half_angle
        x = (r_0 + k * t) * phi * _sinc(k * phi)
        # (1 - cos u) / k = k phi^2 / 2 * sinc(u / 2)^2 has no division by a vanishing taper.
        rise = r_0 * k * phi**2 / 2 * _sinc(k * phi / 2) ** 2
        return x, t * math.cos(k * phi) - rise

    def level_line(
        self, z: float, x_from: float, x_to: float, count: int = 49
    ) -> tuple[Point, ...]:
        """``count`` flat points of the wall's level circle at height ``z``: an arc on paper.

        They run from x ``x_from`` to ``x_to`` (mm). Raises ValueError when the arc does not reach
        that far out.
        """
        first, last = self._angle_at(x_from, z), self._angle_at(x_to, z)
        steps = max(count, 2) - 1
        return tuple(self.unroll(first + (last - first) * i / steps, z) for i in range(steps + 1))

    def _angle_at(self, x: float, z: float) -> float:
        k = self.frustum.sin_half_angle
        radius = self.frustum.radius_at(z)
        sine = x * k / radius
        if radius <= 0 or abs(sine) > 1:
            raise ValueError("The line reaches past the wall's own arc.")
        # asin(sine) / k, with sine / k written out so that it holds for a vanishing taper.
        return x / radius * (math.asin(sine) / sine if abs(sine) > 1e-8 else 1.0)


def hole_outline(
    frustum: Frustum,
    hole_diameter: float,
    hole_height: float,
    count: int = 72,
    *,
    square_to_wall: bool = False,
) -> tuple[Point, ...]:
    """Flat outline of a round hole drilled through the wall, ``count`` points (x, y) in mm.

    The hole's axis meets the wall at height ``hole_height`` (mm) and the bucket's axis: level by
    default, or square to the leaning wall. The origin is the hole's centre. Found by meeting each
    ruling of the drill's cylinder with the cone (one quadratic per point), then unrolling.
    Raises ValueError when the drill is wider than the bucket.
    """
    unrolling = Unrolling(frustum, hole_height)
    tilt = frustum.half_angle if square_to_wall else 0.0
    taper = math.tan(frustum.half_angle)
    centre_radius = frustum.radius_at(hole_height)
    outline = []
    for i in range(count):
        turn = 2 * math.pi * i / count
        across = hole_diameter / 2 * math.sin(turn)
        up = hole_diameter / 2 * math.cos(turn)
        # A point w along the drill: out = p + w cos b, wall radius there = q - w sin b tan a.
        p = centre_radius + up * math.sin(tilt)
        q = centre_radius + up * math.cos(tilt) * taper
        a = math.cos(tilt) ** 2 - (math.sin(tilt) * taper) ** 2
        b = 2 * (p * math.cos(tilt) + q * math.sin(tilt) * taper)
        c = p**2 + across**2 - q**2
        discriminant = b**2 - 4 * a * c
        if discriminant < 0 or q <= 0:
            raise ValueError("The hole is wider than the bucket.")
        w = -2 * c / (b + math.sqrt(discriminant))
        out = p + w * math.cos(tilt)
        z = hole_height + up * math.cos(tilt) - w * math.sin(tilt)
        outline.append(unrolling.unroll(math.atan2(across, out), z))
    return tuple(outline)


def _sinc(u: float) -> float:
    """sin(u) / u, 1 at u = 0."""
    return math.sin(u) / u if abs(u) > 1e-8 else 1.0
