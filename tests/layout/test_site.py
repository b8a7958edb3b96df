"""Plan shapes: beds, obstacles, reservoir levels, mended outlines, room to stand."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Point as Spot
from shapely.geometry import Polygon, box

from designer.analysis import analyse
from designer.layout.site import (
    bed_footprint,
    bed_spine,
    lay_out_site,
    obstacle_shape,
    standing_room,
)
from designer.model import edits
from designer.model.design import Design, Obstacle, Point
from tests.beds import bed
from tests.strategies import designs


def wall(**values: object) -> Obstacle:
    made = {"id": "o1", "kind": "wall", "name": "Wall", "place": Point(0.0, 0.0)}
    made |= {"width": 2000.0, "depth": 150.0}
    return Obstacle(**{**made, **values})  # type: ignore[arg-type]


def site_of(*corners: tuple[float, float]) -> Polygon | None:
    return lay_out_site(Design(title="", outline=tuple(Point(*c) for c in corners))).outline


def test_a_wall_turned_a_quarter_stands_upright() -> None:
    assert obstacle_shape(wall()).bounds == pytest.approx((-1000, -75, 1000, 75))
    assert obstacle_shape(wall(turn=90.0)).bounds == pytest.approx((-75, -1000, 75, 1000))


def test_a_round_post_uses_its_width() -> None:
    post = obstacle_shape(wall(shape="round", width=100.0, depth=900.0))
    assert post.bounds == pytest.approx((-50, -50, 50, 50))
    assert post.area == pytest.approx(3.14159 * 50**2, rel=0.005)


def test_a_square_outline_is_its_square() -> None:
    square = site_of((0, 0), (4000, 0), (4000, 3000), (0, 3000))
    assert square is not None
    assert square.area == 12e6


def test_an_outline_needs_three_corners_and_some_ground() -> None:
    assert site_of() is None
    assert site_of((0, 0), (1000, 0)) is None
    assert site_of((0, 0), (1000, 0), (2000, 0)) is None


def test_an_outline_that_crosses_itself_is_mended_to_one_ground() -> None:
    crossed = site_of((0, 0), (4000, 3000), (4000, 0), (0, 3000))
    assert crossed is not None
    assert crossed.is_valid
    assert crossed.area > 0


@given(st.lists(st.tuples(st.floats(-1e4, 1e4), st.floats(-1e4, 1e4)), max_size=8))
def test_any_outline_gives_sound_ground_or_none(corners: list[tuple[float, float]]) -> None:
    ground = site_of(*corners)
    assert ground is None or (ground.is_valid and ground.area > 0)


def test_a_bed_covers_its_buckets_and_its_drain() -> None:
    layout = analyse(bed(6)).runs[0]
    foot = bed_footprint(layout)
    for place in layout.places:
        rim = Spot(place.x, place.y).buffer(place.part.rim_diameter / 2)
        assert foot.buffer(0.5).contains(rim)
    assert foot.buffer(0.5).contains(bed_spine(layout))


@given(designs(max_runs=2))
def test_footprints_turn_and_move_with_their_run(design: Design) -> None:
    for layout in analyse(design).runs:
        level = [layout.frame.of(*c) for c in bed_footprint(layout).exterior.coords]
        assert max(o for _, o in level) == pytest.approx(layout.half_width, abs=1e-3)
        assert min(s for s, _ in level) <= 1e-3


def test_reservoir_levels_by_hand() -> None:
    """A 120 L tote, 400 high, sunk 380: rim 20 above the ground, floor 380 below. Freeboard 80:
    full at -60. Low water 100 above the floor: -280."""
    design = edits.set_reservoir(
        bed(6), part="tote-120-l", sunk=380.0, freeboard=80.0, low_water=100.0
    )
    reservoir = analyse(design).reservoir
    assert reservoir is not None
    levels = (reservoir.rim_level, reservoir.floor_level, reservoir.full_level, reservoir.low_level)
    assert levels == (20.0, -380.0, -60.0, -280.0)
    assert 0 < reservoir.litres_working < reservoir.litres_full < 160
    assert reservoir.narrowest == 520.0


def test_a_round_reservoir_is_round_whatever_its_turn() -> None:
    design = edits.set_reservoir(bed(6), part="drum-200-l", turn=30.0)
    reservoir = analyse(design).reservoir
    assert reservoir is not None
    x0, y0, x1, y1 = reservoir.rim.bounds
    assert (x1 - x0, y1 - y0) == (pytest.approx(570), pytest.approx(570))


def test_nobody_stands_in_a_gap_narrower_than_a_path() -> None:
    """Between a bed and a wall 400 mm off there is no room for a 500 mm path; at 600 there is."""
    ground = lay_out_site(Design(title="", obstacles=(wall(place=Point(0.0, 475.0)),)))
    taken = box(-1000, -1000, 1000, 0)
    narrow = standing_room(ground, taken, 500.0, 2000.0)
    assert not narrow.intersects(Spot(0.0, 200.0))
    wide = lay_out_site(Design(title="", obstacles=(wall(place=Point(0.0, 675.0)),)))
    assert standing_room(wide, taken, 500.0, 2000.0).intersects(Spot(0.0, 300.0))


def test_a_door_is_no_wall() -> None:
    ground = lay_out_site(Design(title="", obstacles=(wall(kind="door", place=Point(0.0, 300.0)),)))
    taken = box(-1000, -1000, 1000, 0)
    assert standing_room(ground, taken, 500.0, 2000.0).intersects(Spot(0.0, 300.0))
