"""The tools on the list: sizes as the templates say them, and what the templates take."""

import pytest

from designer.analysis import Analysis, analyse
from designer.model import edits
from designer.model.design import Design
from designer.sheet.words import diameter
from designer.takeoff.material import Material
from designer.takeoff.tools import tools
from designer.units import UnitSystem
from tests.beds import bed


def listed(analysis: Analysis) -> dict[str, Material]:
    return {tool.id: tool for tool in tools(analysis)}


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_the_drill_bit_is_called_as_the_template_calls_its_hole(units: UnitSystem) -> None:
    analysis = analyse(bed(4, units))
    hole = analysis.runs[0].parts.barb.hole_diameter
    (bit,) = [t for t in listed(analysis).values() if t.id.startswith("drill-")]
    assert bit.name == f"{diameter(hole, units)} drill bit"


def test_an_eighth_of_an_inch_is_not_asked_for_in_mm() -> None:
    assert all(" mm" not in t.name + t.why for t in tools(analyse(bed(4, "imperial"))))


def test_the_templates_are_measured_cut_out_and_pricked_through() -> None:
    assert {"steel-rule", "template-knife", "awl"} <= set(listed(analyse(bed(4))))


def test_the_lids_cutter_is_told_the_size_of_the_plants_holes() -> None:
    assert "50.8 mm" in listed(analyse(bed(4)))["lid-cutter"].why
    own = edits.set_run(bed(4), "r1", plant_hole=76.2)
    assert "76.2 mm" in listed(analyse(own))["lid-cutter"].why


def test_nothing_is_asked_for_where_nothing_is_built() -> None:
    assert not listed(analyse(Design(title="")))
