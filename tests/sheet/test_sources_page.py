"""Sources and assumptions: what nobody has changed or measured is told, and who says what."""

from dataclasses import fields, replace

import pytest

from designer.analysis import analyse, analyse_fully
from designer.model.design import Water
from designer.sheet.paper import A4
from designer.sheet.sources_page import source_pages, untouched_settings
from designer.sketch import Answers, sketch
from tests.sheet.test_build_sheet import pdf_of


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_every_number_of_the_water_that_is_as_it_began_is_listed(units: str) -> None:
    design = sketch(Answers(buckets=4, units=units))  # type: ignore[arg-type]
    started = replace(design, water=Water())
    numbers = [f for f in fields(Water) if isinstance(f.default, float)]
    assert len(untouched_settings(analyse(started))) == len(numbers) + 1  # and the settling


def test_a_setting_that_was_changed_is_no_longer_an_assumption() -> None:
    design = replace(sketch(Answers(buckets=4)), water=Water())
    before = {what for what, *_ in untouched_settings(analyse(design))}
    warmer = replace(design, water=replace(design.water, temperature=23.0))
    after = {what for what, *_ in untouched_settings(analyse(warmer))}
    assert before - after == {"Temperature of the solution"}


def test_every_source_of_a_check_and_of_the_crop_is_printed() -> None:
    analysis = analyse_fully(sketch(Answers(buckets=4)))
    pages = [p for p in pdf_of(analysis).pages if p.extract_text().startswith("Sources and")]
    text = "".join("".join(page.extract_text().split()) for page in pages)
    for finding in analysis.findings:
        assert "".join(finding.source[1:].rstrip(".").split()) in text
        assert "".join(finding.title.split()) in text
    crop = analysis.runs[0].places[0].crop
    for name in ("canopy_spread", "crop_coefficient", "plants_per_m2", "plant_mass"):
        evidence = analysis.catalogue.evidence_of(crop.id, name)
        assert "".join(evidence.source.split()) in text
        assert "".join(evidence.sure.split()) in text


def test_a_design_without_a_run_has_no_such_page() -> None:
    assert source_pages(analyse(replace(sketch(Answers(buckets=2)), runs=())), A4) == []
