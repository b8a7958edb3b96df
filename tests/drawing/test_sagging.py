"""The rails' sag over the elevation."""

import pytest

from designer.analysis import Analysis, analyse, with_stands
from designer.drawing.records import Line, Text
from designer.drawing.sagging import DEEPEST, sag_groups
from designer.model import edits
from tests.beds import bed


def sagging(**values: object) -> Analysis:
    """A bed on two supports, its rails flat."""
    design = bed(6)
    stations = (0.0, design.runs[0].length)
    values = {"supports": stations, "on_edge": False} | values
    return with_stands(analyse(edits.set_run_part(design, "r1", "stand", **values)))


def test_the_line_sags_between_its_supports_and_says_how_much_larger_it_is() -> None:
    analysis = sagging()
    (group,) = sag_groups(analysis, "r1", 10.0)
    line, words = group.build()
    assert isinstance(line, Line)
    assert isinstance(words, Text)
    layout, stand = analysis.run("r1"), analysis.stands["r1"]
    drops = [layout.levels.rail_top(x) - y for x, y in line.points]
    assert drops[0] == pytest.approx(0.0, abs=1e-6)
    assert drops[-1] == pytest.approx(0.0, abs=1e-6)
    true = max(float(rail.sag_at([layout.run.length / 2])[0]) for rail in stand.rails)
    drawn = drops[len(drops) // 2] / true
    assert drawn == pytest.approx(round(drawn), rel=1e-6)
    assert max(drops) <= max(DEEPEST * 10.0, true * 1.01)
    if drawn > 1.5:
        assert words.text == f"rails' sag after years, drawn {drawn:.0f} times"


def test_a_sag_too_small_to_see_is_not_drawn() -> None:
    length = bed(6).runs[0].length
    stiff = sagging(supports=edits.even_supports(length, 12), on_edge=True)
    assert [record for group in sag_groups(stiff, "r1", 10.0) for record in group.build()] == []


def test_nothing_is_drawn_until_the_stand_is_current() -> None:
    analysis = sagging()
    changed = analyse(edits.set_run_length(analysis.design, "r1", 3000.0), analysis)
    assert list(sag_groups(analyse(analysis.design), "r1", 10.0)) == []
    assert list(sag_groups(changed, "r1", 10.0)) == []


def test_the_same_stand_is_not_drawn_again() -> None:
    analysis = sagging()
    (first,), (again,) = sag_groups(analysis, "r1", 10.0), sag_groups(analysis, "r1", 10.0)
    assert first.token == again.token
    (other,) = sag_groups(sagging(bucket_weight=30.0), "r1", 10.0)
    assert other.token != first.token
