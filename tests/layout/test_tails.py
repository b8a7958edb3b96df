"""Tail windows: how they follow the fall, and lengths a person can cut."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from designer.analysis import analyse
from designer.layout.levels import Levels
from designer.layout.run import lay_out_run
from designer.layout.tails import (
    TailLimits,
    TailWindow,
    common_window,
    rounded_within,
    tail_window,
)
from designer.model import edits
from designer.model.catalogue import load_catalogue
from tests.beds import bed
from tests.strategies import runs

LIMITS = TailLimits(reach=6.0, clear_invert=10.0, clear_water=5.0, water_depth=14.25)
LEVELS = Levels(
    length=3000.0, block_top=190.0, rail_depth=70.0, rail_rise=0.0, packing=0.0, fall=30.0,
    outside_diameter=63.0, wall=3.0,
)  # fmt: skip


def test_window_by_hand() -> None:
    """Socket at 324, 63 mm drain on blocks at 190, at the outlet end.

    Crown 253: the tip must be at 247 or lower, so the tail is 324 - 247 = 77 or longer. Invert
    193; water 14.25 deep and 5 above it: the tip stays at 212.25 or higher, 111.75 or shorter.
    """
    window = tail_window(LEVELS, 0.0, 324.0, LIMITS)
    assert (window.shortest, window.longest) == (pytest.approx(77.0), pytest.approx(111.75))
    assert window.open
    assert window.middle == pytest.approx(94.375)


def test_the_dry_clearance_counts_where_there_is_little_water() -> None:
    assert replace(LIMITS, water_depth=2.0).floor == 10.0
    assert LIMITS.floor == pytest.approx(19.25)


@given(s=st.floats(0, 3000), t=st.floats(0, 3000), socket=st.floats(200, 500))
def test_windows_shift_by_the_fall_between_their_stations(
    s: float, t: float, socket: float
) -> None:
    a, b = (tail_window(LEVELS, station, socket, LIMITS) for station in (s, t))
    rise = 30.0 * (t - s) / 3000.0
    assert a.shortest - b.shortest == pytest.approx(rise)
    assert a.longest - b.longest == pytest.approx(rise)


@given(runs())
def test_rails_that_follow_the_fall_give_every_bucket_the_same_window(run) -> None:  # type: ignore[no-untyped-def]
    run = replace(run, stand=replace(run.stand, follow_fall=True))
    layout = lay_out_run(run, "metric", load_catalogue())
    for place in layout.places:
        assert place.window.shortest == pytest.approx(layout.places[0].window.shortest)
        assert place.window.longest == pytest.approx(layout.places[0].window.longest)


def test_the_common_window_is_what_all_share() -> None:
    windows = [TailWindow(70, 100), TailWindow(80, 110), TailWindow(75, 105)]
    assert common_window(windows) == TailWindow(80, 100)
    shut = common_window([TailWindow(70, 80), TailWindow(90, 100)])
    assert shut is not None
    assert not shut.open
    assert common_window([]) is None


def test_graded_tails_stand_each_in_its_own_window() -> None:
    design = edits.set_fall(bed(10), "r1", 80.0)
    layout = analyse(edits.set_tails(design, "r1", "graded")).runs[0]
    assert layout.common_tail is not None
    assert not layout.common_tail.open
    lengths = [layout.tail_length(place) for place in layout.from_cap]
    assert lengths == sorted(lengths)
    assert all(p.window.holds(layout.tail_length(p)) for p in layout.places)


grains = st.sampled_from([1.0, 25.4 / 16])


@given(
    low=st.floats(10, 400),
    room=st.floats(0, 60),
    grain=grains,
    wanted=st.none() | st.floats(0, 500),
)
def test_a_rounded_length_stays_inside_its_window(
    low: float, room: float, grain: float, wanted: float | None
) -> None:
    window = TailWindow(low, low + room)
    length = rounded_within(window, grain, wanted)
    assert window.holds(length)
    if room >= 2 * grain:
        assert length / grain == pytest.approx(round(length / grain), abs=1e-6)


@given(low=st.floats(10, 400), room=st.floats(5, 60), grain=grains, share=st.floats(0, 1))
def test_the_wanted_length_is_kept_as_far_as_the_window_lets_it(
    low: float, room: float, grain: float, share: float
) -> None:
    window = TailWindow(low, low + room)
    wanted = low + share * room
    assert abs(rounded_within(window, grain, wanted) - wanted) <= 1.5 * grain + 1e-9
    assert window.holds(rounded_within(window, grain, wanted))
