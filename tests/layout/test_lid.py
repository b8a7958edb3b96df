"""The holes of a lid stand clear of each other and of the rim."""

import math
from itertools import combinations

import pytest
from hypothesis import given, reject
from hypothesis import strategies as st

from designer.layout.lid import CLEAR, LidHoles
from designer.model.catalogue import load_catalogue
from designer.model.parts import BucketPart


@given(st.floats(100, 500), st.integers(1, 8), st.floats(10, 150), st.floats(3, 25))
def test_the_holes_of_a_lid_leave_wall_between_them_unless_they_are_refused(
    rim: float, plants: int, plant: float, feed: float
) -> None:
    try:
        holes = LidHoles(rim, plants, plant, feed)
    except ValueError:
        reject()
    circles = [(*place, plant / 2) for place in holes.plant_places]
    assert len(circles) == plants
    circles.append((*holes.feed_place, feed / 2))
    for x, y, radius in circles:
        assert math.hypot(x, y) + radius <= rim / 2 - CLEAR + 1e-9
    for (ax, ay, a), (bx, by, b) in combinations(circles, 2):
        assert math.hypot(ax - bx, ay - by) >= a + b + CLEAR - 1e-9
    assert holes.feed_place[0] == 0
    assert holes.feed_place[1] > 0


def test_every_crop_fits_the_lid_of_every_bucket_we_ship() -> None:
    catalogue = load_catalogue()
    for bucket in catalogue.of_kind("bucket"):
        assert isinstance(bucket, BucketPart)
        for crop in catalogue.crops.values():
            LidHoles(bucket.rim_diameter, crop.plants_per_bucket, crop.plant_hole, 7.35)
            assert catalogue.evidence_of(crop.id, "plant_hole").sure == "from memory"


def test_a_single_plant_stands_in_the_middle() -> None:
    assert LidHoles(300, 1, 50, 7).plant_places == ((0.0, 0.0),)


@pytest.mark.parametrize(
    ("plants", "plant", "words"),
    [(1, 290, "as wide as the lid"), (1, 0, "diameter"), (9, 60, "9 plants do not fit")],
)
def test_a_lid_that_cannot_be_is_refused_in_words(plants: int, plant: float, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        LidHoles(300, plants, plant, 7)
