"""The bed's water as plain data and as a few lines, for the command line."""

from typing import Any

from designer.units import UnitSystem, format_flow, format_volume
from designer.water.bed.solution import BedWater


def water_record(water: BedWater) -> dict[str, Any]:
    """Flows in L/h, heads in m, levels in mm, volumes in L, as their names say."""
    feed, store = water.feed, water.reservoir
    return {
        "pump": {
            "status": feed.result.status.value,
            "flow_l_h": _r(feed.flow),
            "head_m": _r(feed.head),
            "flow_l_h_spread": [_r(q) for q in feed.spread],
            "static_head_m": _r(feed.result.static_head),
        },
        "buckets": [
            {
                "id": bucket.bucket_id,
                "flow_l_h": _r(bucket.flow),
                "head_m": _r(feed.result.outlet_heads[bucket.bucket_id]),
                "outlet_level_mm": [_r(bucket.low), _r(bucket.high)],
            }
            for bucket in water.buckets.values()
        ],
        "uniformity": {
            "eu_percent": _r(feed.emission_uniformity),
            "cu_percent": _r(feed.christiansen),
        },
        "drain": [
            {
                "run": run_id,
                "points": [
                    {
                        "station_mm": _r(station),
                        "depth_mm": _r(depth),
                        "flow_l_h": _r(flow),
                        "fill": _r(fill),
                    }
                    for station, depth, flow, fill in drain.points
                ],
                "regime": drain.profile.regime.value,
            }
            for run_id, drain in water.drains.items()
        ],
        "reservoir": {
            "drain_back_l": _r(store.drain_back),
            "freeboard_mm": _r(store.freeboard),
            "top_up_days": _r(store.top_up_days),
            "hours_without_pump": _r(store.hours_without_pump),
        },
    }


def water_lines(water: BedWater, units: UnitSystem) -> list[str]:
    """What the water does, in a few lines."""
    feed, store = water.feed, water.reservoir
    low, high = min(feed.flows.values()), max(feed.flows.values())
    pump = f"{format_flow(feed.flow, units)} at {feed.head:.2f} m of head"
    shares = f"{format_flow(low, units)} to {format_flow(high, units)}"
    lines = [
        f"Pump: {pump} ({feed.result.status.value})",
        f"Buckets: {shares}, emission uniformity {feed.emission_uniformity:.0f} %",
    ]
    for run_id, drain in water.drains.items():
        name = water.design.run(run_id).name
        lines.append(
            f"Drain of {name}: {drain.fullest[1]:.0%} full at most. {drain.profile.regime.value}"
        )
    lines.append(
        f"When the pump stops {format_volume(store.drain_back, units)} run back, leaving "
        f"{store.freeboard:.0f} mm below the rim"
    )
    if store.top_up_days is not None:
        lines.append(f"Top up every {store.top_up_days:.1f} days on hot days")
    if store.hours_without_pump is not None:
        lines.append(f"Without the pump the plants last {store.hours_without_pump:.1f} hours")
    return lines


def _r(value: float | None) -> float | None:
    return None if value is None else round(value, 4)
