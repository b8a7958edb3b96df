"""Lengths, holes and amounts as the build sheet says them, in the reader's units."""

from collections.abc import Sequence

from designer.model.parts import HoleSawPart
from designer.stand.shims import Stack
from designer.takeoff.quantities import Amount
from designer.units import (
    LengthStyle,
    UnitSystem,
    format_diameter,
    format_length,
    format_mass,
    format_volume,
    style_for,
)

UNIT_WORDS = {"metric": "mm", "imperial": "ft and in"}
"""What lengths without a unit are in, for the title block."""


def length(mm: float, units: UnitSystem) -> str:
    """A length as a person measures it: to the mm or the sixteenth of an inch."""
    return format_length(mm, style_for(units))


def diameter(mm: float, units: UnitSystem) -> str:
    """A small diameter, to a tenth of a mm or a sixteenth of an inch."""
    return format_diameter(mm, units)


def saw_size(saw: HoleSawPart, units: UnitSystem) -> str:
    """The size of a hole saw, with the name it is sold by where that says something else."""
    size = diameter(saw.diameter, units)
    name = saw.name.removesuffix(" hole saw")
    return size if name.replace(" in", '"') == size else f"{size} ({name})"


def amount(value: Amount, units: UnitSystem) -> str:
    """One amount of the bill of materials."""
    number, measure = value
    if measure == "length":
        style = LengthStyle.M if units == "metric" else LengthStyle.FEET_INCHES
        return format_length(number, style)
    if measure == "litres":
        return format_volume(number, units)
    if measure == "kg":
        return f"about {format_mass(number, units)}"
    return f"{number:.0f}"


def courses(stack: Stack, units: UnitSystem) -> str:
    """Courses of a stack: "2", "2 and 12 mm packing" or "2, 30 mm let in"."""
    if stack.packing > 0:
        return f"{stack.courses} and {length(stack.packing, units)} packing"
    if stack.sunk > 0:
        return f"{stack.courses}, {length(stack.sunk, units)} let in"
    return str(stack.courses)


def count_of(number: int, noun: str) -> str:
    """A number and its noun: "1 bucket", "12 buckets"."""
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"


def checks_read(number: int) -> str:
    """Before the name of a state: "1 check reads", "3 checks read"."""
    return "1 check reads" if number == 1 else f"{number} checks read"


def in_words(names: Sequence[str]) -> str:
    """Names in a row: "1", "1 and 2", "1, 2 and 3"."""
    return " and ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else names)
