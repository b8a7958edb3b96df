"""Speed of the pump cycle: one day at 10 and 100 buckets."""

from time import perf_counter

from designer.layout.vessel import round_vessel
from designer.water.cycle import CycleBucket, simulate
from designer.water.demand import hourly_shares
from designer.water.schedule import DAY, Schedule
from designer.water.storage import outlet_curve
from designer.water.vessel import Bucket, Reservoir


def rows() -> list[tuple[str, float, str]]:
    """(name, seconds, comparison) of each benchmark."""
    bucket = Bucket(
        name="b",
        vessel=round_vessel(0.26, 0.29, 0.36),
        floor_level=0.10,
        invert_level=0.14,
        medium_level=0.42,
        pore_share=0.5,
    )
    reservoir = Reservoir(
        vessel=round_vessel(1.5, 1.6, 0.45),
        floor_level=-0.45,
        pump_level=-0.40,
        low_water_level=-0.30,
        full_level=-0.08,
    )
    curve = outlet_curve(bucket, lambda level: 0.05 * level**1.5)
    found = []
    for count in (10, 100):
        members = [
            CycleBucket(name=f"b{i}", curve=curve, feed=8e-6, daily_use=0.004, travel_time=10.0 + i)
            for i in range(count)
        ]
        start = perf_counter()
        day = simulate(reservoir, members, Schedule(on=900, off=2700), hourly_shares(), DAY)
        seconds = perf_counter() - start
        text = f"{len(day.time)} moments, balance {day.balance_error:.0e}"
        found.append((f"pump cycle, one day, {count} buckets", seconds, text))
    return found
