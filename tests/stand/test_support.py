"""Bases on rails, blocks on soil, and tipping, against statics worked by hand."""

from math import inf

import pytest
from hypothesis import given
from hypothesis import strategies as st

from designer.stand.support import (
    Push,
    footing,
    push_to_tip,
    share_on_blocks,
    soil_pressure,
    tipping,
)


def test_a_bucket_midway_between_two_rails_rests_half_on_each() -> None:
    foot = footing(0.3, 0.13, [0.2, 0.4], 0.04)
    assert foot.shares == pytest.approx((0.5, 0.5))
    assert foot.chords == pytest.approx([2 * (0.13**2 - 0.1**2) ** 0.5] * 2)
    assert foot.margin == pytest.approx(0.12)
    assert foot.cover == pytest.approx(0.04)
    assert foot.stands


def test_a_nearer_rail_carries_more() -> None:
    """Centre 0.05 from one rail and 0.15 from the other: three quarters and one quarter."""
    assert footing(0.25, 0.2, [0.2, 0.4], 0.04).shares == pytest.approx((0.75, 0.25))


def test_a_bucket_on_one_rail_stands_on_its_width_only() -> None:
    foot = footing(0.3, 0.13, [0.3], 0.045)
    assert foot.shares == (1.0,)
    assert foot.margin == pytest.approx(0.0225)


def test_a_bucket_beside_its_rails_falls() -> None:
    assert not footing(0.3, 0.13, [0.2], 0.04).stands
    none = footing(1.0, 0.13, [0.2, 0.4], 0.04)
    assert none.shares == (0, 0)
    assert none.margin == -inf


@given(
    st.floats(-1, 1),
    st.floats(0.05, 0.2),
    st.lists(st.floats(-1.2, 1.2), min_size=1, max_size=4),
    st.floats(0.02, 0.15),
)
def test_a_bucket_that_stands_puts_all_its_weight_on_its_rails(
    centre: float, radius: float, rails: list[float], width: float
) -> None:
    foot = footing(centre, radius, rails, width)
    assert all(share >= 0 for share in foot.shares)
    if foot.margin > -inf:
        assert sum(foot.shares) == pytest.approx(1)
        assert all(0 <= chord <= 2 * radius + 1e-12 for chord in foot.chords)
    if foot.stands:
        assert foot.margin <= radius + width


def test_a_push_at_the_rim_tips_a_bucket_by_its_lever() -> None:
    assert push_to_tip(160, 0.1, 0.4) == pytest.approx(40)
    assert push_to_tip(160, -0.1, 0.4) == 0


def test_a_rail_on_a_joint_of_blocks_loads_both() -> None:
    loads = share_on_blocks([(0.2, 100)], 0.04, [0.0, 0.4], 0.4)
    assert [load.force for load in loads] == pytest.approx([50, 50])
    assert [load.eccentricity for load in loads] == pytest.approx([0.19, 0.19])


def test_a_block_presses_harder_where_it_is_loaded_off_its_middle() -> None:
    """N / A (1 + 6 e / l) in the middle third, 2 N / (3 w (l / 2 - e)) outside, worked by hand."""
    assert soil_pressure(1000, 0.0, 0.4, 0.2) == pytest.approx(12_500)
    assert soil_pressure(1000, 0.05, 0.4, 0.2) == pytest.approx(21_875)
    assert soil_pressure(1000, 0.1, 0.4, 0.2) == pytest.approx(2000 / (0.6 * 0.1))
    assert soil_pressure(1000, 0.2, 0.4, 0.2) == inf
    assert soil_pressure(0.0, 0.0, 0.4, 0.2) == 0


@given(st.floats(0, 0.19), st.floats(0, 0.19))
def test_pressure_grows_with_eccentricity(a: float, b: float) -> None:
    low, high = sorted((a, b))
    assert soil_pressure(1, low, 0.4, 0.2) <= soil_pressure(1, high, 0.4, 0.2) * (1 + 1e-9)


def test_tipping_is_weight_times_lever_against_push_times_height() -> None:
    """1000 N in the middle of a base 0.8 m wide against 200 N at 1 m: 400 to 200."""
    about = tipping([(0.0, 1000)], [Push(200, 1.0)], 0.4)
    assert (about.resisting, about.overturning) == pytest.approx((400, 200))
    assert about.ratio == pytest.approx(2)


def test_a_full_side_beyond_the_blocks_tips_the_stand() -> None:
    about = tipping([(0.6, 1000), (0.0, 500)], [], 0.4)
    assert about.ratio == pytest.approx(1)
    assert tipping([(0.3, 1000)], [], 0.4).ratio == inf
