"""The pitch jig: a short strip that is stepped along a pipe whose holes repeat."""

from __future__ import annotations

from itertools import accumulate

from designer.sheet.template_marks import MarkStrip, StripMark
from designer.sheet.template_page import CAUTION, Heading
from designer.sheet.words import in_words
from designer.units import UnitSystem, format_length, style_for

EDGE = 15.0
"""Paper beyond the first and the last mark, mm."""
TWO_UP_TO = 100.0
"""A single pitch no longer than this is shown twice, so that stepping goes faster, mm."""


def jig_strip(spacings: tuple[float, ...], where: str, note: str, units: UnitSystem) -> MarkStrip:
    """The jig for one spacing, or for two in turn, mm. `where` names the holes it is for. Raises
    ValueError for a spacing that is not more than zero."""
    words = in_words([_to_a_tenth(spacing, units) for spacing in spacings])
    title = f"Pitch jig: {words}"
    if not (spacings and all(spacing > 0 for spacing in spacings)):
        raise ValueError(f"{title}: the spacing must be more than zero.")
    if len(spacings) == 1 and spacings[0] <= TWO_UP_TO:
        spacings = spacings * 2
    reaches = list(accumulate(spacings))
    marks = [StripMark(EDGE, "pin", "in a punched mark")]
    marks += [
        StripMark(EDGE + reach, "punch", f"{_to_a_tenth(reach, units)} from the pin")
        for reach in reaches
    ]
    turn = ""
    if len(set(spacings)) > 1:
        turn = " The spacings come in turn, so begin each step from the same row."
    heading = Heading(
        title,
        f"Marking template, full size, for {where}. It serves drain and manifold.",
        (
            "Cut out the pieces, join them line on line, and glue the strip to a thin lath.",
            (
                "Punch the first mark with a tape, as the hole schedule says. Put a nail through "
                f"the pin's ring into it.{turn}"
            ),
            "Lay the strip along the line on the crown and punch the next; move the nail there.",
            "Small errors add up: check every fourth mark with the tape. (common practice)",
        ),
        note,
        CAUTION,
    )
    end = EDGE * 2 + reaches[-1]
    return MarkStrip("jig", title, heading, "edge by the pin", "", tuple(marks), end)


def _to_a_tenth(mm: float, units: UnitSystem) -> str:
    """A spacing to a tenth of a mm: what is left out of it would be left out at every step."""
    return format_length(mm, style_for(units), places=1)
