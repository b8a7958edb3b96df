"""The third step: the drain on its shims, and on to the reservoir."""

from designer.analysis import Analysis
from designer.layout.run import RunLayout
from designer.sheet.steps.naming import extras_taken, in_a_sentence, of_run, parts_taken, tool_names
from designer.sheet.steps.stand import above_ground
from designer.sheet.steps.step import Action, Part, Picture, Row, Step, StepTable
from designer.sheet.words import length
from designer.takeoff.pieces import cut_list, drain_line
from designer.units import format_slope

_TOOLS = ("saw", "level", "tape-measure", "eye-protection")
_SHOWN = frozenset({"drain", "drain_wall", "shim", "reservoir"})


def drain(analysis: Analysis) -> Step | None:
    """The drain of every run; None without a run."""
    if not analysis.runs:
        return None
    return Step(
        "Drain",
        "The pipe lies on the shims with its holes straight up and falls from the capped end to "
        "the reservoir.",
        tool_names(analysis, _TOOLS),
        parts_taken(analysis, "Drain") + extras_taken(analysis, ("wedge",)),
        ("cement",) if any(_joined(layout) for layout in analysis.runs) else (),
        tuple(_run(analysis, layout) for layout in analysis.runs),
    )


def _joined(layout: RunLayout) -> bool:
    """Whether the drain is put together from more than one piece."""
    line = drain_line(layout)
    return line.couplings + len(line.bends) > 0


def _run(analysis: Analysis, layout: RunLayout) -> Part:
    units, run, parts = layout.units, layout.run, layout.parts
    slope = format_slope(layout.levels.slope, units)
    actions = [Action("Cut the pipe to the length of the table.")]
    if _joined(layout):
        actions = [
            Action("Put the pieces together dry, in the order of the table, and mark each joint.")
        ]
    actions += [
        Action(
            f"Push the {in_a_sentence(parts.cap.name)} on by hand and leave it loose: the "
            "pipe is cleaned there."
        ),
        Action("Lay the pipe on the shims, the capped end at its end of the string, holes up."),
        Action(f"Check its fall over the run: {length(run.drain.fall, units)}, {slope}."),
    ]
    if run.return_path:
        end = "over the reservoir" if analysis.reservoir is not None else "where the water leaves"
        actions.append(
            Action(
                f"Lead it {length(layout.return_length, units)} further, falling "
                f"{length(run.return_fall, units)}, so that it ends {end}, the floor of "
                f"its bore {above_ground(layout.outfall_invert, units)}."
            )
        )
    actions += [
        Action(
            "Push a wedge against the pipe on each side at every support, so that it cannot "
            "roll: its holes stay straight up.",
            True,
        ),
        Action("Pour a bucket of water in at the first hole: no pool may stay in the pipe.", True),
    ]
    caption = of_run(analysis, layout, "From the side: the drain on its shims")
    pictures = [Picture(run.id, "elevation", caption, _SHOWN)]
    if analysis.reservoir is not None:
        caption = of_run(analysis, layout, "Cut through the reservoir: where the water falls in")
        pictures.append(Picture(run.id, "return end", caption))
    return Part(
        of_run(analysis, layout, "The drain"),
        tuple(actions),
        (_pieces(analysis, layout),),
        tuple(pictures),
    )


def return_path_note(layout: RunLayout) -> str:
    """What the lengths of the return path do not hold; nothing where it has no elbow."""
    if not drain_line(layout).bends:
        return ""
    return (
        "Measure the pieces of the return path again on the bed: they run to the corner points, "
        "so take off what your elbows add."
    )


def _pieces(analysis: Analysis, layout: RunLayout) -> StepTable:
    mark = f"{analysis.run_number(layout)}." if len(analysis.runs) > 1 else ""
    rows = [
        Row((piece.label, length(piece.length, layout.units), piece.use))
        for piece in cut_list(analysis)
        if piece.kind == "drain" and piece.label.startswith(f"Drain {mark}")
    ]
    return StepTable(
        of_run(analysis, layout, "Pieces of the drain, from the capped end"),
        return_path_note(layout),
        ("Piece", "Length", "Where"),
        (28, 34, 118),
        tuple(rows),
        (1,),
    )
