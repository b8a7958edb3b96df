"""What stands under each support of a run, from the ground up: blocks, packing, shims; mm."""

from dataclasses import dataclass
from itertools import accumulate, pairwise

from designer.layout.run import GRAIN, RunLayout
from designer.model.stations import ground_at
from designer.stand.shims import Stack, rounded, stack


@dataclass(frozen=True, slots=True)
class Standing:
    """One support: the ground's level, its stack, and the shims on it under the drain and under
    each rail."""

    station: float
    ground: float
    stack: Stack
    shim: float
    rail_shim: float

    @property
    def foot(self) -> float:
        """Level of the stack's foot: below the ground where it is let in."""
        return self.ground - self.stack.sunk

    @property
    def courses(self) -> tuple[tuple[float, float], ...]:
        """(bottom, top) of each course of blocks from below."""
        tops = tuple(accumulate(self.stack.blocks, initial=self.foot))
        return tuple(pairwise(tops))


def standing(layout: RunLayout) -> tuple[Standing, ...]:
    """Every support in rising order of station. A stack is packed up by half a block at most and
    otherwise let into the ground."""
    stand, block = layout.run.stand, layout.parts.block
    grain, levels = GRAIN[layout.units], layout.levels
    shims = dict(layout.shims)
    stations = sorted(shims)
    found = []
    for station, ground in zip(
        stations, ground_at(stations, stand.supports, stand.ground), strict=True
    ):
        rise = levels.rail_rise * station / levels.length
        found.append(
            Standing(
                station,
                ground,
                stack(levels.block_top - ground, [block.height], grain, block.height / 2),
                shims[station],
                rounded(rise, grain),
            )
        )
    return tuple(found)
