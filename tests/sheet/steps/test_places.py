"""A builder with the steps alone finds where things go, how large they are and what holds them."""

from dataclasses import replace
from pathlib import Path

import pdfplumber
import pytest

from designer.analysis import analyse
from designer.model import edits
from designer.model.design import Design, Point
from designer.sheet.paper import PAPERS
from designer.sheet.template import Printing
from designer.sheet.template_values import templates_of
from designer.sheet.words import length
from designer.sketch import Answers, sketch
from designer.takeoff.pieces import drain_line
from tests.sheet.printed import print_templates
from tests.sheet.steps.test_build import bed
from tests.sheet.steps.test_numbers import BEDS, said, step_of, tables_of


def moved(along: float, aside: float) -> Design:
    """A bed whose reservoir stands so far along its run and to the left of its drain, mm."""
    design = sketch(Answers(buckets=6))
    layout = analyse(design).runs[0]
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


@pytest.mark.parametrize(("buckets", "units"), BEDS)
def test_the_lids_are_cut_at_the_bench_with_the_sizes_of_their_template(
    buckets: int, units: str, tmp_path: Path
) -> None:
    analysis = bed(buckets, units)
    (table,) = tables_of(step_of(analysis, "Drilling"), "Plant holes")
    path = tmp_path / "lids.pdf"
    made = templates_of(analysis, {"lid"}).templates
    print_templates(path, made, Printing(PAPERS["a4"], analysis.design.units))
    with pdfplumber.open(path) as pdf:
        template = " ".join(page.extract_text() for page in pdf.pages)
    for row in table.rows:
        _, plants, hole, feed, _ = row.cells
        crops = {analysis.places[one][1].crop.plants_per_bucket for one in row.buckets}
        assert crops == {int(plants)}
        assert f"plant: {hole}" in template
        assert f"feed tube: {feed}" in template


def test_the_feed_tells_what_holds_the_tube_and_takes_the_ties_that_are_bought() -> None:
    step = step_of(bed(12), "Feed")
    assert ("Cable tie", "24") in step.takes
    assert ("Socket timer for the pump", "1") in step.takes
    assert ("Cover for the reservoir", "1") in step.takes
    text = said(step)
    assert "cable tie at each bucket, round the nipple" in text
    assert "air hole of about 3 mm (1/8 in)" in text
    assert "Notch the edge of the cover for the drain, the tube and the pump's" in text


def test_filling_takes_bags_lids_plants_and_nutrient() -> None:
    analysis = bed(12)
    taken = dict(step_of(analysis, "Fill and plant").takes)
    assert taken["Mesh liner bag"] == taken["Bucket lid"] == "12"
    plants = sum(
        place.crop.plants_per_bucket
        for _, place in analysis.places.values()
        if place.bucket.feed != "tied_off"
    )
    assert sum(int(n) for name, n in taken.items() if name.startswith("Young plant: ")) == plants
    assert any(name.startswith("Nutrient") for name in taken)


def test_joints_elbows_and_cement_are_told_only_where_there_are_some() -> None:
    """The short bed's drain is one straight pipe; a bend in its return path takes an elbow."""
    straight = sketch(Answers(buckets=2))
    run = straight.runs[0]
    x, y = analyse(straight).runs[0].frame.at(-150.0, 0.0)
    aside = analyse(straight).runs[0].frame.at(-150.0, 400.0)
    bent = edits.set_run(straight, run.id, return_path=(Point(x, y), Point(*aside)))
    for design, joined in ((straight, False), (bent, True)):
        analysis = analyse(design)
        assert bool(drain_line(analysis.runs[0]).bends) == joined
        step = step_of(analysis, "Drain")
        (table,) = step.tables
        assert ("cement" in step.cautions) == joined
        assert ("mark each joint" in said(step)) == joined
        assert ("what your elbows add" in table.note) == joined
