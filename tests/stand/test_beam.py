"""Continuous beams: balance, symmetry, superposition, and an independent solution."""

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from designer.stand.beam import Beam, Load, point, resting_beam, solve_beam, uniform
from tests.stand.elements import element_beam

EI = 1000.0
GRID = 96
"""Random stations lie on a grid of so many steps, so that elements stay of a sensible size."""


@st.composite
def beams(
    draw: st.DrawFn, most_supports: int = 6
) -> tuple[float, tuple[float, ...], tuple[Load, ...]]:
    """(length, supports, downward loads) on a grid, overhangs among them."""
    length = draw(st.floats(0.5, 12.0))
    steps = draw(st.sets(st.integers(0, GRID), min_size=2, max_size=most_supports))
    supports = tuple(min(length * step / GRID, length) for step in sorted(steps))
    ends = st.tuples(st.integers(0, GRID), st.integers(0, GRID), st.floats(0.0, 500.0))
    loads = tuple(
        Load(*(min(length * end / GRID, length) for end in (min(a, b), max(a, b))), force)
        for a, b, force in draw(st.lists(ends, min_size=1, max_size=6))
    )
    return length, supports, loads


def scale(loads: tuple[Load, ...]) -> float:
    return max(sum(load.force for load in loads), 1e-3)


def stations(length: float) -> np.ndarray:
    return np.linspace(0, length, 41)


@given(beams())
def test_reactions_carry_the_loads_and_their_moment(case: tuple) -> None:
    length, supports, loads = case
    beam = solve_beam(length, supports, loads, EI)
    tiny = 1e-8 * scale(loads) * (length / min(np.diff(supports))) ** 2
    assert sum(beam.reactions) == pytest.approx(sum(load.force for load in loads), abs=tiny)
    about_start = sum(r * s for r, s in zip(beam.reactions, supports, strict=True))
    middles = sum(load.force * (load.start + load.end) / 2 for load in loads)
    assert about_start == pytest.approx(middles, abs=tiny * length)
    ends = beam.moments_at([0, length])
    assert ends == pytest.approx([0, 0], abs=tiny * length)


@given(beams())
def test_the_beam_lies_on_every_support_and_is_smooth(case: tuple) -> None:
    length, supports, loads = case
    beam = solve_beam(length, supports, loads, EI)
    size = scale(loads) * length**3 / EI
    assert beam.deflections_at(supports) == pytest.approx(np.zeros(len(supports)), abs=1e-9 * size)
    for before, after in zip(beam.segments, beam.segments[1:], strict=False):
        if before and after:
            end = before[-1]
            assert end.slope_at(end.length) == pytest.approx(
                after[0].slope, abs=1e-8 * scale(loads) * length**2
            )


@settings(max_examples=25)
@given(beams())
def test_an_independent_stiffness_solution_agrees(case: tuple) -> None:
    length, supports, loads = case
    assume(scale(loads) > 1)
    beam = solve_beam(length, supports, loads, EI)
    x, sags, moments, reactions = element_beam(length, supports, loads, EI, length / 40)
    near = {"rel": 1e-5, "abs": 1e-7 * scale(loads) * length**3 / EI}
    assert beam.deflections_at(x) == pytest.approx(sags, **near)
    assert beam.moments_at(x) == pytest.approx(moments, rel=1e-5, abs=1e-6 * scale(loads) * length)
    assert beam.reactions == pytest.approx(
        reactions, rel=1e-5, abs=1e-5 * scale(loads) * (length / min(np.diff(supports))) ** 2
    )


@given(beams())
def test_no_value_on_the_beam_is_beyond_its_extremes(case: tuple) -> None:
    length, supports, loads = case
    beam = solve_beam(length, supports, loads, EI)
    x = np.linspace(0, length, 400)
    for found, extreme in (
        (beam.moments_at(x), beam.moment),
        (beam.shears_at(x[:-1]), beam.shear),
        (beam.deflections_at(x), beam.deflection),
    ):
        assert np.isfinite(found).all()
        assert abs(found).max() <= abs(extreme.value) * (1 + 1e-6) + 1e-9 * scale(loads)
    at = beam.deflection.station
    assert beam.deflections_at([at])[0] == pytest.approx(
        beam.deflection.value, abs=1e-9 * scale(loads) * length**3 / EI
    )


