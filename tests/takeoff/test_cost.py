"""Materials to buy, what they cost, and designs side by side."""

import json
from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings

from designer.analysis import analyse, analyse_fully
from designer.model import edits
from designer.model.design import Design
from designer.resources import resource_path
from designer.takeoff.compare import compare
from designer.takeoff.cost import cost_materials, one_more_bucket, stock_lengths
from designer.takeoff.material import DEPARTMENTS, BuyOptions, Material
from designer.takeoff.materials import materials, shopping_list
from designer.takeoff.prices import PriceBook, parse_prices, read_prices
from designer.takeoff.quantities import take_off
from designer.takeoff.record import csv_texts, takeoff_record, write_csv
from designer.takeoff.sticks import CutOptions, stock_plan
from designer.takeoff.whole import TakeoffOptions, cost_of_one_more, work_out
from tests.beds import bed, not_good
from tests.strategies import designs

HEAD = "item,price,unit,currency,tax included,date,note\n"


def book(*lines: str) -> PriceBook:
    return parse_prices(HEAD + "\n".join(lines))


def sample() -> TakeoffOptions:
    return TakeoffOptions(book=read_prices(resource_path("prices-sample.csv")))


def lines_of(design: Design, options: BuyOptions | None = None) -> Mapping[str, Material]:
    analysis = analyse(design)
    return {m.id: m for m in materials(analysis, stock_plan(analysis), options)}


def thing(item: str, needed: float, measure: str = "pieces", **values: object) -> Material:
    return Material(item, item, "garden", needed, 0.0, measure, "", **values)  # type: ignore[arg-type]


# --- what to buy --------------------------------------------------------------------------------


def test_everything_counted_is_bought_and_each_line_says_why() -> None:
    for units in ("metric", "imperial"):
        analysis = analyse(bed(12, units))  # type: ignore[arg-type]
        bought = materials(analysis, stock_plan(analysis))
        assert {item.id for item in take_off(analysis).items} <= {m.id for m in bought}
        assert all(m.why and m.name and m.needed > 0 for m in bought)
        assert len({(m.id, m.stick) for m in bought}) == len(bought)


def test_small_parts_have_at_least_one_spare_and_buckets_none() -> None:
    few = lines_of(bed(2))
    assert few["grommet-20-mm"].spare == 1
    assert few["elbow-20-mm"].to_buy == 5
    assert few["bucket-20-l"].spare == 0
    many = lines_of(bed(24), BuyOptions(spare_percent=10))
    assert many["elbow-20-mm"].spare == 5
    none = lines_of(bed(24), BuyOptions(spare_percent=0))
    assert none["elbow-20-mm"].spare == 0
    assert none["tube-20-mm"].spare == 0


def test_the_hole_saws_are_those_of_the_design_and_one_saw_may_serve_both_holes() -> None:
    saws = [m for m in lines_of(bed(4, "imperial")).values() if m.id.startswith("saw-")]
    assert [m.id for m in saws] == ["saw-1-in"]
    assert "grommet" in saws[0].why
    assert "drain" in saws[0].why
    design = edits.set_run_part(bed(4, "imperial"), "r1", "drain", saw="saw-1-1-8-in")
    assert {"saw-1-in", "saw-1-1-8-in"} <= set(lines_of(design))


def test_lids_liners_and_ties_go_by_the_bucket() -> None:
    lines = lines_of(bed(7))
    assert (lines["bucket-lid"].needed, lines["liner-bag"].needed) == (7, 7)
    assert lines["cable-tie"].needed == 14
    bare = lines_of(bed(7), BuyOptions(lids=False, liner_bags=False))
    assert not {"bucket-lid", "liner-bag"} & set(bare)


def test_a_pump_that_never_stops_needs_no_timer() -> None:
    assert "timer" in lines_of(bed(4))
    assert "timer" not in lines_of(edits.set_water(bed(4), off_minutes=0.0))


def test_emitters_are_bought_where_the_design_has_them() -> None:
    design = edits.set_run_part(bed(6), "r1", "manifold", emitter="emitter-4-l-h")
    assert lines_of(design)["emitter-4-l-h"].needed == 6


