"""A laid-out run's stand: everything carried, nothing lost, no value that is not a number."""

from dataclasses import fields, is_dataclass
from math import isnan
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from designer.analysis import analyse
from designer.model import edits
from designer.model.design import Design
from designer.stand.bed.record import StandResult
from designer.stand.bed.solution import solve_stand
from designer.stand.loads import GRAVITY
from tests.beds import bed
from tests.strategies import designs


def stand(design: Design, run: int = 0) -> StandResult:
    analysis = analyse(design)
    return solve_stand(design, analysis.runs[run], analysis.catalogue)


def with_stand(design: Design, **values: object) -> Design:
    return edits.set_run_part(design, "r1", "stand", **values)


def numbers(value: Any) -> list[float]:
    """Every number in a result, whatever it is nested in; not in its layout."""
    if isinstance(value, float | np.floating):
        return [float(value)]
    if isinstance(value, np.ndarray):
        return [float(x) for x in value.ravel()]
    if isinstance(value, dict):
        return [x for part in value.values() for x in numbers(part)]
    if isinstance(value, tuple | list):
        return [x for part in value for x in numbers(part)]
    if is_dataclass(value):
        names = [f.name for f in fields(value) if f.name not in {"layout", "evidence"}]
        return [x for name in names for x in numbers(getattr(value, name))]
    return []


@settings(max_examples=30)
@given(designs())
def test_any_design_has_a_stand_without_nan_whose_supports_carry_what_lies_on_it(
    design: Design,
) -> None:
    for index, run in enumerate(design.runs):
        found = stand(design, index)
        assert not any(map(isnan, numbers(found)))
        assert len(found.supports) == len(set(run.stand.supports))
        if any(rail.loose for rail in found.rails):
            continue
        weights = found.weights
        on_rails = sum(
            sum(found.footings[p.bucket.id].shares) * weights.bucket(p.bucket.id)
            for p in found.layout.places
            if p.bucket.id not in found.off_rail
        )
        own = weights.rails.mass + weights.manifold.mass
        carried = sum(s.reaction for s in found.supports) / GRAVITY
        if not found.off_rail:
            assert carried == pytest.approx(on_rails + own, rel=1e-6)
        else:
            assert carried >= (on_rails + own) * (1 - 1e-6)


@pytest.mark.parametrize("units", ["metric", "imperial"])
@pytest.mark.parametrize("count", [1, 2, 6, 20])
def test_a_sketched_bed_stands_on_all_its_supports(units: str, count: int) -> None:
    found = stand(bed(count, units))  # type: ignore[arg-type]
    assert len(found.rails) == 4
    assert not any(rail.loose for rail in found.rails)
    for rail in found.rails:
        for stress in (rail.bending, rail.shear, rail.bearing):
            assert stress is not None
            assert 0 < stress.ratio < 1
        assert rail.sag is not None
        assert rail.sag.last == pytest.approx(rail.sag.first * rail.creep)
    assert found.strength.graded
    assert found.grade.id == {"metric": "c16", "imperial": "spf-no2"}[units]


def test_left_and_right_rails_mirror_each_other() -> None:
    """Six buckets stand so that the right side is the left side turned end for end."""
    found = stand(bed(6))
    outer_left, inner_left, inner_right, outer_right = found.rails
    assert outer_left.name == "left outer"
    assert outer_left.offset == pytest.approx(-outer_right.offset)
    for a, b in ((outer_left, outer_right), (inner_left, inner_right)):
        assert a.bending is not None
        assert b.bending is not None
        assert a.bending.value == pytest.approx(b.bending.value)
    assert found.supports[0].reaction == pytest.approx(found.supports[-1].reaction)


def test_rails_longer_than_a_stick_do_not_carry_moment_over_their_joint() -> None:
    found = stand(bed(20))
    rail = found.rails[0]
    assert [round(p.start) for p in rail.pieces] == [0, 2100, 4200]
    assert all(p.beam is not None and abs(p.beam.moments_at([0])[0]) < 1e-9 for p in rail.pieces)


def test_a_weighed_bucket_wins_over_the_reckoned_one() -> None:
    plain, weighed = stand(bed(6)), stand(with_stand(bed(6), bucket_weight=21.5))
    assert weighed.weights.bucket("b1") == 21.5
    assert weighed.weights.buckets["b1"][0].evidence.sure == "measured"
    assert weighed.weights.dry["b1"] / 21.5 == pytest.approx(
        plain.weights.dry["b1"] / plain.weights.bucket("b1")
    )
    assert weighed.rails[0].bending.value > plain.rails[0].bending.value  # type: ignore[union-attr]


