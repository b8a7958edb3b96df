"""The unrolled wall against closed forms and against distances measured on the cone."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from designer.layout.unroll import Frustum, Unrolling, hole_outline

ROUND_CONE = Frustum(260, 300, 360)
# A measured pail: 10 17/32 in across the base, 11 9/16 in across the top, 14 1/4 in high.
PAIL = Frustum((10 + 17 / 32) * 25.4, (11 + 9 / 16) * 25.4, 14.25 * 25.4)


@st.composite
def leaning_buckets(draw: st.DrawFn) -> Frustum:
    """Buckets of any size whose wall leans up to 25 degrees either way."""
    height = draw(st.floats(50, 900))
    smaller = draw(st.floats(80, 600))
    larger = smaller + 2 * height * math.tan(math.radians(draw(st.floats(0, 25))))
    return Frustum(*draw(st.permutations([smaller, larger])), height)


frusta = leaning_buckets()


def on_cone(frustum: Frustum, phi: float, z: float) -> tuple[float, float, float]:
    radius = frustum.radius_at(z)
    return radius * math.cos(phi), radius * math.sin(phi), z


def extent(points: tuple[tuple[float, float], ...]) -> tuple[float, float]:
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return max(xs) - min(xs), max(ys) - min(ys)


@pytest.mark.parametrize(
    ("frustum", "slant", "sine", "degrees", "outer", "inner", "sector"),
    [
        (ROUND_CONE, 360.555128, 0.05547002, 3.179830, 2704.1635, 2343.6083, 19.969207),
        (PAIL, 362.1869, 0.036161, 2.0723, 4060.883, 3698.696, 13.0178),
    ],
)
def test_cone_matches_its_closed_forms(
    frustum: Frustum,
    slant: float,
    sine: float,
    degrees: float,
    outer: float,
    inner: float,
    sector: float,
) -> None:
    assert frustum.slant == pytest.approx(slant, rel=1e-6)
    assert frustum.sin_half_angle == pytest.approx(sine, rel=2e-5)
    assert math.degrees(frustum.half_angle) == pytest.approx(degrees, rel=2e-5)
    assert frustum.rho_outer == pytest.approx(outer, rel=1e-6)
    assert frustum.rho_inner == pytest.approx(inner, rel=1e-6)
    assert math.degrees(frustum.sector) == pytest.approx(sector, rel=1e-5)
    assert frustum.rho_outer - frustum.rho_inner == pytest.approx(frustum.slant, rel=1e-9)


def test_wall_area_of_the_cone() -> None:
    assert ROUND_CONE.wall_area == pytest.approx(317160.86, abs=0.01)
    sector_area = ROUND_CONE.sector / 2 * (ROUND_CONE.rho_outer**2 - ROUND_CONE.rho_inner**2)
    assert sector_area == pytest.approx(ROUND_CONE.wall_area, rel=1e-9)


def test_top_of_a_pail_unrolls_to_its_girth_its_chord_and_its_sagitta() -> None:
    flat = Unrolling(PAIL, PAIL.height)
    left, right = (flat.unroll(phi, PAIL.height) for phi in (-math.pi, math.pi))
    assert PAIL.rho_outer * PAIL.sector == pytest.approx(922.646, abs=0.002)
    assert math.dist(left, right) == pytest.approx(920.66, abs=0.01)
    assert -left[1] == pytest.approx(26.2, abs=0.05)
    points = [flat.unroll(math.pi * i / 2000, PAIL.height) for i in range(-2000, 2001)]
    arc = sum(math.dist(a, b) for a, b in pairwise(points))
    assert arc == pytest.approx(2 * math.pi * PAIL.top_diameter / 2, abs=0.001)


@pytest.mark.parametrize(
    ("square", "round_the_bucket", "up_the_wall", "gap"),
    [(False, 28.052, 28.043, 0.036), (True, 28.052, 28.000, 0.026)],
)
def test_28_mm_hole_in_a_tapered_bucket_is_nearly_a_circle(
    square: bool, round_the_bucket: float, up_the_wall: float, gap: float
) -> None:
    outline = hole_outline(ROUND_CONE, 28, 50, 720, square_to_wall=square)
    width, height = extent(outline)
    assert width == pytest.approx(round_the_bucket, abs=0.001)
    assert height == pytest.approx(up_the_wall, abs=0.001)
    assert max(abs(math.hypot(*point) - 14) for point in outline) == pytest.approx(gap, abs=0.002)


def test_wide_pipe_hole_is_visibly_not_a_circle() -> None:
    width, height = extent(hole_outline(ROUND_CONE, 60.3, 50, 720))
    assert (width, height) == pytest.approx((60.83, 60.39), abs=0.01)


def test_28_mm_hole_in_a_straight_wall() -> None:
    cylinder = Frustum(300, 300, 360)
    width, height = extent(hole_outline(cylinder, 28, 50, 720))
    assert width == pytest.approx(2 * 150 * math.asin(14 / 150), abs=1e-9)
    assert width == pytest.approx(28.041, abs=0.0005)
    assert height == pytest.approx(28, abs=1e-9)


@pytest.mark.parametrize("square", [False, True])
@given(frustum=frusta, diameter=st.floats(5, 45), share=st.floats(0.1, 0.9))
def test_hole_edge_lies_on_the_drill_and_on_the_wall(
    square: bool, frustum: Frustum, diameter: float, share: float
) -> None:
    height = share * frustum.height
    lean = frustum.half_angle if square else 0.0
    axis = (math.cos(lean), 0.0, -math.sin(lean))
    centre = on_cone(frustum, 0, height)
    k = frustum.sin_half_angle
    for x, y in hole_outline(frustum, diameter, height, 12, square_to_wall=square):
        # Roll the flat point back: radius and angle about the apex, then height and bearing.
        r_0 = frustum.radius_at(height)
        angle = math.atan2(k * x, r_0 + k * y)
        distance = y if abs(k) < 1e-9 else (math.hypot(k * x, r_0 + k * y) - r_0) / k
        phi = x / r_0 if abs(k) < 1e-9 else angle / k
        point = on_cone(frustum, phi, height + distance * frustum.cos_half_angle)
        away = [p - c for p, c in zip(point, centre, strict=True)]
        along = sum(d * a for d, a in zip(away, axis, strict=True))
        radius = math.sqrt(max(sum(d * d for d in away) - along**2, 0))
        assert radius == pytest.approx(diameter / 2, abs=1e-4)


@given(
    frustum=frusta,
    origin=st.floats(0, 1),
    phi=st.floats(-math.pi, math.pi),
    share=st.floats(0, 1),
    heading=st.floats(0, 2 * math.pi),
)
def test_short_distances_on_paper_are_the_distances_on_the_wall(
    frustum: Frustum, origin: float, phi: float, share: float, heading: float
) -> None:
    flat = Unrolling(frustum, origin * frustum.height)
    z, step = share * frustum.height, 0.05
    other_z = z + step * math.sin(heading)
    other_phi = phi + step * math.cos(heading) / frustum.radius_at(z)
    on_wall = math.dist(on_cone(frustum, phi, z), on_cone(frustum, other_phi, other_z))
    on_paper = math.dist(flat.unroll(phi, z), flat.unroll(other_phi, other_z))
    # A chord of 0.05 mm leaves a wall of 30 mm radius by less than 1e-8 mm.
    assert on_paper == pytest.approx(on_wall, abs=2e-8)


def test_straight_line_on_paper_is_the_length_walked_on_the_wall() -> None:
    flat = Unrolling(ROUND_CONE, 0)
    start, end = (-0.4, 20.0), (0.7, 300.0)
    a, b = flat.unroll(*start), flat.unroll(*end)
    k, r_0, cos_a = ROUND_CONE.sin_half_angle, 130.0, ROUND_CONE.cos_half_angle
    walked, before = 0.0, on_cone(ROUND_CONE, *start)
    for i in range(1, 4001):
        x, y = (p + (q - p) * i / 4000 for p, q in zip(a, b, strict=True))
        angle = math.atan2(k * x, r_0 + k * y)
        z = (math.hypot(k * x, r_0 + k * y) - r_0) / k * cos_a
        point = on_cone(ROUND_CONE, angle / k, z)
        walked += math.dist(before, point)
        before = point
    assert walked == pytest.approx(math.dist(a, b), abs=1e-4)


@given(phi=st.floats(-math.pi, math.pi), z=st.floats(0, 360))
def test_vanishing_taper_passes_smoothly_into_the_cylinder(phi: float, z: float) -> None:
    cylinder = Unrolling(Frustum(300, 300, 360), 50)
    assert cylinder.unroll(phi, z) == pytest.approx((150 * phi, z - 50), abs=1e-9)
    for taper in (1e-3, 1e-6, 1e-9, 1e-12, -1e-6):
        nearly = Unrolling(Frustum(300, 300 + taper, 360), 50)
        assert nearly.unroll(phi, z) == pytest.approx(
            (150 * phi, z - 50), abs=10 * abs(taper) + 1e-9
        )


def test_cylinder_has_no_sector_and_endless_flat_radii() -> None:
    cylinder = Frustum(300, 300, 360)
    assert cylinder.sector == 0
    assert cylinder.rho_inner == cylinder.rho_outer == math.inf
    assert cylinder.slant == 360


def test_base_line_droops_to_both_sides_of_a_bucket_wider_at_the_top() -> None:
    flat = Unrolling(ROUND_CONE, 50)
    base = flat.level_line(0, -60, 60, 49)
    assert base[0][0] == pytest.approx(-60)
    assert base[-1][0] == pytest.approx(60)
    assert base[24] == pytest.approx((0, -50 / ROUND_CONE.cos_half_angle), abs=1e-9)
    rho = ROUND_CONE.rho_inner
    droop = rho - math.sqrt(rho**2 - 60**2)
    assert base[24][1] - base[0][1] == pytest.approx(droop, abs=1e-6)
    apex = (0, base[24][1] - rho)
    assert all(math.dist(point, apex) == pytest.approx(rho, abs=1e-6) for point in base)


def test_bucket_narrowing_upward_unrolls_upside_down() -> None:
    up = Unrolling(Frustum(260, 300, 360), 180)
    down = Unrolling(Frustum(300, 260, 360), 180)
    x, y = up.unroll(0.3, 220)
    assert down.unroll(0.3, 140) == pytest.approx((x, -y), abs=1e-9)


def test_distance_along_the_wall_is_longer_than_the_height() -> None:
    assert ROUND_CONE.along_wall(50) == pytest.approx(50.0771, abs=1e-4)
    assert ROUND_CONE.along_wall(360) == pytest.approx(ROUND_CONE.slant)


@pytest.mark.parametrize("sizes", [(0, 300, 360), (260, -1, 360), (260, 300, math.nan)])
def test_impossible_bucket_is_refused(sizes: tuple[float, float, float]) -> None:
    with pytest.raises(ValueError, match="must be more than zero"):
        Frustum(*sizes)


def test_hole_wider_than_the_bucket_is_refused() -> None:
    with pytest.raises(ValueError, match="wider than the bucket"):
        hole_outline(Frustum(100, 100, 200), 101, 80)
