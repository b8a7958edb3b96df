"""Geometry of part-full sections: inverses, derivatives and limits."""

from math import inf, pi

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from designer.water.crossing import crossing
from designer.water.properties import STANDARD_GRAVITY as G
from designer.water.resistance import Darcy, Manning
from designer.water.section import Circular, Rectangular
from designer.water.uniform import discharge, largest_discharge, normal_depth

fills = st.floats(1e-8, 1 - 1e-8)
bores = st.floats(0.005, 2.0)


@given(fills, bores)
def test_scalar_and_array_elements_agree(fill: float, bore: float) -> None:
    pipe, depth = Circular(bore), fill * bore
    area, perimeter, width, _ = pipe.elements(depth)
    assert float(pipe.areas(depth)) == pytest.approx(area, rel=1e-9)
    assert float(pipe.wetted_perimeters(depth)) == pytest.approx(perimeter, rel=1e-12)
    assert float(pipe.top_widths(depth)) == pytest.approx(width, rel=1e-12)
    assert float(pipe.hydraulic_radii(depth)) == pytest.approx(area / perimeter, rel=1e-9)


@given(st.floats(1e-5, 0.999), bores)
def test_area_grows_by_the_top_width_and_its_moment_by_the_area(fill: float, bore: float) -> None:
    pipe, depth = Circular(bore), fill * bore
    step = depth * 1e-4 if fill < 0.5 else (bore - depth) * 1e-4
    low, high = pipe.elements(depth - step), pipe.elements(depth + step)
    area, _, width, _ = pipe.elements(depth)
    assert (high[0] - low[0]) / (2 * step) == pytest.approx(width, rel=1e-5)
    assert (high[3] - low[3]) / (2 * step) == pytest.approx(area, rel=1e-5)


@given(fills, bores)
def test_depth_of_area_inverts_the_area(fill: float, bore: float) -> None:
    pipe = Circular(bore)
    area = pipe.areas(fill * bore)
    assert float(pipe.areas(pipe.depth_of_area(area))) == pytest.approx(float(area), rel=1e-9)


@given(st.floats(1e-6, 0.98), bores)
def test_critical_depth_has_froude_number_one(fill: float, bore: float) -> None:
    pipe = Circular(bore)
    area, _, width, _ = pipe.elements(fill * bore)
    flow = np.sqrt(G * area**3 / width)
    assert float(pipe.critical_depths(flow)) == pytest.approx(fill * bore, rel=1e-8)


@given(st.lists(st.floats(0, 1e3), min_size=2, max_size=20), bores)
def test_critical_depth_grows_with_the_flow_and_stays_below_the_crown(
    flow: list[float], bore: float
) -> None:
    depths = Circular(bore).critical_depths(np.sort(flow))
    assert np.all(np.isfinite(depths))
    assert np.all(np.diff(depths) >= -1e-9 * bore)
    assert np.all((depths >= 0) & (depths < bore))


def test_dry_full_and_surcharged_sections() -> None:
    pipe = Circular(0.05)
    assert pipe.elements(0.0) == (0.0, 0.0, 0.0, 0.0)
    assert pipe.centroid_depth(0.0) == 0.0
    assert pipe.centroid_depth(0.05) == pytest.approx(0.025)
    assert pipe.centroid_depth(0.25) == pytest.approx(0.225)  # pressure of a standpipe
    assert float(pipe.areas(0.25)) == pytest.approx(pi * 0.05**2 / 4)
    assert float(pipe.hydraulic_radii(0.0)) == 0.0
    assert float(pipe.depth_of_area(1.0)) == 0.05
    assert Rectangular(0.3).height == inf
    assert float(Rectangular(0.3).critical_depths(0.0)) == 0.0


@pytest.mark.parametrize("law", [Manning(0.010), Darcy(), Darcy(1e-4)])
@given(share=st.floats(0.001, 0.999), slope=st.floats(0.0005, 0.05))
def test_normal_depth_carries_the_flow(law: Manning | Darcy, share: float, slope: float) -> None:
    pipe = Circular(0.052)
    flow = share * largest_discharge(pipe, law, slope).flow
    depth = normal_depth(pipe, law, slope, flow)
    assert depth is not None
    assert discharge(pipe, law, slope, depth / pipe.bore) == pytest.approx(flow, rel=1e-6)
    area, perimeter, _, _ = pipe.elements(depth)
    assert law.friction_slope(flow, area, perimeter) == pytest.approx(slope, rel=1e-4)


def test_no_normal_depth_on_the_level_or_beyond_capacity() -> None:
    pipe, law = Circular(0.052), Manning()
    assert normal_depth(pipe, law, 0.0, 1e-4) is None
    assert normal_depth(pipe, law, -0.01, 1e-4) is None
    assert normal_depth(pipe, law, 0.01, 1.0) is None
    assert normal_depth(pipe, law, 0.01, 0.0) == 0.0


@given(st.floats(-5, 5), st.floats(0.1, 3))
def test_crossing_finds_a_zero_and_a_jump(zero: float, power: float) -> None:
    def curve(x: float) -> float:
        return abs(x - zero) ** power * (1 if x > zero else -1)

    assert crossing(curve, -10, 10, 1e-12) == pytest.approx(zero, abs=1e-6)
    jump = crossing(lambda x: 1.0 if x > zero else -3.0, -10, 10, 1e-12)
    assert jump == pytest.approx(zero, abs=1e-9)
    with pytest.raises(ValueError, match="sign"):
        crossing(curve, 6, 10)
