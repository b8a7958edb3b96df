"""The frame of every drill template page: heading, measuring bars, footer.

A template is only as true as its print, so every page carries a 100 mm and a 4 in bar across the
page and along it, to be measured tick to tick before anything is drilled, and says for which
printer it was corrected, so that a corrected page is never taken for a plain one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import zip_longest

from designer.sheet.calibration import SHORT_BARS
from designer.sheet.paper import MARGIN
from designer.sheet.pen import Pen, fitted, text_width, wrapped
from designer.sheet.tagging import apart, artifact, marked
from designer.sheet.template import Numbering, TemplateSheet

BARS = tuple(zip(SHORT_BARS, ("100 mm", "4 in"), strict=True))
"""Length in mm and label of the measuring bars."""

_LEAST_PAGE = 280.0
"""A page of a roll is at least so long upward, for the bars, mm."""

TICK = 5.0
PRINT_WORDS = (
    "Print at 100 %, measure the bars first: both ways, tick to tick, each within 0.5 mm (1/64 in)."
)
CAUTION = "Eye protection on, work clamped, let the saw do the work. (common practice)"
"""Of templates that are drilled through."""

_BODY = 8.0
_LINE_STEP = 3.6
_BAR_GAP = 9.0
_TEXT_TOP = 15.7
"""From the margin down to the steps, below title, print words and correction, mm."""
_WIDEST_TEXT = 400.0
_COLUMN = 140.0
"""About how wide a column of steps is, mm."""


@dataclass(frozen=True)
class Area:
    """A rectangle on the page, mm."""

    left: float
    bottom: float
    right: float
    top: float

    @property
    def width(self) -> float:
        return self.right - self.left

    @property
    def height(self) -> float:
        return self.top - self.bottom


@dataclass(frozen=True)
class Heading:
    """The words at the head of a template page; ``steps`` are numbered, ``caution`` follows.

    ``aside`` is the width and height in mm of what is drawn to their right, if anything.
    """

    title: str
    subtitle: str
    steps: tuple[str, ...]
    note: str = ""
    caution: str = CAUTION
    aside: tuple[float, float] = (0.0, 0.0)


def drawing_area(sheet: TemplateSheet, heading: Heading) -> Area:
    """What heading, bars and footer leave free on ``sheet``."""
    foot = MARGIN + (2 if sheet.tall else 1) * 8.5 + 5.0
    side = MARGIN + (1 if sheet.tall else 2) * _BAR_GAP
    text = max(len(_heading_lines(sheet, heading)) * _LINE_STEP, heading.aside[1] - _TEXT_TOP)
    # Half a line's width must not reach into the margin.
    return Area(side, foot, sheet.width - MARGIN - 0.5, sheet.height - MARGIN - _TEXT_TOP - text)


def cut_from_roll(sheet: TemplateSheet, spare: float) -> TemplateSheet:
    """A page of a roll without the ``spare`` mm of its length; a single sheet as it is.

    Its bars and the lines of its heading stay as they are.
    """
    if sheet.sideways:
        return sheet.cut_to(max(sheet.width - spare, 2 * MARGIN + _WIDEST_TEXT))
    return sheet.cut_to(max(sheet.height - spare, _LEAST_PAGE))


def aside_corner(sheet: TemplateSheet, heading: Heading) -> tuple[float, float]:
    """The upper left corner of what is drawn beside the words, on the page."""
    return _page_right(sheet) - heading.aside[0], sheet.height - MARGIN - 0.5


def begin_page(pen: Pen, sheet: TemplateSheet, heading: Heading) -> Area:
    """Draw heading and bars, and return the free area."""
    with apart(pen.canvas):
        _draw_words(pen, sheet, heading)
    _draw_bars(pen, sheet)
    return drawing_area(sheet, heading)


def _draw_words(pen: Pen, sheet: TemplateSheet, heading: Heading) -> None:
    width = _text_right(sheet, heading) - MARGIN
    y = sheet.height - MARGIN - 4.0
    words, size = fitted(heading.title, 13.0, width, bold=True)
    with marked(pen.canvas, "H2"):
        pen.text(MARGIN, y, words, size, bold=True)
    for line in (PRINT_WORDS, sheet.correction.stated):
        y -= 5.0 if line == PRINT_WORDS else 4.2
        words, size = fitted(line, 9.0, width, bold=True)
        with marked(pen.canvas, "P"):
            pen.text(MARGIN, y, words, size, bold=True)
    y -= 1.4
    left, step = _text_left(sheet), _column(sheet, heading)
    rows = _heading_lines(sheet, heading)
    for column in range(_columns(sheet, heading)):
        with marked(pen.canvas, "P"):
            for number, row in enumerate(rows, 1):
                if column < len(row):
                    x = left + column * step
                    pen.text(x, y - number * _LINE_STEP, row[column] + " ", _BODY)


def end_page(pen: Pen, sheet: TemplateSheet, title: str, numbering: Numbering) -> None:
    """Draw the footer."""
    place = f"{sheet.name}, {numbering.words}"
    room = sheet.width - 2 * MARGIN - text_width(place, 7.5) - 6.0
    words, size = fitted(f"{title} (full size)", 7.5, room)
    with apart(pen.canvas), artifact(pen.canvas):
        pen.text(MARGIN, MARGIN + 1.0, words, size)
        pen.text(sheet.width - MARGIN, MARGIN + 1.0, place, 7.5, align="right")


def _text_left(sheet: TemplateSheet) -> float:
    """Where the heading's words start: on upright paper, clear of the bars along the page."""
    return MARGIN + (_BAR_GAP if sheet.tall else 0.0)


