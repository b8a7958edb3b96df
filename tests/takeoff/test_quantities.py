"""The bill of materials, and the rules of thumb that growers count by."""

from dataclasses import replace

import pytest

from designer.analysis import Analysis, analyse
from designer.layout.volume import bucket_litres
from designer.model import edits
from designer.model.design import Design
from designer.sketch import Answers, sketch
from designer.takeoff.quantities import Item, manifold_length, take_off
from designer.units.sizes import KG_PER_POUND

FOOT = 304.8
INCH = 25.4


def bed(**answers: object) -> Analysis:
    return analyse(sketch(Answers(**answers)))  # type: ignore[arg-type]


def ten_at_a_foot() -> Design:
    """Ten 5 US gal pails at 1 ft, tails of 3 in as the rule of thumb has them."""
    design = sketch(Answers(buckets=10, pitch=FOOT, units="imperial"))
    return edits.set_tails(design, "r1", "common", 3 * INCH)


def line(analysis: Analysis, name: str) -> Item:
    found = [item for item in take_off(analysis).items if item.name.startswith(name)]
    assert len(found) == 1, [item.name for item in take_off(analysis).items]
    return found[0]


def amount(analysis: Analysis, name: str) -> float:
    return line(analysis, name).amounts[0][0]


def test_ten_buckets_at_1_ft_need_11_ft_of_drain_beyond_the_first_distance() -> None:
    """Common practice, no source: reservoir to first bucket, and (N + 1) x pitch."""
    analysis = analyse(ten_at_a_foot())
    layout = analysis.runs[0]
    assert amount(analysis, "2 in PVC pipe") - layout.return_length == pytest.approx(11 * FOOT)


def test_ten_buckets_at_1_ft_need_11_ft_of_manifold_beyond_the_feed_path() -> None:
    """Common practice, no source."""
    analysis = analyse(ten_at_a_foot())
    layout, reservoir = analysis.runs[0], analysis.reservoir
    assert reservoir is not None
    pump = reservoir.reservoir.place
    x, y = layout.frame.at(0.0, layout.run.manifold.offset)
    over = ((pump.x - x) ** 2 + (pump.y - y) ** 2) ** 0.5
    up = layout.levels.rail_top(0) + layout.run.manifold.height - reservoir.floor_level
    assert amount(analysis, "1/2 in poly tube") - over - up == pytest.approx(11 * FOOT)


def test_eight_feet_of_half_inch_pipe_serve_ten_buckets() -> None:
    """Common practice, no source: nipple 6 in and tail 3 in a bucket, 7 1/2 ft of pieces."""
    pieces = amount(analyse(ten_at_a_foot()), "1/2 in PVC pipe")
    assert pieces == pytest.approx(7.5 * FOOT)
    assert pieces <= 8 * FOOT


def test_two_elbows_one_grommet_and_one_barb_a_bucket() -> None:
    """Common practice, no source."""
    analysis = analyse(ten_at_a_foot())
    assert amount(analysis, "1/2 in PVC elbow") == 20
    assert amount(analysis, "Grommet for 1/2 in pipe") == 10
    assert amount(analysis, "1/4 in barb") == 10
    assert amount(analysis, "5 US gal pail") == 10


def test_16_lb_of_perlite_fill_eight_5_gal_buckets_three_quarters_full() -> None:
    """Common practice, no source; within 10 %."""
    design = sketch(Answers(buckets=8, units="imperial"))
    part = analyse(design).runs[0].places[0].part
    whole = bucket_litres(part)
    depths = [d for d in range(int(part.height)) if bucket_litres(part, d) < 0.75 * whole]
    analysis = analyse(edits.set_run(design, "r1", medium_depth=float(depths[-1])))
    (litres, _), (kg, measure) = line(analysis, "Perlite").amounts
    assert litres == pytest.approx(8 * 0.75 * whole, rel=0.01)
    assert measure == "kg"
    assert kg == pytest.approx(16 * KG_PER_POUND, rel=0.10)


def test_one_cap_one_plug_one_reservoir_and_one_pump() -> None:
    analysis = bed(buckets=12)
    takeoff = take_off(analysis)
    assert amount(analysis, "Drain end cap") == 1
    assert amount(analysis, "Manifold end plug") == 1
    tank = [i for i in takeoff.items if i.heading == "Reservoir and pump"]
    assert [i.amounts for i in tank] == [((1, "pieces"),), ((1, "pieces"),)]


