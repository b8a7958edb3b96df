"""The correction of a printer that does not print true to size, from bars that were measured.

Across and along are those of the paper held upright, as it goes through the printer; a printer's
two ways differ, so each has its own factor.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from designer.units import MM_PER_INCH

MOST = 0.025
"""How far off a printer may be. Copiers and engines of old were up to 2 % off (AMS note of 1988,
a sundial list of 1999); from about 3 % on the page was fitted to the paper."""

SHORT_BARS = (100.0, 101.6)
"""The short bars, 100 mm and 4 in, that stand on every page beside the long ones, mm."""


@dataclass(frozen=True)
class Correction:
    """Factors by which a template is drawn larger, across and along the paper held upright, so
    that this printer prints it true."""

    across: float = 1.0
    along: float = 1.0

    @property
    def stated(self) -> str:
        """As it stands on every page that is drawn with it."""
        if self == UNCORRECTED:
            return "Not corrected for any printer."
        across, along = (f"{100 * factor:.1f} %" for factor in (self.across, self.along))
        return f"Corrected for this printer: {across} across, {along} along"


UNCORRECTED = Correction()


@dataclass(frozen=True)
class BarLengths:
    """How long a bar across the paper and one along it are, mm."""

    across: float
    along: float


def correction_from_measured(
    measured: BarLengths, drawn: BarLengths, in_force: Correction = UNCORRECTED
) -> Correction:
    """The correction of a printer that prints bars of the lengths `drawn` as long as `measured`.

    `in_force` is the correction with which the measured page was printed; the new one takes its
    place. Raises ValueError, in words for the person, for lengths that no printer prints when it
    is told to print at 100 %.
    """
    _refuse_absurd("across", measured.across, drawn.across, drawn.along)
    _refuse_absurd("along", measured.along, drawn.along, drawn.across)
    found = Correction(
        in_force.across * drawn.across / measured.across,
        in_force.along * drawn.along / measured.along,
    )
    for way, factor in (("across", found.across), ("along", found.along)):
        if abs(1 / factor - 1) > MOST:
            raise ValueError(
                f"With the correction in force the printer would be {_percent(1 / factor)} off "
                f"{way} the page. Print the calibration page uncorrected and measure again."
            )
    return found


def _refuse_absurd(way: str, measured: float, drawn: float, other: float) -> None:
    if not (math.isfinite(measured) and measured > 0):
        raise ValueError(f"Type the length of the bar {way} the page as you measured it.")
    if _near(measured, drawn):
        return
    bar = f"The bar {way} the page"
    if _near(measured * MM_PER_INCH, drawn):
        raise ValueError(f"{bar} was read in inches, it seems; type the unit too.")
    if _near(measured * 10, drawn):
        raise ValueError(f"{bar} was read in cm, it seems; type the unit too.")
    if _near(measured / MM_PER_INCH, drawn):
        raise ValueError(f"{bar} was read in mm, it seems; type the unit too.")
    if _near(measured, other):
        raise ValueError(f"{bar} should be {drawn:.0f} mm: it seems the other long bar was read.")
    if any(_near(measured, short) for short in SHORT_BARS):
        raise ValueError(f"{bar} should be {drawn:.0f} mm: it seems a short bar was read.")
    raise ValueError(
        f"{bar} is {_percent(measured / drawn)} off: the page was fitted to the paper, or another "
        "bar was read. Print it at 100 % (actual size) and measure the long bar, tick to tick."
    )


def _near(measured: float, drawn: float) -> bool:
    return abs(measured / drawn - 1) <= MOST


def _percent(ratio: float) -> str:
    return f"{100 * abs(ratio - 1):.1f} %"
