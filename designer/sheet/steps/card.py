"""The running card: what a grower needs beside the running bed, in words and numbers."""

from collections.abc import Iterator
from dataclasses import dataclass

from designer.analysis import Analysis
from designer.checks.stand.situation import StandSituation
from designer.checks.water.situation import WaterSituation
from designer.sheet.steps.step import PRACTICE
from designer.sheet.words import in_words, length
from designer.takeoff.fill import FillPlan, fill_plan
from designer.takeoff.fill_words import amount_text, ec_text, range_text
from designer.takeoff.nutrients import Window
from designer.units import UnitSystem, format_jug, format_slope, format_volume
from designer.water.bed.reservoir import pump_schedule
from designer.water.water_quality import (
    COOL_BELOW,
    TOO_WARM_ABOVE,
    WARM_ABOVE,
    degrees,
    water_notes,
)
from designer.water.water_quality import PRACTICE as SOURCES_DISAGREE

SECTION = "Running card"


@dataclass(frozen=True, slots=True)
class CardLine:
    """One thing to know or do; `source` where it rests on one, empty where it is this design's
    own number."""

    label: str
    text: str
    source: str = ""


@dataclass(frozen=True, slots=True)
class CropLine:
    """A crop's windows: the whole range of EC and pH, then each source's with its number."""

    crop: str
    ec: str
    ph: str


@dataclass(frozen=True, slots=True)
class RunningCard:
    """The card by its headings; `sources` are those of the crops' windows, by their numbers."""

    timer: tuple[CardLine, ...]
    crops: tuple[CropLine, ...]
    sources: tuple[str, ...]
    solution: tuple[CardLine, ...]
    power_cut: tuple[CardLine, ...]
    weekly: tuple[CardLine, ...]
    monthly: tuple[CardLine, ...]


def running_card(analysis: Analysis) -> RunningCard | None:
    """The card; None without a reservoir or a bucket. Without solved water it lacks its numbers."""
    if analysis.reservoir is None or not analysis.places:
        return None
    water = None
    if analysis.water is not None and analysis.water_current:
        water = WaterSituation(analysis.water, analysis.catalogue)
    plan = fill_plan(analysis)
    crops, sources = _crops(plan)
    return RunningCard(
        tuple(_timer(analysis, water)),
        crops,
        sources,
        tuple(_solution(analysis, plan)),
        tuple(_power_cut(analysis, water)),
        tuple(_weekly(analysis, water)),
        tuple(_monthly(analysis, water)),
    )


def _timer(analysis: Analysis, s: WaterSituation | None) -> Iterator[CardLine]:
    design, tank = analysis.design, analysis.reservoir
    assert tank is not None
    units = design.units
    on, off = design.water.on_minutes, design.water.off_minutes
    times = f"{on:g} minutes on, {off:g} minutes off, day and night"
    if off <= 0:
        times = "none: the pump runs all day and night"
    hours = pump_schedule(design).hours_on
    yield CardLine("Timer", f"{times}; {hours:.1f} hours of pumping a day.")
    text = (
        f"Keep the level between full, {length(tank.reservoir.freeboard, units)} below the rim, "
        f"and low water, {length(tank.reservoir.low_water, units)} above the floor."
    )
    if s is not None and s.water.reservoir.top_up_days is not None:
        store = s.water.reservoir
        text += (
            f" On hot days the plants drink {s.volume(store.daily_use)} a day: the "
            f"{s.volume(store.working)} between the marks last {store.top_up_days:.1f} days."
        )
    yield CardLine("Top up", text)


def _crops(plan: FillPlan) -> tuple[tuple[CropLine, ...], tuple[str, ...]]:
    numbers: dict[str, int] = {}

    def said(windows: tuple[Window, ...], whole: tuple[float, float]) -> str:
        each = []
        for window in windows:
            number = numbers.setdefault(str(window.evidence), len(numbers) + 1)
            when = f" {window.when}" if window.when else ""
            each.append(f"{range_text(window.low, window.high)}{when} ({number})")
        return f"{range_text(*whole)} in all\n{'; '.join(each)}"

    crops = tuple(
        CropLine(
            need.crop.name,
            said(need.windows.ec, need.windows.ec_range),
            said(need.windows.ph, need.windows.ph_range),
        )
        for need in plan.crops
    )
    return crops, tuple(numbers)


def _solution(analysis: Analysis, plan: FillPlan) -> Iterator[CardLine]:
    design = analysis.design
    if plan.fill.target_ec is not None:
        yield CardLine("Your aim", f"EC {ec_text(plan.fill.target_ec)}.")
    yield CardLine("Measure", "EC, pH and temperature twice a week.", PRACTICE)
    yield CardLine(
        "Correct",
        "EC too high: top up with plain water. Too low: top up with nutrient. Correct pH in small "
        "steps, stir and measure again.",
        PRACTICE,
    )
    yield _renewal(plan, design.units)
    cool, warm = degrees(COOL_BELOW, design.units), degrees(WARM_ABOVE, design.units)
    hot = degrees(TOO_WARM_ABOVE, design.units)
    yield CardLine(
        "Temperature",
        f"{cool} to {warm} suits most crops. Above {hot} shade the reservoir or insulate it.",
        SOURCES_DISAGREE,
    )
    oxygen, *others = water_notes(design.water.temperature, design.units)
    yield CardLine("Oxygen", oxygen.text, oxygen.source)
    for note in others:
        if note.warning:
            yield CardLine("Now", note.text, note.source)


