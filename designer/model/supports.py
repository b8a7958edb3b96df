"""Moving a support under a run; its ground level goes along."""

from designer.model.design import Design
from designer.model.edits import set_supports


def move_support(design: Design, run_id: str, index: int, station: float) -> Design:
    """Move one support, by its index in the stand's `supports`, to a station in mm.

    The others keep their ground; the ground at the new station is taken as straight between the
    levels known. Raises IndexError when there is no such support.
    """
    supports = design.run(run_id).stand.supports
    if not 0 <= index < len(supports):
        raise IndexError(index)
    return set_supports(design, run_id, (*supports[:index], station, *supports[index + 1 :]))
