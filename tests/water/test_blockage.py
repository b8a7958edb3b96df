"""A blocked drain: which place overflows first, and when."""

from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from designer.layout.vessel import round_vessel
from designer.water.blockage import Opening, blocked_drain, blocked_outlet, level_after
from designer.water.vessel import Bucket
from tests.water.vessels import buckets

L_H = 1e-3 / 3600
LITRE = 1e-3
AREA = pi / 4 * 0.3**2


def straight(name: str, floor: float) -> Bucket:
    return Bucket(
        name=name,
        vessel=round_vessel(0.3, 0.3, 0.4),
        floor_level=floor,
        invert_level=floor + 0.04,
        medium_level=floor + 0.4,
        pore_share=0.5,
    )


def test_the_lowest_rim_overflows_first() -> None:
    row = [straight("high", 0.06), straight("low", 0.0), straight("middle", 0.03)]
    levels = [bucket.invert_level for bucket in row]
    found = blocked_drain(row, levels, 180 * L_H, 1.0, free_in_drain=2 * LITRE)
    assert found.name == "low"
    room = 2 * LITRE + AREA * 0.5 * (0.36 + 0.30 + 0.33)
    assert found.room == pytest.approx(room)
    assert found.seconds == pytest.approx(room / (180 * L_H))


def test_an_open_hole_below_the_rims_overflows_before_them() -> None:
    row = [straight("a", 0.0)]
    found = blocked_drain(row, [0.04], 60 * L_H, 1.0, other_openings=[Opening("hole 1", 0.02)])
    assert found.name == "hole 1"
    assert found.seconds == 0.0


def test_a_small_reservoir_runs_out_before_anything_overflows() -> None:
    found = blocked_drain([straight("a", 0.0)], [0.04], 60 * L_H, LITRE)
    assert found.name is None
    assert found.seconds is None
    assert found.room > found.supply


def test_without_feed_nothing_overflows() -> None:
    assert blocked_drain([straight("a", 0.0)], [0.04], 0.0, 1.0).seconds is None


def test_one_blocked_bucket_fills_by_its_own_feed() -> None:
    found = blocked_outlet(straight("a", 0.0), 0.06, 30 * L_H, 1.0)
    assert found.seconds == pytest.approx(AREA * 0.5 * 0.34 / (30 * L_H))


def test_a_bed_without_places_to_overflow_is_refused() -> None:
    with pytest.raises(ValueError, match="nothing that can overflow"):
        blocked_drain([], [], L_H, 1.0)


@given(st.lists(buckets(), min_size=1, max_size=5), st.floats(0.0, 1.0))
def test_backed_up_water_is_all_in_the_buckets(row: list[Bucket], share: float) -> None:
    levels = [bucket.invert_level for bucket in row]
    room = blocked_drain(row, levels, L_H, 1e9).room
    after = level_after(row, levels, share * room)
    held = sum(b.water_between(own, now) for b, own, now in zip(row, levels, after, strict=True))
    assert held == pytest.approx(share * room, rel=1e-9, abs=1e-12)
    rim = min(bucket.rim_level for bucket in row)
    assert all(now <= max(rim, own) for now, own in zip(after, levels, strict=True))


@given(st.lists(buckets(), min_size=1, max_size=5), st.floats(1.0, 1000.0), st.floats(1.0, 1000.0))
def test_more_feed_overflows_no_later(row: list[Bucket], one: float, other: float) -> None:
    levels = [bucket.invert_level for bucket in row]
    slow, fast = sorted((one, other))
    late = blocked_drain(row, levels, slow * L_H, 1e9)
    early = blocked_drain(row, levels, fast * L_H, 1e9)
    assert late.seconds is not None
    assert early.seconds is not None
    assert early.seconds <= late.seconds
    assert early.name == late.name
