"""A builder with the steps alone finds where things go, how large they are and what holds them."""

from dataclasses import replace

import pytest

from designer.analysis import analyse
from designer.model.design import Design
from designer.sheet.words import length
from designer.sketch import Answers, sketch
from tests.sheet.steps.test_numbers import said, step_of


def moved(along: float, aside: float) -> Design:
    """A bed whose reservoir stands so far along its run and to the left of its drain, mm."""
    design = sketch(Answers(buckets=6))
    (layout,) = analyse(design).runs
    assert design.reservoir is not None
    x, y = layout.frame.at(along, aside)
    place = replace(design.reservoir.place, x=x, y=y)
    return replace(design, reservoir=replace(design.reservoir, place=place))


@pytest.mark.parametrize(
    ("along", "aside", "words"),
    [
        (-600.0, 0.0, "600 mm beyond the outlet end, on the drain's line."),
        (-900.0, 250.0, "900 mm beyond the outlet end and 250 mm left of the drain's line"),
        (400.0, -1100.0, "400 mm from the outlet end towards its capped end and 1100 mm right of"),
    ],
)
def test_the_reservoirs_place_is_told_from_the_outlet_end_and_the_drains_line(
    along: float, aside: float, words: str
) -> None:
    analysis = analyse(moved(along, aside))
    tank = analysis.reservoir
    assert tank is not None
    text = said(step_of(analysis, "Stand and shims"))
    assert words in text
    assert length(tank.part.rim_length, "metric") in text
    beyond = tank.rim_beyond(analysis.runs[0])
    assert (f"The near rim is then {length(beyond, 'metric')} beyond" in text) == (beyond > 0)
    if along == -600.0:
        across = (tank.rim.bounds[2] - tank.rim.bounds[0]) / 2
        assert beyond == pytest.approx(600.0 - across, abs=1.0)
