"""Write lengths, volumes, masses, flows and slopes for a reader of either unit system."""

import math
from fractions import Fraction
from functools import lru_cache

from designer.units.sizes import (
    CUBIC_FOOT_L,
    FOOT_M,
    GALLON_L,
    INCH_MM,
    POUND_KG,
    LengthStyle,
    UnitSystem,
)


# Exact arithmetic is slow, and a drag writes the same few hundred lengths again and again.
@lru_cache(maxsize=4096)
def format_length(mm: float, style: LengthStyle, places: int = 0) -> str:
    """Text of a length given in mm: metric to the mm, inches to 1/16.

    ``places`` is how many decimals of a mm metric styles may show where needed (25.4 mm for a
    hole saw); feet and inches do not use it. Halves round away from zero. Raises ValueError when
    ``mm`` is not finite.

    >>> format_length(1030, LengthStyle.M)
    '1.03 m'
    >>> format_length(25.4, LengthStyle.MM, places=1)
    '25.4 mm'
    >>> print(format_length(1028.7, LengthStyle.FEET_INCHES))
    3' 4 1/2"
    >>> print(format_length(-12.7, LengthStyle.INCHES))
    -1/2"
    """
    if style is LengthStyle.MM:
        return f"{_decimal(mm, 1, places)} mm"
    if style is LengthStyle.CM:
        return f"{_decimal(mm, 10, places + 1)} cm"
    if style is LengthStyle.M:
        return f"{_decimal(mm, 1000, places + 3, keep=2)} m"
    ticks = _round(_finite(mm) / INCH_MM * 16)
    sign = "-" if ticks < 0 else ""
    feet, ticks = (
        divmod(abs(ticks), 12 * 16) if style is LengthStyle.FEET_INCHES else (0, abs(ticks))
    )
    lead = f"{feet}' " if feet else ""
    return f'{sign}{lead}{_sixteenths(ticks, whole=bool(feet))}"'


def format_diameter(mm: float, system: UnitSystem) -> str:
    """Text of a small diameter given in mm, to a tenth of a mm or a sixteenth of an inch.

    >>> format_diameter(3, "metric"), format_diameter(3, "imperial")
    ('3 mm', '1/8"')
    """
    style = LengthStyle.MM if system == "metric" else LengthStyle.INCHES
    return format_length(mm, style, places=1)


def format_volume(litres: float, system: UnitSystem) -> str:
    """Text of a volume given in litres, to about three figures; imperial means US gallons.

    >>> format_volume(1.5, "metric"), format_volume(18.927, "imperial")
    ('1.5 L', '5 gal')
    """
    return _amount(litres, system, "L", GALLON_L, "gal")


def format_jug(litres: float, system: UnitSystem) -> str:
    """Text of a volume given in litres as a jug shows it, to two figures; US fluid ounces.

    >>> format_jug(0.7149, "metric"), format_jug(1.0, "imperial")
    ('710 ml', '34 fl oz')
    """
    size, unit = (1, "ml") if system == "metric" else (GALLON_L * 1000 / 128, "fl oz")
    amount = float(_finite(litres) * 1000 / size)
    return f"{float(f'{amount:.2g}'):g} {unit}"


def format_bag(litres: float, system: UnitSystem) -> str:
    """Text of the size of a bag of medium given in litres: cubic feet if imperial, quarts below
    half of one, as bags are sold.

    >>> format_bag(100, "metric"), format_bag(113.267, "imperial"), format_bag(7.571, "imperial")
    ('100 L', '4 cu ft', '8 qt')
    """
    if system == "imperial" and litres < CUBIC_FOOT_L / 2:
        return f"{_decimal(litres, GALLON_L / 4, 1)} qt"
    if system == "imperial":
        return f"{_decimal(litres, CUBIC_FOOT_L, 2)} cu ft"
    return f"{_decimal(litres, 1, 1)} L"


def format_loose(litres: float, system: UnitSystem) -> str:
    """Text of an amount of loose medium given in litres, as a jug and as a shop measure it.

    >>> format_loose(247, "metric"), format_loose(247, "imperial")
    ('247 L', '65.3 gal (8.72 cu ft)')
    """
    if system == "metric":
        return format_volume(litres, system)
    return f"{format_volume(litres, system)} ({format_bag(litres, system)})"


