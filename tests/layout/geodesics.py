"""Shortest distances over a tapered wall, found without unrolling it.

A path on a surface of revolution that keeps straight ahead obeys, with l its length, s the way up
the wall, r(s) the radius and psi the path's angle from straight up (Clairaut, differentiated):

    ds/dl = cos psi,   d phi/dl = sin psi / r,   d psi/dl = -r'(s) sin psi / r

It is followed by Runge and Kutta's method, and start angle and length are corrected by Newton's
until it ends at the wanted point.
"""

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[np.float64]

_STEPS = 240
_ROUNDS = 40


def distances(
    base: Numbers, top: Numbers, height: Numbers, phi: Numbers, z_from: Numbers, z_to: Numbers
) -> Numbers:
    """Distances over walls of `base` and `top` diameters and `height`, between points `phi` (rad)
    apart at two heights; all arrays of one shape, mm. Asserts that every path was found."""
    slant = np.hypot(height, (top - base) / 2)
    slope = (top - base) / 2 / slant
    start, end = (base / 2 + slope * slant * z / height for z in (z_from, z_to))
    up = (z_to - z_from) * slant / height
    across = (start + end) / 2 * phi
    angle, length = np.arctan2(across, up), np.hypot(across, up)
    for _ in range(_ROUNDS):
        miss = _miss(start, slope, angle, length, up, phi)
        if np.abs(miss).max() < 1e-9:
            break
        by_angle = (_miss(start, slope, angle + 1e-6, length, up, phi) - miss) / 1e-6
        by_length = (_miss(start, slope, angle, length + 1e-4, up, phi) - miss) / 1e-4
        determinant = by_angle[0] * by_length[1] - by_length[0] * by_angle[1]
        angle = angle - (miss[0] * by_length[1] - by_length[0] * miss[1]) / determinant
        length = length - (by_angle[0] * miss[1] - miss[0] * by_angle[1]) / determinant
    assert np.abs(miss).max() < 1e-6, "a path did not end where it should"
    return length


def _miss(
    start: Numbers, slope: Numbers, angle: Numbers, length: Numbers, up: Numbers, phi: Numbers
) -> Numbers:
    """By how much the paths miss their ends, mm: up the wall, and round it at the start."""
    state = np.array([np.zeros_like(start), np.zeros_like(start), angle])

    def change(now: Numbers) -> Numbers:
        radius = start + slope * now[0]
        turn = np.sin(now[2]) / radius
        return np.array([np.cos(now[2]), turn, -slope * turn])

    step = length / _STEPS
    for _ in range(_STEPS):
        a = change(state)
        b = change(state + step / 2 * a)
        c = change(state + step / 2 * b)
        d = change(state + step * c)
        state = state + step / 6 * (a + 2 * b + 2 * c + d)
    return np.array([state[0] - up, (state[1] - phi) * start])
