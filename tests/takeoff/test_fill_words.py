"""What is said of filling a bed, in both unit systems."""

import re
from dataclasses import replace

from designer.analysis import analyse, analyse_fully
from designer.model.design import Fill
from designer.takeoff.fill import fill_plan
from designer.takeoff.fill_words import amount_text, fill_lines, rate_text
from designer.takeoff.materials import materials
from designer.takeoff.sticks import stock_plan
from designer.units import LITRES_PER_GALLON, UnitSystem, format_mass
from tests.beds import bed

FULL = Fill(
    bags=(50.0, 113.3), label_rate=2.0, rate_ec=0.8, water_ec=0.4, target_ec=2.0, nutrient="Feed"
)


def said(fill: Fill, units: UnitSystem = "metric") -> str:
    design = replace(bed(6), fill=fill, units=units)
    return "\n".join(fill_lines(fill_plan(analyse_fully(design)), units))


def test_all_of_it_is_said_in_the_readers_units() -> None:
    metric, imperial = said(FULL), said(FULL, "imperial")
    assert "Feed by its label: 2 ml a litre:" in metric
    assert "Feed to 2.0 mS/cm: 4 ml a litre:" in metric
    assert "× 113.3 L" in metric
    assert " gal" not in metric
    assert "Feed to 2.0 mS/cm: 15 ml a gallon:" in imperial
    assert "× 4 cu ft" in imperial
    assert " L in the reservoir" in metric
    assert " gal in the reservoir" in imperial
    for text in (metric, imperial):
        assert "in tubes and drain" in text
        assert "Medium:" in text
        assert "EC and pH to hold:" in text


def test_medium_weighs_the_same_in_the_filling_and_on_the_shopping_list() -> None:
    analysis = analyse(bed(12, "imperial"))
    (bought,) = [m for m in materials(analysis, stock_plan(analysis)) if m.mass]
    assert f"{format_mass(bought.mass, 'imperial')} dry" in "\n".join(
        fill_lines(fill_plan(analysis), "imperial")
    )


def test_loose_medium_is_told_in_cubic_feet_too_where_shops_sell_it_so() -> None:
    assert re.search(r"[\d.]+ gal \([\d.]+ cu ft\) loose for 6 buckets", said(Fill(), "imperial"))
    assert "cu ft" not in said(Fill())


def test_what_is_not_typed_yet_is_asked_for() -> None:
    words = said(Fill(water_ec=0.3))
    assert "type the label’s rate, the EC that rate adds and the EC you aim at" in words
    assert "Bags of" not in words


def test_salty_water_is_told_instead_of_a_dose() -> None:
    assert "none: plain water is 0.5 mS/cm above it already" in said(replace(FULL, water_ec=2.5))


def test_every_source_stands_below_its_crop() -> None:
    words = said(Fill())
    plan = fill_plan(analyse(bed(6)))
    for need in plan.crops:
        for window in (*need.windows.ec, *need.windows.ph):
            assert str(window.evidence) in words


def test_until_the_water_is_worked_out_the_drain_is_said_to_be_missing() -> None:
    text = "\n".join(fill_lines(fill_plan(analyse(bed(6))), "metric"))
    assert "the drain is not worked out yet" in text


def test_amounts_are_as_jugs_and_scales_show_them() -> None:
    assert amount_text(85.4, "ml") == "85 ml"
    assert amount_text(1250.0, "ml") == "1.25 L"
    assert amount_text(1250.0, "g") == "1.25 kg"
    assert amount_text(2.5, "g") == "2.5 g"
    assert rate_text(2.0, "g", "metric") == "2 g a litre"
    assert rate_text(8 / LITRES_PER_GALLON, "ml", "imperial") == "8 ml a gallon"
