"""A long view on several sheets: where it is cut, what each part shows, and the key to the parts.

Each sheet shows a little more than its part, and the match line of either side bears a letter that
the next sheet has as well. Numbers run on: nothing is measured from a match line.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil

from shapely.geometry import Point, Polygon, box

from designer.drawing.dimensions import TEXT
from designer.drawing.records import Box, Circle, Line, Record, Text, extent, text_box
from designer.sheet.broken_view import clipped
from designer.sheet.pen import NARROW, WIDE, Pen

OVERLAP = 6.0
"""How far each part goes on beyond its match line, mm on paper."""
_PAST = 3.0
"""How far a match line stands out beyond the view, mm on paper."""
_ROUND = 24
"""Points to a quarter of a circle that is cut."""


@dataclass(frozen=True)
class KeyPlan:
    """Which part of a run a sheet shows: the x of all parts' ends in the view, and its own place
    among them, from 0 at the left. Parts are numbered as the tape runs, from the capped end at the
    right."""

    ends: tuple[float, ...]
    part: int

    @property
    def parts(self) -> int:
        """How many parts there are."""
        return len(self.ends) - 1

    @property
    def own(self) -> tuple[float, float]:
        """From which match line to which this part reaches."""
        return self.ends[self.part], self.ends[self.part + 1]

    def number(self, part: int) -> int:
        """The number of a part."""
        return self.parts - part

    @property
    def words(self) -> str:
        """What the part is called."""
        return f"part {self.number(self.part)} of {self.parts}"

    def shown(self, scale: float) -> tuple[float, float]:
        """From where to where the part is drawn, the overlap taken in."""
        low, high = self.own
        more = OVERLAP * scale
        first, last = self.part == 0, self.part == self.parts - 1
        return (low if first else low - more), (high if last else high + more)


def key_plans(
    whole: Box, joints: Sequence[float], width: float, scale: float
) -> tuple[KeyPlan, ...]:
    """The fewest parts of like length that a sheet has room for, cut at some of the joints.

    `whole` is the box of all views, `joints` the x at which a cut hides least, `width` what a
    sheet shows, mm of the thing. Nothing where no such parts are found.
    """
    low, high = whole[0] - 1e-6, whole[2] + 1e-6
    room = width - 2 * OVERLAP * scale
    inside = sorted(x for x in joints if low < x < high)
    for count in range(max(2, ceil((high - low) / width)), len(inside) + 2):
        cuts = [
            min(inside, key=lambda x: abs(x - target))
            for target in (low + (high - low) * i / count for i in range(1, count))
        ]
        ends = (low, *dict.fromkeys(cuts), high)
        parts = tuple(KeyPlan(ends, i) for i in range(len(ends) - 1))
        if all(b - a <= room for a, b in (plan.own for plan in parts)):
            return parts
    return ()


def part_of(records: Sequence[Record], plan: KeyPlan, scale: float) -> list[Record]:
    """What a part shows of a view. Words stand on the one sheet on whose part their middle is."""
    low, high = plan.shown(scale)
    own_low, own_high = plan.own
    region = box(low, -1e7, high, 1e7)
    kept: list[Record] = []
    for record in records:
        if isinstance(record, Text):
            left, _, right, _ = text_box(record)
            if own_low <= (left + right) / 2 < own_high:
                kept.append(_held(record, low, high))
        elif isinstance(record, Circle):
            kept += _round(record, region)
        else:
            kept += clipped(record, region)
    return kept


def _held(record: Text, low: float, high: float) -> Text:
    """Words moved so far that they stand within a part."""
    left, _, right, _ = text_box(record)
    if left < low:
        return record._replace(x=record.x + low - left)
    return record._replace(x=record.x - (right - high)) if right > high else record


def _round(circle: Circle, region: Polygon) -> Iterator[Record]:
    low, _, high, _ = region.bounds
    if low <= circle.x - circle.radius and circle.x + circle.radius <= high:
        yield circle
    elif circle.x + circle.radius > low and circle.x - circle.radius < high:
        ring = Point(circle.x, circle.y).buffer(circle.radius, quad_segs=_ROUND)
        points = tuple((float(x), float(y)) for x, y in ring.exterior.coords[:-1])
        yield from clipped(Line(points, circle.style, closed=True), region)


def match_lines(records: Sequence[Record], plan: KeyPlan, scale: float) -> list[Record]:
    """The match lines of a part through a view, with their letters at both ends."""
    edges = extent(list(records))
    if edges is None:
        return []
    _, bottom, _, top = edges
    more, size = _PAST * scale, TEXT * scale
    found: list[Record] = []
    for x, beside in zip(plan.own, (plan.part - 1, plan.part + 1), strict=True):
        if not 0 <= beside < plan.parts:
            continue
        letter = f"M{min(plan.number(plan.part), plan.number(beside))}"
        found.append(Line(((x, bottom - more), (x, top + more)), "match"))
        for y in (bottom - more - size, top + more + size):
            found.append(Text(x, y, letter, size, "letter"))
    return found


def draw_key_plan(pen: Pen, plan: KeyPlan, right: float, middle: float) -> None:
    """The key to the parts: a bar as long as the run, this sheet's part filled, each part's number
    in it. It ends at `right` and stands round the height `middle`, mm."""
    wide, high = min(16.0 * plan.parts, 70.0), 4.2
    left, whole = right - wide, plan.ends[-1] - plan.ends[0]
    for i in range(plan.parts):
        a, b = (left + wide * (x - plan.ends[0]) / whole for x in plan.ends[i : i + 2])
        corners = [(a, middle - high / 2), (b, middle - high / 2)]
        corners += [(x, middle + high / 2) for x, _ in reversed(corners)]
        if i == plan.part:
            pen.area(corners, 0.82)
        pen.chain(corners, WIDE if i == plan.part else NARROW, close=True)
        pen.text(
            (a + b) / 2, middle - 1.0, str(plan.number(i)), 7.5, bold=i == plan.part, align="centre"
        )
    pen.text(left - 2.0, middle - 1.0, "Key to the sheets", 7.5, align="right")
