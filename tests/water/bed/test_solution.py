"""All of a bed's water in one value: what it holds, whatever the design, and its plain data."""

import json
import math
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings

from designer.analysis import analyse, analyse_fully
from designer.model import edits
from designer.model.design import Design
from designer.model.parts import BucketPart, PipePart, TubePart
from designer.water.bed.record import water_lines, water_record
from tests.beds import bed
from tests.checks.test_any_design import disturbed
from tests.strategies import designs
from tests.water.bed.solved import stretched, two_runs, water_of

KEYS: dict[str, Any] = {
    "pump": {"flow_l_h", "head_m"},
    "buckets": {"id", "flow_l_h", "head_m", "outlet_level_mm"},
    "uniformity": {"eu_percent", "cu_percent"},
    "drain": {"run", "points", "regime"},
    "reservoir": {"drain_back_l", "freeboard_mm", "top_up_days", "hours_without_pump"},
}
POINT = {"station_mm", "depth_mm", "flow_l_h", "fill"}


def look_at(design: Design) -> None:
    """Solve, and look at every number and key of the plain data."""
    water = analyse_fully(design).water
    has_bucket = any(run.buckets for run in design.runs)
    assert (water is not None) == (design.reservoir is not None and has_bucket)
    if water is None:
        return
    record = water_record(water)
    assert set(record) == set(KEYS)
    for name, keys in KEYS.items():
        for part in record[name] if isinstance(record[name], list) else [record[name]]:
            assert set(part) == keys
    assert all(set(point) == POINT for drain in record["drain"] for point in drain["points"])
    numbers(record)
    assert record == json.loads(json.dumps(record, allow_nan=False))
    assert sorted(b["id"] for b in record["buckets"]) == sorted(
        b.id for run in design.runs for b in run.buckets
    )
    lines = water_lines(water, design.units)
    assert all(line and "nan" not in line.lower() for line in lines[:2])
    if design.units == "imperial":
        assert not any(unit in " ".join(lines).split() for unit in ("mm", "L/h", "L", "m"))
    for run_id in water.drains:
        found = water.blocked(run_id)
        assert found is not None
        assert found.seconds is None or (math.isfinite(found.seconds) and found.seconds >= 0)


def numbers(value: Any) -> None:
    """Every number is finite; only what needs plants that drink may be missing."""
    if isinstance(value, dict):
        for part in value.values():
            numbers(part)
    elif isinstance(value, list):
        for part in value:
            numbers(part)
    else:
        assert isinstance(value, str) or math.isfinite(value)


@settings(max_examples=40, suppress_health_check=list(HealthCheck))
@given(designs(max_runs=2, max_buckets=6))
def test_any_design_is_solved(design: Design) -> None:
    look_at(design)


@settings(max_examples=25, suppress_health_check=list(HealthCheck))
@given(disturbed())
def test_any_disturbed_sketch_is_solved(design: Design) -> None:
    look_at(design)


def odd(name: str) -> Design:
    design = stretched(3)
    run = design.runs[0]
    bucket, drain = analyse(design).runs[0].parts.bucket, analyse(design).runs[0].parts.drain
    tube = analyse(design).runs[0].parts.manifold
    own: dict[str, BucketPart | PipePart | TubePart] = {
        "a bucket with walls thicker than itself": replace(bucket, wall=9000.0),
        "a bucket no higher than a coin": replace(bucket, height=1.0),
        "a pipe without a bore": replace(drain, wall=40.0),
        "a tube finer than a hair": replace(tube, inside_diameter=0.001),
    }
    if name in own:
        return edits.keep_own_part(design, own[name])
    return {
        "a run of a millimetre": edits.set_run(design, "r1", length=0.001),
        "a valve all but shut": edits.set_run_part(design, "r1", "manifold", valve=1e-300),
        "a bypass all but shut": edits.set_reservoir(design, bypass=1e-200),
        "a bucket far beyond the pipe": edits.set_bucket(design, "b1", station=900_000.0),
        "a bucket far before the pipe": edits.set_bucket(design, "b3", station=-900_000.0),
        "all buckets in one place": edits.set_run(
            design, "r1", buckets=tuple(replace(b, station=500.0) for b in run.buckets)
        ),
        "low water over the full level": edits.set_reservoir(design, low_water=399.0),
        "medium over the rim": edits.set_run(design, "r1", medium_depth=900.0),
        "a reservoir over the bed": edits.set_reservoir(design, sunk=0.0, low_water=350.0),
        "every feed shut": edits.change_buckets(
            design, ["b1", "b2", "b3"], lambda b: replace(b, feed="blocked")
        ),
        "supports upon each other": edits.set_run_part(
            design, "r1", "stand", supports=(100.0, 100.0, 100.0000001)
        ),
        "a manifold under the ground": edits.set_run_part(design, "r1", "manifold", height=-1000.0),
    }[name]


@pytest.mark.parametrize(
    "name",
    [
        "a bucket with walls thicker than itself",
        "a bucket no higher than a coin",
        "a pipe without a bore",
        "a tube finer than a hair",
        "a run of a millimetre",
        "a valve all but shut",
        "a bypass all but shut",
        "a bucket far beyond the pipe",
        "a bucket far before the pipe",
        "all buckets in one place",
        "low water over the full level",
        "medium over the rim",
        "a reservoir over the bed",
        "every feed shut",
        "supports upon each other",
        "a manifold under the ground",
    ],
)
def test_odd_designs_are_solved(name: str) -> None:
    look_at(odd(name))


def test_the_system_needs_the_pumps_head_at_the_duty_point() -> None:
    water = water_of(stretched())
    assert (water.feed.flow, water.feed.head) in [
        (pytest.approx(flow, rel=1e-6), pytest.approx(head, rel=1e-9))
        for flow, head in water.system
    ]
    flows = [flow for flow, _ in water.system]
    assert flows == sorted(flows)


def test_buckets_go_by_the_run_and_the_letter() -> None:
    assert water_of(bed(3)).label("b1") == "A"
    assert water_of(two_runs()).label("n1") == "2A"
    with pytest.raises(KeyError):
        water_of(bed(3)).label("b9")


def test_points_of_the_drain_are_in_mm_and_litres_an_hour() -> None:
    record = water_record(water_of(bed(2)))
    points = record["drain"][0]["points"]
    assert points[0]["station_mm"] == 900
    assert points[-1]["flow_l_h"] == pytest.approx(record["pump"]["flow_l_h"], abs=0.01)
    deepest = max(points, key=lambda p: p["depth_mm"])
    assert deepest["fill"] == pytest.approx(deepest["depth_mm"] / 57, abs=1e-4)


def test_lines_say_that_no_water_comes() -> None:
    design = edits.set_stand_height(bed(2), "r1", 4000.0)
    lines = water_lines(water_of(design), "metric")
    assert lines[0] == "Pump: no water comes to the buckets; `rillwright check` says why"


def test_lines_are_in_the_persons_units() -> None:
    text = "\n".join(water_lines(water_of(bed(4, "imperial")), "imperial"))
    for unit in ("gal/h", "ft of head", "gal run back", '" below the rim'):
        assert unit in text
    for unit in (" m ", "mm", "L/h", " L "):
        assert unit not in text
