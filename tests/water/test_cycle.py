"""Storage curves and the pump cycle: every litre is counted, and the answers are exact."""

from itertools import pairwise
from math import exp, sqrt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from designer.layout.vessel import round_vessel
from designer.water.cycle import Cycle, CycleBucket, simulate
from designer.water.demand import hourly_shares
from designer.water.emptying import emptying_time
from designer.water.properties import STANDARD_GRAVITY
from designer.water.schedule import DAY, HOUR, Schedule
from designer.water.storage import StorageCurve, advance, lagging_curve, outlet_curve
from designer.water.vessel import Bucket, Reservoir
from tests.water.vessels import buckets, reservoirs

L_H = 1e-3 / HOUR
LITRE = 1e-3


def plain_bucket(name: str = "b1") -> Bucket:
    return Bucket(
        name=name,
        vessel=round_vessel(0.26, 0.29, 0.36),
        floor_level=0.10,
        invert_level=0.14,
        medium_level=0.42,
        pore_share=0.5,
    )


def plain_reservoir() -> Reservoir:
    return Reservoir(
        vessel=round_vessel(0.5, 0.6, 0.45),
        floor_level=-0.45,
        pump_level=-0.40,
        low_water_level=-0.30,
        full_level=-0.08,
    )


def plain_cycle(**changes: object) -> Cycle:
    feeding: dict[str, object] = {
        "name": "b1",
        "curve": lagging_curve(plain_bucket(), 2 * LITRE),
        "feed": 30 * L_H,
        "daily_use": 4 * LITRE,
        "travel_time": 20.0,
    }
    feeding.update(changes)
    bucket = CycleBucket(**feeding)  # type: ignore[arg-type]
    return simulate(
        plain_reservoir(),
        [bucket] * 6,
        Schedule(on=900, off=2700),
        hourly_shares(),
        feed_line_volume=1.5 * LITRE,
    )


@st.composite
def curves(draw: st.DrawFn) -> StorageCurve:
    """Storage curves of lagging buckets and of outlets of the weir kind, sealed ones among them."""
    bucket = draw(buckets())
    held = draw(st.floats(0.0, 0.01))
    if draw(st.booleans()):
        return lagging_curve(bucket, held, draw(st.floats(1.0, 5000.0)))
    strength = draw(st.floats(0.0, 1e-2))
    return outlet_curve(bucket, lambda level: strength * level**1.5, held)


FLOWS = st.floats(0.0, 500 * L_H)


@given(curves(), st.floats(0.0, 1.0), FLOWS, FLOWS, st.floats(0.0, 10_000.0))
def test_a_step_loses_no_water(
    curve: StorageCurve, fill: float, inflow: float, use: float, seconds: float
) -> None:
    start = fill * curve.capacity
    after = advance(curve, start, inflow, use, seconds)
    assert 0 <= after.stored <= curve.capacity
    assert after.drained >= 0
    assert after.spilled >= 0
    assert -1e-15 <= after.used <= use * seconds * (1 + 1e-12)
    put_in = start + inflow * seconds
    out = after.stored + after.drained + after.used + after.spilled
    # What is asked for may be far more than there is: its own rounding sets the floor.
    assert out == pytest.approx(put_in, rel=1e-12, abs=1e-16 + 1e-15 * use * seconds)


@given(curves(), st.floats(0.0, 1.0), FLOWS, FLOWS, st.floats(1.0, 5000.0), st.floats(0.0, 1.0))
def test_two_short_steps_are_one_long_step(
    curve: StorageCurve, fill: float, inflow: float, use: float, seconds: float, share: float
) -> None:
    start = fill * curve.capacity
    whole = advance(curve, start, inflow, use, seconds)
    first = advance(curve, start, inflow, use, seconds * share)
    second = advance(curve, first.stored, inflow, use, seconds * (1 - share))
    assert second.stored == pytest.approx(whole.stored, rel=1e-7, abs=1e-12)
    assert first.drained + second.drained == pytest.approx(whole.drained, rel=1e-6, abs=1e-10)


def test_a_lagging_bucket_fills_by_its_exponential() -> None:
    curve = lagging_curve(plain_bucket(), time_constant=200.0)
    flow = 20 * L_H
    for seconds in (10.0, 200.0, 1500.0):
        after = advance(curve, curve.retained, flow, 0.0, seconds)
        expected = flow * 200.0 * (1 - exp(-seconds / 200.0))
        assert after.stored - curve.retained == pytest.approx(expected, rel=1e-9)


