"""The running card: its windows name their sources, its numbers are the bed's own."""

from dataclasses import replace

import pytest

from designer.analysis import Analysis, analyse, analyse_fully
from designer.model.design import Design
from designer.sheet.paper import PAPERS, PaperName, register_fonts
from designer.sheet.steps.card import RunningCard, running_card
from designer.sheet.steps.card_page import card_pages
from designer.sketch import Answers, sketch
from designer.takeoff.nutrients import nutrient_windows
from designer.units import format_volume
from designer.water.water_quality import water_notes
from tests.sheet.steps.test_build import bed


def card_of(analysis: Analysis) -> RunningCard:
    card = running_card(analysis)
    assert card is not None
    return card


def of_crops(*crops: str) -> Design:
    design = sketch(Answers(buckets=2 * len(crops)))
    run = design.runs[0]
    buckets = tuple(
        replace(bucket, crop=crops[i % len(crops)]) for i, bucket in enumerate(run.buckets)
    )
    return replace(design, runs=(replace(run, buckets=buckets),))


@pytest.mark.parametrize("crop", sorted(nutrient_windows()))
def test_every_window_of_a_crop_stands_with_the_number_of_its_source(crop: str) -> None:
    card = card_of(analyse(of_crops(crop)))
    (line,) = card.crops
    known = nutrient_windows()[crop]
    for windows, whole, text in (
        (known.ec, known.ec_range, line.ec),
        (known.ph, known.ph_range, line.ph),
    ):
        first, each = text.split("\n")
        assert first.removesuffix(" in all").split(" to ")[0] == f"{whole[0]:.1f}"
        assert first.removesuffix(" in all").split(" to ")[-1] == f"{whole[1]:.1f}"
        entries = each.split("; ")
        assert len(entries) == len(windows)
        for window, entry in zip(windows, entries, strict=True):
            assert entry.startswith(f"{window.low:.1f}")
            number = int(entry.rsplit("(", 1)[1].removesuffix(")"))
            assert card.sources[number - 1] == str(window.evidence)


@pytest.mark.parametrize(("buckets", "units"), [(2, "metric"), (12, "imperial"), (60, "metric")])
def test_timer_top_up_and_power_cut_are_those_of_the_solved_water(buckets: int, units: str) -> None:
    analysis = bed(buckets, units)
    water, own = analysis.water, analysis.design.units
    assert water is not None
    store, card = water.reservoir, card_of(analysis)
    timer, top_up = card.timer
    settings = analysis.design.water
    assert f"{settings.on_minutes:g} minutes on, {settings.off_minutes:g} minutes off" in timer.text
    share = settings.on_minutes / (settings.on_minutes + settings.off_minutes)
    assert f"{24 * share:.1f} hours of pumping a day" in timer.text
    assert f"last {store.top_up_days:.1f} days" in top_up.text
    assert format_volume(store.working, own) in top_up.text
    assert format_volume(store.daily_use, own) in top_up.text
    cut = " ".join(line.text for line in card.power_cut)
    assert format_volume(store.drain_back, own) in cut
    assert f"about {store.hours_without_pump:.1f} hours" in cut


def test_dissolved_oxygen_stands_with_its_source_at_the_designs_temperature() -> None:
    design = sketch(Answers(buckets=4))
    for temperature in (20.0, 29.0):
        warm = replace(design, water=replace(design.water, temperature=temperature))
        lines = {(line.text, line.source) for line in card_of(analyse(warm)).solution}
        for note in water_notes(temperature, "metric"):
            assert (note.text, note.source) in lines


def test_what_is_done_by_custom_says_so() -> None:
    card = card_of(bed(12))
    for line in (*card.weekly, *card.monthly, *card.power_cut):
        own_number = any(character.isdigit() for character in line.text)
        assert line.source or own_number, line.label


def test_the_bucket_that_gets_least_and_the_hole_that_overflows_first_are_named() -> None:
    analysis = bed(12)
    water = analysis.water
    assert water is not None
    text = " ".join(line.text for line in card_of(analysis).weekly)
    least = min(water.buckets.values(), key=lambda one: one.flow)
    assert f"bucket {analysis.bucket_label(least.bucket_id)}, which gets the least" in text
    found = water.blocked(analysis.runs[0].run.id)
    assert found is not None
    assert found.bucket_id is not None
    assert analysis.bucket_label(found.bucket_id) in text.split("water would come")[1]


def test_there_is_no_card_where_nothing_runs() -> None:
    assert running_card(analyse(Design(title=""))) is None
    dry = replace(sketch(Answers(buckets=2)), reservoir=None)
    assert running_card(analyse(dry)) is None


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("crops", [("tomato",), ("tomato", "pepper", "cucumber", "squash")])
def test_the_card_is_one_page_to_hang_up(crops: tuple[str, ...], paper: PaperName) -> None:
    register_fonts()
    assert len(card_pages(analyse_fully(of_crops(*crops)), PAPERS[paper])) == 1
