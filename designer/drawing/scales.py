"""Scales of drawings after ISO 5455: 1:1 and the reductions 1:2, 1:5, 1:10, 1:20 and so on.

The recommended reductions are from memory; the standard lets the series go on by powers of ten.
"""

from collections.abc import Iterator


def reductions() -> Iterator[int]:
    """1, 2, 5, 10, 20, 50 and so on without end: mm of the thing to one mm of paper."""
    decade = 1
    while True:
        for step in (1, 2, 5):
            yield step * decade
        decade *= 10


def fitting_scale(width: float, height: float, room_width: float, room_height: float) -> int:
    """The largest scale at which `width` by `height` mm of the thing fits in a room on paper.

    Returned as mm of the thing to one mm of paper, 10 for 1:10. Raises ValueError when there is no
    room at all.
    """
    if room_width <= 0 or room_height <= 0:
        raise ValueError("There is no room on the paper for a drawing.")
    for scale in reductions():
        if width <= room_width * scale and height <= room_height * scale:
            return scale
    raise AssertionError("the series of scales has no end")


def scale_words(scale: float) -> str:
    """How a drawing states its scale: "SCALE 1:10" (ISO 5455, clause 4)."""
    return f"SCALE 1:{scale:g}"
