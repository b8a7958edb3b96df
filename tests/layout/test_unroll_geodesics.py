"""Distances on flat paper against shortest paths over the bucket's wall, on 200 random buckets."""

import numpy as np
import pytest

from designer.layout.unroll import Frustum, Unrolling
from tests.layout.geodesics import distances

BUCKETS = 200


@pytest.fixture(scope="module")
def buckets() -> np.ndarray:
    """Base and top diameters, heights, and two points of each wall, mm and rad."""
    dice = np.random.default_rng(20260301)
    height = dice.uniform(150, 600, BUCKETS)
    base = dice.uniform(120, 500, BUCKETS)
    # From a wall that narrows upward by 3 degrees to one that leans out by 12.
    top = np.maximum(base + 2 * height * np.tan(np.radians(dice.uniform(-3, 12, BUCKETS))), 100)
    phi = dice.uniform(0.05, np.pi, BUCKETS)
    z_from, z_to = dice.uniform(0, 1, (2, BUCKETS)) * height
    return np.array([base, top, height, phi, z_from, z_to])


def test_the_paths_are_right_on_straight_walls_and_up_leaning_ones() -> None:
    """What we compare with: a helix on a cylinder, a ruling of a cone, Clairaut's constant."""
    one = np.ones(2)
    on_cylinder = distances(
        200 * one, 200 * one, 300 * one, np.array([1.0, 2.5]), 50 * one, 90 * one
    )
    assert on_cylinder == pytest.approx(np.hypot(100 * np.array([1.0, 2.5]), 40), abs=1e-6)
    up = distances(200 * one, 300 * one, 300 * one, 1e-9 * one, 0 * one, 300 * one)
    assert up == pytest.approx(np.hypot(300, 50), abs=1e-6)


def test_a_straight_line_on_the_paper_is_the_shortest_way_over_the_wall(
    buckets: np.ndarray,
) -> None:
    over_wall = distances(*buckets)
    for (base, top, height, phi, z_from, z_to), wanted in zip(buckets.T, over_wall, strict=True):
        flat = Unrolling(Frustum(base, top, height))
        (x0, y0), (x1, y1) = flat.unroll(-phi / 2, z_from), flat.unroll(phi / 2, z_to)
        assert np.hypot(x1 - x0, y1 - y0) == pytest.approx(wanted, abs=0.02)
