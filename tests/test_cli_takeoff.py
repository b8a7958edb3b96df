"""`rillwright takeoff`: the shopping list, sticks and stand as text, as JSON and as tables."""

import csv
import json
from collections import Counter
from pathlib import Path
from typing import Any

import pytest

from designer.analysis import analyse_fully
from designer.cli import main
from designer.model import edits
from designer.model.saving import save
from designer.resources import resource_path
from designer.takeoff.quantities import take_off
from tests.beds import bed
from tests.test_cli import refused

PRICES = str(resource_path("prices-sample.csv"))


@pytest.fixture
def saved(tmp_path: Path) -> str:
    path = tmp_path / "bed.rill"
    save(bed(6), path)
    return str(path)


def record(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> dict[str, Any]:
    assert main(["takeoff", *arguments, "--json"]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    found: dict[str, Any] = json.loads(out, parse_constant=pytest.fail)
    return found


def test_json_has_the_agreed_keys_and_no_others(
    saved: str, capsys: pytest.CaptureFixture[str]
) -> None:
    found = record([saved], capsys)
    assert set(found) == {"materials", "cuts", "sticks", "cost", "stand", "weights"}
    keys = {
        "materials": {"item", "count", "unit", "why"},
        "cuts": {"label", "part", "length_mm", "count"},
        "sticks": {"part", "stock_mm", "pieces", "offcut_mm"},
    }
    for name, wanted in keys.items():
        assert found[name]
        assert all(set(line) == wanted for line in found[name])
    assert found["cost"] == {"total": None, "currency": None, "lines": []}
    stand = found["stand"]
    assert set(stand) == {"rails", "supports", "findings"}
    assert all(set(s) == {"station_mm", "blocks", "shim_mm"} for s in stand["supports"])
    layout = analyse_fully(bed(6)).runs[0]
    assert [(s["station_mm"], s["shim_mm"]) for s in stand["supports"]] == [
        (pytest.approx(station), pytest.approx(shim)) for station, shim in sorted(layout.shims)
    ]


def test_every_piece_of_the_cut_list_lies_on_one_stick(
    saved: str, capsys: pytest.CaptureFixture[str]
) -> None:
    found = record([saved], capsys)
    wanted: Counter[tuple[str, str, float]] = Counter()
    for cut in found["cuts"]:
        wanted[cut["part"], cut["label"], cut["length_mm"]] += cut["count"]
    laid = Counter(
        (stick["part"], piece["label"], piece["length_mm"])
        for stick in found["sticks"]
        for piece in stick["pieces"]
    )
    assert laid == wanted
    for stick in found["sticks"]:
        used = sum(piece["length_mm"] for piece in stick["pieces"])
        assert used + stick["offcut_mm"] <= stick["stock_mm"] + 0.01


def test_prices_make_a_cost(saved: str, capsys: pytest.CaptureFixture[str]) -> None:
    cost = record([saved, "--prices", PRICES], capsys)["cost"]
    assert cost["currency"] == "EUR"
    assert cost["total"] == pytest.approx(sum(line["price"] or 0.0 for line in cost["lines"]))
    assert main(["takeoff", saved, "--prices", PRICES]) == 0
    assert f"Cost: {cost['total']:.2f} EUR" in capsys.readouterr().out


def test_text_tells_what_to_buy_to_cut_and_to_set_up(
    saved: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["takeoff", saved]) == 0
    out = capsys.readouterr().out
    for said in ("Plumbing:", "Timber:", "20 L bucket", "Tail A", "mm left", "proven",
                 "Stand of Run 1", "support 1, ", "heaviest bucket"):  # fmt: skip
        assert said in out, said


def test_tables_are_written_into_the_folder(
    saved: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "tables"
    assert main(["takeoff", saved, "--csv", str(folder)]) == 0
    names = ["shopping.csv", "cuts.csv", "sticks.csv"]
    assert capsys.readouterr().out.splitlines() == [str(folder / name) for name in names]
    for name in names:
        with (folder / name).open(encoding="utf-8-sig", newline="") as file:
            assert len(list(csv.reader(file))) > 1


def test_a_price_book_that_cannot_be_read_gets_one_sentence(
    saved: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    book = tmp_path / "prices.csv"
    book.write_text("thing,cost\n", "utf-8")
    assert "prices.csv" in refused(["takeoff", saved, "--prices", str(book)], capsys)


def test_uneven_ground_needs_the_blocks_of_its_own_stacks() -> None:
    design = bed(6)
    run = design.runs[0]
    deeper = tuple(-400.0 if i == 0 else 0.0 for i in range(len(run.stand.supports)))
    analysis = analyse_fully(edits.set_run_part(design, run.id, "stand", ground=deeper))
    layout = analysis.runs[0]
    (blocks,) = [i for i in take_off(analysis).items if i.id == layout.parts.block.id]
    per_course = len(layout.block_offsets)
    courses = [support.blocks for support in analysis.stands[run.id].supports]
    assert blocks.amounts == ((per_course * sum(courses), "pieces"),)
    assert max(courses) > layout.blocks_high


def test_the_text_tells_how_to_fill_the_bed(saved: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["takeoff", saved]) == 0
    out = capsys.readouterr().out
    for words in ("Medium:", "First fill:", "EC and pH to hold:", "mS/cm"):
        assert words in out
