"""The unit systems, the ways to write a length, and the exact sizes of units.

Sizes, all from memory: the international inch is exactly 25.4 mm and the pound exactly
0.45359237 kg (NIST SP 811, appendix B); the US liquid gallon is exactly 231 cubic inches
(NIST Handbook 44, appendix C). Standard gravity is exactly 9.80665 m/s2 (ISO 80000-3).
"""

from enum import Enum
from fractions import Fraction
from typing import Final, Literal

UnitSystem = Literal["metric", "imperial"]

INCH_MM: Final = Fraction("25.4")
FOOT_M: Final = INCH_MM * 12 / 1000
GALLON_L: Final = Fraction("3.785411784")
CUBIC_FOOT_L: Final = (12 * INCH_MM) ** 3 / 10**6
POUND_KG: Final = Fraction("0.45359237")

MM_PER_INCH: Final = float(INCH_MM)
LITRES_PER_GALLON: Final = float(GALLON_L)
KG_PER_POUND: Final = float(POUND_KG)
NEWTON_PER_POUND: Final = float(POUND_KG * Fraction("9.80665"))


class LengthStyle(Enum):
    """Ways to write a length; the value is an example of each."""

    MM = "1030 mm"
    CM = "103 cm"
    M = "1.03 m"
    INCHES = '40 1/2"'
    FEET_INCHES = "3' 4 1/2\""


def style_for(system: UnitSystem) -> LengthStyle:
    """The way a reader of ``system`` sees lengths: mm, or feet and inches."""
    return LengthStyle.MM if system == "metric" else LengthStyle.FEET_INCHES
