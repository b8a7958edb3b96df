"""The fourth step: the outlets go together and every bucket stands over its hole."""

from designer.analysis import Analysis
from designer.layout.run import RunLayout
from designer.sheet.steps.naming import (
    every,
    grouped,
    in_a_sentence,
    of_run,
    parts_taken,
    tool_names,
)
from designer.sheet.steps.step import Action, Part, Picture, Step, StepTable
from designer.sheet.words import count_of, length

_TOOLS = ("saw", "tape-measure", "abrasive", "eye-protection")
_SHOWN = frozenset({"rim", "base", "nipple", "elbow", "letter"})


def buckets(analysis: Analysis) -> Step | None:
    """The buckets of every run; None where there is none."""
    runs = [layout for layout in analysis.runs if layout.places]
    if not runs:
        return None
    return Step(
        "Buckets",
        "Each bucket drains through a grommet, a nipple and two elbows into its own hole.",
        tool_names(analysis, _TOOLS),
        parts_taken(analysis, "Buckets and outlets"),
        (),
        tuple(_run(analysis, layout) for layout in runs),
    )


def _run(analysis: Analysis, layout: RunLayout) -> Part:
    units, run, parts, count = layout.units, layout.run, layout.parts, len(layout.places)
    nipple = length(run.outlet.nipple_length, units)
    actions = (
        Action(
            f"Cut {count_of(count, 'nipple')} of {nipple} and the tails of the table from the "
            f"{parts.outlet_pipe.name}. Deburr both ends."
        ),
        Action(
            f"Press a {in_a_sentence(parts.grommet.name)} into each outlet hole, dry and clean."
        ),
        Action(
            f"Wet the nipple and push it through. Push an elbow ({parts.elbow.name}) on each "
            "end, the one inside and the one outside both facing down.",
            True,
        ),
        Action("Push each tail home into its outer elbow."),
        Action(
            "Set each bucket at its letter and side, by the table, with the outer elbow straight "
            "over its hole."
        ),
        Action(
            f"Look down each hole: the tail reaches {length(layout.tail_limits.reach, units)} or "
            "more below the crown, hangs free and does not touch the bottom."
        ),
    )
    caption = of_run(
        analysis, layout, f"From above: {count_of(count, 'bucket')}, outlets over the drain"
    )
    pictures = [Picture(run.id, "plan", caption, _SHOWN)]
    if layout is next(one for one in analysis.runs if one.places):
        caption = of_run(analysis, layout, "Cut across: a bucket with its outlet, over its hole")
        pictures.insert(0, Picture(run.id, "section", caption))
    return Part(
        of_run(analysis, layout, "The buckets"),
        actions,
        (_table(analysis, layout),),
        tuple(pictures),
    )


def _table(analysis: Analysis, layout: RunLayout) -> StepTable:
    units = layout.units
    rows = grouped(
        analysis,
        [
            (
                (
                    place.bucket.side,
                    place.part.name,
                    length(place.assembly.bucket_axis, units),
                    length(layout.tail_length(place), units),
                ),
                place,
            )
            for _, place in sorted(
                every([layout]), key=lambda pair: (pair[1].bucket.side, -pair[1].station)
            )
        ],
    )
    return StepTable(
        of_run(analysis, layout, "Where each bucket stands, and its tail"),
        "Left and right are as seen from the outlet end. The distance is from the drain's line to "
        "the middle of the bucket.",
        ("Side", "Bucket", "From the drain's line", "Tail", "Letters"),
        (16, 40, 36, 18, 70),
        rows,
        (2, 3),
    )
