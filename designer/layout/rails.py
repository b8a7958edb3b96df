"""Rails as they are cut from sticks, mm."""

from collections.abc import Sequence

_SAME = 0.01
"""Lengths this close, in mm, are one length."""


def rail_pieces(length: float, stick: float, supports: Sequence[float]) -> list[float]:
    """Cut a rail from sticks so that its joints lie over supports where they can; mm."""
    pieces: list[float] = []
    start = 0.0
    while length - start > stick + _SAME:
        over = [s for s in supports if start + _SAME < s <= start + stick]
        joint = max(over, default=start + stick)
        pieces.append(joint - start)
        start = joint
    pieces.append(length - start)
    return pieces
