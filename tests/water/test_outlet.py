"""Level band of a bucket's outlet: order, growth, scale and flooding."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from designer.water.outlet import UNCERTAINTY, Outlet, OutletRegime

LITRES_PER_HOUR = 1 / 3.6e6
bores = st.floats(0.006, 0.06)
flows = st.floats(0.0, 1500.0).map(lambda q: q * LITRES_PER_HOUR)


@given(bores, flows)
def test_the_band_is_in_order_and_finite(bore: float, flow: float) -> None:
    band = Outlet(bore, 0.02).level_band(flow)
    assert -0.02 <= band.low <= band.high < band.highest or flow == 0
    assert band.highest == pytest.approx(band.high * (1 + UNCERTAINTY))


@given(bores, flows, st.floats(1.0, 4.0))
def test_more_flow_never_lowers_the_upper_level(bore: float, flow: float, factor: float) -> None:
    outlet = Outlet(bore)
    more = outlet.level_band(flow * factor).high
    assert more >= outlet.level_band(flow).high * (1 - 1e-9)


@given(bores, st.floats(0.005, 0.3))
def test_the_flooding_flow_brings_the_water_to_the_free_height(bore: float, height: float) -> None:
    outlet = Outlet(bore)
    safe, likely = outlet.flooding_flow(height)
    assert 0 < safe < likely
    assert outlet.level_band(likely).high == pytest.approx(height, rel=1e-4)
    assert outlet.level_band(safe).highest == pytest.approx(height, rel=1e-4)


@given(st.floats(0.5, 3.0), st.floats(5.0, 700.0))
def test_the_band_scales_by_the_froude_number(scale: float, flow: float) -> None:
    small, large = Outlet(0.0158), Outlet(0.0158 * scale)
    one = small.level_band(flow * LITRES_PER_HOUR)
    other = large.level_band(flow * LITRES_PER_HOUR * scale**2.5)
    assert other.high == pytest.approx(one.high * scale, rel=1e-6)


def test_gulping_may_draw_the_bucket_down_to_the_mouth_of_the_inner_elbow() -> None:
    band = Outlet(0.0158, mouth_below=0.03).level_band(200 * LITRES_PER_HOUR)
    assert band.regime is OutletRegime.GULPING
    assert band.low == -0.03


def test_no_height_left_floods_at_once_and_nonsense_is_refused() -> None:
    assert Outlet(0.0158).flooding_flow(0.0) == (0.0, 0.0)
    assert Outlet(0.0158).flooding_flow(-0.1) == (0.0, 0.0)
    with pytest.raises(ValueError, match="bore of the outlet"):
        Outlet(0.0)
    with pytest.raises(ValueError, match="mouth"):
        Outlet(0.0158, -0.01)
    with pytest.raises(ValueError, match="flow of a bucket"):
        Outlet(0.0158).level_band(float("nan"))
