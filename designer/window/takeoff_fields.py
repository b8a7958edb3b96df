"""Fields of the Take-off panel: a kerf that may be the usual one, lists of sticks and of bags."""

from typing import Any

from designer.units import (
    LengthStyle,
    QuantityError,
    UnitSystem,
    format_bag,
    format_length,
    parse_bag,
    parse_length,
    style_for,
)
from designer.window.bounds import Bounds
from designer.window.fields import LengthField, TypedField

MOST_LENGTHS = 60
"""In one list; more is a slip of the paste."""


class BlankLengthField(LengthField):
    """A length in mm; an empty entry means None and shows the usual one."""

    def read(self, text: str) -> Any:
        return super().read(text) if text.strip() else None


class LengthListField(LengthField):
    """Lengths in mm with semicolons between them, the same one as often as it is there. An empty
    entry means none and shows what holds then."""

    def __init__(self, label: str, why: str, bounds: Bounds, units: UnitSystem) -> None:
        super().__init__(label, why, bounds, units, beside=False)

    def read(self, text: str) -> Any:
        found = [part for part in text.split(";") if part.strip()]
        if len(found) > MOST_LENGTHS:
            raise QuantityError(f"Type {MOST_LENGTHS} lengths at most.")
        return tuple(sorted(self._check(parse_length(part, self.units)) for part in found))

    def write(self, value: Any) -> str:
        if isinstance(value, tuple):
            return "; ".join(format_length(mm, style_for(self.units), self._places) for mm in value)
        return super().write(value)

    def exact(self, value: Any) -> str:
        return ""


class BagsField(TypedField):
    """Sizes of bags in L, with semicolons between them; shown and typed in the person's units."""

    def __init__(self, label: str, why: str, bounds: Bounds, units: UnitSystem) -> None:
        self.units: UnitSystem = units
        super().__init__(label, why, bounds, beside=False)
        self.line.setPlaceholderText(self._example)

    @property
    def _example(self) -> str:
        return "such as 50 L; 100 L" if self.units == "metric" else "such as 2 cu ft; 4 cu ft"

    def read(self, text: str) -> tuple[float, ...]:
        found = [part for part in text.split(";") if part.strip()]
        if len(found) > MOST_LENGTHS:
            raise QuantityError(f"Type {MOST_LENGTHS} sizes at most.")
        return tuple(sorted({self._check(parse_bag(part, self.units)) for part in found}))

    def write(self, value: tuple[float, ...]) -> str:
        return "; ".join(format_bag(litres, self.units) for litres in value)

    def set_units(self, units: UnitSystem) -> None:
        if units != self.units:
            pending = self.pending
            self.units = units
            self.line.setPlaceholderText(self._example)
            self._set(self._value, pending)

    def _bound(self, limit: float) -> str:
        return format_bag(limit, self.units)


def kerf_text(kerf: float, units: UnitSystem) -> str:
    """A saw's cut, to the tenth of a mm or the sixteenth of an inch."""
    style = LengthStyle.MM if units == "metric" else LengthStyle.INCHES
    return format_length(kerf, style, places=1)
