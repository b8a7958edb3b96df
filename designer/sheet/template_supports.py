"""The support strip: where the block stacks stand along a run, from its capped end."""

from __future__ import annotations

from collections.abc import Sequence

from designer.sheet.template_marks import MarkStrip, StripMark
from designer.sheet.template_page import Heading
from designer.sheet.words import length
from designer.units import UnitSystem

_CAUTION = "Lift blocks with a straight back, gloves on. (common practice)"


def support_strip(
    title: str, stations: Sequence[float], block_width: float, note: str, units: UnitSystem
) -> MarkStrip:
    """The stacks of one run by the stations of their middles from the capped end, mm, in any order,
    and the width of a block along the run. They are numbered as in the shim schedule, from the
    outlet end. Raises ValueError when there is none, or one stands beyond the capped end."""
    marks = [
        StripMark(station, f"Support {number}", f"middle at {length(station, units)}", block_width)
        for number, station in enumerate(sorted(stations, reverse=True), 1)
    ][::-1]
    heading = Heading(
        title,
        (
            "Setting-out template, full size. The wide line is the middle of a stack, the narrow "
            "ones are its two sides. Distances are from the capped end; supports are numbered "
            "from the outlet end, as in the shim schedule."
        ),
        (
            "Stretch a string where the drain will lie, and mark where its capped end comes.",
            "Cut out the pieces, join them line on line, and lay the strip along the string.",
            "Check each distance with a tape; if it differs, trust the tape. (common practice)",
            "Mark the ground at both sides of each stack, and set the first course on the marks.",
        ),
        note,
        _CAUTION,
    )
    return MarkStrip(
        "supports", title, heading, "capped end", "this edge at the capped end", tuple(marks)
    )
