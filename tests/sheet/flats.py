"""Flat templates for the tests."""

from designer.sheet.pen import Pen
from designer.sheet.template_flat import FlatTemplate
from designer.sheet.template_page import Heading

HEADING = Heading(
    "Lattice", "Drill template, full size.", ("Cut it out.", "Punch the crosses."), "A note."
)
LINES_ACROSS = [17.0 + 37 * i for i in range(40)]
LINES_UP = [13.0 + 41 * i for i in range(40)]


def lattice(width: float, height: float) -> FlatTemplate:
    """An outline, level and upright lines all over it, circles and words between them."""

    def draw(pen: Pen) -> None:
        pen.chain([(0, 0), (width, 0), (width, height), (0, height)], close=True)
        for y in (y for y in LINES_ACROSS if y < height):
            pen.line(0, y, width, y)
        for x in (x for x in LINES_UP if x < width):
            pen.line(x, 0, x, height)
        pen.circle(width / 2, height / 2, min(width, height) / 3, 0.5)

    return FlatTemplate("collar", "Lattice", HEADING, width, height, draw)


def ring(size: float, band: float) -> FlatTemplate:
    """A ring with nothing between it and the cross in its middle."""

    def draw(pen: Pen) -> None:
        pen.circle(size / 2, size / 2, size / 2, 0.5)
        pen.circle(size / 2, size / 2, size / 2 - band)
        pen.cross(size / 2, size / 2, 6.0)

    return FlatTemplate("lid", "Ring", HEADING, size, size, draw)


def wordy(
    width: float, height: float, places: list[tuple[float, float, str, bool]]
) -> FlatTemplate:
    """Words of 9 points centred on places, level or upright."""

    def draw(pen: Pen) -> None:
        for x, y, words, upright in places:
            pen.text(x, y, words, 9.0, align="centre", upright=upright)

    return FlatTemplate("jig", "Words", HEADING, width, height, draw)
