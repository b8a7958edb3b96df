"""Part references after ISO 6433: a part's number in a circle, with a leader that ends in the part.

Each balloon takes the nearest free place: clear of lines and words, its leader clear of words, of
other balloons and of their leaders, and across as few lines as can be.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from math import cos, pi, sin

import numpy as np
from shapely import STRtree, distance, intersects, length, linestrings, points
from shapely.geometry import LineString, Point, box
from shapely.geometry.base import BaseGeometry

from designer.drawing.drawn_lines import drawn_line
from designer.drawing.part_places import PartPlace
from designer.drawing.records import XY, Box, Circle, Line, Record, Text, text_box

RADIUS = 3.4
"""Of a balloon, mm on paper."""
HEIGHT = 3.2
"""Of its number, mm on paper."""
_DOT = 0.55
"""Radius of the dot in which a leader ends, mm on paper."""
_CLEAR = 0.8
"""Round a balloon and round words, mm on paper."""
_FARTHEST = 60.0
"""Longest leader, mm on paper."""
_CROSSING = 2.5
"""A line crossed counts as much as this much more leader, mm on paper."""
_ANGLES = 24
_TRIES = 4
"""A part that found no place is tried first in the next of so many rounds."""


@dataclass
class _Sheet:
    """What balloons keep clear of, in mm of the thing."""

    lines: list[BaseGeometry]
    words: list[BaseGeometry]
    room: Box | None
    taken: list[BaseGeometry] = field(default_factory=list)
    """Middles of the balloons that stand already."""
    leaders: list[BaseGeometry] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.line_tree, self.word_tree = STRtree(self.lines), STRtree(self.words)

    def costs(self, tip: XY, centres: list[XY], scale: float) -> Iterator[tuple[float, XY]]:
        """What a balloon would cost at each place where it can stand, mm on paper."""
        clear = (RADIUS + _CLEAR) * scale
        if self.room is not None:
            left, bottom, right, top = self.room
            centres = [
                (x, y)
                for x, y in centres
                if left + clear <= x <= right - clear and bottom + clear <= y <= top - clear
            ]
        if not centres:
            return
        middles = points(centres)
        leaders = linestrings([_leader(tip, centre, scale) for centre in centres])
        free = np.ones(len(centres), bool)
        for tree in (self.line_tree, self.word_tree):
            free[tree.query(middles, "dwithin", distance=clear)[0]] = False
        free[self.word_tree.query(leaders, "intersects")[0]] = False
        for other in self.taken:
            free &= (distance(middles, other) > 2 * clear) & (distance(leaders, other) > clear)
        for other in self.leaders:
            free &= (distance(middles, other) > clear) & ~intersects(leaders, other)
        crossed = np.bincount(
            self.line_tree.query(leaders, "intersects")[0], minlength=len(centres)
        )
        costs = length(leaders) / scale + _CROSSING * crossed
        yield from ((float(costs[i]), centres[i]) for i in np.flatnonzero(free))


def balloon_records(
    parts: Sequence[PartPlace],
    numbers: Mapping[str, int],
    drawn: Iterable[Record],
    scale: float,
    room: Box | None = None,
) -> list[Record]:
    """Balloons for the parts of a view in which `drawn` stands already, within `room` if given.

    A part without a number has none, and neither has one for which no place is free. `scale` is mm
    of the thing to one mm of paper.
    """
    order = sorted(
        (part for part in parts if part.item in numbers), key=lambda part: (part.y, part.x)
    )
    if not order:
        return []
    sheet = _sheet(drawn, scale, room)
    best: list[tuple[PartPlace, XY]] = []
    for _ in range(_TRIES):
        placed = _placed(sheet, order, scale)
        best = max(best, placed, key=len)
        left_out = [part for part in order if part not in {part for part, _ in placed}]
        if not left_out:
            break
        order = [*left_out, *(part for part, _ in placed)]
    return [
        record
        for part, centre in best
        for record in _balloon(str(numbers[part.item]), (part.x, part.y), centre, scale)
    ]


def _placed(sheet: _Sheet, order: Sequence[PartPlace], scale: float) -> list[tuple[PartPlace, XY]]:
    """The parts that found a place for their balloons, one after the other, and these places."""
    sheet.taken.clear()
    sheet.leaders.clear()
    placed = []
    for part in order:
        tip = (part.x, part.y)
        found = _cheapest(sheet, tip, scale)
        if found:
            _, centre = found
            sheet.taken.append(Point(centre))
            sheet.leaders.append(LineString(_leader(tip, centre, scale)))
            placed.append((part, centre))
    return placed


def _sheet(drawn: Iterable[Record], scale: float, room: Box | None) -> _Sheet:
    lines: list[BaseGeometry] = []
    words: list[BaseGeometry] = []
    for record in drawn:
        if isinstance(record, Text):
            words.append(box(*text_box(record)).buffer(_CLEAR * scale, join_style="mitre"))
        elif isinstance(record, Circle) or len(record.points) > 1:
            lines.append(drawn_line(record))
    return _Sheet(lines, words, room)


def _cheapest(sheet: _Sheet, tip: XY, scale: float) -> tuple[float, XY] | None:
    """The place round a point that costs least, with its cost. A leader costs its length at least,
    so nothing is looked at further out than that."""
    found: list[tuple[float, XY]] = []
    far = 2.2 * RADIUS
    while far <= _FARTHEST and not (found and min(found)[0] < far - RADIUS - 1e-6):
        turns = (2 * pi * i / _ANGLES for i in range(_ANGLES))
        out = far * scale
        ring = [(tip[0] + out * cos(turn), tip[1] + out * sin(turn)) for turn in turns]
        found += sheet.costs(tip, ring, scale)
        far += 3.0
    return min(found, default=None)


def _leader(tip: XY, centre: XY, scale: float) -> tuple[XY, XY]:
    dx, dy = tip[0] - centre[0], tip[1] - centre[1]
    share = RADIUS * scale / (dx * dx + dy * dy) ** 0.5
    return tip, (centre[0] + dx * share, centre[1] + dy * share)


def _balloon(number: str, tip: XY, centre: XY, scale: float) -> list[Record]:
    return [
        Line(_leader(tip, centre, scale), "leader"),
        Circle(*tip, _DOT * scale, "cut_thin"),
        Circle(*centre, RADIUS * scale, "balloon"),
        Text(*centre, number, HEIGHT * scale, "balloon_number"),
    ]
