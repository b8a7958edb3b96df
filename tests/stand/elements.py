"""An independent beam solution: many cubic finite elements, loads as consistent nodal forces.

Shares nothing with the program: direct stiffness method with Hermite elements, supports as fixed
nodes. Deflections and reactions are exact at the nodes for uniform loads on whole elements.
"""

import itertools
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray


def element_beam(
    length: float,
    supports: Sequence[float],
    loads: Sequence[tuple[float, float, float]],
    stiffness: float,
    most: float,
) -> tuple[NDArray, NDArray, NDArray, NDArray]:
    """(stations, deflections down, moments sagging, reactions up) with elements up to `most` long.

    Loads are (start, end, force); a node stands at every support and at every end of a load.
    """
    marks = {0.0, length, *supports, *(x for load in loads for x in load[:2])}
    breaks = sorted({round(mark, 9) for mark in marks})  # marks that are one but for rounding
    nodes = [0.0]
    for a, b in itertools.pairwise(breaks):
        count = max(1, int(np.ceil((b - a) / most)))
        nodes += list(a + (b - a) * np.arange(1, count + 1) / count)
        nodes[-1] = b
    x = np.array(nodes)
    size = 2 * len(x)
    matrix, force = np.zeros((size, size)), np.zeros(size)
    for e, h in enumerate(np.diff(x)):
        k = (
            stiffness
            / h**3
            * np.array(
                [
                    [12, 6 * h, -12, 6 * h],
                    [6 * h, 4 * h * h, -6 * h, 2 * h * h],
                    [-12, -6 * h, 12, -6 * h],
                    [6 * h, 2 * h * h, -6 * h, 4 * h * h],
                ]
            )
        )
        at = slice(2 * e, 2 * e + 4)
        matrix[at, at] += k
        for start, end, total in loads:
            if end > start and start <= x[e] + 1e-9 and x[e + 1] <= end + 1e-9:
                w = total / (end - start)
                force[at] += w * np.array([h / 2, h * h / 12, h / 2, -h * h / 12])
    for start, end, total in loads:
        if end == start:
            force[2 * int(np.argmin(abs(x - start)))] += total
    held = [2 * int(np.argmin(abs(x - s))) for s in supports]
    free = np.setdiff1d(np.arange(size), held)
    moved = np.zeros(size)
    moved[free] = np.linalg.solve(matrix[np.ix_(free, free)], force[free])
    reactions = (force - matrix @ moved)[held]
    # moments by statics from reactions and loads
    moments = np.zeros(len(x))
    for s, r in zip(supports, reactions, strict=True):
        moments += r * np.clip(x - s, 0, None)
    for start, end, total in loads:
        if end > start:
            w = total / (end - start)
            moments -= w / 2 * (np.clip(x - start, 0, None) ** 2 - np.clip(x - end, 0, None) ** 2)
        else:
            moments -= total * np.clip(x - start, 0, None)
    return x, moved[::2], moments, reactions
