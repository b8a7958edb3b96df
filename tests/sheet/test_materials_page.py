"""The materials page: nobody buys one stick too few, and nothing small is forgotten."""

from dataclasses import replace
from math import ceil

import pytest

from designer.analysis import Analysis, analyse
from designer.model import edits
from designer.model.parts import PipePart
from designer.sheet.materials import SAW_CUT, sticks_needed
from designer.sketch import Answers, sketch
from designer.takeoff.quantities import take_off
from tests.sheet.test_build_sheet import pdf_of, words_of


def page_words(analysis: Analysis) -> str:
    pages = [p for p in pdf_of(analysis).pages if p.extract_text().startswith("Materials")]
    return words_of(pages)


@pytest.mark.parametrize("buckets", [2, 12, 30])
def test_sticks_hold_every_piece_with_its_saw_cuts(buckets: int) -> None:
    analysis = analyse(sketch(Answers(buckets=buckets, units="imperial")))
    takeoff = take_off(analysis)
    for part_id, (stick, count) in sticks_needed(analysis, takeoff).items():
        pieces = [p for p in takeoff.pieces if p.part_id == part_id]
        whole = sum(p.length * p.count for p in pieces)
        assert max(p.length for p in pieces) <= stick + 0.01
        assert count >= ceil(whole / stick - 1e-6)
        cuts = sum(p.count for p in pieces) * SAW_CUT
        assert count <= 2 * ceil((whole + cuts) / stick)


def test_ten_feet_of_short_pieces_do_not_come_from_one_stick_of_ten_feet() -> None:
    """The saw takes its cut from every piece."""
    analysis = analyse(sketch(Answers(buckets=12, units="imperial")))
    design = edits.set_tails(analysis.design, "r1", "common", 4 * 25.4)
    analysis = analyse(design)
    takeoff = take_off(analysis)
    pipe = analysis.runs[0].parts.outlet_pipe
    assert isinstance(pipe, PipePart)
    pieces = [p for p in takeoff.pieces if p.part_id == pipe.id]
    assert sum(p.length * p.count for p in pieces) == pytest.approx(120 * 25.4)
    assert sticks_needed(analysis, takeoff)[pipe.id] == (3048, 2)


def test_the_sheet_says_in_which_sticks_the_drain_is_sold_and_how_many_to_buy() -> None:
    analysis = analyse(sketch(Answers(buckets=12, units="imperial")))
    drain = analysis.runs[0].parts.drain
    stick, count = sticks_needed(analysis, take_off(analysis))[drain.id]
    assert stick == drain.stick_length
    assert f"sold in sticks of 10' 0\": buy {count}" in page_words(analysis)


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
