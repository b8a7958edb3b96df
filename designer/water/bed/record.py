"""The bed's water as plain data and as a few lines, for the command line."""

from typing import Any

from designer.units import (
    UnitSystem,
    format_flow,
    format_head,
    format_length,
    format_volume,
    style_for,
)
from designer.water.bed.solution import BedWater


def water_record(water: BedWater) -> dict[str, Any]:
    """Flows in L/h, heads in m, levels in mm, volumes in L, as their names say.

    `outlet_level_mm` is the band [low, high] of the water above the outlet's invert, the
    uncertainty counted; the drain's points run from the capped end to the outfall.
    """
    feed, store = water.feed, water.reservoir
    return {
        "pump": {
            "flow_l_h": _r(feed.flow),
            "head_m": _r(feed.head),
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
    if feed.running:
        pumped = f"{format_flow(feed.flow, units)} at {format_head(feed.head, units)}"
        spread = " to ".join(format_flow(flow, units) for flow in feed.spread)
        ends = (min(feed.open_flows), max(feed.open_flows))
        shares = " to ".join(format_flow(flow, units) for flow in ends)
        lines = [
            f"Pump: {pumped} of head; {spread} between published methods for the fittings' losses",
            f"Buckets: {shares}, emission uniformity {feed.emission_uniformity:.0f} %",
        ]
    else:
        lines = ["Pump: no water comes to the buckets; `rillwright check` says why"]
    for run_id, drain in water.drains.items():
        name = water.design.run(run_id).name
        lines.append(
            f"Drain of {name}: {drain.fullest[1]:.0%} full at most. {drain.profile.regime.value}"
        )
    back = f"When the pump stops {format_volume(store.drain_back, units)} run back, "
    if store.overflow > 0:
        lines.append(f"{back}{format_volume(store.overflow, units)} of it over the rim")
    else:
        left = format_length(store.freeboard, style_for(units))
        lines.append(f"{back}leaving {left} below the rim")
    if store.top_up_days is not None:
        lines.append(f"Top up every {store.top_up_days:.1f} days on hot days")
    if store.hours_without_pump is not None:
        lines.append(f"Without the pump the plants last {store.hours_without_pump:.1f} hours")
    return lines


def _r(value: float | None) -> float | None:
    return None if value is None else round(value, 4)
