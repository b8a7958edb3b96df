"""The shopping list: nobody buys one stick too few, and nothing small is forgotten."""

from dataclasses import replace

import pytest

from designer.analysis import Analysis, analyse
from designer.sketch import Answers, sketch
from designer.takeoff.lines import buy_text
from designer.takeoff.materials import materials, shopping_list, stick_text
from designer.takeoff.sticks import stock_plan
from tests.sheet.test_build_sheet import MM, pdf_of


def list_words(analysis: Analysis) -> str:
    """The words of the list without spaces, line by line of each column."""
    pages = [p for p in pdf_of(analysis).pages if p.extract_text().startswith("Shopping list")]
    assert pages
    return "".join("".join((page.extract_text() or "").split()) for page in pages)


def bought(analysis: Analysis) -> dict[str, str]:
    """What is bought of each thing: its name and how much, both without spaces, as printed."""
    found: dict[str, str] = {}
    upright = [(20 + edge) * MM for edge in (0, 9, 19, 76, 102, 180)]
    for page in pdf_of(analysis).pages:
        if page.extract_text().startswith("Shopping list"):
            settings = {"vertical_strategy": "explicit", "explicit_vertical_lines": upright}
            for table in page.extract_tables(settings):
                for _, _, name, amount, _ in table:
                    found["".join((name or "").split())] = "".join((amount or "").split())
    return found


@pytest.mark.parametrize("units", ["metric", "imperial"])
@pytest.mark.parametrize("buckets", [2, 12, 60])
def test_everything_to_buy_is_on_the_list_with_how_much_of_it(buckets: int, units: str) -> None:
    analysis = analyse(sketch(Answers(buckets=buckets, units=units)))  # type: ignore[arg-type]
    listed = bought(analysis)
    for lines in shopping_list(materials(analysis, stock_plan(analysis))).values():
        for line in lines:
            amount = buy_text(line, analysis.design.units).replace(" ", "")
            assert listed[line.name.replace(" ", "")] == amount


@pytest.mark.parametrize("buckets", [2, 30])
def test_the_list_buys_the_sticks_of_the_stock_plan(buckets: int) -> None:
    analysis = analyse(sketch(Answers(buckets=buckets, units="imperial")))
    listed = bought(analysis)
    for part in stock_plan(analysis).parts:
        for stick, count in part.bought_lengths:
            name = f"{part.part}, {stick_text(stick, 'imperial')}"
            assert listed[name.replace(" ", "")] == str(count)


def test_every_line_has_a_box_to_tick_drawn_as_a_square() -> None:
    analysis = analyse(sketch(Answers(buckets=4)))
    count = len(materials(analysis, stock_plan(analysis)))
    boxes = [
        rect
        for page in pdf_of(analysis).pages
        if page.extract_text().startswith("Shopping list")
        for rect in page.rects
        if rect["width"] == pytest.approx(rect["height"], abs=0.01) and rect["width"] < 12
    ]
    assert len(boxes) == count


def test_a_pump_that_pauses_needs_a_timer_and_one_that_runs_on_does_not() -> None:
    design = sketch(Answers(buckets=2))
    assert "Sockettimerforthepump" in list_words(analyse(design))
    steady = replace(design, water=replace(design.water, off_minutes=0.0))
    assert "Sockettimer" not in list_words(analyse(steady))


def test_bags_are_listed_where_their_sizes_were_typed() -> None:
    design = sketch(Answers(buckets=6))
    assert "inbags:" not in list_words(analyse(design))
    bagged = replace(design, fill=replace(design.fill, bags=(100.0,)))
    assert "inbags:2×100L" in list_words(analyse(bagged))
