"""The page from which a printer's correction is found: long bars across and along, and the short
ones that stand on every template page. It is never corrected itself."""

import datetime
import math
from functools import partial

from reportlab.pdfgen.canvas import Canvas

from designer.sheet.calibration import UNCORRECTED, BarLengths
from designer.sheet.pages import Room, SheetPage
from designer.sheet.paper import MARGIN, Paper, register_fonts
from designer.sheet.pdf_pages import Imprint, pages_pdf
from designer.sheet.pen import NARROW, Pen, fitted, wrapped
from designer.sheet.template import TemplateSheet
from designer.sheet.template_page import BARS, draw_bar
from designer.sheet.words import UNIT_WORDS
from designer.units import MM_PER_INCH, LengthStyle, UnitSystem, format_length

TITLE = "Calibration page"

_SIDE = MARGIN + 3.0
"""Where the long bars lie: half a tick clear of the margin, mm."""
_FOOT = MARGIN + 9.0
_SHORT = 11.0
"""From a long bar to the short ones beside it, mm."""
_TEXT_LEFT = _SIDE + _SHORT + 10.0
_BODY = 9.5
_LINE = 4.6
_ROLL_PAGE = 1000.0
_BLANK = "_" * 16
"""To write on."""


def long_bars(paper: Paper, units: UnitSystem) -> BarLengths:
    """Lengths of the long bars: as much as the page has room for, in whole centimetres or inches.
    A page of a roll is at most a metre long."""
    sheet = _sheet(paper)
    step = 10.0 if units == "metric" else MM_PER_INCH
    across, along = sheet.width - 2 * _SIDE, sheet.height - _SIDE - _FOOT - 8.0
    return BarLengths(across // step * step, along // step * step)


def calibration_page(paper: Paper, units: UnitSystem) -> SheetPage:
    """The page, upright on `paper`."""
    register_fonts()
    sheet = _sheet(paper)
    return SheetPage(TITLE, partial(_draw, sheet, units), sheet.paper, title_block=False)


def calibration_pdf(paper: Paper, units: UnitSystem, date: datetime.date | None = None) -> bytes:
    """The page alone as a file; `date` is today when None."""
    day = (date or datetime.date.today()).isoformat()
    imprint = Imprint(TITLE, "printer calibration", day, UNIT_WORDS[units])
    return pages_pdf([calibration_page(paper, units)], imprint)


def _sheet(paper: Paper) -> TemplateSheet:
    return TemplateSheet(paper).cut_to(_ROLL_PAGE)


def _draw(sheet: TemplateSheet, units: UnitSystem, canvas: Canvas, _room: Room) -> None:
    pen, bars = Pen(canvas), long_bars(sheet.paper, units)
    along_foot = _FOOT + 8.0
    _long_bar(pen, _SIDE, _FOOT, bars.across, units, along=False)
    _long_bar(pen, _SIDE, along_foot, bars.along, units, along=True)
    x = y = 0.0
    for length, label in BARS:
        draw_bar(pen, _TEXT_LEFT, _FOOT + _SHORT + x, length, label, along=False)
        draw_bar(pen, _SIDE + _SHORT, along_foot + _SHORT + y, length, label, along=True)
        x, y = x + 8.5, y + length + 8.0
    _draw_words(pen, sheet, units, bars)
    paper = f"{sheet.name}, upright"
    pen.text(MARGIN, MARGIN + 1.0, f"{TITLE} (full size)", 7.5)
    pen.text(sheet.width - MARGIN, MARGIN + 1.0, paper, 7.5, align="right")


def _long_bar(
    pen: Pen, x: float, y: float, length: float, units: UnitSystem, *, along: bool
) -> None:
    """A bar with small ticks by the centimetre or the half inch between its ends."""
    way = "along" if along else "across"
    draw_bar(pen, x, y, length, f"{way}: {_length(length, units)}", along=along)
    step = 10.0 if units == "metric" else MM_PER_INCH / 2
    for i in range(1, math.ceil(length / step - 1e-6)):
        if along:
            pen.line(x, y + i * step, x + 1.2, y + i * step, NARROW)
        else:
            pen.line(x + i * step, y - 1.2, x + i * step, y, NARROW)


def _draw_words(pen: Pen, sheet: TemplateSheet, units: UnitSystem, bars: BarLengths) -> None:
    width = min(sheet.width - MARGIN - _TEXT_LEFT, 180.0)
    y = sheet.height - MARGIN - 6.0
    pen.text(_TEXT_LEFT, y, TITLE, 16.0, bold=True)
    y -= 3.0
    across, along = _length(bars.across, units), _length(bars.along, units)
    fine = "a quarter of a mm" if units == "metric" else "1/64 in"
    blocks = (
        "Print this page at 100 % (actual size), never fitted to the paper.",
        UNCORRECTED.stated,
        (
            "No printer is quite true, and most differ across and along the paper. This page finds "
            "out by how much, so that templates can be drawn the other way by as much."
        ),
        (
            "1. Use the printer, the paper and the tray that the templates will be printed with. "
            "Let the page lie for a few minutes: fresh from a laser printer, paper is dry and a "
            "little short. (common practice)"
        ),
        (
            f"2. Lay a steel rule on the long bar at the foot. It is drawn {across} long. Measure "
            f"from the middle of its first tick to the middle of its last, to {fine}."
        ),
        f"Across, as measured:  {_BLANK}",
        f"3. Measure the long bar at the left edge likewise. It is drawn {along} long.",
        f"Along, as measured:  {_BLANK}",
        (
            "4. Type both lengths, with their unit, where the program asks for them. From then on "
            "every template is corrected and says so."
        ),
        (
            "5. Print a template and measure its own bars, 100 mm and 4 in: each should be true "
            "both ways within 0.5 mm (1/64 in). Measure again with a new printer or paper."
        ),
    )
    for number, words in enumerate(blocks):
        bold = number < 2 or words.endswith(_BLANK)
        y -= 2.4
        for line in wrapped(words, _BODY, width, bold=bold):
            y -= _LINE
            shown, size = fitted(line, _BODY, width, bold=bold)
            pen.text(_TEXT_LEFT, y, shown, size, bold=bold)


def _length(mm: float, units: UnitSystem) -> str:
    return format_length(mm, LengthStyle.MM if units == "metric" else LengthStyle.INCHES)