@given(beams())
def test_the_mirrored_beam_is_the_mirror_image(case: tuple) -> None:
    length, supports, loads = case
    beam = solve_beam(length, supports, loads, EI)
    turned = solve_beam(
        length,
        [length - s for s in reversed(supports)],
        [Load(max(length - e, 0.0), min(length - s, length), f) for s, e, f in loads],
        EI,
    )
    x = stations(length)
    tiny = scale(loads) * length**3 / EI
    assert turned.deflections_at(length - x) == pytest.approx(
        beam.deflections_at(x), rel=1e-6, abs=1e-8 * tiny
    )
    assert abs(turned.moment.value) == pytest.approx(
        abs(beam.moment.value), rel=1e-6, abs=1e-8 * scale(loads) * length
    )


@given(beams(), st.floats(0.1, 5))
def test_load_cases_add_up(case: tuple, factor: float) -> None:
    length, supports, loads = case
    x = stations(length)
    parts = sum(solve_beam(length, supports, [load], EI).deflections_at(x) for load in loads)
    whole = solve_beam(length, supports, loads, EI)
    tiny = 1e-8 * scale(loads) * length**3 / EI
    assert whole.deflections_at(x) == pytest.approx(parts, rel=1e-6, abs=tiny)
    more = [load._replace(force=load.force * factor) for load in loads]
    scaled = solve_beam(length, supports, more, EI)
    assert scaled.deflections_at(x) == pytest.approx(
        factor * whole.deflections_at(x), rel=1e-6, abs=factor * tiny
    )


@given(beams(most_supports=4), st.integers(0, GRID), st.integers(0, GRID))
def test_another_support_never_lets_a_lone_load_sink_deeper(
    case: tuple, new: int, place: int
) -> None:
    """Under the load itself; elsewhere a new support can make an overhang rise."""
    length, supports, _ = case
    extra = length * (new / GRID)
    assume(all(abs(extra - s) > length / (2 * GRID) for s in supports))
    at = length * (place / GRID)
    loads = [point(at, 100.0)]
    before = solve_beam(length, supports, loads, EI).deflections_at([at])[0]
    after = solve_beam(length, sorted([*supports, extra]), loads, EI).deflections_at([at])[0]
    assert after <= before + 1e-9 * length**3


def test_a_support_halfway_makes_a_simple_beam_stiffer() -> None:
    load = [uniform(0, 4, 100)]
    simple = solve_beam(4, [0, 4], load, EI)
    propped = solve_beam(4, [0, 2, 4], load, EI)
    assert propped.deflection.value < simple.deflection.value / 30


@pytest.mark.parametrize(
    ("length", "supports", "loads", "stiffness"),
    [
        (4.0, [1.0], [point(1, 1)], EI),
        (4.0, [], [point(1, 1)], EI),
        (4.0, [2.0, 1.0], [point(1, 1)], EI),
        (4.0, [1.0, 1.0], [point(1, 1)], EI),
        (4.0, [0.0, 5.0], [point(1, 1)], EI),
        (4.0, [0.0, 4.0], [point(5, 1)], EI),
        (4.0, [0.0, 4.0], [Load(3, 2, 1)], EI),
        (4.0, [0.0, 4.0], [point(1, float("nan"))], EI),
        (4.0, [0.0, 4.0], [point(1, 1)], 0.0),
        (0.0, [0.0, 4.0], [], EI),
    ],
)
def test_a_beam_that_cannot_be_is_refused(
    length: float, supports: list[float], loads: list[Load], stiffness: float
) -> None:
    with pytest.raises(ValueError, match=r"[a-z]"):
        solve_beam(length, supports, loads, stiffness)


def test_a_rail_that_nobody_ties_down_lifts_off_an_end_support() -> None:
    """Only the far span loaded: tied down the near end pulls; laid on, it lifts off."""
    loads = [uniform(2, 4, 100)]
    tied = solve_beam(4, [0, 2, 4], loads, EI)
    assert tied.reactions[0] < 0
    laid = resting_beam(4, [0, 2, 4], loads, EI)
    assert laid is not None
    assert laid.supports == (2, 4)
    assert laid.reactions == pytest.approx((100, 100))
    assert laid.deflections_at([0])[0] < 0


def test_a_rail_loaded_beyond_its_last_support_tips() -> None:
    assert resting_beam(4, [1, 2], [point(4, 100)], EI) is None


@given(beams())
def test_a_resting_beam_is_pushed_up_only_and_lies_above_no_support_it_needs(case: tuple) -> None:
    length, supports, loads = case
    beam: Beam | None = resting_beam(length, supports, loads, EI)
    outside = [load for load in loads if load.force > 0]
    if beam is None:
        assert any(load.start < supports[0] or load.end > supports[-1] for load in outside)
        return
    assert min(beam.reactions) >= -1e-8 * scale(loads)
    assert beam.deflections_at(supports).max() <= 1e-8 * max(1, scale(loads) * length**3 / EI)
