"""Levels beside a view: an open arrow head on a short line, and the level in words.

Marks stand in a column in the order of their levels, moved apart where their words would meet.
"""

from collections.abc import Sequence
from typing import NamedTuple

from designer.drawing.dimensions import SMALL_TEXT
from designer.drawing.records import Line, Record, Text

_APART = 1.45 * SMALL_TEXT
"""Between the middles of two marks' words, mm on paper."""
_STEP = 5.0
"""Room in which a moved mark's line finds its level, mm on paper."""
_HEAD = 1.6
"""Half the width and the height of the arrow head, mm on paper."""


class LevelMark(NamedTuple):
    """One level: what it is of, where it stands, and the x at which its line begins."""

    words: str
    level: float
    from_x: float


def level_column(marks: Sequence[LevelMark], x: float, scale: float, side: int = 1) -> list[Record]:
    """The marks in a column whose words begin beyond `x`, to the right (1) or the left (-1)."""
    ordered = sorted(marks, key=lambda mark: mark.level)
    records: list[Record] = []
    for mark, y in zip(ordered, spread([m.level for m in ordered], _APART * scale), strict=True):
        records += _mark(mark, x, y, scale, side)
    return records


def spread(levels: Sequence[float], apart: float) -> list[float]:
    """Rising levels moved as little as needed to stand `apart`: close ones share the way."""
    groups: list[list[float]] = []  # of each: sum of where its marks would start, count
    for i, level in enumerate(levels):
        groups.append([level - i * apart, 1.0])
        while len(groups) > 1 and groups[-2][0] / groups[-2][1] > groups[-1][0] / groups[-1][1]:
            total, count = groups.pop()
            groups[-1][0] += total
            groups[-1][1] += count
    starts = [total / count for total, count in groups for _ in range(int(count))]
    return [start + i * apart for i, start in enumerate(starts)]


def _mark(mark: LevelMark, x: float, y: float, scale: float, side: int) -> list[Record]:
    head, knee = _HEAD * scale, x + side * _STEP * scale
    tip = knee + side * (head + 0.5 * scale)
    end = tip + side * head
    start = mark.from_x + side * scale
    line = ((start, mark.level), (x, mark.level), (knee, y), (end, y))
    if abs(y - mark.level) < 1e-6:
        line = ((start, y), (end, y))  # type: ignore[assignment]
    return [
        Line(line, "dimension"),
        Line(((tip - head / 2, y + head), (tip, y), (tip + head / 2, y + head)), "dimension", True),
        Text(
            end + side * 0.8 * scale,
            y,
            mark.words,
            SMALL_TEXT * scale,
            "text_soft",
            "start" if side > 0 else "end",
        ),
    ]
