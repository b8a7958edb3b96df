"""Fields of the Take-off panel: a kerf that may be the usual one, and lists of stick lengths."""

from typing import Any

from designer.units import (
    LengthStyle,
    QuantityError,
    UnitSystem,
    format_length,
    parse_length,
    style_for,
)
from designer.window.bounds import Bounds
from designer.window.fields import LengthField

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


def kerf_text(kerf: float, units: UnitSystem) -> str:
    """A saw's cut, to the tenth of a mm or the sixteenth of an inch."""
    style = LengthStyle.MM if units == "metric" else LengthStyle.INCHES
    return format_length(kerf, style, places=1)
