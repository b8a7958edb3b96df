"""Where a moved bucket comes to rest."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from designer.canvas.snapping import next_slot, pitch_station, snap_station
from designer.model import edits
from designer.model.design import Design, Point
from designer.sketch import fresh_run

RUN = fresh_run(Design(title=""), Point(0.0, 0.0))


@given(st.floats(-5000, 10_000))
def test_a_bucket_never_leaves_its_run(station):
    for free in (True, False):
        snap = snap_station(RUN, station, [], 20.0, "metric", free)
        assert 0 <= snap.station <= RUN.length


@given(st.floats(0, 2400))
def test_a_snapped_station_is_whole_pitches_from_the_capped_end(station):
    snap = snap_station(RUN, station, [], 20.0, "metric")
    pitches = (RUN.length - snap.station) / RUN.pitch
    assert pitches == pytest.approx(round(pitches))
    assert round(pitches) >= 1


def test_a_neighbour_holds_a_bucket_only_when_it_is_near():
    near = snap_station(RUN, 845.0, [850.0], 20.0, "metric")
    assert near.station == 850.0
    assert "neighbour" in near.to
    assert snap_station(RUN, 760.0, [850.0], 20.0, "metric").station != 850.0
    assert snap_station(RUN, 845.0, [850.0], 20.0, "metric", free=True).station == 845.0


def test_a_run_shorter_than_its_pitch_has_no_pitch_to_rest_on():
    short = edits.replace(RUN, length=200.0)
    assert pitch_station(short, 100.0) is None
    assert snap_station(short, 100.2, [], 20.0, "metric").station == 100.0


def test_the_stagger_goes_on_from_the_bucket_nearest_the_outlet_end():
    assert next_slot(RUN) == (RUN.length - RUN.pitch, "left")
    design = edits.add_run(Design(title=""), RUN)
    design, _ = edits.add_bucket(design, RUN.id, 900.0, "right")
    assert next_slot(design.runs[0]) == (900.0 - RUN.pitch, "left")