def test_every_weight_says_where_it_comes_from() -> None:
    weights = stand(bed(2)).weights
    parts = [*weights.buckets["b1"], weights.drain, weights.manifold, weights.rails, weights.block]
    for weight in parts:
        assert weight.mass > 0
        assert weight.evidence.source


def test_heavier_buckets_stress_the_rails_in_proportion() -> None:
    """On two supports the moment is a line over the weight: the rail's own and so much for each
    kilogram, but for the peak that moves a little. Over more supports a rail may lift off one."""
    simple = with_stand(bed(6), supports=(0.0, 2100.0))
    values = [
        stand(with_stand(simple, bucket_weight=kg)).rails[0].bending.effect  # type: ignore[union-attr]
        for kg in (20.0, 40.0, 60.0)
    ]
    assert values[2] - values[1] == pytest.approx(values[1] - values[0], rel=1e-4)


def test_turned_on_edge_a_rail_sags_less() -> None:
    flat, edge = (stand(with_stand(bed(6), on_edge=e)).rails[0].sag for e in (False, True))
    assert flat is not None
    assert edge is not None
    ratio = 70**2 / 45**2
    assert flat.first / edge.first == pytest.approx(ratio, rel=0.02)


def test_ground_that_falls_takes_more_blocks_and_packing() -> None:
    """Block tops 190 mm over the datum on 190 mm blocks; the ground 150 and 330 mm lower."""
    found = stand(with_stand(bed(6), ground=(0.0, -150.0, -330.0)))
    stacks = [(s.blocks, s.stack.packing, s.stack.sunk) for s in found.supports]
    assert stacks == [(1, 0, 0), (2, 0, pytest.approx(40)), (3, 0, pytest.approx(50))]
    assert found.tallest is not None
    assert found.tallest.station == 2100


def test_shims_are_those_of_the_shim_schedule_and_make_their_fall() -> None:
    found = stand(bed(6))
    assert [(s.station, s.shim) for s in found.supports] == list(found.layout.shims)
    assert found.fall is not None
    assert found.fall.total == pytest.approx(30)


def test_rails_that_follow_the_fall_are_shimmed_like_the_drain() -> None:
    found = stand(with_stand(bed(6), follow_fall=True))
    assert [s.rail_shim for s in found.supports] == [0, 15, 30]
    assert [s.rail_shim for s in stand(bed(6)).supports] == [0, 0, 0]


def test_a_rail_whose_overhang_alone_is_loaded_tips() -> None:
    found = stand(with_stand(bed(6), supports=(900.0, 1200.0)))
    tips = {piece.tips for rail in found.rails for piece in rail.loose}
    assert tips <= {"only the outlet end's overhang full", "only the capped end's overhang full"}
    assert tips
    assert all(piece.beam is not None for rail in found.rails for piece in rail.pieces)


def test_a_pull_and_the_wind_tip_the_stand_the_more_the_emptier_it_is() -> None:
    found = stand(with_stand(bed(6), pull=300.0, wind=100.0)).tipping
    assert found is not None
    assert found.case == "bed dried out"
    assert found.edge in {"left side", "right side"}
    rim = (260 + 365) / 1000
    assert found.overturning == pytest.approx(300 * rim + 100 * (rim + 0.9))
    quiet = stand(bed(6)).tipping
    assert quiet is not None
    assert quiet.ratio == float("inf")


@given(st.sampled_from(["perlite", "coir", "expanded-clay"]))
def test_the_lift_is_of_the_heaviest_bucket(medium: str) -> None:
    found = stand(edits.set_run(bed(3), "r1", medium=medium))
    assert found.lift is not None
    masses = [found.weights.bucket(f"b{i}") for i in (1, 2, 3)]
    assert found.lift.mass == max(masses)
    assert found.lift.index == pytest.approx(found.lift.mass / found.lift.limit)
    assert 0 < found.lift.limit < 23


def test_the_sag_drawn_is_the_sag_computed() -> None:
    found = stand(with_stand(bed(6), supports=(0.0, 2100.0)))
    rail = found.rails[0]
    assert rail.sag is not None
    assert rail.sag_at([rail.sag.station])[0] == pytest.approx(rail.sag.last)
    assert rail.sag_at([0.0, 2100.0]) == pytest.approx([0, 0], abs=1e-9)
