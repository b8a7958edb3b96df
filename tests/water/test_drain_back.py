"""What runs back when the pump stops, and where the reservoir then stands."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from designer.layout.vessel import round_vessel
from designer.water.drain_back import DrainBack, FeedPipe, after_stop, drain_back, running_level
from designer.water.vessel import Reservoir
from tests.water.vessels import reservoirs

LITRE = 1e-3


def test_a_riser_half_under_water_gives_back_half() -> None:
    riser = FeedPipe(bore=0.02, length=1.0, start_level=-0.5, end_level=0.5)
    assert riser.content_above(0.0) == pytest.approx(riser.content / 2)
    assert riser.content_above(-1.0) == riser.content
    assert riser.content_above(0.5) == 0.0


def test_a_level_tube_runs_back_whole_when_above_the_water() -> None:
    tube = FeedPipe(bore=0.02, length=3.0, start_level=0.4, end_level=0.4)
    assert tube.content_above(0.39) == tube.content
    assert tube.content_above(0.41) == 0.0


def test_drain_back_is_feed_and_drain_and_buckets() -> None:
    tube = FeedPipe(bore=0.02, length=3.0, start_level=0.4, end_level=0.4)
    found = drain_back([tube, tube], -0.1, 1.2 * LITRE, [0.3 * LITRE] * 4)
    assert found.feed == pytest.approx(2 * tube.content)
    assert found.total == pytest.approx(2 * tube.content + 2.4 * LITRE)


def test_freeboard_is_what_is_left_to_the_rim() -> None:
    reservoir = Reservoir(
        vessel=round_vessel(0.5, 0.5, 0.4),
        floor_level=-0.4,
        pump_level=-0.35,
        low_water_level=-0.3,
        full_level=-0.1,
    )
    area = reservoir.vessel.section(0.1)
    settled = after_stop(reservoir, -0.1, DrainBack(2 * LITRE, LITRE, LITRE))
    assert settled.freeboard == pytest.approx(0.1 - 4 * LITRE / area)
    assert settled.overflow == 0.0


@given(reservoirs(), st.floats(0.0, 0.1), st.floats(0.0, 0.1))
def test_what_runs_back_is_held_or_counted_as_overflow(
    reservoir: Reservoir, feed: float, buckets: float
) -> None:
    returning = DrainBack(feed, 0.01, buckets)
    settled = after_stop(reservoir, reservoir.full_level, returning)
    before = reservoir.volume(reservoir.full_level)
    held = reservoir.volume(settled.level)
    assert held + settled.overflow == pytest.approx(before + returning.total, rel=1e-9)
    assert settled.freeboard >= -1e-12


@given(reservoirs(), st.floats(0.0, 0.05))
def test_stopping_undoes_starting(reservoir: Reservoir, feed: float) -> None:
    returning = DrainBack(feed, 0.0, 0.0)
    running = running_level(reservoir, reservoir.full_level, returning)
    assert running <= reservoir.full_level + 1e-12
    if reservoir.volume(reservoir.full_level) > returning.total:
        settled = after_stop(reservoir, running, returning)
        assert settled.level == pytest.approx(reservoir.full_level, abs=1e-6)
