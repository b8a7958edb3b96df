"""`rillwright water`: lines and JSON, exit codes, and one sentence where there is no water."""

import json
import math
from pathlib import Path

import pytest

from designer.cli import main
from designer.model import edits
from designer.model.design import Design
from designer.model.saving import save
from designer.resources import sample_paths
from tests.beds import bed
from tests.test_cli import refused
from tests.water.bed.test_solution import KEYS, POINT


@pytest.fixture
def saved(tmp_path: Path) -> str:
    path = tmp_path / "bed.rill"
    save(bed(4), path)
    return str(path)


def stored(design: Design, tmp_path: Path) -> str:
    path = tmp_path / "other.rill"
    save(design, path)
    return str(path)


def test_json_has_the_agreed_keys(saved: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["water", saved, "--json"]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    record = json.loads(out, parse_constant=pytest.fail)
    assert set(record) == set(KEYS)
    assert set(record["pump"]) == KEYS["pump"]
    assert [b["id"] for b in record["buckets"]] == ["b1", "b2", "b3", "b4"]
    assert all(set(b) == KEYS["buckets"] for b in record["buckets"])
    assert set(record["uniformity"]) == KEYS["uniformity"]
    (drain,) = record["drain"]
    assert set(drain) == KEYS["drain"]
    assert drain["run"] == "r1"
    assert all(set(point) == POINT for point in drain["points"])
    assert set(record["reservoir"]) == KEYS["reservoir"]
    assert record["pump"]["flow_l_h"] == pytest.approx(
        sum(b["flow_l_h"] for b in record["buckets"]), abs=0.001
    )


def test_text_says_what_the_water_does(saved: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["water", saved]) == 0
    lines = capsys.readouterr().out.splitlines()
    starts = ("Pump: ", "Buckets: ", "Drain of Run 1: ", "When the pump stops ", "Top up every ",
              "Without the pump ")  # fmt: skip
    assert len(lines) == len(starts)
    assert all(line.startswith(start) for line, start in zip(lines, starts, strict=True))
    assert " L/h at " in lines[0]
    assert " m of head" in lines[0]
    assert " mm below the rim" in lines[3]


def test_text_is_in_the_persons_units(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["water", stored(bed(4, "imperial"), tmp_path)]) == 0
    out = capsys.readouterr().out
    for said in ("gal/h at ", " ft of head", '" below the rim', "gal run back"):
        assert said in out
    for metric in (" mm", "L/h", " m of"):
        assert metric not in out


def test_json_is_metric_whatever_the_units(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    records = []
    for units in ("metric", "imperial"):
        design = edits.set_design(bed(4), units=units)
        design = edits.set_run_part(design, "r1", "stand", supports=())  # the same fall in both
        main(["water", stored(design, tmp_path), "--json"])
        records.append(json.loads(capsys.readouterr().out))
    assert records[0] == records[1]


@pytest.mark.parametrize("extra", [[], ["--json"]])
def test_a_bed_without_a_reservoir_gets_one_sentence(
    extra: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = stored(edits.delete(bed(3), ["reservoir"]), tmp_path)
    said = refused(["water", path, *extra], capsys)
    assert said == (
        "rillwright: There is no water yet: the design needs a reservoir and a bucket.\n"
    )


def test_a_bed_without_a_bucket_gets_one_sentence(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = stored(edits.delete(bed(1), ["b1"]), tmp_path)
    assert "a reservoir and a bucket" in refused(["water", path], capsys)


def test_a_file_that_is_not_there_gets_one_sentence(capsys: pytest.CaptureFixture[str]) -> None:
    refused(["water", "nowhere.rill"], capsys)


def test_a_pump_that_does_not_lift_is_told_and_checked(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """`water` tells what is, with code 0; `check` calls it a fault, with code 1."""
    path = stored(edits.set_stand_height(bed(3), "r1", 3000.0), tmp_path)
    assert main(["water", path]) == 0
    assert "no water comes to the buckets" in capsys.readouterr().out
    assert main(["check", path]) == 1
    assert "Must fix: The pump lifts to the buckets (Reservoir)" in capsys.readouterr().out
    assert main(["water", path, "--json"]) == 0
    record = json.loads(capsys.readouterr().out)
    assert record["pump"]["flow_l_h"] == 0
    assert all(math.isfinite(v) for v in record["reservoir"].values())


@pytest.mark.parametrize("path", sample_paths(), ids=lambda path: path.stem)
def test_every_sample_has_its_water(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["water", str(path), "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["pump"]["flow_l_h"] > 0
