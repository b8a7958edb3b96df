"""The key numbers of the water, as lines of the Water panel. Only asked for while they are current;
the subject of a line is the run whose drain is spoken of."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from designer.analysis import Analysis
from designer.units import UnitSystem, format_flow, format_volume
from designer.window.entries import Fact, Section
from designer.window.facts import say
from designer.window.quantity_fields import HEAD

if TYPE_CHECKING:
    from designer.water.bed.solution import BedWater

NO_WATER = "no water comes out"


def head_text(metres: float, units: UnitSystem) -> str:
    """A head of water in the person's units."""
    unit = HEAD.unit(units)
    return f"{metres / unit.size:.{2 if units == 'metric' else 1}f} {unit.name}"


def time_text(hours: float) -> str:
    """A span of time in the unit that suits it."""
    if hours * 60 < 2:
        return f"{hours * 3600:.0f} s"
    if hours < 2:
        return f"{hours * 60:.0f} min"
    return f"{hours:.1f} h" if hours < 48 else f"{hours / 24:.1f} days"


def _fact(label: str, why: str, text: Callable[[Analysis, BedWater, str], str]) -> Fact:
    def of_analysis(analysis: Analysis, run_id: str) -> str:
        assert analysis.water is not None
        return text(analysis, analysis.water, run_id)

    return Fact(label, of_analysis, why)


def _flow(a: Analysis, water: BedWater, _: str) -> str:
    feed, units = water.feed, a.design.units
    if not feed.running:
        return NO_WATER
    least, most = (format_flow(flow, units) for flow in feed.spread)
    number, unit = least.rsplit(" ", 1)
    return f"{format_flow(feed.flow, units)}\n({number} to {most.removesuffix(unit).strip()})"


def _head(a: Analysis, water: BedWater, _: str) -> str:
    feed, units = water.feed, a.design.units
    lift = head_text(max(feed.result.static_head, 0.0), units)
    return f"{head_text(feed.head, units)}, {lift} of it lift" if feed.running else f"{lift} lift"


def _bucket(a: Analysis, water: BedWater, which: Callable[..., str]) -> str:
    if not water.feed.running:
        return NO_WATER
    open_ids = [
        place.bucket.id
        for layout in water.runs
        for place in layout.places
        if place.bucket.feed is None
    ]
    bucket_id = which(open_ids, key=lambda i: water.feed.flows[i])
    flow = format_flow(water.feed.flows[bucket_id], a.design.units)
    return f"{flow} to {a.bucket_label(bucket_id)}"


def _percent(value: float, water: BedWater) -> str:
    return f"{value:.0f} %" if water.feed.running else NO_WATER


def _drain(a: Analysis, water: BedWater, run_id: str) -> str:
    if run_id not in water.drains:
        return "no bucket on this run"
    drain = water.drains[run_id]
    station, fill = drain.fullest
    from_cap = say(a, drain.layout.run.length - station)
    return f"{fill:.0%} full, {from_cap} from the capped end"


def _blocked(a: Analysis, water: BedWater, run_id: str) -> str:
    outcome = water.blocked(run_id) if run_id in water.drains else None
    if outcome is None:
        return "no bucket on this run"
    if outcome.bucket_id is None or outcome.seconds is None:
        return "no overflow: the reservoir is down to the pump before"
    place = "hole" if outcome.by_hole else "bucket"
    after = time_text(outcome.seconds / 3600)
    return f"{place} {a.bucket_label(outcome.bucket_id)} after {after}"


def _top_up(_: Analysis, water: BedWater, __: str) -> str:
    days = water.reservoir.top_up_days
    return "nothing is used" if days is None else f"every {time_text(days * 24)}"


def _reserve(_: Analysis, water: BedWater, __: str) -> str:
    hours = water.reservoir.hours_without_pump
    return "nothing is used" if hours is None else time_text(hours)


def _energy(_: Analysis, water: BedWater, __: str) -> str:
    if not water.layout.pump.watts:
        return "the pump's power is not known"
    energy = water.reservoir.energy
    return f"{energy.kilowatt_hours:.1f} kWh; {energy.cost:.2f} a month at the price you typed"


def _freeboard(a: Analysis, water: BedWater, _: str) -> str:
    store = water.reservoir
    if store.overflow > 0:
        return f"{format_volume(store.overflow, a.design.units)} over the rim"
    return say(a, store.freeboard)


WATER_NUMBERS: tuple[Section, ...] = (
    Section(
        "Feed",
        (
            _fact(
                "Pump gives",
                "With the reservoir half-way between full and low water. In brackets what it gives "
                "by the highest and the lowest published losses of the fittings.",
                _flow,
            ),
            _fact("At a head of", "What the pump has to press, the lift included.", _head),
            _fact(
                "Least to a bucket",
                "Of the buckets whose feed is open.",
                lambda a, w, _: _bucket(a, w, min),
            ),
            _fact(
                "Most to a bucket",
                "Of the buckets whose feed is open.",
                lambda a, w, _: _bucket(a, w, max),
            ),
            _fact(
                "Emission uniformity (EU)",
                "EU: what the driest bucket gets, of what they get on average. 100 % is all the "
                "same. After Keller and Karmeli 1974 (from memory).",
                lambda _, w, __: _percent(w.feed.emission_uniformity, w),
            ),
            _fact(
                "Christiansen uniformity (CU)",
                "CU: how near all buckets are to what they get on average. 100 % is all the same. "
                "After Christiansen 1942 (from memory).",
                lambda _, w, __: _percent(w.feed.christiansen, w),
            ),
        ),
    ),
    Section(
        "Way back",
        (
            _fact("Drain at its fullest", "While the pump runs.", _drain),
            _fact(
                "Drain blocked: overflows first",
                "With the drain blocked at its outlet and the pump running on.",
                _blocked,
            ),
        ),
    ),
    Section(
        "Reservoir",
        (
            _fact(
                "Runs back when it stops",
                "From tubes, buckets and drain, each time the pump stops.",
                lambda a, w, _: format_volume(w.reservoir.drain_back, a.design.units),
            ),
            _fact(
                "Left below the rim then",
                "After all ran back into a reservoir that was full.",
                _freeboard,
            ),
            _fact("Top up on hot days", "From full down to low water.", _top_up),
            _fact(
                "Plants last without the pump",
                "In the hottest hours, from the sumps and what the medium gives easily.",
                _reserve,
            ),
            _fact("Power in a month", "The pump's watts by its hours, at your price.", _energy),
        ),
    ),
)
