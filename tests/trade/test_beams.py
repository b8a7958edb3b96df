"""Beam formulas of the trade, and the program's solver against them and an independent solution.

Formulas: AWC Design Aid 6, beam formulas with shear and moment diagrams (second-hand: its list of
figures was read, the formulas were recomputed). The second solution is a stiffness method of many
cubic elements in `tests/stand/elements.py`, which shares nothing with the program.
"""

from dataclasses import dataclass
from math import sqrt

import pytest

from designer.stand.beam import Load, point, solve_beam, uniform
from tests.stand.elements import element_beam

L, W, P, EI = 1.9, 730.0, 410.0, 5200.0
A, B = 1.2, 0.7  # of one load, a from the left and b from the right, a > b
OVER = 0.5


@dataclass(frozen=True)
class Row:
    """One row of the table: the beam, its greatest moments, reactions and deflection."""

    name: str
    length: float
    supports: tuple[float, ...]
    loads: tuple[Load, ...]
    moments: tuple[tuple[float, float], ...]
    reactions: tuple[float, ...] | None
    deflection: float | None
    near: float


def each_span(*loads: Load, spans: int) -> tuple[Load, ...]:
    return tuple(
        Load(load.start + i * L, load.end + i * L, load.force)
        for i in range(spans)
        for load in loads
    )


ROWS = [
    Row("simple, uniform", L, (0, L), (uniform(0, L, W),),
        ((L / 2, W * L**2 / 8),), (W * L / 2, W * L / 2), 5 * W * L**4 / (384 * EI), 1e-5),
    Row("simple, load at midspan", L, (0, L), (point(L / 2, P),),
        ((L / 2, P * L / 4),), (P / 2, P / 2), P * L**3 / (48 * EI), 1e-5),
    Row("simple, load at a", L, (0, L), (point(A, P),),
        ((A, P * A * B / L),), (P * B / L, P * A / L),
        P * A * B * (A + 2 * B) * sqrt(3 * A * (A + 2 * B)) / (27 * EI * L), 1e-5),
    Row("simple, two loads each a from an end", L, (0, L), (point(B, P), point(L - B, P)),
        ((B, P * B), (L - B, P * B)), (P, P), P * B * (3 * L**2 - 4 * B**2) / (24 * EI), 1e-5),
    Row("two equal spans, uniform", 2 * L, (0, L, 2 * L), (uniform(0, 2 * L, W),),
        ((L, -W * L**2 / 8), (3 * L / 8, 9 * W * L**2 / 128)),
        (3 / 8 * W * L, 10 / 8 * W * L, 3 / 8 * W * L), 0.0054161 * W * L**4 / EI, 1e-5),
    Row("two equal spans, load at each midspan", 2 * L, (0, L, 2 * L),
        each_span(point(L / 2, P), spans=2),
        ((L, -3 * P * L / 16), (L / 2, 5 * P * L / 32)),
        (5 / 16 * P, 22 / 16 * P, 5 / 16 * P), 0.0093169 * P * L**3 / EI, 1e-5),
    Row("three equal spans, uniform", 3 * L, (0, L, 2 * L, 3 * L), (uniform(0, 3 * L, W),),
        ((L, -W * L**2 / 10), (0.4 * L, 0.08 * W * L**2)),
        (0.4 * W * L, 1.1 * W * L, 1.1 * W * L, 0.4 * W * L), 0.0068842 * W * L**4 / EI, 1e-5),
    Row("one overhang, uniform", L + OVER, (0, L), (uniform(0, L + OVER, W),),
        ((L, -W * OVER**2 / 2),
         (L / 2 * (1 - OVER**2 / L**2), W * (L + OVER)**2 * (L - OVER)**2 / (8 * L**2))),
        None, None, 1e-5),
]  # fmt: skip


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.name)
def test_the_formula_book_agrees(row: Row) -> None:
    beam = solve_beam(row.length, row.supports, row.loads, EI)
    for station, moment in row.moments:
        assert beam.moments_at([station])[0] == pytest.approx(moment, rel=row.near)
    assert abs(beam.moment.value) == pytest.approx(
        max(abs(moment) for _, moment in row.moments), rel=row.near
    )
    if row.reactions:
        assert beam.reactions == pytest.approx(row.reactions, rel=row.near)
    if row.deflection:
        assert beam.deflection.value == pytest.approx(row.deflection, rel=row.near)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.name)
def test_an_independent_solution_of_many_elements_agrees(row: Row) -> None:
    beam = solve_beam(row.length, row.supports, row.loads, EI)
    x, sags, moments, reactions = element_beam(
        row.length, row.supports, row.loads, EI, row.length / 150
    )
    assert beam.deflections_at(x) == pytest.approx(sags, rel=1e-6, abs=1e-9)
    assert beam.moments_at(x) == pytest.approx(moments, rel=1e-6, abs=1e-5)
    assert beam.reactions == pytest.approx(reactions, rel=1e-6)
    assert beam.deflection.value == pytest.approx(sags[abs(sags).argmax()], rel=2e-4)


def test_two_spans_sag_as_often_printed() -> None:
    """Printed as wL^4/185EI (second-hand); exact 0.0054161, within 2 parts in 1000."""
    beam = solve_beam(2 * L, (0, L, 2 * L), [uniform(0, 2 * L, W)], EI)
    assert beam.deflection.value == pytest.approx(W * L**4 / (185 * EI), rel=2.1e-3)
    under = solve_beam(2 * L, (0, L, 2 * L), each_span(point(L / 2, P), spans=2), EI)
    assert under.deflections_at([L / 2])[0] == pytest.approx(7 / 768 * P * L**3 / EI)


@pytest.mark.parametrize(
    ("count", "moment", "deflection"),
    [(1, 2.0, 1.6), (2, 1.0, 1.1), (3, 1.111, 1.047), (4, 1.0, 1.025), (5, 1.04, 1.016),
     (6, 1.0, 1.011)],
)  # fmt: skip
def test_buckets_are_not_an_even_load(count: int, moment: float, deflection: float) -> None:
    """N equal loads at the middles of N equal bays against the same total spread evenly (computed
    beforehand with the stiffness model, not published)."""
    bay = L / count
    loads = [point((i + 0.5) * bay, W * bay) for i in range(count)]
    lumps, even = (solve_beam(L, (0, L), load, EI) for load in (loads, [uniform(0, L, W)]))
    assert lumps.moment.value / even.moment.value == pytest.approx(moment, abs=5e-4)
    assert lumps.deflection.value / even.deflection.value == pytest.approx(deflection, abs=6e-4)
