"""The rules of a printed page, judged from what stands on it.

What is looked for, and how a fault is told apart from what only looks like one:

- words within the paper's margins, of a size that can be read;
- no words on other words. Their ink is compared, so lines set close do not count;
- no line through words. A line that was painted over by an opaque area before the words were
  painted is not seen there and does not count; nor does the part of it outside that area;
- no words under an area that was painted after them.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np
from shapely import STRtree
from shapely.geometry.base import BaseGeometry

from tests.sheet.page_marks import Box, PageMarks, Words

MM = 72 / 25.4
MARGIN = 10 * MM
"""Clear edge of every page (sheet/paper.py says why), points."""
LEAST_TEXT = 7.0
"""Smallest text we print, points."""
_TOUCH = 0.35
"""Ink may reach this far into its neighbour's: the reader rounds the bounds outward, points."""
_SEEN = 0.5
"""A line through words is seen from this length on, points."""
_OPAQUE = 0.95
"""An area hides what it is painted over from this opacity on."""
_VEIL = 0.5
"""Words may not lie under an area of this opacity."""


@dataclass(frozen=True)
class Fault:
    """One thing that is wrong on a page: what, the words it happens to, and what they meet."""

    page: int
    what: str
    words: str
    box: Box
    other: str = ""
    other_box: Box | None = None

    def __str__(self) -> str:
        said = f"page {self.page}: {self.what}: {self.words!r} {_mm(self.box)}"
        if self.other_box is not None:
            said += f" and {self.other!r} {_mm(self.other_box)}"
        return said


def _mm(box: Box) -> str:
    return "({}) mm".format(", ".join(f"{side / MM:.1f}" for side in box))


def layout_faults(page: PageMarks) -> list[Fault]:
    """Every fault of a page's layout."""
    return [
        *outside_margins(page),
        *too_small(page),
        *on_each_other(page),
        *crossed_by_lines(page),
        *covered(page),
    ]


def outside_margins(page: PageMarks) -> Iterator[Fault]:
    """Words, lines and areas that reach into the edge a printer leaves blank."""
    for words in page.words:
        if _outside(page, words.box, _TOUCH):
            yield Fault(page.number, "outside the margins", words.text, words.box)
    for shape in page.shapes:
        for part, reach in ((shape.lines, shape.width / 2), (shape.area, 0.0)):
            if part is not None and not part.is_empty and _outside(page, part.bounds, 1.0 - reach):
                yield Fault(page.number, "outside the margins", "a line or area", part.bounds)


def _outside(page: PageMarks, box: Box, grace: float) -> bool:
    left, bottom, right, top = box
    least = MARGIN - grace
    return bool(
        left < least or bottom < least or right > page.width - least or top > page.height - least
    )


def too_small(page: PageMarks) -> Iterator[Fault]:
    """Words smaller than we print."""
    for words in page.words:
        if words.size < LEAST_TEXT - 0.01:
            yield Fault(page.number, f"only {words.size:.2f} pt", words.text, words.box)


def on_each_other(page: PageMarks) -> Iterator[Fault]:
    """Words whose ink meets that of other words."""
    ink = [words.outline.buffer(-_TOUCH, join_style="mitre") for words in page.words]
    for a, b in _meeting(ink, ink):
        if a < b and ink[a].intersection(ink[b]).area > 0:
            yield _fault(page, "on other words", page.words[a], page.words[b])


def crossed_by_lines(page: PageMarks) -> Iterator[Fault]:
    """Words with a line through their ink, where the line is seen there."""
    stroked = [(shape, shape.lines) for shape in page.shapes if shape.lines is not None]
    masks = [(s.order, s.area) for s in page.shapes if s.area is not None and s.hides >= _OPAQUE]
    areas = STRtree([area for _, area in masks])
    zones = [words.outline for words in page.words]
    for i, j in _meeting(zones, [lines for _, lines in stroked], reach=1.5):
        words, (shape, lines) = page.words[i], stroked[j]
        zone = words.outline.buffer(shape.width / 2 - _TOUCH, join_style="mitre")
        seen = lines.intersection(zone)
        for k in areas.query(seen) if not seen.is_empty else ():
            order, area = masks[k]
            if shape.order < order < words.order:
                seen = seen.difference(area)
        if not seen.is_empty and seen.length > _SEEN:
            other = "a dashed line" if shape.dashed else "a line"
            yield Fault(page.number, "crossed by a line", words.text, words.box, other, seen.bounds)


def covered(page: PageMarks) -> Iterator[Fault]:
    """Words under an area that was painted later."""
    later = [(s.order, s.area) for s in page.shapes if s.area is not None and s.hides >= _VEIL]
    zones = [words.outline.buffer(-_TOUCH, join_style="mitre") for words in page.words]
    for i, j in _meeting(zones, [area for _, area in later]):
        words, (order, area) = page.words[i], later[j]
        if order > words.order and area.intersection(zones[i]).area > 0:
            yield Fault(page.number, "covered", words.text, words.box, "an area", area.bounds)


def _fault(page: PageMarks, what: str, words: Words, other: Words) -> Fault:
    return Fault(page.number, what, words.text, words.box, other.text, other.box)


def _meeting(
    these: list[BaseGeometry], those: list[BaseGeometry], reach: float = 0.0
) -> Iterable[tuple[int, int]]:
    """Pairs of indices whose boxes come within `reach` of each other."""
    if not these or not those:
        return []
    pairs = STRtree(those).query(these, predicate="dwithin", distance=reach)
    return [(int(a), int(b)) for a, b in np.transpose(pairs)]
