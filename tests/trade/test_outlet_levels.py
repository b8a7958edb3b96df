"""Level in a bucket above its outlet, against independently computed values.

1/2 in nipple, bore 15.80 mm, horizontal, critical depth at its inlet. The formulas behind the
tables are standard; the numbers were computed by another script, not published. The limits by
Froude number (0.3 and 2) are from memory.
"""

import pytest

from designer.water.outlet import Outlet, OutletRegime

LITRES_PER_HOUR = 1 / 3.6e6
NIPPLE = Outlet(0.0158)


@pytest.mark.parametrize(
    ("flow", "critical", "smooth", "square"),
    [
        (14.8, 3.16, 4.26, 4.82),
        (32.6, 4.74, 6.45, 7.30),
        (56.8, 6.32, 8.68, 9.87),
        (87.0, 7.90, 11.00, 12.55),
        (123.3, 9.48, 13.45, 15.43),
        (166.3, 11.06, 16.12, 18.65),
        (218.6, 12.64, 19.29, 22.62),
    ],
)
def test_head_above_the_invert_of_a_half_inch_nipple(
    flow: float, critical: float, smooth: float, square: float
) -> None:
    q = flow * LITRES_PER_HOUR
    assert NIPPLE.critical_depth(q) * 1e3 == pytest.approx(critical, abs=0.01)
    assert NIPPLE.weir_head(q, 0.0) * 1e3 == pytest.approx(smooth, abs=0.01)
    assert NIPPLE.weir_head(q, 0.5) * 1e3 == pytest.approx(square, abs=0.01)


@pytest.mark.parametrize(
    ("coefficient", "flows"),
    [(0.82, (363, 573, 811)), (0.61, (270, 426, 603)), (0.51, (225, 356, 504))],
)
def test_full_bore_flow_for_a_head_above_the_axis(
    coefficient: float, flows: tuple[int, ...]
) -> None:
    for head, flow in zip((0.020, 0.050, 0.100), flows, strict=True):
        level = NIPPLE.full_bore_head(flow * LITRES_PER_HOUR, coefficient)
        assert level - 0.0079 == pytest.approx(head, rel=0.006)  # flows were printed to 1 L/h


def test_a_down_turned_half_inch_elbow_gulps_between_83_and_556_litres_per_hour() -> None:
    assert NIPPLE.vented_flow / LITRES_PER_HOUR == pytest.approx(83, abs=0.5)
    assert NIPPLE.siphon_flow / LITRES_PER_HOUR == pytest.approx(556, abs=0.5)
    regimes = [NIPPLE.level_band(q * LITRES_PER_HOUR).regime for q in (0, 80, 90, 550, 560)]
    assert regimes == [
        OutletRegime.DRY,
        OutletRegime.WEIR,
        OutletRegime.GULPING,
        OutletRegime.GULPING,
        OutletRegime.FULL,
    ]


def test_self_venting_limit_is_that_of_the_customary_pipe_rule() -> None:
    # D[in] = 0.92 Q[US gpm]^0.4 (from memory) is a Froude number of 0.307.
    gallons = 0.3
    bore = 0.92 * gallons**0.4 * 0.0254
    flow = gallons * 3.785411784e-3 / 60
    assert flow / Outlet(bore).vented_flow * 0.3 == pytest.approx(0.307, abs=0.001)
