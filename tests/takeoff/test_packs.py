"""Packs, bags and rolls: enough for the least money, against trying every number of each."""

from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from designer.takeoff.packs import Pack, cheapest_packs


@given(
    st.integers(0, 60),
    st.lists(st.builds(Pack, st.integers(1, 25), st.integers(0, 9)), min_size=1, max_size=3),
)
def test_packs_hold_enough_for_the_least_money(need: int, packs: list[Pack]) -> None:
    counts = cheapest_packs(need, packs)
    ways = product(*(range(-(-need // pack.size) + 1) for pack in packs))

    def worth(way: tuple[int, ...]) -> tuple[int, int]:
        pairs = list(zip(way, packs, strict=True))
        return sum(n * p.price for n, p in pairs), sum(n * p.size for n, p in pairs)

    best = min(worth(way) for way in ways if worth(way)[1] >= need)
    assert worth(counts) == best


def test_a_pack_of_ten_is_bought_when_it_is_cheaper_than_seven_single_ones() -> None:
    assert cheapest_packs(7, [Pack(1, 25), Pack(10, 150)]) == (0, 1)
    assert cheapest_packs(5, [Pack(1, 25), Pack(10, 150)]) == (5, 0)


def test_a_great_amount_is_counted_in_coarser_steps() -> None:
    counts = cheapest_packs(50_000_000, [Pack(1133, 30), Pack(1000, 29)])
    assert counts[0] * 1133 + counts[1] * 1000 >= 50_000_000


def test_no_pack_and_a_pack_of_nothing_are_refused() -> None:
    with pytest.raises(ValueError):
        cheapest_packs(5, [])
    with pytest.raises(ValueError):
        Pack(0, 5)
