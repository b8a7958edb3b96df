"""What growers who build these beds do, held against the program. Common practice, no source.

Each fact is stated as the trade states it, in inches, and recomputed here by hand.
"""

from dataclasses import replace

import pytest

from designer.analysis import analyse
from designer.layout.run import lay_out_run
from designer.layout.tails import rounded_within
from designer.model import edits
from designer.model.catalogue import load_catalogue
from designer.model.design import Bucket, Point, Run
from designer.sketch import fresh_run
from designer.takeoff.quantities import manifold_length, take_off
from tests.beds import bed, not_good

INCH = 25.4
FOOT = 12 * INCH


def on_edge_1x3() -> Run:
    """2 1/2 in deep rails on edge, the drain on the same blocks, one bucket at the outlet end."""
    run = fresh_run(bed(1, "imperial"), Point(0.0, 0.0))
    return replace(
        run,
        outlet=replace(run.outlet, height=3 * INCH),
        drain=replace(run.drain, pipe="pvc-2-in", packing=0.0),
        stand=replace(run.stand, rail="board-1x3", on_edge=True),
        tails=replace(run.tails, cut="common", length=3 * INCH),
        buckets=(Bucket(id="b1", station=0.0, side="left"),),
    )


def test_a_new_bed_has_its_outlet_holes_three_inches_above_the_base() -> None:
    """Common practice, no source: the outlet hole's centre is 3 in above the bucket's base."""
    assert bed(10, "imperial").runs[0].outlet.height == pytest.approx(3 * INCH)
    assert bed(10, "metric").runs[0].outlet.height == pytest.approx(3 * INCH, abs=1.5)


def test_a_three_inch_tail_reaches_three_eighths_of_an_inch_into_the_drain() -> None:
    """Common practice, no source: with rails 2 1/2 in deep the tail just enters the drain.

    Above the blocks: outlet 63.5 + 76.2 = 139.7; less 12.7 to the socket's bottom = 127.0; less
    the 76.2 mm tail = 50.8 mm. The crown lies 60.325 mm up: the tip is 9.525 mm, 3/8 in, below it.
    """
    layout = lay_out_run(on_edge_1x3(), "imperial", load_catalogue())
    (place,) = layout.places
    reach = layout.tail_limits.reach
    into_drain = layout.tail_length(place) - (place.window.shortest - reach)
    assert into_drain == pytest.approx(9.5, abs=0.5)
    tip = place.socket - layout.tail_length(place)
    assert layout.levels.crown(0.0) - tip == pytest.approx(into_drain)
    assert place.window.holds(3 * INCH)


def test_a_three_inch_tail_is_what_the_program_would_cut_when_asked_for_it() -> None:
    """Common practice, no source: 3 in is a length that the window at the level point holds."""
    layout = lay_out_run(on_edge_1x3(), "imperial", load_catalogue())
    window = layout.places[0].window
    assert rounded_within(window, INCH / 16, wanted=3 * INCH) == pytest.approx(3 * INCH)


@pytest.mark.parametrize("count", [1, 2, 10, 24])
def test_drain_pipe_is_the_way_to_the_reservoir_and_one_pitch_more_than_buckets(count: int) -> None:
    """Common practice, no source: pipe = reservoir to outlet end + (N + 1) x pitch."""
    layout = analyse(bed(count, "imperial", pitch=FOOT, reservoir="beside")).runs[0]
    assert layout.drain_length == pytest.approx(layout.return_length + (count + 1) * FOOT)


def test_ten_buckets_at_a_foot_need_eleven_feet_of_drain_and_of_manifold() -> None:
    """Common practice, no source: ten buckets at 1 ft need 11 ft beyond the reservoir."""
    design = edits.delete(bed(10, "imperial", pitch=FOOT), ["reservoir"])
    design = edits.set_run(design, "r1", return_path=())
    analysis = analyse(design)
    assert analysis.runs[0].drain_length == pytest.approx(11 * FOOT)
    assert manifold_length(analysis, analysis.runs[0]) == pytest.approx(11 * FOOT)


def test_the_first_hole_is_a_foot_from_the_cap() -> None:
    """Common practice, no source: the first hole stands one pitch, 1 ft, from the capped end."""
    layout = analyse(bed(10, "imperial", pitch=FOOT)).runs[0]
    assert layout.run.length - layout.from_cap[0].station == pytest.approx(FOOT)


@pytest.mark.parametrize(("fall", "state"), [(1.0, "good"), (15 / 16, "look_again")])
def test_the_capped_end_lies_at_least_an_inch_higher(fall: float, state: str) -> None:
    """Common practice, no source: the capped end is at least 1 in above the outlet end."""
    design = edits.set_fall(bed(10, "imperial"), "r1", fall * INCH)
    (found,) = [f for f in analyse(design).findings if f.rule == "fall-total"]
    assert found.state == state
    assert bed(10, "imperial").runs[0].drain.fall >= INCH


def test_one_inch_hole_saw_for_the_grommet_and_for_the_drain() -> None:
    """Common practice, no source: a 1 in saw cuts the holes for the grommet of 1/2 in pipe and
    the holes in the drain that the tails drop into."""
    design = bed(10, "imperial")
    run = design.runs[0]
    saws = load_catalogue().parts
    assert saws[run.outlet.saw].diameter == saws[run.drain.saw].diameter == INCH  # type: ignore[union-attr]
    assert run.outlet.pipe == "pvc-1-2-in"
    good = {f.rule for f in analyse(design).findings if f.state == "good"}
    assert {"saw-fits-grommet", "tail-fits-hole", "hole-of-pipe"} <= good


def test_the_stand_is_higher_than_the_reservoir_which_may_be_sunk_a_foot() -> None:
    """Common practice, no source: the drain runs over the reservoir's rim; sinking it a foot
    makes the stand that much lower."""
    design = bed(6, "imperial")
    sunk = edits.set_reservoir(design, sunk=FOOT)
    assert not not_good(analyse(sunk))
    raised = edits.set_reservoir(design, sunk=0.0)
    wrong = set(not_good(analyse(raised)))
    assert wrong == {"drain-over-rim", "outfall-above-water"}
    higher = edits.set_stand_height(raised, "r1", raised.runs[0].stand.height + 15 * INCH)
    assert not not_good(analyse(higher))
    layout = analyse(higher)
    assert layout.reservoir is not None
    assert layout.runs[0].levels.block_top > layout.reservoir.rim_level


def test_outlet_pipe_for_ten_buckets_fits_in_eight_feet() -> None:
    """Common practice, no source: two elbows, a 6 in nipple and a 3 in tail to each bucket; ten
    buckets take 10 x 9 in = 90 in of pipe, within 8 ft = 96 in."""
    design = bed(10, "imperial")
    design = edits.set_run(design, "r1", tails=replace(design.runs[0].tails, length=3 * INCH))
    assert design.runs[0].outlet.nipple_length == pytest.approx(6 * INCH)
    items = {item.name: item.amounts[0] for item in take_off(analyse(design)).items}
    assert items["1/2 in PVC elbow, 90°"] == (20.0, "pieces")
    length, measure = items["1/2 in PVC pipe, schedule 40"]
    assert measure == "length"
    assert length == pytest.approx(90 * INCH)
    assert length <= 8 * FOOT
