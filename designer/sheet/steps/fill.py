"""The seventh step: medium into the buckets, solution into the bed, plants."""

from collections.abc import Iterator

from designer.analysis import Analysis
from designer.sheet.steps.card import SECTION as CARD
from designer.sheet.steps.naming import every, extras_taken, grouped, tool_names
from designer.sheet.steps.step import Action, Part, Step, StepTable
from designer.sheet.words import length
from designer.takeoff.fill import FillPlan, fill_plan
from designer.takeoff.fill_words import medium_lines, nutrient_lines, solution_lines
from designer.units import format_volume


def fill(analysis: Analysis) -> Step | None:
    """Filling and planting; None where there is no bucket."""
    plan = fill_plan(analysis)
    if not plan.bucket_count:
        return None
    units = analysis.design.units
    takes = tuple(
        (medium.need.medium.name, f"{format_volume(medium.need.to_buy, units)}, loose")
        for medium in plan.media
    )
    wanted = ("liner-bag", "bucket-lid", "plant-", "nutrient", "ph-down", "ph-up")
    takes += extras_taken(analysis, wanted)
    parts = [_medium(analysis, plan)]
    if analysis.reservoir is not None:
        parts.append(Part("The solution", tuple(_solution(analysis, plan))))
    parts.append(_plants(analysis))
    return Step(
        "Fill and plant",
        "Fill the buckets where they stand, then mix the solution, then plant.",
        tool_names(analysis, ("dust-mask", "jug", "ec-meter", "ph-meter", "thermometer")),
        takes,
        ("dust", "lifting"),
        tuple(parts),
    )


def _medium(analysis: Analysis, plan: FillPlan) -> Part:
    units = analysis.design.units
    alike = {(one.part, one.medium, one.depth): one for one in plan.buckets}
    rows = grouped(
        analysis,
        [
            (
                (
                    place.part.name,
                    one.medium.name,
                    length(one.depth, units),
                    format_volume(one.settled, units),
                    format_volume(one.poured, units),
                ),
                place,
            )
            for layout, place in every(analysis.runs)
            for one in (alike[place.part, layout.parts.medium, layout.run.medium_depth],)
        ],
    )
    table = StepTable(
        "Medium in each bucket",
        "Deep is measured from the base inside. It settles when it is watered in, so more is "
        "poured than stays.",
        ("Bucket", "Medium", "Deep", "Stays", "Pour", "Letters"),
        (40, 34, 22, 22, 22, 40),
        rows,
        (2, 3, 4),
    )
    bags = [line for line in medium_lines(plan, units) if line.label.startswith("Bags of ")]
    actions = [
        *(Action(f"{line.label}: {line.text}.") for line in bags),
        Action("Wash fine dust out of the wetted medium, away from the bed.", True),
        Action("Set the liner bag in each bucket, over the inner elbow.", True),
        Action(
            "Fill each bucket to the depth of the table, both sides by turns, and water it in. Top "
            "up what settles."
        ),
    ]
    return Part("The medium", tuple(actions), (table,))


def _solution(analysis: Analysis, plan: FillPlan) -> Iterator[Action]:
    units, fill = analysis.design.units, plan.fill
    for line in solution_lines(plan, units):
        if line.label in ("First fill", "While it runs"):
            yield Action(f"{line.label}, {line.text}.")
    if fill.label_rate is not None:
        for line in nutrient_lines(plan, units):
            if not line.text.startswith("type "):
                yield Action(f"{line.label}: {line.text}.")
    else:
        yield Action("Nutrient: measure it by the rate on its own label, for so much solution.")
    yield Action("Stir, let the pump run a round, then measure EC and pH.", True)
    yield Action(f"Correct them to the windows on the page {CARD}.")


def _plants(analysis: Analysis) -> Part:
    rows = grouped(
        analysis,
        [
            ((place.crop.name, str(place.crop.plants_per_bucket)), place)
            for _, place in every(analysis.runs)
        ],
    )
    table = StepTable(
        "What grows where",
        "",
        ("Crop", "In each bucket", "Letters"),
        (74, 30, 76),
        rows,
        (1,),
    )
    actions = [
        Action("Set the plants as in the table, their roots in the wetted medium.", True),
        Action("Lead the end of each feed tube close to its plant, not against the stem.", True),
        Action("Close the lids round the plants, to keep out light and insects.", True),
    ]
    if analysis.reservoir is not None:
        actions.append(Action(f"Set the timer as on the page {CARD} and hang that page up."))
    return Part("The plants", tuple(actions), (table,))
