"""The materials page: nobody buys one stick too few, and nothing small is forgotten."""

import re
from dataclasses import replace

import pytest

from designer.analysis import Analysis, analyse
from designer.sketch import Answers, sketch
from designer.takeoff.sticks import stock_plan
from designer.units import format_length, style_for
from tests.sheet.test_build_sheet import pdf_of, words_of


def page_words(analysis: Analysis) -> str:
    pages = [p for p in pdf_of(analysis).pages if p.extract_text().startswith("Materials")]
    return words_of(pages)


@pytest.mark.parametrize("buckets", [2, 12, 30])
def test_the_sheet_says_in_which_sticks_a_part_is_sold_and_buys_those_of_the_stock_plan(
    buckets: int,
) -> None:
    analysis = analyse(sketch(Answers(buckets=buckets, units="imperial")))
    words = page_words(analysis)
    for part in stock_plan(analysis).parts:
        ((stick, count),) = part.bought_lengths
        feet = format_length(stick, style_for("imperial"))
        assert re.search(rf"{re.escape(feet)}: buy {count}\b", words), part.part_id


def test_a_pump_that_pauses_needs_a_timer_and_one_that_runs_on_does_not() -> None:
    design = sketch(Answers(buckets=2))
    assert "Socket timer for the pump" in page_words(analyse(design))
    steady = replace(design, water=replace(design.water, off_minutes=0.0))
    assert "Socket timer" not in page_words(analyse(steady))


def test_the_siphon_break_is_told_where_there_is_one() -> None:
    design = sketch(Answers(buckets=2))
    assert design.reservoir is not None
    with_hole = replace(design, reservoir=replace(design.reservoir, siphon_break=True))
    without = replace(design, reservoir=replace(design.reservoir, siphon_break=False))
    assert "Siphon-break hole" in page_words(analyse(with_hole))
    assert "Siphon-break hole" not in page_words(analyse(without))
