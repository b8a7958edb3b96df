"""A paper strip of marks without holes: places to punch, or where something stands."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from designer.sheet.template_page import Heading

_WIDTH = 24.0
_END_CLEARANCE = 5.0


@dataclass(frozen=True)
class StripMark:
    """A mark on a strip: `station` in mm from its first edge, a short name and words under it.

    `width` is how much of the strip that which stands there takes up, mm; 0 is a point to punch.
    """

    station: float
    name: str
    words: str
    width: float = 0.0


@dataclass(frozen=True)
class MarkStrip:
    """Marks along a line. `first_end` is what the first edge is called, `first_edge` what is done
    with it; `length` is that of the strip at least, mm. Raises ValueError when there is no mark, or
    one lies before the first edge."""

    kind: Literal["jig", "supports"]
    title: str
    heading: Heading
    first_end: str
    first_edge: str
    marks: tuple[StripMark, ...]
    length: float = 0.0

    def __post_init__(self) -> None:
        if not self.marks:
            raise ValueError(f"{self.title}: there is nothing to mark.")
        for mark in self.marks:
            if not mark.station >= 0:
                raise ValueError(f"{self.title}: {mark.name} lies beyond the {self.first_end}.")

    @property
    def width(self) -> float:
        """Width of the paper strip, mm."""
        return _WIDTH

    @property
    def end(self) -> float:
        """Station where the paper strip ends, mm; past the last mark in any case."""
        last = max(mark.station + mark.width / 2 for mark in self.marks)
        return max(self.length, last + _END_CLEARANCE)