def test_sixty_buckets_on_two_runs_are_counted_together() -> None:
    analysis = bed(buckets=60)
    assert amount(analysis, "20 L bucket") == 60
    assert amount(analysis, "Drain end cap") == 2
    drains = sum(layout.drain_length for layout in analysis.runs)
    pipes = [i for i in take_off(analysis).items if i.name == "63 mm PVC-U pipe"]
    assert pipes[0].amounts[0][0] == pytest.approx(drains)


def test_blocks_stand_at_every_support_in_every_course() -> None:
    analysis = bed(buckets=12, units="imperial")
    layout = analysis.runs[0]
    per_support = len(layout.block_offsets) * layout.blocks_high
    assert amount(analysis, "8 x 8 x 16 in concrete block") == per_support * len(
        layout.run.stand.supports
    )


def test_shims_are_counted_where_there_are_any() -> None:
    analysis = bed(buckets=12)
    shims = [t for _, t in analysis.runs[0].shims if t > 0]
    assert amount(analysis, "Shims") == len(shims) == len(analysis.runs[0].shims) - 1
    why = line(analysis, "Shims").why
    assert "as wide as the drain (63 mm)" in why
    assert "at each support but the lowest" in why


def test_each_rail_is_shimmed_where_the_rails_follow_the_fall() -> None:
    """Four rails on supports along a run that falls: none at the outlet end, where they start."""
    design = bed(buckets=12).design
    level = [i.name for i in take_off(analyse(design)).items]
    assert "Shims for the rails" not in level
    sloped = analyse(edits.set_run_part(design, "r1", "stand", follow_fall=True))
    run = sloped.runs[0].run
    raised = [s for s in run.stand.supports if s * run.drain.fall / run.length >= 0.5]
    assert raised
    assert amount(sloped, "Shims for the rails") == run.stand.rails * len(raised)
    (line,) = [i for i in take_off(sloped).items if i.id == "rail-shims"]
    assert "each rail" in line.why


def test_packing_is_counted_where_blocks_alone_do_not_reach_the_height() -> None:
    design = bed(buckets=12).design
    layout = analyse(design).runs[0]
    block = layout.parts.block.height
    depth = layout.levels.rail_depth
    even = edits.set_stand_height(design, "r1", 2 * block + depth)
    assert not [i for i in take_off(analyse(even)).items if i.id == "packing"]
    packed = analyse(edits.set_stand_height(design, "r1", 2 * block + depth + 20.0))
    supports = len(layout.run.stand.supports)
    each = len(layout.block_offsets)
    assert amount(packed, "Packing for block stacks") == each * supports
    assert amount(packed, layout.parts.block.name) == each * supports * 2


def test_blocks_on_falling_ground_are_counted_support_by_support() -> None:
    design = bed(buckets=12).design
    layout = analyse(design).runs[0]
    block, count = layout.parts.block.height, len(layout.run.stand.supports)
    lowered = (-block, *(0.0,) * (count - 1))
    uneven = edits.set_run_part(design, "r1", "stand", ground=lowered)
    more = amount(analyse(uneven), layout.parts.block.name)
    assert more == amount(analyse(design), layout.parts.block.name) + len(layout.block_offsets)


def test_couplings_join_the_pieces_of_the_drain() -> None:
    analysis = bed(buckets=12, units="imperial")
    drain = [p for p in take_off(analysis).pieces if p.kind == "drain"]
    assert len(drain) > 1
    assert amount(analysis, "Coupling for 2 in PVC pipe") == len(drain) - 1


def test_feed_tube_is_bought_by_the_length_that_is_cut_for_each_bucket() -> None:
    analysis = bed(buckets=7)
    layout = analysis.runs[0]
    bought = amount(analysis, layout.parts.feed_tube.name)
    assert bought == pytest.approx(7 * layout.run.manifold.feed_length)


def test_without_a_reservoir_the_manifold_is_as_long_as_the_run() -> None:
    analysis = analyse(replace(sketch(Answers(buckets=2)), reservoir=None))
    layout = analysis.runs[0]
    assert manifold_length(analysis, layout) == layout.run.length


def test_an_empty_design_needs_nothing() -> None:
    assert take_off(analyse(Design(title=""))).items == ()
