"""Read and write lengths, volumes, masses, flows, heads and slopes as people write them.

Inside the program a length is millimetres, a volume litres, a flow litres per hour, a head metres
of water and a mass kilograms, all as floats. This package is the only place where those meet text.
"""

from designer.units.reading import (
    LengthError,
    QuantityError,
    VolumeError,
    parse_bag,
    parse_length,
    parse_volume,
)
from designer.units.sizes import (
    KG_PER_POUND,
    LITRES_PER_GALLON,
    MM_PER_INCH,
    NEWTON_PER_POUND,
    LengthStyle,
    UnitSystem,
    style_for,
)
from designer.units.writing import (
    format_bag,
    format_diameter,
    format_flow,
    format_head,
    format_jug,
    format_length,
    format_loose,
    format_mass,
    format_slope,
    format_speed,
    format_volume,
)

__all__ = [
    "KG_PER_POUND",
    "LITRES_PER_GALLON",
    "MM_PER_INCH",
    "NEWTON_PER_POUND",
    "LengthError",
    "LengthStyle",
    "QuantityError",
    "UnitSystem",
    "VolumeError",
    "format_bag",
    "format_diameter",
    "format_flow",
    "format_head",
    "format_jug",
    "format_length",
    "format_loose",
    "format_mass",
    "format_slope",
    "format_speed",
    "format_volume",
    "parse_bag",
    "parse_length",
    "parse_volume",
    "style_for",
]
