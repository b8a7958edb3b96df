"""Moving, adding and taking away supports under a run; the ground level goes along."""

import itertools

from designer.model.design import Design, Run
from designer.model.edits import set_supports

FEWEST = 2
"""Rails lie on two supports at least."""


def move_support(design: Design, run_id: str, index: int, station: float) -> Design:
    """Move one support, by its index in the stand's `supports`, to a station in mm.

    The others keep their ground; the ground at the new station is taken as straight between the
    levels known. Raises IndexError when there is no such support.
    """
    supports = design.run(run_id).stand.supports
    if not 0 <= index < len(supports):
        raise IndexError(index)
    return set_supports(design, run_id, (*supports[:index], station, *supports[index + 1 :]))


def add_support(design: Design, run_id: str, station: float) -> Design:
    """Set one more support at a station, mm. Its ground is taken as straight between the levels
    known. The same design where one stands there already."""
    supports = design.run(run_id).stand.supports
    if station in supports:
        return design
    return set_supports(design, run_id, tuple(sorted((*supports, station))))


def remove_support(design: Design, run_id: str, index: int) -> Design:
    """Take one support away, by its index in the stand's `supports`. IndexError when there is no
    such support, ValueError when only `FEWEST` are left."""
    supports = design.run(run_id).stand.supports
    if not 0 <= index < len(supports):
        raise IndexError(index)
    if len(supports) <= FEWEST:
        raise ValueError("a run keeps two supports")
    return set_supports(design, run_id, (*supports[:index], *supports[index + 1 :]))


def widest_gap(run: Run) -> tuple[float, float]:
    """From where to where the drain lies longest without a support, mm; the first such."""
    stations = sorted({*run.stand.supports} or {0.0, run.length})
    edges = [min(0.0, stations[0]), *stations, max(run.length, stations[-1])]
    return max(itertools.pairwise(edges), key=lambda gap: gap[1] - gap[0])