def format_mass(kg: float, system: UnitSystem) -> str:
    """Text of a mass given in kg, to about three figures.

    >>> format_mass(20, "metric"), format_mass(20, "imperial")
    ('20 kg', '44.1 lb')
    """
    return _amount(kg, system, "kg", POUND_KG, "lb")


def format_flow(litres_per_hour: float, system: UnitSystem) -> str:
    """Text of a flow given in L/h, to about three figures; imperial means US gallons per hour.

    >>> format_flow(250, "metric"), format_flow(250, "imperial")
    ('250 L/h', '66 gal/h')
    """
    return _amount(litres_per_hour, system, "L/h", GALLON_L, "gal/h")


def format_head(metres: float, system: UnitSystem) -> str:
    """Text of a head of water given in m: to the cm, or to a tenth of a foot.

    >>> format_head(0.868, "metric"), format_head(0.868, "imperial")
    ('0.87 m', '2.8 ft')
    """
    if system == "metric":
        return f"{_decimal(metres, 1, 2, keep=2)} m"
    return f"{_decimal(metres, FOOT_M, 1, keep=1)} ft"


def format_speed(metres_per_second: float, system: UnitSystem) -> str:
    """Text of a velocity given in m/s.

    >>> format_speed(1.5, "metric"), format_speed(1.5, "imperial")
    ('1.50 m/s', '4.9 ft/s')
    """
    return f"{format_head(metres_per_second, system)}/s"


def format_slope(rise_per_length: float, system: UnitSystem) -> str:
    """Text of a slope given as rise over length (0.01 is 1 in 100).

    Imperial slopes are inches per foot when that is a whole number of sixteenths, as plumbers
    say them, and otherwise inches per 10 feet, where sixteenths are fine enough to be true.

    >>> format_slope(0.0075, "metric")
    '0.75 % (1 in 133)'
    >>> format_slope(1 / 96, "imperial")
    '1/8 in per ft (1.04 %)'
    >>> format_slope(0.0075, "imperial")
    '7/8 in per 10 ft (0.75 %)'
    """
    slope = _finite(rise_per_length)
    percent = f"{_decimal(100 * slope, 1, 2)} %"
    if percent == "0 %":
        return "level (0 %)"
    if system == "metric":
        run = abs(1 / slope)
        return f"{percent} (1 in {_decimal(run, 1, 0 if run >= 10 else 1)})"
    per_foot = slope * 12 * 16
    feet = "ft"
    if abs(per_foot - _round(per_foot)) > Fraction(1, 50) or _round(per_foot) == 0:
        per_foot, feet = per_foot * 10, "10 ft"
    ticks = _round(per_foot)
    sign = "-" if ticks < 0 else ""
    return f"{sign}{_sixteenths(abs(ticks))} in per {feet} ({percent})"


def _finite(value: float | Fraction) -> Fraction:
    if not math.isfinite(value):
        raise ValueError(f"only a finite number can be written, not {value}")
    return Fraction(value)


def _round(value: Fraction) -> int:
    """Nearest whole number, halves away from zero, so that -x reads as x with a minus."""
    nearest = math.floor(abs(value) + Fraction(1, 2))
    return nearest if value >= 0 else -nearest


def _decimal(value: float | Fraction, size: int | Fraction, places: int, keep: int = 0) -> str:
    """``value / size`` rounded once to ``places`` decimals, without zeros beyond ``keep``."""
    ticks = _round(_finite(value) / size * 10**places)
    digits = str(abs(ticks)).zfill(places + 1)
    whole, part = digits[: len(digits) - places], digits[len(digits) - places :]
    part = part.rstrip("0").ljust(keep, "0")
    return ("-" if ticks < 0 else "") + (f"{whole}.{part}" if part else whole)


def _sixteenths(ticks: int, whole: bool = False) -> str:
    """Sixteenths as whole and fraction; a 0 before the fraction only when ``whole`` is asked."""
    inches, part = divmod(ticks, 16)
    if not part:
        return str(inches)
    fraction = str(Fraction(part, 16))
    return f"{inches} {fraction}" if inches or whole else fraction


def _amount(value: float, system: UnitSystem, metric: str, size: Fraction, imperial: str) -> str:
    """``value`` in either system: two decimals below 10, one below 100, none above."""
    amount, name = (
        (_finite(value), metric) if system == "metric" else (_finite(value) / size, imperial)
    )
    places = 2 if abs(amount) < 10 else 1 if abs(amount) < 100 else 0
    return f"{_decimal(amount, 1, places)} {name}"
