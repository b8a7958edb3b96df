"""Remedies of the stand, each tried on a copy of the run before it is offered."""

from collections.abc import Callable, Iterator
from functools import partial

from designer.checks.finding import Remedy
from designer.checks.refit import refit_tails
from designer.checks.stand.situation import StandSituation
from designer.layout.run import lay_out_run
from designer.model import edits
from designer.model.design import Design
from designer.model.parts import BoardPart
from designer.stand.bed.record import StandResult
from designer.stand.bed.solution import solve_stand

Edit = Callable[[Design], Design]
Holds = Callable[[StandResult], bool]

MOST_MORE = 6
"""No remedy adds more supports than this."""
_HALVINGS = 12


def works(s: StandSituation, edit: Edit, holds: Holds) -> bool:
    """Whether a stand holds after an edit."""
    design = edit(s.design)
    catalogue = s.catalogue.with_own(design.own_parts)
    layout = lay_out_run(design.run(s.id), design.units, catalogue)
    return holds(solve_stand(design, layout, catalogue))


def stiffer(s: StandSituation, holds: Holds) -> list[Remedy]:
    """Ways to relieve or strengthen the rails, each of which holds by itself."""
    turned = on_edge(s, holds)
    boards = [] if turned else next_board(s, holds)
    return [*more_supports(s, holds), *turned, *boards, *two_rails_a_side(s, holds)]


def more_supports(s: StandSituation, holds: Holds) -> list[Remedy]:
    """Supports moved apart evenly where that does it; else as few more as do."""
    run = s.stand.layout.run
    count = len(set(run.stand.supports))
    for number in range(max(count, 2), max(count, 2) + MOST_MORE + 1):
        stations = edits.even_supports(run.length, number)
        if tuple(sorted(run.stand.supports)) == stations:
            continue
        edit = partial(edits.set_supports, run_id=s.id, stations=stations)
        if works(s, edit, holds):
            word = "Move the supports apart evenly"
            if number != count:
                word = f"Set {number} supports evenly"
            return [Remedy(word, edit)]
    return []


def on_edge(s: StandSituation, holds: Holds) -> list[Remedy]:
    """The same rails turned on edge."""
    if s.stand.layout.run.stand.on_edge:
        return []
    edit = _with_board(s, s.stand.layout.parts.rail, on_edge=True)
    return [Remedy("Turn the rails on edge", edit)] if works(s, edit, holds) else []


def next_board(s: StandSituation, holds: Holds) -> list[Remedy]:
    """The least board of the shop that holds, lying as the rails do now or else on edge."""
    lying = s.stand.layout.run.stand.on_edge
    for edge in dict.fromkeys((lying, True)):
        for board in _boards(s):
            edit = _with_board(s, board, on_edge=edge)
            if works(s, edit, holds):
                how = "on edge" if edge else "laid flat"
                return [Remedy(f"Use {board.name} {how} for the rails", edit)]
    return []


def _boards(s: StandSituation) -> Iterator[BoardPart]:
    """Boards of the person's measure with more wood than the rails', the least first."""
    now = s.stand.layout.parts.rail
    inch = "lumber" if s.units == "imperial" else "timber"
    boards = [
        part
        for part in s.catalogue.of_kind("board")
        if isinstance(part, BoardPart) and part.id.startswith(inch)
    ]
    for board in sorted(boards, key=lambda b: b.width * b.thickness):
        if board.id != now.id and board.width * board.thickness > now.width * now.thickness:
            yield board


def _with_board(s: StandSituation, board: BoardPart, *, on_edge: bool) -> Edit:
    """Other rails on the same blocks: the buckets stand as much higher or lower, and the tails
    are cut to fit."""
    depth = board.width if on_edge else board.thickness
    height = s.stand.layout.levels.block_top + depth
    run_id, catalogue = s.id, s.catalogue

    def apply(design: Design) -> Design:
        design = edits.set_run_part(
            design, run_id, "stand", rail=board.id, on_edge=on_edge, height=height
        )
        return refit_tails(design, run_id, catalogue)

    return apply


def two_rails_a_side(s: StandSituation, holds: Holds) -> list[Remedy]:
    """Two rails under each bucket instead of one."""
    if s.stand.layout.run.stand.rails == 4:
        return []
    run_id = s.id

    def apply(design: Design) -> Design:
        return edits.set_run_part(design, run_id, "stand", rails=4)

    return [Remedy("Lay two rails a side", apply)] if works(s, apply, holds) else []


def lower(s: StandSituation, holds: Holds) -> list[Remedy]:
    """The stand lowered as little as will do, down to one course of blocks at the least."""
    layout = s.stand.layout
    run_id, catalogue = s.id, s.catalogue
    now = layout.run.stand.height
    least = layout.parts.block.height + layout.levels.rail_depth

    def at(height: float) -> Edit:
        def apply(design: Design) -> Design:
            return refit_tails(edits.set_stand_height(design, run_id, height), run_id, catalogue)

        return apply

    low, high = 0.0, s.down(now - least)
    if high <= 0 or not works(s, at(now - high), holds):
        return []
    for _ in range(_HALVINGS):
        middle = s.up((low + high) / 2)
        if middle >= high:
            break
        low, high = (low, middle) if works(s, at(now - middle), holds) else (middle, high)
    return [Remedy(f"Lower the stand {s.say(high)}", at(now - high))]
