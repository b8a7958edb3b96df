"""Saddles against closed forms worked by hand, and against the two pipes met in space."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from designer.layout.saddle import Saddle


@st.composite
def saddles(draw: st.DrawFn) -> Saddle:
    """Any branch that stands on its main with its whole girth."""
    main = draw(st.floats(15, 400))
    branch = draw(st.floats(0.05, 0.97)) * main
    return Saddle(main, branch, draw(st.floats(-0.99, 0.99)) * (main - branch) / 2)


# Closed form, worked apart from this program; outside diameters of inch pipe from memory.
@pytest.mark.parametrize(
    ("main", "branch", "deepest", "at_45", "wrap", "hole"),
    [
        (60.32, 48.26, 12.067, 5.290, 151.61, 55.94),
        (60.32, 33.40, 5.046, 2.408, 104.93, 35.40),
        (48.26, 21.34, 2.487, 1.210, 67.04, 22.11),
    ],
)
def test_saddles_of_inch_pipes_have_their_worked_sizes(
    main: float, branch: float, deepest: float, at_45: float, wrap: float, hole: float
) -> None:
    saddle = Saddle(main, branch)
    assert saddle.deepest == pytest.approx(deepest, abs=0.001)
    assert saddle.depth(0.0) == 0.0
    assert saddle.depth(math.pi / 2) == pytest.approx(deepest, abs=0.001)
    assert saddle.depth(math.pi / 4) == pytest.approx(at_45, abs=0.001)
    assert saddle.wrap == pytest.approx(wrap, abs=0.005)
    outline = np.array(saddle.hole_outline())
    across, along = np.ptp(outline, axis=0)
    assert across == pytest.approx(hole, abs=0.006)
    assert along == pytest.approx(branch, abs=1e-9)


@given(saddles(), st.floats(-math.pi, math.pi))
def test_the_branch_ends_on_the_main_s_surface(saddle: Saddle, phi: float) -> None:
    """A ruling of the branch goes down until the main is met; the root is sought, not solved."""
    main, branch = saddle.main_diameter / 2, saddle.branch_diameter / 2
    across = saddle.offset + branch * math.sin(phi)

    def outside(below_crown: float) -> float:
        return math.hypot(across, main - below_crown) - main

    met = 0.0 if outside(0.0) <= 0 else brentq(outside, 0.0, main, xtol=1e-12)
    assert saddle.depth(phi) == pytest.approx(met, abs=1e-7)


@given(saddles())
def test_the_hole_wrapped_back_round_the_main_is_the_branch_seen_from_above(saddle: Saddle) -> None:
    main = saddle.main_diameter / 2
    x, along = np.array(saddle.hole_outline(48)).T
    turn = math.asin(saddle.offset / main) + x / main
    from_axis = np.hypot(main * np.sin(turn) - saddle.offset, along)
    assert from_axis == pytest.approx(saddle.branch_diameter / 2, rel=1e-9)
    # Only the half of the main that carries the branch is cut.
    assert np.all(np.cos(turn) > 0)


@given(saddles())
def test_the_cut_and_the_hole_are_one_line_in_space(saddle: Saddle) -> None:
    """Lengths along the rim agree from both sheets of paper: each is a developed surface."""
    count = 2001
    branch = np.array(saddle.branch_outline(count))
    hole = np.array(saddle.hole_outline(count - 1))
    hole = np.vstack([hole, hole[:1]])
    lengths = [np.hypot(*np.diff(line, axis=0).T).sum() for line in (branch, hole)]
    assert lengths[0] == pytest.approx(lengths[1], abs=0.02)


@given(saddles())
def test_the_cut_runs_once_round_and_joins_itself(saddle: Saddle) -> None:
    outline = saddle.branch_outline()
    (x0, y0), (x1, y1) = outline[0], outline[-1]
    assert x1 - x0 == pytest.approx(saddle.wrap)
    assert y0 == pytest.approx(y1, abs=1e-9)
    lowest, highest = min(y for _, y in outline), max(y for _, y in outline)
    assert lowest >= -1e-9
    assert highest <= saddle.deepest + 1e-9


@pytest.mark.parametrize(
    ("main", "branch", "offset", "words"),
    [
        (50, 63, 0, "reaches past the side"),
        (63, 50, 10, "reaches past the side"),
        (63, 63, 0, "reaches past the side"),
        (0, 20, 0, "diameter of the pipe"),
        (63, math.nan, 0, "diameter of the branch"),
        (63, 20, math.inf, "offset"),
    ],
)
def test_a_saddle_that_cannot_be_is_refused_in_words(
    main: float, branch: float, offset: float, words: str
) -> None:
    with pytest.raises(ValueError, match=words):
        Saddle(main, branch, offset)