def _page_right(sheet: TemplateSheet) -> float:
    """How far to the right the head of the page reaches; on a long page it stays readable."""
    return min(sheet.width - MARGIN, MARGIN + _WIDEST_TEXT)


def _text_right(sheet: TemplateSheet, heading: Heading) -> float:
    return _page_right(sheet) - (heading.aside[0] + 6.0 if heading.aside[0] else 0.0)


def _text_width(sheet: TemplateSheet, heading: Heading) -> float:
    deep = heading.aside[1] > _TEXT_TOP - 1.0
    right = _text_right(sheet, heading) if deep else _page_right(sheet)
    return right - _text_left(sheet)


def _columns(sheet: TemplateSheet, heading: Heading) -> int:
    return max(1, round(_text_width(sheet, heading) / _COLUMN))


def _column(sheet: TemplateSheet, heading: Heading) -> float:
    return _text_width(sheet, heading) / _columns(sheet, heading)


def _heading_lines(sheet: TemplateSheet, heading: Heading) -> list[Sequence[str]]:
    """Rows of the heading below the correction, each a list of columns."""
    about = f"{heading.subtitle} {heading.note}".strip()
    width = _text_width(sheet, heading)
    rows: list[Sequence[str]] = [[line] for line in wrapped(about, _BODY, width)]
    steps = [f"{i}. {step}" for i, step in enumerate(heading.steps, 1)]
    steps += [heading.caution] if heading.caution else []
    depth = -(-len(steps) // _columns(sheet, heading))
    # Steps read down the first column, then down the next; each starts level with its neighbour.
    for row in range(depth):
        column = _column(sheet, heading) - 4.0
        cells = [wrapped(step, _BODY, column) for step in steps[row::depth]]
        rows += zip_longest(*cells, fillvalue="")
    return rows


def _draw_bars(pen: Pen, sheet: TemplateSheet) -> None:
    """Bars across at the foot and along at the left edge, one after another where they fit."""
    tall = sheet.tall
    x, y = MARGIN + (1 if tall else 2) * _BAR_GAP, MARGIN + 8.0
    for length, label in BARS:
        draw_bar(pen, x, y, length, label, along=False)
        x, y = (x, y + 8.5) if tall else (x + length + 8.0, y)
    x, y = MARGIN + TICK / 2 + 0.5, MARGIN + (2 if tall else 1) * 8.5 + 6.0
    for length, label in BARS:
        draw_bar(pen, x, y, length, label, along=True)
        x, y = (x, y + length + 8.0) if tall else (x + _BAR_GAP, y)


def draw_bar(pen: Pen, x: float, y: float, length: float, label: str, *, along: bool) -> None:
    """A measuring bar from its left or lower end at (x, y), ``length`` mm from tick to tick."""
    half = TICK / 2
    if along:
        pen.line(x, y, x, y + length)
        for end in (y, y + length):
            pen.line(x - half, end, x + half, end)
        pen.text(x - 0.8, y + length / 2, label, 7.5, align="centre", upright=True)
    else:
        pen.line(x, y, x + length, y)
        for end in (x, x + length):
            pen.line(end, y - half, end, y + half)
        pen.text(x + length / 2, y + 0.8, label, 7.5, align="centre")
