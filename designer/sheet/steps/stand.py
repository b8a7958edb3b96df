"""The second step: the reservoir's place, the stacks, the rails and the shims."""

from string import ascii_lowercase

from designer.analysis import Analysis
from designer.layout.run import RunLayout
from designer.layout.site import ReservoirLayout
from designer.sheet.steps.naming import of_run, parts_taken, tool_names
from designer.sheet.steps.step import Action, Part, Picture, Row, Step, StepTable
from designer.sheet.words import count_of, courses, in_words, length
from designer.takeoff.pieces import cut_list
from designer.units import UnitSystem

_TOOLS = ("level", "string-line", "tape-measure", "saw", "spade", "eye-protection")
_ON_LINE = 0.5
"""Lengths this much apart are one on a tape measure, mm."""
_SHOWN = frozenset({"block", "shim", "rail", "ground", "ground_hatch", "reservoir"})


def stand(analysis: Analysis) -> Step | None:
    """The stand of every run and the place of the reservoir; None where there is neither."""
    parts = []
    if analysis.reservoir is not None:
        parts.append(_reservoir(analysis, analysis.reservoir))
    parts += [_stand(analysis, layout) for layout in analysis.runs]
    if not parts:
        return None
    return Step(
        "Stand and shims",
        "The stacks are set level with each other; the shims alone make the fall of the drain.",
        tool_names(analysis, _TOOLS),
        parts_taken(analysis, "Stand"),
        ("stand", "lifting", *(("water",) if analysis.reservoir is not None else ())),
        tuple(parts),
    )


def above_ground(level: float, units: UnitSystem) -> str:
    """A level over the ground by the bed: "120 mm above the ground"."""
    side = "above" if level >= 0 else "below"
    return f"{length(abs(level), units)} {side} the ground"


def _reservoir(analysis: Analysis, tank: ReservoirLayout) -> Part:
    units, sunk = analysis.design.units, tank.reservoir.sunk
    high = f"Its rim then stands {above_ground(tank.rim_level, units)}."
    places = [Action(_place(analysis, layout, tank)) for layout in analysis.runs[:1]]
    if sunk <= 0:
        set_it = Action(f"Set the {tank.part.name} level on firm ground there. {high}")
        return Part("The reservoir", (*places, set_it))
    return Part(
        "The reservoir",
        (
            *places,
            Action("Find out where pipes and cables lie in the ground before you dig.", True),
            Action(
                f"Dig a hole {length(sunk, units)} deep for the {tank.part.name}, with a firm, "
                f"level floor. {high}"
            ),
        ),
    )


def _place(analysis: Analysis, layout: RunLayout, tank: ReservoirLayout) -> str:
    """Where the reservoir stands, from the outlet end and the drain's line, and how large it is."""
    units, part = layout.units, tank.part
    size = f"{length(part.rim_length, units)} across"
    if part.shape != "round":
        size = f"{length(part.rim_length, units)} by {length(part.rim_width, units)}"
    station, offset = tank.of_run(layout)
    end = "the outlet end" + (f" of {layout.run.name}" if len(analysis.runs) > 1 else "")
    along = f"beyond {end}" if station <= 0 else f"from {end} towards its capped end"
    where = f"{length(abs(station), units)} {along}"
    if abs(offset) >= _ON_LINE:
        side = "left" if offset > 0 else "right"
        where += f" and {length(abs(offset), units)} {side} of the drain's line, as seen from there"
    else:
        where += ", on the drain's line"
    words = (
        f"Mark the reservoir's place, {size} inside the rim{_lies(layout, tank)}. Its middle lies "
        f"{where}."
    )
    beyond = tank.rim_beyond(layout)
    if beyond > 0:
        words += f" The near rim is then {length(beyond, units)} beyond the outlet end."
    return words