def test_the_shopping_list_holds_every_line_once_by_department() -> None:
    lines = tuple(lines_of(bed(10)).values())
    listed = shopping_list(lines)
    assert [d for d in DEPARTMENTS if d in listed] == list(listed)
    assert sorted(m.id for found in listed.values() for m in found) == sorted(m.id for m in lines)


# --- what it costs ------------------------------------------------------------------------------


def test_the_cheapest_packs_are_taken_and_what_has_no_price_is_named() -> None:
    prices = book("tie,0.15,each,EUR,yes,2025-02-01,", "tie,3.50,100 pieces,EUR,yes,2024-03-01,")
    cost = cost_materials([thing("tie", 30), thing("nut", 4)], prices, buckets=2)
    assert cost.lines[0].bought[0][0] == 1
    assert cost.total == Decimal("3.50")
    assert cost.per_bucket == Decimal("1.75")
    assert [m.id for m in cost.missing] == ["nut"]
    assert cost.oldest == date(2024, 3, 1)


def test_tax_is_added_to_prices_without_it_and_found_in_prices_with_it() -> None:
    prices = book("a,12.00,each,EUR,yes,,", "b,10.00,each,EUR,no,,")
    cost = cost_materials([thing("a", 1), thing("b", 1)], prices, 1, Decimal(20))
    assert (cost.net, cost.tax, cost.total) == (Decimal("20.00"), Decimal("4.00"), Decimal("24.00"))
    with pytest.raises(ValueError):
        cost_materials([], prices, 1, Decimal(-1))


def test_medium_is_priced_by_the_litre_or_by_mass_whichever_is_cheaper() -> None:
    coir = thing("coir", 100.0, "litres", mass=6.0)
    by_bag = cost_materials([coir], book("coir,10,50 L,EUR,yes,,"), 1)
    either = cost_materials([coir], book("coir,10,50 L,EUR,yes,,", "coir,8,5 kg,EUR,yes,,"), 1)
    assert (by_bag.total, either.total) == (Decimal("20.00"), Decimal("16.00"))


def test_tools_are_costed_only_when_asked_for() -> None:
    drill = thing("drill", 1, role="tool")
    prices = book("drill,59,each,EUR,yes,,")
    assert cost_materials([drill], prices, 1).total == 0
    assert cost_materials([drill], prices, 1, tools=True).total == 59


def test_an_empty_design_costs_nothing() -> None:
    cost = work_out(analyse(Design(title="")), sample()).cost
    assert cost is not None
    assert (cost.total, cost.per_bucket, cost.lines, cost.missing) == (0, None, (), ())


def test_sticks_are_cut_from_the_lengths_that_the_price_book_sells() -> None:
    options = sample()
    assert options.book is not None
    assert [s.length for s in stock_lengths(options.book)["pvc-63-mm"]] == [2000.0, 3000.0]
    whole = work_out(analyse(bed(10)), options)
    assert whole.cost is not None
    sticks = [line for line in whole.cost.lines if line.material.stick]
    assert sum(n for line in sticks for n, _ in line.bought) == whole.plan.sticks


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_the_sample_prices_cover_a_sketched_bed(units: str) -> None:
    cost = work_out(analyse(bed(10, units)), sample()).cost  # type: ignore[arg-type]
    assert cost is not None
    assert cost.missing == ()
    assert cost.total == sum(line.price for line in cost.lines)


def test_one_more_bucket_costs_its_parts_and_a_pitch_of_the_bed() -> None:
    analysis = analyse(bed(10))
    grown = one_more_bucket(analysis.design)
    assert len(analyse(grown).places) == 11
    assert grown.runs[0].length == analysis.design.runs[0].length + analysis.design.runs[0].pitch
    assert "spacing" not in " ".join(not_good(analyse(grown)))
    more = cost_of_one_more(analysis, sample())
    assert more is not None
    assert more.total > 0
    assert more.missing == ()
    changed = {m.id: by for m, by in more.changes}
    assert changed["bucket-20-l"] == 1
    assert changed["liner-bag"] == 1
    assert cost_of_one_more(analysis, TakeoffOptions()) is None
    assert one_more_bucket(Design(title="")) == Design(title="")


