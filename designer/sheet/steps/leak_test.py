"""The sixth step: clear water through the whole bed before anything is planted."""

from designer.analysis import Analysis
from designer.layout.site import ReservoirLayout
from designer.sheet.steps.naming import every, grouped, of_run, tool_names
from designer.sheet.steps.step import Action, Part, Picture, Step, StepTable
from designer.sheet.words import length
from designer.units import UnitSystem, format_jug, format_volume
from designer.water.bed.solution import BedWater

_SHOWN = frozenset({"reservoir", "water", "water_line", "low_water", "drain"})


def leak_test(analysis: Analysis) -> Step | None:
    """The leak test; None without a reservoir or a bucket."""
    tank, water = analysis.reservoir, analysis.water if analysis.water_current else None
    runs = [layout for layout in analysis.runs if layout.places]
    if tank is None or not runs:
        return None
    units = analysis.design.units
    caption = of_run(analysis, runs[0], "From the side: the reservoir, its levels and the drain")
    picture = Picture(runs[0].run.id, "elevation", caption, _SHOWN)
    parts = [Part("Fill and look", _filling(tank, units), pictures=(picture,))]
    if water is not None:
        if water.feed.running:
            parts.append(_flows(analysis, water))
        parts.append(Part("Stop the pump", _stopping(water, units)))
    return Step(
        "Leak test",
        "What drips now is quickly mended; under a full bed it is not.",
        tool_names(analysis, ("jug", "tape-measure", "marker")),
        (),
        ("leaks", "electricity", "water"),
        tuple(parts),
    )


def _filling(tank: ReservoirLayout, units: UnitSystem) -> tuple[Action, ...]:
    full = length(tank.reservoir.freeboard, units)
    low = length(tank.reservoir.low_water, units)
    return (
        Action(
            f"Mark the full level inside the reservoir, {full} below its rim, and low water, {low} "
            "above its floor."
        ),
        Action(
            f"Fill it to the full level with clear water: {format_volume(tank.litres_full, units)}."
        ),
        Action("Plug the pump in and let it run. Top up to the full level while the bed fills."),
        Action("Look under every grommet and barb, at every joint and hole; mend what drips."),
        Action("Look into the outfall: the water runs out freely and falls into the reservoir."),
    )


def _flows(analysis: Analysis, water: BedWater) -> Part:
    units = analysis.design.units
    highest = max(water.buckets.values(), key=lambda bucket: bucket.high)
    label = analysis.bucket_label(highest.bucket_id)
    rows = grouped(
        analysis,
        [
            (
                (
                    "none: tied off"
                    if place.bucket.feed == "tied_off"
                    else format_jug(water.buckets[place.bucket.id].in_a_minute, units),
                ),
                place,
            )
            for _, place in every(water.runs)
        ],
    )
    table = StepTable(
        "What each feed tube gives in a minute",
        "As worked out for this design, to two figures; good to a quarter or so. Look first at a "
        "tube that gives less than half: its barb may be blocked (common practice, no source).",
        ("In a minute", "Letters"),
        (40, 140),
        rows,
        (0,),
    )
    actions = [
        Action("Hold a jug under a few feed tubes for a minute each and compare with the table.")
    ]
    if highest.high > 0:
        actions.append(
            Action(
                f"Look into the buckets: the water stands {length(highest.high, units)} over the "
                f"outlet at most, highest in bucket {label}."
            )
        )
    return Part("Measure the flow", tuple(actions), (table,))


def _stopping(water: BedWater, units: UnitSystem) -> tuple[Action, ...]:
    store = water.reservoir
    back = format_volume(store.drain_back, units)
    left = f"{length(store.freeboard, units)} below the rim"
    if store.overflow > 0:
        left = f"the rim: {format_volume(store.overflow, units)} would run over, so fill less"
    return (
        Action(f"Stop the pump after an hour. About {back} run back; the level comes to {left}."),
        Action("Wait a quarter of an hour: every bucket stops at its outlet, nothing drips.", True),
        Action("Empty the reservoir, wash out the swarf and clean the pump's strainer.", True),
    )
