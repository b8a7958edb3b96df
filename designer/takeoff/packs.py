"""How many packs, bags or rolls to buy so that there is enough."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import gcd

_MOST_STEPS = 200_000
"""With more steps than this the amount is rounded up to coarser ones."""


@dataclass(frozen=True, slots=True)
class Pack:
    """A pack as sold: `size` in whole steps of some unit, `price` in whole money units."""

    size: int
    price: int

    def __post_init__(self) -> None:
        if self.size <= 0 or self.price < 0:
            raise ValueError("A pack holds more than 0 and its price is 0 or more.")


def cheapest_packs(need: int, packs: Sequence[Pack]) -> tuple[int, ...]:
    """How many of each pack hold at least `need` for the least money; of those the least surplus,
    then the fewest packs. Exact: by the least price for every amount up to the need. ValueError
    without a pack."""
    if not packs:
        raise ValueError("There is no pack to choose from.")
    if need <= 0:
        return (0,) * len(packs)
    step = gcd(*(pack.size for pack in packs))
    step *= max(1, -(-need // (step * _MOST_STEPS)))
    sizes = [max(1, pack.size // step) for pack in packs]
    steps = -(-need // step)
    # best[n]: (price, held, packs, last pack) of the best that holds at least n steps
    best: list[tuple[int, int, int, int]] = [(0, 0, 0, -1)]
    for n in range(1, steps + 1):
        choices = []
        for i, (size, pack) in enumerate(zip(sizes, packs, strict=True)):
            price, held, count, _ = best[max(0, n - size)]
            choices.append((price + pack.price, held + size, count + 1, i))
        best.append(min(choices))
    counts = [0] * len(packs)
    while steps > 0:
        last = best[steps][3]
        counts[last] += 1
        steps = max(0, steps - sizes[last])
    return tuple(counts)