def test_a_bucket_drains_to_five_percent_in_twelve_and_a_half_minutes() -> None:
    curve = lagging_curve(plain_bucket())
    full = curve.retained + LITRE
    after = advance(curve, full, 0.0, 0.0, 750.0)
    assert (after.stored - curve.retained) / LITRE == pytest.approx(0.05, abs=0.001)


def test_an_outlet_runs_at_the_level_that_passes_its_flow() -> None:
    curve = outlet_curve(plain_bucket(), lambda level: 0.05 * level**1.5)
    flow = 30 * L_H
    after = advance(curve, curve.retained, flow, 0.0, 20_000.0)
    expected = (flow / 0.05) ** (2 / 3)
    assert curve.level_at(after.stored) == pytest.approx(expected, rel=0.02)


def test_a_bucket_draining_through_a_hole_takes_as_long_as_the_exact_emptying() -> None:
    # Torricelli over a straight section, 0.20 to 0.05 m, against the exact emptying time.
    free = Bucket(
        name="b",
        vessel=round_vessel(0.3, 0.3, 0.3),
        floor_level=0.0,
        invert_level=0.0,
        medium_level=0.0,
        pore_share=1.0,
    )
    opening, coefficient = 2e-4, 0.6
    curve = outlet_curve(free, lambda h: coefficient * opening * sqrt(2 * STANDARD_GRAVITY * h))
    seconds = emptying_time(free.vessel, opening, coefficient, 0.20, 0.05)
    after = advance(curve, free.water(0.20), 0.0, 0.0, seconds)
    assert curve.level_at(after.stored) == pytest.approx(0.05, rel=0.005)


def test_a_storage_curve_whose_outflow_falls_is_refused() -> None:
    with pytest.raises(ValueError, match="never fall"):
        outlet_curve(plain_bucket(), lambda level: max(0.01 - level, 0.0))


def test_a_sealed_bucket_spills_what_its_rim_cannot_hold() -> None:
    curve = outlet_curve(plain_bucket(), lambda _level: 0.0)
    after = advance(curve, curve.capacity, 10 * L_H, 0.0, HOUR)
    assert after.spilled == pytest.approx(10 * LITRE)


@st.composite
def systems(
    draw: st.DrawFn,
) -> tuple[Reservoir, list[CycleBucket], Schedule, dict[str, float | bool]]:
    members = [
        CycleBucket(
            name=f"b{i}",
            curve=draw(curves()),
            feed=draw(FLOWS),
            daily_use=draw(st.floats(0.0, 10 * LITRE)),
            travel_time=draw(st.floats(0.0, 600.0)),
        )
        for i in range(draw(st.integers(0, 4)))
    ]
    start, end = sorted(draw(st.tuples(st.floats(0.0, 40_000.0), st.floats(40_001.0, DAY))))
    schedule = Schedule(
        on=draw(st.floats(0.0, 7200.0)), off=draw(st.floats(60.0, 7200.0)), start=start, end=end
    )
    options: dict[str, float | bool] = {
        "duration": draw(st.floats(60.0, 2 * DAY)),
        "feed_line_volume": draw(st.floats(0.0, 10 * LITRE)),
        "top_up": draw(st.booleans()),
        "longest_step": draw(st.floats(300.0, 1800.0)),
    }
    return draw(reservoirs()), members, schedule, options


@settings(max_examples=60, deadline=None)
@given(systems(), st.floats(0.07, 0.3))
def test_no_litre_is_lost_over_time(
    system: tuple[Reservoir, list[CycleBucket], Schedule, dict[str, float | bool]], peak: float
) -> None:
    reservoir, members, schedule, options = system
    cycle = simulate(reservoir, members, schedule, hourly_shares(peak), **options)  # type: ignore[arg-type]
    assert cycle.balance_error < 1e-9
    for row in (cycle.time, cycle.reservoir_level, cycle.water_in_system, cycle.bucket_level):
        assert np.isfinite(row).all()
    capacity = reservoir.vessel.capacity
    assert (cycle.reservoir_volume <= capacity * (1 + 1e-12)).all()
    floor = min(reservoir.volume(reservoir.pump_level), float(cycle.reservoir_volume[0]))
    assert (cycle.reservoir_volume >= floor - 1e-12).all()
    assert (cycle.in_drain >= -1e-12).all()
    assert (cycle.in_feed_line <= float(options["feed_line_volume"]) + 1e-15).all()
    for i, member in enumerate(members):
        assert (cycle.bucket_water[:, i] <= member.curve.capacity).all()
        assert (cycle.bucket_water[:, i] >= 0).all()
    assert cycle.used + cycle.unmet_use == pytest.approx(
        sum(m.daily_use for m in members) * used_days(cycle, peak), rel=1e-9, abs=1e-12
    )


