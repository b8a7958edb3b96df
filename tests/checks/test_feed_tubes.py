"""Feed tubes are long enough from the manifold over the rim to the medium."""

import pytest

from designer.analysis import analyse
from designer.checks.feed_tubes import reach_needed
from designer.sketch import Answers, sketch


def test_the_reach_is_up_to_the_rim_across_to_the_middle_and_down_to_the_medium() -> None:
    """20 L bucket: manifold 100 mm above the rails and 60 mm left of the axis; rim 365 mm, medium
    328 mm deep, middle 277 mm beside the axis: right hypot(337, 265) + 37, left hypot(217, 265)
    + 37 mm."""
    layout = analyse(sketch(Answers(buckets=2))).runs[0]
    sides = {place.bucket.side: reach_needed(layout, place) for place in layout.places}
    across = abs(layout.places[0].offset)
    down = 365 - layout.run.medium_depth
    assert sides["right"] == pytest.approx(((across + 60) ** 2 + 265**2) ** 0.5 + down)
    assert sides["left"] == pytest.approx(((across - 60) ** 2 + 265**2) ** 0.5 + down)
