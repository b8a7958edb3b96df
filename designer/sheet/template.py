"""What every full-scale template is: a kind, a title, and pages once its paper is known."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from designer.sheet.calibration import UNCORRECTED, Correction
from designer.sheet.paper import Paper
from designer.sheet.pen import Pen
from designer.units import UnitSystem

TemplateKind = Literal[
    "outlet", "collar", "lid", "drain", "drain_collar", "manifold", "jig", "saddle", "supports"
]

KIND_WORDS: Mapping[TemplateKind, str] = MappingProxyType(
    {
        "outlet": "Outlet hole of the bucket",
        "collar": "Collar round the whole bucket",
        "lid": "Lid",
        "drain": "Drain strip",
        "drain_collar": "Collar round the drain",
        "manifold": "Manifold strip",
        "jig": "Pitch jig",
        "saddle": "Saddle of a tail in the drain",
        "supports": "Support spacing strip",
    }
)
"""The kinds in the order in which they are printed, with their names for people."""


@dataclass(frozen=True)
class Numbering:
    """Which template page this is, of how many, and how many other sheets the file has before."""

    number: int
    count: int
    before: int = 0

    @property
    def words(self) -> str:
        """As it stands in the foot of the page."""
        words = f"template page {self.number} of {self.count}"
        if self.before:
            words += f", sheet {self.before + self.number} of {self.before + self.count}"
        return words


@dataclass(frozen=True)
class Printing:
    """What templates are printed on, in which units, and the printer's correction."""

    paper: Paper
    units: UnitSystem
    correction: Correction = UNCORRECTED


@dataclass(frozen=True)
class TemplatePage:
    """One page on `paper` as it is held. `draw` fills it from the page's lower left corner."""

    paper: Paper
    draw: Callable[[Pen, Numbering], None]


@dataclass(frozen=True)
class Template:
    """One template. `buckets` are the ids of the buckets it serves."""

    kind: TemplateKind
    title: str
    pages: Callable[[Printing], list[TemplatePage]]
    buckets: frozenset[str] = frozenset()