def used_days(cycle: Cycle, peak: float) -> float:
    """Days' worth of use in the cycle's time, by its hourly shares."""
    shares, end = hourly_shares(peak), float(cycle.time[-1])
    hours, rest = divmod(end, HOUR)
    whole = sum(shares[int(h) % 24] for h in range(int(hours)))
    return whole + shares[int(hours) % 24] * rest / HOUR


def test_every_step_balances_where_nothing_is_added_or_taken() -> None:
    cycle = plain_cycle(daily_use=0.0)
    water = cycle.water_in_system
    assert water == pytest.approx(np.full_like(water, water[0]), rel=1e-12)
    assert cycle.topped_up == cycle.used == cycle.spilled_reservoir == 0


def test_the_drain_holds_flow_times_travel_time() -> None:
    cycle = simulate(
        plain_reservoir(),
        [CycleBucket(name="b", curve=lagging_curve(plain_bucket()), feed=40 * L_H, daily_use=0.0,
                     travel_time=90.0)],
        Schedule(on=HOUR, off=0.0),
        hourly_shares(),
        duration=6 * HOUR,
    )  # fmt: skip
    assert cycle.in_drain[-1] == pytest.approx(40 * L_H * 90.0, rel=1e-6)


def test_the_level_falls_while_the_pump_runs_and_comes_back_when_it_rests() -> None:
    cycle = plain_cycle(daily_use=0.0)
    running = np.flatnonzero(cycle.pump_on)
    assert cycle.lowest_level == cycle.reservoir_level[running].min()
    before_second_start = np.searchsorted(cycle.time, HOUR)
    assert cycle.reservoir_volume[before_second_start] == pytest.approx(
        cycle.reservoir_volume[0], rel=0.005
    )
    in_use = cycle.reservoir_volume[0] - cycle.reservoir_volume[cycle.time == 900.0][0]
    lag = 30 * L_H * 250 * (1 - exp(-900 / 250))
    assert in_use > 6 * lag * 0.9 + 1.5 * LITRE


def test_plants_lower_the_reservoir_by_what_they_use() -> None:
    cycle = plain_cycle()
    assert cycle.used == pytest.approx(6 * 4 * LITRE, rel=1e-9)
    assert cycle.water_in_system[0] - cycle.water_in_system[-1] == pytest.approx(24 * LITRE)


def test_topping_up_fills_to_the_line_when_low_water_is_passed() -> None:
    reservoir, thirsty = plain_reservoir(), 9 * LITRE
    bucket = CycleBucket(
        name="b",
        curve=lagging_curve(plain_bucket()),
        feed=30 * L_H,
        daily_use=thirsty,
        travel_time=10.0,
    )
    schedule = Schedule(on=900, off=2700)
    filled, never = (
        simulate(reservoir, [bucket] * 6, schedule, hourly_shares(), 2 * DAY, top_up=top_up)
        for top_up in (True, False)
    )
    assert filled.topped_up > reservoir.working_volume * 0.9
    assert filled.pump_uncovered_at is None
    assert filled.unmet_use == 0
    assert never.topped_up == 0
    assert never.lowest_level < filled.lowest_level
    assert never.pump_uncovered_at is not None
    assert never.lowest_level == pytest.approx(reservoir.pump_level, abs=1e-9)


