"""What every full-scale template is: a kind, a title, and pages once its paper is known."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Literal

from reportlab.pdfgen.canvas import Canvas

from designer.sheet.calibration import UNCORRECTED, Correction
from designer.sheet.paper import MARGIN, POINTS_PER_MM, Paper
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
class TemplateSheet:
    """A page of paper as a template is laid out on it.

    `paper` is as it is held. `width` and `height` are what it measures in the lengths of the print,
    mm: drawn 1 % larger for its printer, 1 % less fits between the margins. `sideways` when it is
    held the other way than it goes through the printer.
    """

    paper: Paper
    correction: Correction = UNCORRECTED
    sideways: bool = False

    @property
    def factors(self) -> tuple[float, float]:
        """How much larger the page is drawn, to the right and upward as it is held."""
        across, along = self.correction.across, self.correction.along
        return (along, across) if self.sideways else (across, along)

    @property
    def width(self) -> float:
        return 2 * MARGIN + (self.paper.width - 2 * MARGIN) / self.factors[0]

    @property
    def height(self) -> float:
        return 2 * MARGIN + (self.paper.height - 2 * MARGIN) / self.factors[1]

    @property
    def name(self) -> str:
        return self.paper.name

    @property
    def tall(self) -> bool:
        """Whether it is a single sheet held upright. A page of a roll is any length."""
        return self.height >= self.width and not self.paper.roll

    @property
    def turned(self) -> "TemplateSheet":
        """The same sheet held the other way."""
        return replace(self, paper=self.paper.turned, sideways=not self.sideways)

    def cut_to(self, length: float) -> "TemplateSheet":
        """A page of a roll, `length` mm of the print long; a single sheet as it is."""
        if not self.paper.roll:
            return self
        right, up = self.factors
        factor = right if self.sideways else up
        long = 2 * MARGIN + (length - 2 * MARGIN) * factor
        if self.sideways:
            return replace(self, paper=replace(self.paper, width=long))
        return replace(self, paper=replace(self.paper, height=long))

    def scale(self, canvas: Canvas) -> None:
        """From now on draw lengths of the print, from the lower left corner of the laid-out page;
        the page's centre and its margins stay where they are."""
        right, up = self.factors
        if (right, up) != (1.0, 1.0):
            edge = MARGIN * POINTS_PER_MM
            canvas.transform(right, 0, 0, up, edge * (1 - right), edge * (1 - up))


@dataclass(frozen=True)
class Printing:
    """What templates are printed on, in which units, and the printer's correction."""

    paper: Paper
    units: UnitSystem
    correction: Correction = UNCORRECTED

    @property
    def sheet(self) -> TemplateSheet:
        """The paper held upright."""
        return TemplateSheet(self.paper, self.correction)


@dataclass(frozen=True)
class TemplatePage:
    """One page. `draw` fills `sheet` from its lower left corner, in lengths of the print."""

    sheet: TemplateSheet
    draw: Callable[[Pen, Numbering], None]


@dataclass(frozen=True)
class Template:
    """One template. `buckets` are the ids of the buckets it serves."""

    kind: TemplateKind
    title: str
    pages: Callable[[Printing], list[TemplatePage]]
    buckets: frozenset[str] = frozenset()
