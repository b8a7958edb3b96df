"""The fifth step: the manifold, its feed tubes and the pump."""

from designer.analysis import Analysis
from designer.layout.run import RunLayout
from designer.layout.site import ReservoirLayout
from designer.model.parts import EmitterPart
from designer.sheet.steps.naming import (
    every,
    extras_taken,
    grouped,
    in_a_sentence,
    of_run,
    parts_taken,
    tool_names,
)
from designer.sheet.steps.step import Action, Part, Picture, Step, StepTable
from designer.sheet.words import count_of, length
from designer.takeoff.quantities import manifold_length

_TOOLS = ("drill-", "drill", "eye-protection", "saw", "tape-measure")
_SHOWN = frozenset({"manifold", "feed", "letter"})
SIPHON_BREAK = (
    "Drill one air hole of about 3 mm (1/8 in), the siphon break, in the tube from the pump, above "
    "the full level and inside the reservoir. It lets air in when the pump stops, so that the "
    "water in the manifold does not siphon back. A little water spurts from it while the pump runs."
)


def feed(analysis: Analysis) -> Step | None:
    """The feed of every run; None where there is no bucket."""
    runs = [layout for layout in analysis.runs if layout.places]
    if not runs:
        return None
    takes = parts_taken(analysis, "Feed") + parts_taken(analysis, "Reservoir and pump")
    takes += extras_taken(analysis, ("cable-tie", "hose-clamp", "timer", "reservoir-cover"))
    parts = [_run(analysis, layout) for layout in runs]
    if analysis.reservoir is not None:
        parts.append(_pump(analysis.reservoir))
    return Step(
        "Feed",
        "One tube carries the water from the pump along the run; a small tube leads from it to "
        "each bucket.",
        tool_names(analysis, _TOOLS),
        takes,
        ("electricity",),
        tuple(parts),
    )


def _run(analysis: Analysis, layout: RunLayout) -> Part:
    units, parts, manifold = layout.units, layout.parts, layout.run.manifold
    count = len(layout.places)
    tube = length(manifold_length(analysis, layout), units)
    source = "from the pump to the capped end" if analysis.reservoir else "along the run"
    side = "left" if manifold.offset > 0 else "right"
    where = "over the drain's line"
    if manifold.offset:
        where = f"{length(abs(manifold.offset), units)} {side} of the drain's line"
    height = length(abs(manifold.height), units)
    where += f", {height} {'above' if manifold.height >= 0 else 'below'} the top of the rails"
    actions = [
        Action(
            f"Lay {tube} of {parts.manifold.name} {source}, without kinks, and close its far end "
            f"with the {in_a_sentence(parts.plug.name)}."
        ),
        Action(
            f"Hold it {where}, its holes at their letters. Fix it there with a cable tie at each "
            "bucket, round the nipple that it passes or the outer elbow, or round a stake where "
            "neither is near. The tie is snug, the nipple stays straight.",
            True,
        ),
        Action(f"Push a {parts.barb.name} into each of the {count_of(count, 'hole')}."),
        Action(
            f"Cut {count_of(count, 'feed tube')} of {length(manifold.feed_length, units)} from "
            f"{parts.feed_tube.name}, push each on its barb and lead it over the rim to the middle "
            "of its bucket."
        ),
        Action("Hold each feed tube at its bucket with another cable tie.", True),
    ]
    if manifold.valve < 1:
        actions.append(
            Action(
                f"Fit a valve at the head of the run and open it {100 * manifold.valve:.0f} %; set "
                "it by the flows of the leak test."
            )
        )
    caption = of_run(
        analysis, layout, f"From above: the manifold and {count_of(count, 'feed tube')}"
    )
    return Part(
        of_run(analysis, layout, "The manifold"),
        tuple(actions),
        (_table(analysis, layout),),
        (Picture(layout.run.id, "plan", caption, _SHOWN),),
    )


def _table(analysis: Analysis, layout: RunLayout) -> StepTable:
    units, manifold = layout.units, layout.run.manifold
    ends = "open"
    if manifold.emitter is not None:
        ends = analysis.catalogue.part(manifold.emitter, EmitterPart).name
    rows = grouped(
        analysis,
        [
            (
                (
                    length(manifold.feed_length, units),
                    "tie it off" if place.bucket.feed == "tied_off" else ends,
                ),
                place,
            )
            for _, place in every([layout])
        ],
    )
    return StepTable(
        of_run(analysis, layout, "Feed tubes"),
        "",
        ("Length", "Its end", "Letters"),
        (30, 60, 90),
        rows,
        (0,),
    )


def _pump(tank: ReservoirLayout) -> Part:
    actions = [
        Action(
            f"Stand the pump ({tank.pump.name}) on the floor of the reservoir, push the tube on "
            "and clamp it."
        ),
    ]
    if tank.reservoir.siphon_break:
        actions.append(Action(SIPHON_BREAK, True))
    if tank.reservoir.bypass > 0:
        actions.append(
            Action(
                "Fit a valve at the pump that lets water straight back, and open it "
                f"{100 * tank.reservoir.bypass:.0f} %."
            )
        )
    actions += [
        Action(
            "Cover the reservoir. Notch the edge of the cover for the drain, the tube and "
            "the pump's cable, no wider than they need.",
            True,
        ),
        Action("Leave the pump unplugged until the leak test."),
    ]
    return Part("The pump", tuple(actions))
