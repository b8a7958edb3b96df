"""The frame of every drill template page: heading, measuring bars, footer.

A template is only as true as its print, so every page carries a 100 mm and a 4 in bar across the
page and along it, to be measured tick to tick before anything is drilled.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import zip_longest

from designer.sheet.paper import MARGIN, Paper
from designer.sheet.pen import Pen, fitted, text_width, wrapped
from designer.sheet.template import Numbering

BARS = ((100.0, "100 mm"), (101.6, "4 in"))
"""Length in mm and label of the measuring bars."""

TICK = 5.0
PRINT_WORDS = (
    "Print at 100 %, measure the bars first: across and along, tick to tick, each within 0.5 mm "
    "(1/64 in)."
)
CAUTION = "Eye protection on, work clamped, let the saw do the work. (common practice)"
"""Of templates that are drilled through."""

_BODY = 8.0
_LINE_STEP = 3.6
_BAR_GAP = 9.0


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
    """The words at the head of a template page; ``steps`` are numbered, ``caution`` follows."""

    title: str
    subtitle: str
    steps: tuple[str, ...]
    note: str = ""
    columns: int = 1
    caution: str = CAUTION


def drawing_area(paper: Paper, heading: Heading) -> Area:
    """What heading, bars and footer leave free on ``paper``."""
    tall = paper.height >= paper.width
    foot = MARGIN + (2 if tall else 1) * 8.5 + 5.0
    side = MARGIN + (1 if tall else 2) * _BAR_GAP
    text = len(_heading_lines(paper, heading)) * _LINE_STEP
    # Half a line's width must not reach into the margin.
    return Area(side, foot, paper.width - MARGIN - 0.5, paper.height - MARGIN - 10.5 - text)


def begin_page(pen: Pen, paper: Paper, heading: Heading) -> Area:
    """Draw heading and bars, and return the free area."""
    width = paper.width - 2 * MARGIN
    y = paper.height - MARGIN - 4.0
    words, size = fitted(heading.title, 13.0, width, bold=True)
    pen.text(MARGIN, y, words, size, bold=True)
    y -= 5.0
    words, size = fitted(PRINT_WORDS, 9.0, width, bold=True)
    pen.text(MARGIN, y, words, size, bold=True)
    y -= 0.4
    left = _text_left(paper)
    step = (paper.width - MARGIN - left) / heading.columns
    for row in _heading_lines(paper, heading):
        y -= _LINE_STEP
        for column, line in enumerate(row):
            pen.text(left + column * step, y, line, _BODY)
    _draw_bars(pen, paper)
    return drawing_area(paper, heading)


def end_page(pen: Pen, paper: Paper, title: str, numbering: Numbering) -> None:
    """Draw the footer."""
    place = f"{paper.name}, {numbering.words}"
    room = paper.width - 2 * MARGIN - text_width(place, 7.5) - 6.0
    words, size = fitted(f"{title} (full size)", 7.5, room)
    pen.text(MARGIN, MARGIN + 1.0, words, size)
    pen.text(paper.width - MARGIN, MARGIN + 1.0, place, 7.5, align="right")


def _text_left(paper: Paper) -> float:
    """Where the heading's words start: on upright paper, clear of the bars along the page."""
    return MARGIN + (_BAR_GAP if paper.height >= paper.width else 0.0)


def _heading_lines(paper: Paper, heading: Heading) -> list[Sequence[str]]:
    """Rows of the heading below the print words, each a list of columns."""
    width = paper.width - MARGIN - _text_left(paper)
    about = f"{heading.subtitle} {heading.note}".strip()
    rows: list[Sequence[str]] = [[line] for line in wrapped(about, _BODY, width)]
    steps = [f"{i}. {step}" for i, step in enumerate(heading.steps, 1)] + [heading.caution]
    depth = -(-len(steps) // heading.columns)
    # Steps read down the first column, then down the next; each starts level with its neighbour.
    for row in range(depth):
        cells = [wrapped(step, _BODY, width / heading.columns - 4.0) for step in steps[row::depth]]
        rows += zip_longest(*cells, fillvalue="")
    return rows


def _draw_bars(pen: Pen, paper: Paper) -> None:
    """Bars across at the foot and along at the left edge, one after another where they fit."""
    tall = paper.height >= paper.width
    x, y = MARGIN + (1 if tall else 2) * _BAR_GAP, MARGIN + 8.0
    for length, label in BARS:
        _bar(pen, x, y, length, label, along=False)
        x, y = (x, y + 8.5) if tall else (x + length + 8.0, y)
    x, y = MARGIN + TICK / 2 + 0.5, MARGIN + (2 if tall else 1) * 8.5 + 6.0
    for length, label in BARS:
        _bar(pen, x, y, length, label, along=True)
        x, y = (x, y + length + 8.0) if tall else (x + _BAR_GAP, y)


def _bar(pen: Pen, x: float, y: float, length: float, label: str, *, along: bool) -> None:
    half = TICK / 2
    if along:
        pen.line(x, y, x, y + length)
        for end in (y, y + length):
            pen.line(x - half, end, x + half, end)
        pen.text(x - 0.6, y + length / 2, label, 7.5, align="centre", upright=True)
    else:
        pen.line(x, y, x + length, y)
        for end in (x, x + length):
            pen.line(end, y - half, end, y + half)
        pen.text(x + length / 2, y + 0.7, label, 7.5, align="centre")
