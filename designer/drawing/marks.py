"""Marks that put a finding's subject in sight: ring and badge by shape, dash and colour.

Must fix: a solid ring and a filled diamond with "!". Look again: a dashed ring and a filled
disc with "?". The two differ without any colour.
"""

from collections.abc import Sequence

from designer.checks.finding import State
from designer.drawing.records import XY, Circle, Line, Record, Text

BADGE = 2.6
"""Half size of a badge, mm on paper."""

BADGES = frozenset({"must_badge", "look_badge", "badge_text"})
"""The styles of a badge's two records: its shape, then its sign."""


def badge(x: float, y: float, state: State, scale: float) -> list[Record]:
    """The badge of a state at a point."""
    r = BADGE * scale
    if state == "must_fix":
        shape: Record = Line(
            ((x, y + 1.2 * r), (x + 1.2 * r, y), (x, y - 1.2 * r), (x - 1.2 * r, y)),
            "must_badge",
            True,
        )
    else:
        shape = Circle(x, y, r, "look_badge")
    letter = "!" if state == "must_fix" else "?"
    return [shape, Text(x, y, letter, 1.5 * r, "badge_text")]


def ring_style(state: State) -> str:
    """The style of the outline that is drawn around a marked thing."""
    return "must_ring" if state == "must_fix" else "look_ring"


def ring(x: float, y: float, radius: float, state: State, scale: float) -> list[Record]:
    """A ring around a round thing, with its badge at the upper right."""
    radius += 1.5 * scale
    at = radius * 0.7071
    return [Circle(x, y, radius, ring_style(state)), *badge(x + at, y + at, state, scale)]


def corner_badge(points: Sequence[XY], state: State, scale: float) -> list[Record]:
    """A badge outside the lower right corner of an outline: its name stands in it or above it."""
    x, y = max(points, key=lambda point: point[0] - point[1])
    away = BADGE * scale
    return badge(x + away, y - away, state, scale)


def box_ring(
    left: float, bottom: float, right: float, top: float, state: State, scale: float
) -> list[Record]:
    """A frame around a long thing, with its badge at the upper right corner."""
    room = 2 * scale
    corners = (
        (left - room, bottom - room),
        (right + room, bottom - room),
        (right + room, top + room),
        (left - room, top + room),
    )
    return [Line(corners, ring_style(state), True), *badge(*corners[2], state, scale)]
