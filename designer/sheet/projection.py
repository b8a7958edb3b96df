"""The method of projection of a drawing sheet: where one view stands from another, and its symbol.

On A4 and A3 first angle, on Letter and Tabloid third angle, as is usual where these papers are
(common practice, no source). In first angle the plan stands below the elevation, in third angle
above it (ISO 5456-2).
"""

from designer.sheet.paper import Paper
from designer.sheet.pen import CHAIN, NARROW, WIDE, Pen

WIDTH, HEIGHT = 19.0, 8.0
"""Room of the symbol at full size, mm."""


def first_angle(paper: Paper) -> bool:
    """Whether drawings on this paper follow first angle projection; else they follow third."""
    return paper.name.startswith("A")


def draw_projection_symbol(pen: Pen, x: float, y: float, paper: Paper, size: float = 0.6) -> None:
    """The symbol of the paper's method, centred at (x, y) mm: a cone from its side and its end.

    At full size the cone is 10 mm long, 10 and 5 mm across, and its end view stands 7 mm beside
    the end that faces it: the large one in first angle, the small one in third.
    """
    long, big, small, apart = (value * size for value in (10.0, 5.0, 2.5, 7.0))
    half = (long + apart + big) / 2
    first = first_angle(paper)
    # the small end of the cone is at its left; the end view stands right of it in first angle
    cone = x - half if first else x + half - long
    circles = x + half - big if first else x - half + big
    ends = [(cone, small), (cone + long, big)]
    pen.chain(
        [*((a, y - b) for a, b in ends), *((a, y + b) for a, b in reversed(ends))],
        WIDE * size,
        close=True,
    )
    pen.circle(circles, y, big, WIDE * size)
    pen.circle(circles, y, small, WIDE * size)
    over = 1.5 * size
    dash = [part * 0.3 for part in CHAIN]
    pen.line(cone - over, y, cone + long + over, y, NARROW * size, dash)
    pen.line(circles - big - over, y, circles + big + over, y, NARROW * size, dash)
    pen.line(circles, y - big - over, circles, y + big + over, NARROW * size, dash)