def _power_cut(analysis: Analysis, s: WaterSituation | None) -> Iterator[CardLine]:
    if s is not None:
        store, units = s.water.reservoir, analysis.design.units
        back = f"{s.volume(store.drain_back)} run back into the reservoir"
        if store.overflow > 0:
            back += f", {s.volume(store.overflow)} of it over the rim"
        yield CardLine("At once", f"{back}; the sumps stay full.")
        if store.hours_without_pump is not None:
            thirsty = max(s.water.buckets.values(), key=lambda b: b.power_cut.peak_use)
            hourly = format_jug(thirsty.power_cut.peak_use * 1000, units)
            yield CardLine(
                "How long",
                f"In the heat of the day sump and medium last about "
                f"{store.hours_without_pump:.1f} hours; at night far longer. After that pour by "
                f"hand: a bucket drinks up to {hourly} in the hottest hour.",
                "a water balance; its grounds stand on the sheets Water",
            )
    yield CardLine(
        "Do",
        "Shade the plants, keep the lids on, and water by hand from the reservoir with a jug.",
        PRACTICE,
    )
    yield CardLine(
        "Power back",
        "Set the timer's clock, see that every feed tube runs, and look at the level.",
        PRACTICE,
    )


def _weekly(analysis: Analysis, s: WaterSituation | None) -> Iterator[CardLine]:
    units = analysis.design.units
    yield CardLine(
        "Strainer", "Pull the plug and clean the pump's strainer; wipe the reservoir.", PRACTICE
    )
    if s is None:
        return
    fed = [b for b in s.water.buckets.values() if b.flow > 0]
    if fed:
        least = min(fed, key=lambda b: b.flow)
        yield CardLine(
            "Flow",
            f"Hold a jug under bucket {analysis.bucket_label(least.bucket_id)}, which gets the "
            f"least: {format_jug(least.in_a_minute, units)} in a minute. Much less: clean barb "
            "and tube.",
        )
    yield from _blocked_drains(analysis, s)


def _blocked_drains(analysis: Analysis, s: WaterSituation) -> Iterator[CardLine]:
    """Where water comes out first were a drain blocked, and how soon at the soonest."""
    found = [s.water.blocked(run_id) for run_id in s.water.drains]
    known = [
        (one.seconds, analysis.bucket_label(one.bucket_id), one.by_hole)
        for one in found
        if one is not None and one.bucket_id is not None and one.seconds is not None
    ]
    if not known:
        return
    holes = [label for _, label, by_hole in known if by_hole]
    rims = [label for _, label, by_hole in known if not by_hole]
    where = []
    if holes:
        where.append(f"out of {'hole' if len(holes) == 1 else 'holes'} {in_words(holes)}")
    if rims:
        where.append(f"over {'bucket' if len(rims) == 1 else 'buckets'} {in_words(rims)}")
    seconds = min(known)[0]
    time = f"{seconds / 60:.0f} minutes" if seconds >= 120 else f"{seconds:.0f} seconds"
    if len(known) == 1:
        drain, when = "the drain", f"after {time} of pumping"
    else:
        drain, when = "a drain", f"after {time} of pumping at the soonest"
    yield CardLine(
        "Drain",
        f"Look at the outfall: the water runs out freely. Were {drain} blocked, water would come "
        f"{' or '.join(where)} first, {when}.",
    )


def _renewal(plan: FillPlan, units: UnitSystem) -> CardLine:
    full = format_volume(plan.volumes.reservoir, units)
    dose = plan.by_ec if plan.by_ec is not None and plan.by_ec.over <= 0 else plan.by_label
    nutrient = ""
    if dose is not None:
        name = plan.fill.nutrient or "nutrient"
        nutrient = f" with {amount_text(dose.reservoir, plan.fill.dose_unit)} of {name}"
    return CardLine(
        "New",
        f"Every one to three weeks empty the reservoir and fill it anew: {full}{nutrient}.",
        PRACTICE,
    )


def _monthly(analysis: Analysis, s: WaterSituation | None) -> Iterator[CardLine]:
    units = analysis.design.units
    yield CardLine(
        "Drain",
        "Pull the cap off the capped end and rinse the pipe; lift a tail and look for roots.",
        PRACTICE,
    )
    falls = "; ".join(dict.fromkeys(_falls(analysis, units)))
    if falls:
        text = f"Lay the level on the drain: it falls {falls} over the run.{_sag(analysis)}"
        yield CardLine("Stand", text)
    yield CardLine("Plug", "Press the test button of the GFCI or RCD: it must trip.", "from memory")
    if s is not None:
        energy = s.water.reservoir.energy
        yield CardLine("Power", f"The pump uses {energy.kilowatt_hours:.1f} kWh a month.")


def _falls(analysis: Analysis, units: UnitSystem) -> Iterator[str]:
    for layout in analysis.runs:
        fall = layout.run.drain.fall
        yield f"{length(fall, units)}, {format_slope(layout.levels.slope, units)}"


def _sag(analysis: Analysis) -> str:
    """What the rails may come to sag, the worst of all; nothing where it is not worked out."""
    if not analysis.stands_current:
        return ""
    sags = [
        (rail.sag.last, StandSituation(analysis.design, stand, analysis.catalogue))
        for stand in analysis.stands.values()
        for rail in stand.rails
        if rail.sag is not None
    ]
    if not sags:
        return ""
    most, s = max(sags, key=lambda pair: pair[0])
    return f" The rails may sag {s.sag(most)} with the years."
