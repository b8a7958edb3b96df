"""A run laid out: the outlet assembly by hand, frames, letters, shims, what is kept."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from designer.analysis import analyse
from designer.layout.levels import run_levels, shim_schedule
from designer.layout.outlet import cut_tail_shortest, outlet_assembly, outside_diameter_at
from designer.layout.run import Frame, lay_out_run, letter, path_length
from designer.model import edits
from designer.model.catalogue import load_catalogue
from designer.model.design import Point
from designer.model.parts import BucketPart, ElbowPart, GrommetPart, PipePart
from tests.beds import bed
from tests.strategies import runs

CATALOGUE = load_catalogue()
PAIL = CATALOGUE.part("pail-5-gal", BucketPart)
ELBOW = CATALOGUE.part("elbow-1-2-in", ElbowPart)
GROMMET = CATALOGUE.part("grommet-1-2-in", GrommetPart)
near = st.floats(-50_000, 50_000)


def test_outlet_assembly_by_hand() -> None:
    """A 6 in nipple in the measured pail, hole 3 in up, all in mm from the drain's axis.

    The outer elbow's socket ends 12.7 out, the nipple is 152.4 long: 165.1. Back by the inner
    elbow's socket of 17.5 is its face, 147.6; less the flange of 3 and the wall of 3.2 the outside
    of the wall stands at 141.4. The pail is 267.5 + (293.7 - 267.5) x 76.2 / 361.95 = 273.016
    wide there, so its axis stands at 141.4 + 136.508 = 277.908. The inner elbow's centre is
    152.4 + 2 x 12.7 = 177.8 from the outer one, and a tail begins 12.7 below.
    """
    assembly = outlet_assembly(PAIL, 76.2, 152.4, GROMMET, ELBOW)
    assert outside_diameter_at(PAIL, 76.2) == pytest.approx(273.016, abs=0.001)
    assert assembly.wall == pytest.approx(141.4)
    assert assembly.bucket_axis == pytest.approx(277.908, abs=0.001)
    assert assembly.inner_elbow == pytest.approx(177.8)
    assert assembly.drop == pytest.approx(12.7)


def test_the_diameter_at_base_and_rim_is_what_was_measured() -> None:
    assert outside_diameter_at(PAIL, 0.0) == PAIL.base_diameter
    assert outside_diameter_at(PAIL, PAIL.height) == pytest.approx(PAIL.top_diameter)


def test_a_longer_nipple_moves_the_bucket_out_by_as_much() -> None:
    a = outlet_assembly(PAIL, 76.2, 150.0, GROMMET, ELBOW)
    b = outlet_assembly(PAIL, 76.2, 160.0, GROMMET, ELBOW)
    assert b.bucket_axis - a.bucket_axis == pytest.approx(10.0)
    assert b.wall - a.wall == pytest.approx(10.0)


def test_a_tail_is_at_least_its_socket_and_a_pipe_diameter_long() -> None:
    pipe = CATALOGUE.part("pvc-1-2-in", PipePart)
    assert cut_tail_shortest(ELBOW, pipe) == pytest.approx(17.5 + 21.34)


def test_levels_of_stand_and_drain_by_hand() -> None:
    """Rails 70 deep on edge, stand 260: blocks end at 190. Drain 63 x 3 on them without packing:
    underside 190, invert 193, crown 253 at the outlet end, 30 mm more at the capped end."""
    run = bed(6).runs[0]
    run = replace(run, stand=replace(run.stand, height=260.0), drain=replace(run.drain, fall=30.0))
    layout = lay_out_run(run, "metric", CATALOGUE)
    levels = layout.levels
    assert levels.block_top == 190.0
    assert (levels.underside(0), levels.invert(0), levels.crown(0)) == (190.0, 193.0, 253.0)
    assert levels.crown(run.length) == pytest.approx(283.0)
    assert levels.rail_top(run.length) == 260.0


def test_rails_that_follow_the_fall_rise_with_the_drain() -> None:
    design = edits.set_run_part(bed(6), "r1", "stand", follow_fall=True)
    layout = analyse(design).runs[0]
    for station in (0.0, 500.0, layout.run.length):
        above = layout.levels.rail_top(station) - layout.levels.crown(station)
        assert above == pytest.approx(layout.levels.rail_top(0) - layout.levels.crown(0))


def test_shims_make_the_fall_in_steps_that_can_be_packed() -> None:
    """A 30 mm fall over 1800 mm with packing of 5: 5 at the outlet end, 20 halfway, 35 at the cap;
    in sixteenths of an inch 35 mm is 22 of them, 34.925 mm."""
    run = bed(5).runs[0]
    run = replace(run, drain=replace(run.drain, packing=5.0, fall=30.0), length=1800.0)
    run = replace(run, stand=replace(run.stand, supports=(1800.0, 0.0, 900.0)))
    layout = lay_out_run(run, "metric", CATALOGUE)
    assert layout.shims == ((0.0, 5.0), (900.0, 20.0), (1800.0, 35.0))
    levels = run_levels(run, layout.parts.rail, layout.parts.drain)
    assert shim_schedule(run, levels, 25.4 / 16)[-1] == (1800.0, pytest.approx(34.925))


@pytest.mark.parametrize(
    ("index", "text"),
    [(0, "A"), (25, "Z"), (26, "AA"), (51, "AZ"), (52, "BA"), (701, "ZZ"), (702, "AAA")],
)
def test_letters_go_on_after_z(index: int, text: str) -> None:
    assert letter(index) == text


def test_letters_run_from_the_capped_end_and_none_comes_twice() -> None:
    layout = analyse(bed(30)).runs[0]
    by_station = sorted(layout.places, key=lambda p: -p.station)
    assert [layout.letters[p.bucket.id] for p in by_station][:3] == ["A", "B", "C"]
    assert layout.letters[by_station[26].bucket.id] == "AA"
    assert len(set(layout.letters.values())) == 30


@given(start=st.builds(Point, near, near), heading=st.floats(-360, 360), s=near, o=near)
def test_site_points_lead_back_to_station_and_offset(
    start: Point, heading: float, s: float, o: float
) -> None:
    frame = Frame(start, heading)
    assert frame.of(*frame.at(s, o)) == (pytest.approx(s, abs=1e-5), pytest.approx(o, abs=1e-5))


def test_left_is_left_looking_up_the_run() -> None:
    """Heading 90 degrees runs to the north (y up); left is then west, towards smaller x."""
    frame = Frame(Point(1000.0, 0.0), 90.0)
    assert frame.at(500.0, 200.0) == (pytest.approx(800.0), pytest.approx(500.0))


@given(runs())
def test_buckets_stand_at_their_station_with_the_nipple_square_to_the_drain(run) -> None:  # type: ignore[no-untyped-def]
    layout = lay_out_run(run, "metric", CATALOGUE)
    for place in layout.places:
        station, offset = layout.frame.of(place.x, place.y)
        assert station == pytest.approx(place.bucket.station, abs=1e-4)
        assert offset == pytest.approx(place.offset, abs=1e-4)
        assert (place.offset == place.assembly.bucket_axis) == (place.bucket.side == "left")
        hole = layout.frame.of(place.hole_x, place.hole_y)
        assert hole == (pytest.approx(place.station, abs=1e-4), pytest.approx(0.0, abs=1e-4))
    assert np.all(np.diff(layout.stations[layout.order]) >= 0)
    assert layout.centres.shape == (len(run.buckets), 2)


@given(runs())
def test_laying_out_again_keeps_every_place(run) -> None:  # type: ignore[no-untyped-def]
    first = lay_out_run(run, "metric", CATALOGUE)
    again = lay_out_run(run, "metric", CATALOGUE, first)
    assert all(a is b for a, b in zip(first.places, again.places, strict=True))


def test_return_path_is_measured_along_its_bends() -> None:
    assert path_length(((0.0, 0.0), (300.0, 0.0), (300.0, 400.0))) == 700.0
    layout = analyse(bed(4, reservoir="beside")).runs[0]
    assert layout.return_points[0] == (0.0, 0.0)
    assert layout.outfall_invert == pytest.approx(
        layout.levels.invert(0.0) - layout.run.return_fall
    )


def test_blocks_reach_under_the_outermost_rails() -> None:
    for rails in (2, 4):
        layout = analyse(edits.set_run_part(bed(6), "r1", "stand", rails=rails)).runs[0]
        outermost = layout.rail_offsets[-1] + layout.parts.rail.thickness / 2
        assert layout.block_offsets[-1] + layout.parts.block.length / 2 >= outermost - 1e-6
        assert sum(layout.block_offsets) == pytest.approx(0.0)
