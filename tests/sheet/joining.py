"""The pages of a template laid together as a person does it: slanted crosses on slanted crosses."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

import numpy as np

from tests.sheet.measure import Stroke, strokes

_CROSS = 4 * np.sqrt(2)
"""Length of one line of a slanted cross with arms of 2 mm."""


@dataclass(frozen=True)
class Joined:
    """Pages in a row, and where each one's lower left corner lies from the first one's; `misfit`
    is by how much two crosses of a joint at most miss each other, mm."""

    pages: list[list[Stroke]]
    offsets: list[np.ndarray]
    misfit: float

    def place(self, page: int, point: np.ndarray) -> np.ndarray:
        """A point of a page on the first page's frame."""
        return np.asarray(point) + self.offsets[page]


def slanted_crosses(page: list[Stroke]) -> np.ndarray:
    """Centres of the slanted crosses of a page, (n, 2), by rising x and y."""
    slanted: dict[tuple[float, float], list[np.ndarray]] = {}
    for stroke in page:
        if stroke.is_line and abs(stroke.length - _CROSS) < 0.01:
            run, rise = np.abs(stroke.points[1] - stroke.points[0])
            if abs(run - rise) < 0.01:
                centre = stroke.points.mean(axis=0)
                x, y = centre.round(1)
                slanted.setdefault((x, y), []).append(centre)
    pairs = [np.mean(lines, axis=0) for lines in slanted.values() if len(lines) == 2]
    return np.array(sorted(pairs, key=lambda centre: (round(centre[0], 1), centre[1])))


def join_row(path: Path, first: int, count: int) -> Joined:
    """Join `count` pages that lie in one row, from page `first` on."""
    pages = [strokes(path, first + i) for i in range(count)]
    offsets = [np.zeros(2)]
    misfit = 0.0
    for before, after in pairwise(pages):
        right, left = slanted_crosses(before)[-2:], slanted_crosses(after)[:2]
        right, left = (ends[np.argsort(ends[:, 1])] for ends in (right, left))
        moves = right - left
        misfit = max(misfit, float(np.abs(moves[0] - moves[1]).max()))
        offsets.append(offsets[-1] + moves.mean(axis=0))
    return Joined(pages, offsets, misfit)