def test_one_more_bucket_on_an_empty_run_is_its_first() -> None:
    empty = edits.delete(bed(1), ["b1"])
    assert len(analyse(one_more_bucket(empty)).places) == 1


# --- side by side, and on file ------------------------------------------------------------------


def test_two_beds_side_by_side() -> None:
    small, large = analyse_fully(bed(6)), analyse_fully(bed(12))
    rows = {
        row.key: row
        for row in compare(
            (small, work_out(small, sample())),
            (large, work_out(large, sample())),
        )
    }
    assert (rows["buckets"].left, rows["buckets"].right) == (6, 12)
    assert rows["cost"].difference is not None
    assert rows["cost"].difference > 0
    assert rows["drain"].right == large.runs[0].drain_length
    assert rows["heaviest"].difference == pytest.approx(0)
    assert rows["wet"].left == pytest.approx(small.stands["r1"].weights.all_buckets)
    assert rows["wet"].right == pytest.approx(2 * rows["wet"].left)
    assert rows["whole"].left > rows["wet"].left
    assert rows["must_fix"].left == small.counts["must_fix"]


def test_a_bed_beside_itself_differs_in_nothing() -> None:
    one = analyse(bed(6))
    whole = work_out(one)
    rows = compare((one, whole), (one, whole))
    assert {row.difference for row in rows} == {0}
    assert not {"cost", "heaviest"} & {row.key for row in rows}


def test_the_record_holds_materials_cuts_sticks_and_cost() -> None:
    analysis = analyse_fully(bed(10))
    record = takeoff_record(analysis, sample(), stand={"rails": []}, weights={"bucket_kg": 9.0})
    assert json.loads(json.dumps(record)) == record
    assert {"item", "count", "unit", "why"} <= set(record["materials"][0])
    assert {"label", "part", "length_mm", "count"} <= set(record["cuts"][0])
    assert {"part", "stock_mm", "pieces", "offcut_mm"} <= set(record["sticks"][0])
    assert {"total", "currency", "lines"} <= set(record["cost"])
    assert (record["stand"], record["weights"]) == ({"rails": []}, {"bucket_kg": 9.0})
    cut = sum(c["length_mm"] * c["count"] for c in record["cuts"])
    sticks = sum(p["length_mm"] for s in record["sticks"] for p in s["pieces"])
    assert sticks == pytest.approx(cut, abs=0.5)
    assert takeoff_record(analysis)["cost"] == {"total": None, "currency": None, "lines": []}


def test_tables_are_written_into_a_folder(tmp_path: Path) -> None:
    whole = work_out(analyse(bed(4)), sample())
    written = write_csv(whole, tmp_path / "out")
    assert [path.name for path in written] == ["shopping.csv", "cuts.csv", "sticks.csv"]
    text = written[0].read_text("utf-8-sig")
    assert "bucket-20-l" in text
    assert len(text.splitlines()) == len(whole.materials) + 1


def test_a_parts_name_never_runs_as_a_formula_in_a_spreadsheet() -> None:
    design = bed(2)
    part = analyse(design).runs[0].parts.grommet
    own = replace(part, id="own-grommet", name='=HYPERLINK("x")')
    design = edits.keep_own_part(design, own)
    design = edits.set_run_part(design, "r1", "outlet", grommet="own-grommet")
    text = csv_texts(work_out(analyse(design)))["shopping.csv"]
    assert "'=HYPERLINK" in text
    assert ",=HYPERLINK" not in text


@settings(max_examples=20, suppress_health_check=list(HealthCheck))
@given(designs(max_runs=2, max_buckets=6))
def test_any_design_is_taken_off_in_full(design: Design) -> None:
    options = TakeoffOptions(
        cut=CutOptions(seconds=0.5), book=read_prices(resource_path("prices-sample.csv"))
    )
    whole = work_out(analyse(design), options)
    json.dumps(takeoff_record(analyse(design), takeoff=whole), allow_nan=False)
    csv_texts(whole)
    assert whole.cost is not None
    assert whole.cost.total >= 0
