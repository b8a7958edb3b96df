"""The first step: every hole in the buckets, the drain and the manifold."""

from designer.analysis import Analysis
from designer.layout.lid import feed_hole, plant_hole
from designer.layout.run import RunLayout
from designer.sheet.measure_yours import SECTION as MEASURE
from designer.sheet.measure_yours import unsure_values
from designer.sheet.steps.naming import every, grouped, of_run, tool_names
from designer.sheet.steps.step import Action, Part, Picture, Row, Step, StepTable
from designer.sheet.template import KIND_WORDS
from designer.sheet.words import checks_read, count_of, diameter, length, saw_size
from designer.takeoff.pieces import drain_line

_TOOLS = ("saw-", "drill-", "saw", "drill", "clamp", "eye-protection", "tape-measure")
_HOLES = frozenset({"drain", "hole", "letter"})


def drilling(analysis: Analysis) -> Step | None:
    """The holes; None where there is no bucket."""
    runs = [layout for layout in analysis.runs if layout.places]
    if not runs:
        return None
    count = len(analysis.places)
    return Step(
        "Drilling",
        f"All holes are made at the bench, before anything is put together: "
        f"{count_of(count, 'outlet hole')} in the buckets, as many in the drain and as many in the "
        "manifold, and those of the lids.",
        tool_names(analysis, _TOOLS),
        (),
        ("drilling",),
        (
            _before(analysis),
            _outlets(analysis, runs),
            *(
                part
                for layout in runs
                for part in (_drain(analysis, layout), _feed(analysis, layout))
            ),
            _lids(analysis, runs),
        ),
    )


def _before(analysis: Analysis) -> Part:
    actions = []
    open_faults = analysis.counts["must_fix"]
    if open_faults:
        actions.append(
            Action(f"Do not drill yet: {checks_read(open_faults)} Must fix. Mend the design first.")
        )
    if unsure_values(analysis):
        actions.append(
            Action(
                f"Measure your own parts against the page {MEASURE}. Where one differs, enter it "
                "in the program and print again."
            )
        )
    actions.append(
        Action("Print the drill templates at 100 % and measure the bars on them with a ruler.")
    )
    return Part("Before the first hole", tuple(actions))


def _outlets(analysis: Analysis, runs: list[RunLayout]) -> Part:
    units = analysis.design.units
    rows = grouped(
        analysis,
        [
            (
                (
                    place.part.name,
                    length(layout.run.outlet.height, units),
                    saw_size(layout.parts.outlet_saw, units),
                    layout.parts.grommet.name,
                ),
                place,
            )
            for layout, place in every(runs)
        ],
    )
    table = StepTable(
        "Outlet hole of each bucket",
        "Height of the hole's centre above the outside of the base, measured upright. The "
        "template gives it along the wall.",
        ("Bucket", "Hole above base", "Hole saw", "Grommet", "Letters"),
        (38, 26, 28, 42, 46),
        rows,
    )
    return Part(
        "Outlet holes in the buckets",
        (
            Action("Write its letter on each bucket."),
            Action("Tape the template on, or measure, and mark the hole's centre on each bucket."),
            Action("Drill one hole and try its grommet before you drill the others.", True),
            Action(
                f"Drill the rest, {count_of(len(analysis.places), 'hole')} in all. Deburr them."
            ),
        ),
        (table,),
    )


def _lids(analysis: Analysis, runs: list[RunLayout]) -> Part:
    units = analysis.design.units
    rows = grouped(
        analysis,
        [
            (
                (
                    place.part.name,
                    str(place.crop.plants_per_bucket),
                    length(plant_hole(layout.run, place.crop), units),
                    diameter(feed_hole(layout.parts.feed_tube), units),
                ),
                place,
            )
            for layout, place in every(runs)
        ],
    )
    table = StepTable(
        "Holes in each lid",
        "One hole for each plant and one for the feed tube; measured across.",
        ("Lid of", "Plant holes", "Across each", "Feed tube's hole", "Letters"),
        (40, 24, 28, 34, 54),
        rows,
        (1, 2, 3),
    )
    template = KIND_WORDS["lid"]
    actions = (
        Action(
            "Cut the plants' holes of the table in each lid, with a hole saw or a sharp knife. "
            f"The drill template {template}, which is printed when you ask for it, has their "
            "places.",
            True,
        ),
        Action("Drill the feed tube's hole in each lid, on the outlet side. Deburr all.", True),
    )
    return Part("Holes in the lids", actions, (table,))


def _drain(analysis: Analysis, layout: RunLayout) -> Part:
    units, parts = layout.units, layout.parts
    pieces = drain_line(layout).stretches[0]
    actions = []
    if len(pieces) > 1:
        actions.append(
            Action(
                f"Cut the first {len(pieces)} pieces of the drain, join them dry with their "
                "couplings and lay them straight."
            )
        )
    else:
        actions.append(Action("Cut the drain to its length from the cut list."))
    saw = saw_size(parts.drain_saw, units)
    actions += [
        Action("Draw one straight line along the top of the pipe: the crown.", True),
        Action("Hook the tape at the capped end and mark each hole on the line, with its letter."),
        Action(
            "Check each mark by its distance from the hole before, or with the template "
            f"{KIND_WORDS['drain']}."
        ),
        Action(
            f"Drill {count_of(len(layout.places), 'hole')} with the {saw} hole saw. Deburr them "
            "inside and out."
        ),
    ]
    rows, before = [], 0.0
    for place in layout.from_cap:
        from_cap = layout.run.length - place.station
        cells = (
            analysis.bucket_label(place.bucket.id),
            place.bucket.side,
            length(from_cap, units),
            length(from_cap - before, units),
        )
        rows.append(Row(cells, (place.bucket.id,)))
        before = from_cap
    table = StepTable(
        of_run(analysis, layout, "Hole schedule of drain and manifold"),
        f"In the crown of the {parts.drain.name}, and at the same distances in the manifold. "
        "Measure every hole from the capped end; the distance from the hole before is a check. "
        "Left and right are as seen from the outlet end. From the last hole to the outlet end: "
        f"{length(layout.run.length - before, units)}.",
        ("Hole", "Side", "From the capped end", "From the hole before"),
        (24, 28, 48, 48),
        tuple(rows),
        (2, 3),
    )
    count = count_of(len(layout.places), "hole")
    caption = of_run(analysis, layout, f"From above: the {count} in the drain")
    picture = Picture(layout.run.id, "plan", caption, _HOLES, "holes")
    return Part(
        of_run(analysis, layout, "Holes in the drain"), tuple(actions), (table,), (picture,)
    )


def _feed(analysis: Analysis, layout: RunLayout) -> Part:
    parts = layout.parts
    size = diameter(parts.barb.hole_diameter, layout.units)
    return Part(
        of_run(analysis, layout, "Holes in the manifold"),
        (
            Action(f"Try a hole of {size} on a scrap of tube: the barb must hold.", True),
            Action(
                f"Make {count_of(len(layout.places), 'hole')} of {size} in the "
                f"{parts.manifold.name}, at the distances of the drain's holes, from its plugged "
                "end. Keep them in one line."
            ),
        ),
    )
