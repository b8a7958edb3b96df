"""What is bought beside what is drawn: the things a first builder finds missing on the day."""

from dataclasses import replace

import pytest

from designer.analysis import Analysis, analyse
from designer.model.design import Design, Fill
from designer.resources import resource_path
from designer.takeoff.extras import consumables, extras
from designer.takeoff.fill import fill_plan
from designer.takeoff.fill_words import amount_text
from designer.takeoff.material import BuyOptions, Material
from designer.takeoff.prices import read_prices
from designer.takeoff.tools import tools
from tests.beds import bed


def listed(design: Design) -> dict[str, Material]:
    analysis = analyse(design)
    return {m.id: m for m in (*extras(analysis, BuyOptions()), *consumables(analysis))}


def plants(analysis: Analysis) -> dict[str, float]:
    return {m.id: m.needed for m in extras(analysis, BuyOptions()) if m.id.startswith("plant-")}


def test_plants_are_counted_by_crop_and_bucket() -> None:
    design = bed(6)
    run = design.runs[0]
    buckets = tuple(
        replace(bucket, crop="pepper" if i < 2 else "tomato")
        for i, bucket in enumerate(run.buckets)
    )
    mixed = replace(design, runs=(replace(run, buckets=buckets),))
    assert plants(analyse(mixed)) == {"plant-pepper": 4, "plant-tomato": 4}


def test_no_plant_is_bought_for_a_bucket_that_is_tied_off() -> None:
    design = bed(6)
    run = design.runs[0]
    tied = replace(run, buckets=(replace(run.buckets[0], feed="tied_off"), *run.buckets[1:]))
    less = analyse(replace(design, runs=(replace(run, buckets=tied.buckets),)))
    assert sum(plants(analyse(design)).values()) > sum(plants(less).values()) > 0


def test_the_reservoir_has_a_cover_and_the_pump_a_clamp() -> None:
    lines = listed(bed(4))
    assert "children" in lines["reservoir-cover"].why
    assert lines["hose-clamp"].needed == 1
    dry = listed(replace(bed(4), reservoir=None))
    assert not {"reservoir-cover", "hose-clamp", "nutrient", "ph-up", "ph-down"} & set(dry)


def test_two_wedges_at_each_support_keep_the_drain_from_rolling() -> None:
    design = bed(12)
    assert listed(design)["wedge"].needed == 2 * len(design.runs[0].stand.supports)


def test_the_nutrient_is_bought_with_its_dose_where_there_is_one() -> None:
    assert "label" in listed(bed(4))["nutrient"].why
    fill = Fill(nutrient="Feed", label_rate=2.0)
    design = replace(bed(4), fill=fill)
    dose = fill_plan(analyse(design)).by_label
    assert dose is not None
    line = listed(design)["nutrient"]
    assert line.name == "Feed"
    assert line.why.startswith(f"{amount_text(dose.first_fill, 'ml')} for the first fill")


def test_the_solution_is_corrected_both_ways() -> None:
    assert {"ph-up", "ph-down"} <= set(listed(bed(4)))


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_the_sample_of_prices_has_every_extra_and_every_tool(units: str) -> None:
    analysis = analyse(bed(12, units))  # type: ignore[arg-type]
    priced = {price.item for price in read_prices(resource_path("prices-sample.csv")).prices}
    lines = (*extras(analysis, BuyOptions()), *consumables(analysis), *tools(analysis))
    assert {line.id for line in lines} <= priced