def _lies(layout: RunLayout, tank: ReservoirLayout) -> str:
    """How the length of a reservoir that is not round lies."""
    if tank.part.shape == "round" or abs(tank.part.rim_length - tank.part.rim_width) < _ON_LINE:
        return ""
    turn = round(tank.reservoir.turn - layout.run.heading) % 180
    lies = {0: "along the drain's line", 90: "across the drain's line"}
    other = f"turned {turn}° from the drain's line"
    return f", its length {lies.get(turn, other)}"


def _stand(analysis: Analysis, layout: RunLayout) -> Part:
    units, run, parts, levels = layout.units, layout.run, layout.parts, layout.levels
    across = count_of(len(layout.block_offsets), "block")
    edge = "on edge" if run.stand.on_edge else "flat"
    offsets = in_words([length(offset, units) for offset in layout.rail_offsets])
    top, far = levels.rail_top(0.0), levels.rail_top(run.length)
    height = f"{length(top, units)} above the ground"
    if run.stand.follow_fall:
        height += f" at the outlet end and {length(far, units)} at the capped end"
    actions = [
        Action(
            f"Stretch a string over the drain's line, {length(run.length, units)} from the outlet "
            "end to the capped end."
        ),
        Action("Mark the middle of each support on the ground under the string, by the table."),
        Action(
            f"Build each stack of {parts.block.name}: {across} end to end across the string, as "
            "many courses high as in the table, on firm ground."
        ),
        Action(
            "Bring the tops level with each other, "
            f"{above_ground(levels.block_top, units)}, with a straight board and the spirit level."
        ),
        *(Action(words) for words in _rails(analysis, layout)),
        Action(
            f"Lay the rails {edge} on the stacks, their centre lines {offsets} from the string on "
            "each side."
        ),
        Action(f"Check: the top of the rails stands {height}."),
        Action("Lay the shims of the table on the stacks, in line under the string."),
    ]
    count = count_of(len(layout.shims), "support")
    caption = of_run(analysis, layout, f"From the side: {count}, rails and shims")
    return Part(
        of_run(analysis, layout, "The stand"),
        tuple(actions),
        (_supports(analysis, layout),),
        (Picture(layout.run.id, "elevation", caption, _SHOWN, "supports"),),
    )


def _rails(analysis: Analysis, layout: RunLayout) -> list[str]:
    """Which pieces of board the rails are cut from, one sentence for each length."""
    alone, mark = len(analysis.runs) == 1, f"Rail {analysis.run_number(layout)}"
    return [
        f"Cut {piece.count} of {length(piece.length, layout.units)} from {piece.part}: "
        f"{piece.label}."
        for piece in cut_list(analysis)
        if piece.kind == "rail" and (alone or piece.label.rstrip(ascii_lowercase) == mark)
    ]


def _supports(analysis: Analysis, layout: RunLayout) -> StepTable:
    """The supports from the capped end on: where each stands, how high, and its shims."""
    units, end = layout.units, layout.run.length
    found: list[tuple[float, str, float, float]] = []
    if analysis.stands_current:
        for one in analysis.stands[layout.run.id].supports:
            found.append((one.station, courses(one.stack, units), one.shim, one.rail_shim))
    else:
        found += [(at, str(layout.blocks_high), shim, 0.0) for at, shim in layout.shims]
    shims = any(rail > 0 for *_, rail in found)
    rows = [
        Row(
            (
                str(number),
                length(end - station, units),
                length(station, units),
                _shim(shim, units),
                high,
                *((_shim(rail, units),) if shims else ()),
            )
        )
        for number, (station, high, shim, rail) in reversed(list(enumerate(found, 1)))
    ]
    heads = ("Support", "From the capped end", "From the outlet end", "Shim under the drain")
    widths = (18, 34, 34, 32)
    return StepTable(
        of_run(analysis, layout, "Shim schedule of the supports"),
        "Supports are numbered from the outlet end. Blocks high counts courses.",
        (*heads, "Blocks high", *(("Under the rails",) if shims else ())),
        (*widths, 34 if shims else 62, *((28,) if shims else ())),
        tuple(rows),
        (1, 2, 3),
    )


def _shim(thickness: float, units: UnitSystem) -> str:
    return length(thickness, units) if thickness > 0 else "none"
