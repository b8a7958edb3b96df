"""Where the pieces of a flat template are trimmed and joined.

Both pieces of a joint carry the same marks at the same places of the drawing, so that they
coincide when the pieces lie right. The crosses lie aslant: upright ones are punched.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from shapely import STRtree
from shapely.geometry import box
from shapely.geometry.base import BaseGeometry

from designer.sheet.pen import DASHED, Pen, text_width
from designer.sheet.template_grid import OVERLAP, Grid, Tile

JOINING_STEP = (
    "Of two pages that meet, trim the right or lower one at the dashed line, lay line on line and "
    "the slanted crosses on each other, and tape. Rows are A, B, C from the top."
)

_ARM = 2.0
_TEXT = 7.0
_APART = 4.0


@dataclass(frozen=True)
class Joint:
    """The line on which two neighbouring pieces meet, `earlier` left of or above the other.

    `across` runs from `start` to `end` at `place`: a level joint along x at a height, an upright
    one along y.
    """

    earlier: Tile
    later: Tile
    upright: bool
    place: float
    start: float
    end: float

    def point(self, along: float, beside: float) -> tuple[float, float]:
        """The place in the drawing so far along the joint and to the left of it or above it."""
        return (self.place - beside, along) if self.upright else (along, self.place + beside)


def joints(grid: Grid, tile: Tile) -> Iterator[Joint]:
    """The joints of a piece with those pieces around it that are printed."""
    row, column, window = tile.row, tile.column, tile.window
    for other, upright in (
        (grid.tile(row, column - 1), True),
        (grid.tile(row, column + 1), True),
        (grid.tile(row - 1, column), False),
        (grid.tile(row + 1, column), False),
    ):
        if other is None:
            continue
        earlier, later = sorted((tile, other), key=lambda tile: (tile.row, tile.column))
        if upright:
            yield Joint(earlier, later, True, earlier.cell.right, window.bottom, window.top)
        else:
            yield Joint(earlier, later, False, earlier.cell.bottom, window.left, window.right)


def draw_joint(pen: Pen, joint: Joint, ink: STRtree) -> None:
    """The joint line with two crosses, and what is done there where there is room to say it."""
    start, end = joint.start, joint.end
    pen.line(*joint.point(start, 0), *joint.point(end, 0), dash=DASHED)
    third = (end - start) / 3
    taken = []
    for low in (start, start + 2 * third):
        middle = min(
            _places(low, low + third, 2 * _ARM),
            key=lambda place: _ink_beside(joint, ink, place, _ARM + 1.0, (-1, 1)),
        )
        taken.append(middle)
        x, y = joint.point(middle, 0)
        pen.line(x - _ARM, y - _ARM, x + _ARM, y + _ARM)
        pen.line(x - _ARM, y + _ARM, x + _ARM, y - _ARM)
    first, second = joint.earlier.name, joint.later.name
    for words, side in ((f"{first}: lay {second} here", 1), (f"{second}: trim here", -1)):
        half = text_width(words, _TEXT) / 2 + 1.0
        for place in _places(start + OVERLAP, end - OVERLAP, 2 * half):
            clear = all(abs(place - cross) > half + _ARM for cross in taken)
            if clear and not _ink_beside(joint, ink, place, half, (0, side)):
                x, y = joint.point(place, 1.3 if side > 0 else -3.2)
                pen.text(x, y, words, _TEXT, align="centre", upright=joint.upright)
                break


def _places(low: float, high: float, length: float) -> list[float]:
    """Middles of stretches of a length from `low` to `high`, from their middle outward."""
    steps = int(max((high - low - length) / 2, 0.0) // _APART)
    shifts = sorted((i * _APART for i in range(-steps, steps + 1)), key=abs)
    return [(low + high) / 2 + shift for shift in shifts]


def _ink_beside(
    joint: Joint, ink: STRtree, middle: float, half: float, sides: tuple[int, int]
) -> float:
    """Length of lines within the overlap along a stretch of the joint, mm, from the lower or right
    side (-1) or the joint itself (0) to the joint or the other side (1)."""
    low, high = sorted(side * OVERLAP / 2 for side in sides)
    a, b = joint.point(middle - half, low), joint.point(middle + half, high)
    zone = box(min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1]))
    near: Sequence[BaseGeometry] = ink.geometries[ink.query(zone)]
    return float(sum(zone.intersection(shape).length for shape in near))
