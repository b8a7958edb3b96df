"""The feed of a bed: levels and lengths by hand, and how flows answer to what is changed."""

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from designer.model import edits
from designer.model.parts import EmitterPart, PumpPart, PumpPoint
from designer.water.bed.feed import BYPASS, LITRES_PER_HOUR, node_name, pump_curve
from designer.water.network import Status
from tests.beds import bed
from tests.water.bed.solved import flows, stretched, two_runs, water_of

PUMPS = ("pump-tiny", "pump-small", "pump-medium", "pump-large", "pump-6000", "pump-12000")


def test_the_lift_is_from_half_way_between_full_and_low_water_to_the_mediums_top() -> None:
    """Rails at 260 mm and 328 mm of medium: tubes end at 588 mm. The tote of 400 mm is sunk by
    380 mm: full at -60 mm, low water at -280 mm, half-way -170 mm. Lift 588 + 170 = 758 mm, and
    868 mm at low water."""
    feed = water_of(bed(2)).feed
    assert feed.result.static_head == pytest.approx(0.758)
    assert feed.low.static_head == pytest.approx(0.868)
    assert feed.curve.shut_off_head == pytest.approx(0.9)


def test_the_riser_runs_from_the_pump_to_the_manifolds_start() -> None:
    """In plan from (-530, 0) to (0, 60): sqrt(530² + 60²) = 533.4 mm; up from the floor at -380 mm
    to the manifold 100 mm over the rails at 260 mm: 740 mm. In all 1273.4 mm."""
    network = water_of(bed(2)).feed.network
    (riser,) = [s for s in network.stretches if s.name == node_name("r1")]
    assert riser.conduit.length == pytest.approx(1.2734, abs=1e-4)
    assert riser.upstream == network.source.node


def test_bends_of_the_feed_path_lengthen_the_riser_and_each_costs_an_elbow() -> None:
    """By way of (-530, 300): 300 + sqrt(530² + 240²) = 300 + 581.8 mm in plan."""
    design = bed(2)
    bent = edits.set_run(design, "r1", feed_path=(replace(design.runs[0].start, x=-530.0, y=300),))
    before, after = (water_of(d).feed.network.stretches[0].conduit for d in (design, bent))
    assert after.length - before.length == pytest.approx(0.3 + 0.5818 - 0.5334, abs=1e-4)
    # entry 0.5 and two elbows before, three after
    assert after.minor - before.minor == pytest.approx((before.minor - 0.5) / 2, rel=1e-6)


def test_the_pump_gives_what_the_buckets_and_the_bypass_get() -> None:
    for design in (stretched(), edits.set_reservoir(stretched(), bypass=0.4)):
        feed = water_of(design).feed
        given_out = sum(feed.flows.values()) + feed.result.bypass_flow / LITRES_PER_HOUR
        assert feed.flow == pytest.approx(given_out, rel=1e-9)
        assert feed.head == pytest.approx(feed.curve.head(feed.result.flow), rel=1e-9)


def test_a_bypass_takes_from_the_bed_the_more_the_further_it_is_open() -> None:
    given_flows = [
        sum(flows(edits.set_reservoir(stretched(), bypass=opening)).values())
        for opening in (0.0, 0.05, 0.2, 0.6, 1.0)
    ]
    assert given_flows == sorted(given_flows, reverse=True)
    assert given_flows[-1] < 0.95 * given_flows[0]


def test_a_bypass_hardly_open_is_shut() -> None:
    design = edits.set_reservoir(stretched(), bypass=5e-324)
    assert BYPASS not in water_of(design).feed.result.outlet_flows
    assert flows(design) == flows(stretched())


def test_a_bed_that_only_its_bypass_runs_for_does_not_run() -> None:
    high = edits.set_stand_height(edits.set_reservoir(bed(3), bypass=0.5), "r1", 3000.0)
    feed = water_of(high).feed
    assert feed.result.status is Status.RUNNING
    assert not feed.running
    assert not feed.lifts
    assert feed.result.static_head == pytest.approx(3.0 + 0.328 + 0.17)


def test_a_half_shut_valve_gives_its_run_less_and_the_other_no_less() -> None:
    design = two_runs()
    shut = edits.set_run_part(design, "r1", "manifold", valve=0.05)
    before, after = flows(design), flows(shut)
    assert all(after[b] < before[b] for b in ("b1", "b2", "b3"))
    assert all(after[b] >= before[b] for b in ("n1", "n2", "n3"))


def test_mirrored_runs_get_the_same() -> None:
    given_out = flows(two_runs())
    for n in (1, 2, 3):
        assert given_out[f"b{n}"] == pytest.approx(given_out[f"n{n}"], rel=1e-9)


def test_the_order_of_runs_and_buckets_in_the_file_makes_no_difference() -> None:
    design = edits.set_reservoir(two_runs(lift=60.0), bypass=0.3)
    design = edits.set_run_part(design, "r2", "manifold", tube="tube-1-2-in")
    turned = replace(
        design,
        runs=tuple(replace(r, buckets=r.buckets[::-1]) for r in reversed(design.runs)),
    )
    before, after = flows(design), flows(turned)
    assert after == pytest.approx(before, rel=1e-8)


