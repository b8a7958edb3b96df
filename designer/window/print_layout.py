"""Which paper each page asks of a printer, and what to warn of before it is printed."""

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QMarginsF, QSizeF
from PySide6.QtGui import QPageLayout, QPageSize
from PySide6.QtPrintSupport import QPrinter, QPrinterInfo

from designer.sheet.paper import A3, A4, LETTER, MARGIN, TABLOID
from designer.units import UnitSystem, format_length, style_for
from designer.window.page_images import MM_PER_POINT, PageSize

_MM = QPageSize.Unit.Millimeter
_STANDARD = {
    QPageSize.PageSizeId.A4: A4,
    QPageSize.PageSizeId.A3: A3,
    QPageSize.PageSizeId.Letter: LETTER,
    QPageSize.PageSizeId.Tabloid: TABLOID,
}
_SAME = 0.5
"""Sizes that differ by less are one paper, mm; Qt itself keeps sizes in whole points."""


def standard_paper(size: PageSize) -> QPageSize.PageSizeId | None:
    """The paper that a page stands on, upright or lying; None for one cut from a roll."""
    held = sorted((size.width, size.height))
    for known, paper in _STANDARD.items():
        sides = (paper.width, paper.height)
        if all(abs(a - b) < _SAME for a, b in zip(held, sides, strict=True)):
            return known
    return None


def layout_of(size: PageSize) -> QPageLayout:
    """The paper and the way it lies, for one page; the whole sheet is drawn on."""
    paper = standard_paper(size)
    if paper is not None:
        asked = QPageSize(paper)
        lying = size.width > size.height
    else:
        exact = QPageSize.SizeMatchPolicy.ExactMatch
        asked = QPageSize(QSizeF(size.width, size.height), _MM, "", exact)
        lying = False
    way = QPageLayout.Orientation.Landscape if lying else QPageLayout.Orientation.Portrait
    none = QMarginsF(0, 0, 0, 0)
    layout = QPageLayout(asked, way, none, QPageLayout.Unit.Millimeter, none)
    layout.setMode(QPageLayout.Mode.FullPageMode)
    return layout


def paper_words(size: PageSize, units: UnitSystem) -> str:
    """A page's paper: "A4, lying", or "610 × 900 mm"."""
    paper = standard_paper(size)
    if paper is not None:
        return f"{_STANDARD[paper].name}, {'lying' if size.width > size.height else 'upright'}"
    style = style_for(units)
    return f"{format_length(size.width, style)} × {format_length(size.height, style)}"


@dataclass(frozen=True, slots=True)
class PrinterLimits:
    """What a printer says of itself. `edge` is the widest strip it leaves unprinted, mm; `papers`
    are the sizes it takes as shorter and longer side, empty where it does not say."""

    name: str
    edge: float = 0.0
    papers: tuple[tuple[float, float], ...] = ()
    any_size: bool = True

    def takes(self, size: PageSize) -> bool:
        """Whether it takes a page's paper, as far as it says."""
        short, long = sorted((size.width, size.height))
        listed = any(abs(a - short) < 1.0 and abs(b - long) < 1.0 for a, b in self.papers)
        custom = self.any_size and standard_paper(size) is None
        return not self.papers or listed or custom


def printer_names() -> list[str]:
    """The printers of this system, the usual one first."""
    usual = QPrinterInfo.defaultPrinterName()
    return sorted(QPrinterInfo.availablePrinterNames(), key=lambda name: name != usual)


def limits_of(name: str) -> PrinterLimits:
    """What the system knows of a printer; of none where there is no such printer."""
    info = QPrinterInfo.printerInfo(name)
    if info.isNull():
        return PrinterLimits(name)
    printer = QPrinter(info, QPrinter.PrinterMode.HighResolution)
    edge = printer.pageLayout().minimumMargins()
    widest = max(edge.left(), edge.top(), edge.right(), edge.bottom())
    if printer.pageLayout().units() == QPageLayout.Unit.Point:
        widest *= MM_PER_POINT
    sizes = [size.size(_MM) for size in info.supportedPageSizes()]
    papers = tuple(
        (min(s.width(), s.height()), max(s.width(), s.height())) for s in sizes if s.isValid()
    )
    return PrinterLimits(name, widest, papers, info.supportsCustomPageSizes())


def warnings(
    limits: PrinterLimits, sizes: Sequence[PageSize], units: UnitSystem
) -> tuple[str, ...]:
    """What to tell before these pages go to that printer."""
    told = []
    if limits.edge > MARGIN + 0.05:
        edge, clear = (format_length(mm, style_for(units), 1) for mm in (limits.edge, MARGIN))
        told.append(
            f"{limits.name} leaves {edge} at the edge of its paper unprinted, and our pages keep "
            f"{clear} clear. What stands nearest to the edge may be missing."
        )
    # One sentence for a paper, however its pages lie.
    refused = {tuple(sorted((s.width, s.height))): s for s in sizes if not limits.takes(s)}.values()
    if refused:
        names = " and ".join(sorted({paper_words(s, units).split(",")[0] for s in refused}))
        told.append(
            f"{limits.name} does not say that it takes {names} paper. Choose another paper here, "
            "or another printer."
        )
    return tuple(told)
