"""Remedies that move stand, drain or outlets take the tails along, so that they still fit."""

from collections.abc import Callable
from functools import partial
from typing import Any

from designer.checks.finding import Remedy
from designer.checks.situation import RunSituation
from designer.layout.outlet import cut_tail_shortest
from designer.layout.run import GRAIN, lay_out_run
from designer.layout.tails import TailWindow, rounded_within
from designer.model import edits
from designer.model.catalogue import Catalogue
from designer.model.design import Design
from designer.model.parts import BoardPart


def refit_tails(design: Design, run_id: str, catalogue: Catalogue) -> Design:
    """Cut the tails of a run anew where they no longer fit: one common length if there is one,
    near the present length; else graded. A run without buckets or windows is left as it is."""
    run = design.run(run_id)
    layout = lay_out_run(run, design.units, catalogue.with_own(design.own_parts))
    common = layout.common_tail
    if common is None:
        return design
    shortest = cut_tail_shortest(layout.parts.elbow, layout.parts.outlet_pipe)
    usable = TailWindow(max(common.shortest, shortest), common.longest)
    if run.tails.cut == "common" and usable.holds(run.tails.length):
        return design
    if usable.open and run.tails.cut == "common":
        length = rounded_within(usable, GRAIN[design.units], run.tails.length)
        return edits.set_tails(design, run_id, "common", length)
    if all(place.window.open for place in layout.places):
        return edits.set_tails(design, run_id, "graded")
    return design


def refitted(
    s: RunSituation, edit: Callable[..., Design], **values: Any
) -> Callable[[Design], Design]:
    """An edit of this run, after which its tails are cut to fit."""

    def apply(design: Design) -> Design:
        return refit_tails(edit(design, run_id=s.id, **values), s.id, s.catalogue)

    return apply


def lift_outlets(s: RunSituation, by: float) -> list[Remedy]:
    """Ways to raise the bucket outlets by `by` mm over the drain: less packing under the drain,
    deeper rails, or a higher hole in the buckets."""
    run, parts = s.layout.run, s.layout.parts
    remedies = []
    if run.drain.packing >= by:
        remedies.append(
            Remedy(
                f"Take {s.say(by)} of packing out from under the drain",
                refitted(s, edits.set_run_part, group="drain", packing=run.drain.packing - by),
            )
        )
    deeper = [
        board
        for board in s.catalogue.of_kind("board")
        if isinstance(board, BoardPart)
        and board.width >= s.layout.levels.rail_depth + by
        and (board.id[:6] == parts.rail.id[:6] or board.thickness == parts.rail.thickness)
    ]
    if deeper:
        board = min(deeper, key=lambda b: b.width)
        remedies.append(
            Remedy(
                f"Use {board.name} on edge for the rails",
                _deeper_rails(s, board),
            )
        )
    height = s.up(run.outlet.height + by)
    if height < parts.bucket.height / 2:
        remedies.append(
            Remedy(
                f"Drill the outlets {s.say(by)} higher",
                refitted(s, edits.set_run_part, group="outlet", height=height),
            )
        )
    return remedies


def _deeper_rails(s: RunSituation, board: BoardPart) -> Callable[[Design], Design]:
    rise = board.width - s.layout.levels.rail_depth
    edit = partial(edits.set_run_part, group="stand", rail=board.id, on_edge=True)
    return refitted(s, edit, height=s.layout.run.stand.height + rise)
