"""The reservoir by hand: what runs back, what stays, how long it lasts; and the day of cycles."""

from dataclasses import replace
from math import pi

import pytest

from designer.model import edits
from designer.water.bed.feed import working_levels
from designer.water.bed.reservoir import feed_pipes, placed_reservoir
from tests.beds import bed
from tests.water.bed.solved import stretched, two_runs, water_of


def tote(depth: float) -> float:
    """Litres of the 120 L tote to a depth in mm: 680 x 440 mm at its floor, each side growing by
    80 mm over its 400 mm."""
    return (680 * 440 * depth + 0.2 * (680 + 440) * depth**2 / 2 + 0.04 * depth**3 / 3) * 1e-6


def test_what_stands_in_the_tubes_above_the_full_level_runs_back() -> None:
    """Full at -60 mm. The riser, 1273.4 mm of 17.3 mm bore, goes from -380 to 360 mm: 420 / 740 of
    299.3 mL stand above. The manifold to its plug, 900 mm, holds 211.6 mL, two feed tubes of
    500 mm and 4 mm bore 12.6 mL. Together 394.0 mL."""
    riser = pi / 4 * 17.3**2 * 1273.385 * 1e-6 * 420 / 740
    manifold = pi / 4 * 17.3**2 * 900 * 1e-6
    tubes = 2 * pi / 4 * 4**2 * 500 * 1e-6
    back = water_of(bed(2)).reservoir.returning
    assert back.feed * 1e3 == pytest.approx(riser + manifold + tubes, rel=1e-5)
    assert back.feed * 1e3 == pytest.approx(0.3940, abs=1e-4)


def test_buckets_give_back_what_stands_over_their_inverts() -> None:
    """15.6 L/h stand 4.85 mm over the invert where the bucket is 270 mm across and seven tenths
    are pores: 0.19 L each."""
    water = water_of(bed(2))
    high = water.buckets["b1"].band.high * 1e3
    each = pi / 4 * (263.6 + 35 * (66.5 + high / 2) / 365) ** 2 * high * 0.7 * 1e-6
    assert each == pytest.approx(0.195, abs=2e-3)
    assert water.reservoir.returning.buckets * 1e3 == pytest.approx(2 * each, rel=1e-3)


def test_each_litre_that_runs_back_is_counted_once() -> None:
    water = water_of(two_runs())
    back = water.reservoir.returning
    assert back.drain == pytest.approx(sum(d.profile.volume for d in water.drains.values()))
    assert back.total == pytest.approx(back.feed + back.drain + back.buckets)
    assert water.reservoir.drain_back == pytest.approx(back.total * 1e3)


def test_the_level_settles_where_the_tote_holds_both() -> None:
    """Full is 320 mm over the floor. With 0.82 L more the level stands 2.2 mm higher,
    77.8 mm below the rim."""
    store = water_of(bed(2)).reservoir
    assert tote(400 - store.freeboard) == pytest.approx(tote(320) + store.drain_back, rel=1e-6)
    assert store.freeboard == pytest.approx(77.8, abs=0.1)
    assert store.overflow == 0


def test_a_reservoir_filled_to_the_brim_loses_all_that_runs_back() -> None:
    store = water_of(edits.set_reservoir(bed(2), freeboard=0.0)).reservoir
    assert store.freeboard == 0
    assert store.overflow == pytest.approx(store.drain_back)


def test_the_water_lasts_its_working_volume_over_the_daily_use() -> None:
    """Between 100 and 320 mm over the floor 76.6 L; two plants at 2.3 L a day: 16.7 days."""
    store = water_of(bed(2)).reservoir
    assert store.working == pytest.approx(tote(320) - tote(100), rel=1e-9)
    assert store.daily_use == pytest.approx(4.6)
    assert store.top_up_days == pytest.approx(16.65, abs=0.01)


def test_the_pumps_energy_is_its_label_times_its_hours() -> None:
    """15 minutes on and 45 off are 6 hours a day; 2 W, 30.4 days: 0.365 kWh."""
    energy = water_of(bed(2)).reservoir.energy
    assert energy.kilowatt_hours == pytest.approx(2e-3 * 6 * 365.25 / 12)
    assert energy.cost == pytest.approx(0.3 * energy.kilowatt_hours)


def test_lines_out_of_order_are_held_in_order() -> None:
    for values in (
        {"freeboard": 1000.0}, {"low_water": 1000.0}, {"freeboard": 0.0, "low_water": 400.0},
        {"freeboard": 1e-9}, {"sunk": 311.1}, {"low_water": 0.0},
    ):  # fmt: skip
        layout = water_of(edits.set_reservoir(bed(2), **values)).layout
        vessel = placed_reservoir(layout)
        low, full = working_levels(layout)
        assert vessel.full_level == pytest.approx(full / 1000)
        assert vessel.low_water_level == pytest.approx(low / 1000)


def test_a_run_without_buckets_holds_no_feed() -> None:
    design = two_runs()
    empty = edits.delete(design, ["n1", "n2", "n3"])
    water = water_of(empty)
    assert list(water.drains) == ["r1"]
    assert len(feed_pipes(water.runs, water.layout)) == 2 + 3


def test_over_a_day_no_water_is_lost_or_made() -> None:
    day = water_of(bed(3)).day
    held = day.water_in_system
    gone = day.used + day.spilled_reservoir + day.spilled_buckets - day.topped_up
    assert held[-1] + gone == pytest.approx(held[0], rel=1e-9)
    assert day.used * 1e3 == pytest.approx(3 * 2.3)  # L, three plants on a hot day


def test_the_day_takes_shut_and_open_buckets_apart() -> None:
    water = water_of(edits.set_bucket(stretched(3), "b2", feed="tied_off"))
    on = next(t for t, running in zip(water.day.time, water.day.pump_on, strict=True) if running)
    moment = water.at(float(on) + 800)
    assert moment.bucket_levels["b1"] == moment.bucket_levels["b3"] > 0
    assert moment.bucket_levels["b2"] <= 0


def test_the_reservoir_is_lowest_while_the_pump_runs() -> None:
    water = water_of(edits.set_water(stretched(), on_minutes=15.0, off_minutes=45.0))
    on, off = water.at(14 * 60.0), water.at(59 * 60.0)
    assert on.pump_on
    assert not off.pump_on
    assert on.reservoir_level < off.reservoir_level <= working_levels(water.layout)[1]


def test_a_sunk_reservoir_holds_as_much_as_one_on_the_ground() -> None:
    design = bed(2)
    levels = [
        water_of(replace(design, reservoir=replace(design.reservoir, sunk=sunk))).reservoir.working
        for sunk in (0.0, 311.1, 380.0)
    ]
    assert levels == pytest.approx([levels[0]] * 3, rel=1e-12)