def test_a_reservoir_filled_while_water_is_on_its_way_overflows_when_it_comes_home() -> None:
    reservoir = plain_reservoir()
    brimming = Reservoir(
        vessel=reservoir.vessel,
        floor_level=reservoir.floor_level,
        pump_level=reservoir.pump_level,
        low_water_level=reservoir.rim_level - 0.010,
        full_level=reservoir.rim_level - 0.005,
    )
    bucket = CycleBucket(
        name="b",
        curve=lagging_curve(plain_bucket()),
        feed=30 * L_H,
        daily_use=0.0,
        travel_time=10.0,
    )
    # The rest of a minute brings little home before the level is looked at; the last brings all.
    cycle = simulate(
        brimming,
        [bucket] * 6,
        Schedule(on=600, off=60, end=HOUR),
        hourly_shares(),
        2 * HOUR,
        feed_line_volume=3 * LITRE,
    )
    assert cycle.topped_up > 0
    assert cycle.spilled_buckets == 0
    room = reservoir.vessel.capacity - brimming.volume(brimming.full_level)
    assert cycle.spilled_reservoir == pytest.approx(cycle.topped_up - room, rel=1e-3)
    assert cycle.highest_level == pytest.approx(brimming.rim_level)
    assert cycle.balance_error < 1e-9


def test_shorter_steps_change_nothing_that_matters() -> None:
    answers = []
    for step in (60.0, 10.0):
        bucket = CycleBucket(
            name="b",
            curve=lagging_curve(plain_bucket()),
            feed=30 * L_H,
            daily_use=4 * LITRE,
            travel_time=15.0,
        )
        cycle = simulate(
            plain_reservoir(), [bucket] * 6, Schedule(on=900, off=2700), hourly_shares(),
            12 * HOUR, feed_line_volume=LITRE, longest_step=step,
        )  # fmt: skip
        answers.append((cycle.lowest_level, float(cycle.reservoir_volume[-1])))
    assert answers[0] == pytest.approx(answers[1], abs=1e-4)


@settings(max_examples=20, deadline=None)
@given(st.floats(60.0, 7200.0), st.floats(60.0, 7200.0), st.floats(0.0, 30 * LITRE))
def test_a_longer_rest_never_raises_what_plants_use(
    one: float, other: float, daily_use: float
) -> None:
    short, long = sorted((one, other))
    used = [
        simulate(
            plain_reservoir(),
            [
                CycleBucket(
                    name="b",
                    curve=lagging_curve(plain_bucket()),
                    feed=8 * L_H,
                    daily_use=daily_use,
                    travel_time=5.0,
                )
            ],
            Schedule(on=1e5, off=0.0, start=rest, end=DAY - rest),
            hourly_shares(),
            longest_step=600.0,
        ).used
        for rest in (short, long)
    ]
    assert used[1] <= used[0] + 1e-12


@pytest.mark.parametrize("off", [300.0, 900.0, 2700.0, 7200.0])
def test_a_longer_rest_saves_pump_hours(off: float) -> None:
    assert Schedule(on=900, off=off).hours_on > Schedule(on=900, off=2 * off).hours_on


def test_fifteen_minutes_an_hour_is_six_hours_a_day() -> None:
    assert Schedule(on=900, off=2700).hours_on == pytest.approx(6.0)
    assert Schedule(on=900, off=2700, start=6 * HOUR, end=20 * HOUR).hours_on == pytest.approx(3.5)
    assert Schedule(on=900, off=0.0).runs(2 * DAY) == [(0.0, 2 * DAY)]
    assert Schedule(on=0.0, off=900).runs(DAY) == []


@given(st.floats(0.0, 5000.0), st.floats(60.0, 5000.0), st.floats(1.0, 2 * DAY))
def test_runs_of_the_pump_keep_apart_and_in_order(on: float, off: float, duration: float) -> None:
    runs = Schedule(on=on, off=off).runs(duration)
    assert all(0 <= start < stop <= duration for start, stop in runs)
    assert all(before[1] < after[0] for before, after in pairwise(runs))


def test_a_schedule_without_time_is_refused() -> None:
    with pytest.raises(ValueError, match="a minute or more"):
        Schedule(on=0.0, off=0.0)
    with pytest.raises(ValueError, match="begin before it ends"):
        Schedule(on=900, off=900, start=HOUR, end=HOUR)


def test_shares_that_do_not_make_a_day_are_refused() -> None:
    with pytest.raises(ValueError, match="add up to 1"):
        simulate(plain_reservoir(), [], Schedule(on=900, off=900), [0.1] * 24)


def test_an_empty_bed_stays_as_it_is() -> None:
    cycle = simulate(plain_reservoir(), [], Schedule(on=900, off=900), hourly_shares())
    assert cycle.lowest_level == cycle.highest_level == pytest.approx(-0.08)
    assert not cycle.pump_on.any()