@pytest.mark.parametrize("state", ["tied_off", "blocked"])
def test_a_bucket_that_is_shut_gives_the_others_no_less(state: str) -> None:
    before = flows(stretched())
    after = flows(edits.set_bucket(stretched(), "b3", feed=state))
    assert after.pop("b3") == 0.0
    assert all(after[b] > before[b] for b in after)
    assert "b3" not in {  # and counts for no uniformity
        b for b, q in before.items() if q in water_of(
            edits.set_bucket(stretched(), "b3", feed=state)).feed.open_flows
    }  # fmt: skip


@settings(max_examples=10)
@given(st.floats(1, 900))
def test_a_run_raised_gets_no_more(lift: float) -> None:
    level, raised = flows(two_runs()), flows(two_runs(lift))
    for n in (1, 2, 3):
        assert raised[f"n{n}"] <= level[f"n{n}"] * (1 + 1e-9)
        assert raised[f"b{n}"] >= level[f"b{n}"] * (1 - 1e-9)


def test_more_pump_gives_no_bucket_less() -> None:
    rows = [flows(edits.set_reservoir(bed(6), pump=pump)) for pump in PUMPS]
    for less, more in pairwise(rows):
        assert all(more[b] >= less[b] for b in less)


def test_low_water_gives_no_bucket_more_than_half_way() -> None:
    for count in (1, 2, 6, 12):
        feed = water_of(bed(count)).feed
        assert all(feed.low_flows[b] < q for b, q in feed.flows.items())


def test_the_spread_of_published_losses_holds_the_flow() -> None:
    feed = water_of(stretched(12)).feed
    least, most = feed.spread
    assert least < feed.flow < most


def test_low_water_over_the_full_level_counts_as_full() -> None:
    feed = water_of(edits.set_reservoir(bed(2), low_water=390.0)).feed
    assert feed.low.flow == pytest.approx(feed.result.flow, rel=1e-12)
    assert feed.result.static_head == pytest.approx(0.588 + 0.060)


def test_a_freeboard_deeper_than_the_reservoir_leaves_it_empty() -> None:
    """Full and low water are then the floor, at -380 mm."""
    feed = water_of(edits.set_reservoir(bed(2), freeboard=900.0)).feed
    assert feed.result.static_head == pytest.approx(0.588 + 0.380)


def test_a_bucket_beyond_either_end_is_fed_from_the_manifold_there() -> None:
    design = edits.set_bucket(
        edits.set_bucket(stretched(), "b1", station=9000.0), "b6", station=-50
    )
    feed = water_of(design).feed
    assert feed.flows["b1"] < feed.flows["b2"]
    assert feed.flows["b6"] == max(feed.flows.values())


def test_emitters_give_by_their_law_at_their_head() -> None:
    """q = 1.26 sqrt(h) L/h for the 4 L/h emitter; its 6 mm tube loses almost nothing."""
    design = edits.set_run_part(stretched(), "r1", "manifold", emitter="emitter-4-l-h")
    feed = water_of(design).feed
    for bucket_id, flow in feed.flows.items():
        head = feed.result.outlet_heads[bucket_id]
        assert flow == pytest.approx(1.26 * head**0.5, rel=5e-3)


def test_compensating_emitters_give_all_the_same() -> None:
    part = EmitterPart(id="same", name="4 L/h whatever the head", coefficient=4.0, exponent=0.0)
    design = edits.keep_own_part(stretched(), part)
    design = edits.set_run_part(design, "r1", "manifold", emitter="same")
    assert list(flows(design).values()) == pytest.approx([4.0] * 6, rel=0.05)


def test_a_measured_pumps_curve_goes_through_its_points() -> None:
    pump = PumpPart(
        id="mine", name="Mine", flow_at_no_head=1000.0, head_at_no_flow=2.0, cover=40.0,
        curve=(PumpPoint(700.0, 1.1), PumpPoint(400.0, 1.7)),
    )  # fmt: skip
    curve = pump_curve(pump, 1.75)
    for flow, head in ((0, 2.0), (400, 1.7), (700, 1.1), (1000, 0.0)):
        assert curve.head(flow * LITRES_PER_HOUR) == pytest.approx(head, abs=1e-9)


def test_points_of_a_curve_that_do_not_fall_are_left_out() -> None:
    pump = PumpPart(
        id="mine", name="Mine", flow_at_no_head=1000.0, head_at_no_flow=2.0, cover=40.0,
        curve=(PumpPoint(500.0, 2.5), PumpPoint(600.0, 1.2), PumpPoint(1500.0, 0.5)),
    )  # fmt: skip
    assert len(pump_curve(pump, 1.75).points) == 3


@pytest.mark.parametrize("name", ["head", "riser", "bypass", "pump", "/"])
def test_a_bucket_may_go_by_any_id(name: str) -> None:
    design = edits.set_reservoir(stretched(3), bypass=0.5)
    run = design.runs[0]
    named = edits.set_run(
        design, "r1", buckets=(replace(run.buckets[0], id=name), *run.buckets[1:])
    )
    assert flows(named)[name] == pytest.approx(flows(design)["b1"], rel=1e-9)
