"""Edits of the supports under a run. The ground levels at the supports go along with them."""

from designer.model.design import Design
from designer.model.edits import set_supports

FEWEST_SUPPORTS = 2
"""A rail lies on two at least."""


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
    """Add a support at a station in mm; nothing where one stands already."""
    supports = design.run(run_id).stand.supports
    if station in supports:
        return design
    return set_supports(design, run_id, tuple(sorted((*supports, station))))


def remove_support(design: Design, run_id: str, index: int) -> Design:
    """Take one support away, by its index; nothing where only two are left. Raises IndexError
    when there is no such support."""
    supports = design.run(run_id).stand.supports
    if not 0 <= index < len(supports):
        raise IndexError(index)
    if len(supports) <= FEWEST_SUPPORTS:
        return design
    return set_supports(design, run_id, supports[:index] + supports[index + 1 :])
