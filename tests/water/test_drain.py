"""The water in a drain: bounds, order, symmetry, and how it answers to flow and fall."""

from dataclasses import replace
from math import pi

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from designer.water.drain import (
    Branch,
    Inflow,
    Line,
    Profile,
    Regime,
    Stretch,
    collector_profiles,
    drain_profile,
)
from designer.water.drain_limits import (
    Limit,
    excess,
    largest_flow,
    smallest_fall,
    time_to_empty,
    with_slope,
)
from designer.water.resistance import Darcy, Manning, Resistance
from designer.water.section import Circular

LITRES_PER_HOUR = 1 / 3.6e6
FEW = settings(max_examples=60, deadline=None)

flows = st.one_of(st.just(0.0), st.floats(0.1, 800.0)).map(lambda q: q * LITRES_PER_HOUR)
laws: st.SearchStrategy[Resistance] = st.one_of(
    st.floats(0.008, 0.015).map(Manning), st.floats(1e-6, 1e-4).map(Darcy)
)


@st.composite
def lines(draw: st.DrawFn, lowest: float = -0.01, highest: float = 0.05, pieces: int = 3) -> Line:
    stretches = tuple(
        Stretch(draw(st.floats(0.1, 8.0)), draw(st.floats(lowest, highest)))
        for _ in range(draw(st.integers(1, pieces)))
    )
    length = sum(s.length for s in stretches)
    inflows = tuple(
        Inflow(share * length, draw(flows))
        for share in draw(st.lists(st.floats(0, 1), min_size=1, max_size=12))
    )
    return Line(Circular(draw(st.floats(0.02, 0.12))), draw(laws), stretches, inflows)


def _bed(slope: float, flow: float = 1200, holes: int = 12, **changes: object) -> Line:
    inflows = tuple(
        Inflow((i + 0.5) * 6 / holes, flow / holes * LITRES_PER_HOUR) for i in range(holes)
    )
    line = Line(Circular(0.052), Manning(0.010), (Stretch(6.0, slope),), inflows)
    return replace(line, **changes)  # type: ignore[arg-type]


def _equal(one: Profile, other: Profile) -> bool:
    return all(
        np.array_equal(getattr(one, name), getattr(other, name))
        for name in ("distance", "depth", "flow", "state")
    )


@FEW
@given(lines(), st.floats(-0.1, 0.3))
def test_every_number_of_a_profile_is_finite_and_depths_are_in_the_pipe_or_flagged(
    line: Line, tail: float
) -> None:
    profile = drain_profile(line, tail)
    for values in (
        profile.depth, profile.level, profile.fill, profile.velocity, profile.froude, profile.flow
    ):  # fmt: skip
        assert np.all(np.isfinite(values))
    assert np.all(profile.depth >= 0)
    assert profile.surcharged == bool(np.any(profile.depth >= line.section.height))
    assert 0 <= profile.volume <= pi / 4 * line.section.height**2 * line.length * (1 + 1e-9)
    assert profile.rim_margin is not None
    assert isinstance(profile.regime, Regime)


@FEW
@given(lines())
def test_flow_grows_hole_by_hole_to_the_sum_of_the_inflows(line: Line) -> None:
    profile = drain_profile(line)
    assert profile.flow[-1] == pytest.approx(line.flow, rel=1e-12, abs=1e-18)
    for at, flow in zip(profile.distance, profile.flow, strict=True):
        before = sum(i.flow for i in line.inflows if i.distance < at)
        through = sum(i.flow for i in line.inflows if i.distance <= at)
        assert before - 1e-12 <= flow <= through + 1e-12


@FEW
@given(lines(), st.floats(0, 0.2), st.randoms(use_true_random=False))
def test_order_of_the_inflows_in_the_file_changes_nothing(line, tail, random) -> None:
    shuffled = list(line.inflows)
    random.shuffle(shuffled)
    other = drain_profile(replace(line, inflows=tuple(shuffled)), tail)
    first = drain_profile(line, tail)
    assert np.array_equal(first.distance, other.distance)
    # Holes at one place are summed in the order of their flows, so even those agree.
    assert np.array_equal(first.depth, other.depth)


@FEW
@given(lines(highest=0.006), st.floats(1.01, 3.0), st.floats(0, 0.1))
def test_more_flow_in_every_hole_never_lowers_the_fullest_depth_while_no_water_shoots(
    line: Line, factor: float, tail: float
) -> None:
    less, more = drain_profile(line, tail), drain_profile(line.scaled(factor), tail)
    assume(np.all(more.state >= 0))
    assert np.max(more.depth) >= np.max(less.depth) * (1 - 1e-6)


@pytest.mark.parametrize("slope", [0.0, 0.004, 0.008, 0.012, 0.02])
@pytest.mark.parametrize("holes", [6, 12, 60])
def test_more_flow_never_lowers_the_fullest_depth_of_an_even_bed(slope: float, holes: int) -> None:
    # From about 4 % on a stronger flow may shoot past a hole above which a weaker one piles up.
    depths = [
        float(np.max(drain_profile(_bed(slope, flow, holes)).depth))
        for flow in np.geomspace(50, 6000, 40)
    ]
    assert np.all(np.diff(depths) >= 0)


def test_shooting_water_may_push_a_jump_out_so_that_more_flow_stands_lower() -> None:
    # The exception to the rule: a steep pipe into standing water. A small flow jumps up to the
    # level outside within the pipe, a strong one shoots out under it.
    pipe = (Circular(0.09375), Darcy(1e-6), (Stretch(1.0, 0.047),))
    weak = drain_profile(Line(*pipe, (Inflow(0.0, 1.5e-4),)), 0.035)
    strong = drain_profile(Line(*pipe, (Inflow(0.0, 4.5e-4),)), 0.035)
    assert weak.regime is Regime.JUMPING or weak.state[-1] > 0
    assert strong.state[-1] < 0
    assert np.max(strong.depth) < np.max(weak.depth)


@FEW
@given(lines(), st.floats(0.001, 0.02), st.floats(1.05, 3.0))
def test_more_fall_along_the_whole_line_never_raises_the_head_of_a_free_outfall(
    line: Line, slope: float, factor: float
) -> None:
    gentle = drain_profile(with_slope(line, slope))
    steep = drain_profile(with_slope(line, slope * factor))
    assert steep.depth[0] <= gentle.depth[0] * (1 + 1e-6) + 1e-9


@FEW
@given(lines(), st.floats(0.0, 0.15), st.floats(0.001, 0.1))
def test_higher_water_outside_never_lowers_the_water_inside(
    line: Line, tail: float, rise: float
) -> None:
    # To 0.2 %: the march's own error in films of a millimetre, where the surface bends within one
    # step (ten times the steps bring the two to 1e-12 of each other).
    low, high = drain_profile(line, tail), drain_profile(line, tail + rise)
    assert np.all(high.depth >= low.depth * (1 - 2e-3) - 1e-9)


@FEW
@given(lines(lowest=0.0), st.floats(0.0, 0.2))
def test_holes_keep_the_force_of_the_water_where_they_do_not_control(
    line: Line, tail: float
) -> None:
    profile = drain_profile(line, tail)
    section = line.section
    for i in np.nonzero(np.diff(profile.distance) == 0)[0]:
        if profile.state[i] > 0 and profile.state[i + 1] > 0 and profile.flow[i] > 0:
            force = []
            for k in (i, i + 1):
                area, _, _, moment = section.elements(float(profile.depth[k]))
                force.append(profile.flow[k] ** 2 / (9.80665 * area) + moment)
            assert force[0] == pytest.approx(force[1], rel=1e-7)


@given(st.floats(0.0, 0.1))
def test_still_water_stands_level_over_a_dip(tail: float) -> None:
    line = _bed(0.01, 0.0, stretches=(Stretch(3.0, 0.01), Stretch(3.0, -0.005)))
    profile = drain_profile(line, tail)
    wet = profile.depth > 0
    assert np.allclose(profile.level[wet], max(tail, 0.0), rtol=0, atol=1e-12)
    assert profile.depth_at(3.0) == pytest.approx(0.015 + tail)
    assert profile.regime is Regime.DRY


def test_regimes_in_words() -> None:
    assert drain_profile(_bed(0.001)).regime is Regime.FREE
    assert drain_profile(_bed(0.001), 0.04).regime is Regime.DROWNED
    assert drain_profile(_bed(0.006, 4000)).regime is Regime.FULL
    assert drain_profile(_bed(0.02)).regime is Regime.JUMPING
    assert drain_profile(_bed(0.02, holes=1)).regime is Regime.STEEP_END
    last = (Stretch(6.0, 0.001), Stretch(1.0, 0.05))
    assert drain_profile(_bed(0.001, stretches=last)).regime is Regime.STEEP_END
    top = (Inflow(0.0, 1e-4), Inflow(3.0, 1e-6))
    assert drain_profile(_bed(0.05, inflows=top)).regime is Regime.SHOOTING


def test_water_outside_below_critical_depth_leaves_the_outfall_free() -> None:
    free = drain_profile(_bed(0.001))
    for tail in (-0.2, 0.0, float(free.critical_depth[-1]) * 0.99):
        assert _equal(drain_profile(_bed(0.001), tail), free)


def test_discrete_holes_control_at_less_fall_than_a_spread_inflow_would() -> None:
    # Below a hole the water quickens to critical once the fall passes the uniform critical slope
    # (0.6 % here), and must pile up again at the next. A spread inflow controls from 1.155 % on.
    assert drain_profile(_bed(0.005)).controls == ()
    assert drain_profile(_bed(0.010)).controls[0] < 3.0
    few = drain_profile(_bed(0.011, holes=12)).controls[0]
    many = drain_profile(_bed(0.011, holes=100)).controls[0]
    assert few < many


def test_a_line_through_unequal_stretches_does_not_depend_on_how_they_are_cut() -> None:
    whole = drain_profile(_bed(0.004))
    cut = drain_profile(_bed(0.004, stretches=(Stretch(2.0, 0.004), Stretch(4.0, 0.004))))
    assert cut.depth_at(0) == pytest.approx(whole.depth_at(0), rel=1e-4)


def test_mirrored_runs_into_one_collector_are_equal() -> None:
    run = _bed(0.005, 600)
    collector = Line(Circular(0.0773), Manning(0.010), (Stretch(4.0, 0.005),), ())
    both = collector_profiles(
        collector, (Branch(run, 1.0, 0.01), Branch(run, 1.0, 0.01)), tail_depth=0.02
    )
    left, right = both.branches
    assert _equal(left.profile, right.profile)
    assert both.profile.flow[-1] == pytest.approx(2 * run.flow)


def test_collector_holds_up_a_run_that_enters_low_and_not_one_that_drops_in() -> None:
    run = _bed(0.002, 600)
    collector = Line(Circular(0.0407), Manning(0.010), (Stretch(4.0, 0.002),), ())
    drained = collector_profiles(collector, (Branch(run, 0.5, 0.0), Branch(run, 0.5, 0.1)))
    low, high = drained.branches
    assert low.profile.regime is Regime.DROWNED
    assert low.profile.depth[-1] == pytest.approx(drained.profile.depth_at(0.5))
    assert high.profile.regime is Regime.FREE


def test_a_branch_collects_further_branches() -> None:
    run = _bed(0.005, 300)
    middle = Branch(run, 1.0, 0.05, (Branch(run, 2.0, 0.05), Branch(run, 3.0, 0.05)))
    collector = Line(Circular(0.0773), Manning(0.010), (Stretch(4.0, 0.005),), ())
    drained = collector_profiles(collector, (middle,))
    assert drained.profile.flow[-1] == pytest.approx(3 * run.flow)
    assert drained.branches[0].profile.flow[-1] == pytest.approx(3 * run.flow)
    assert len(drained.branches[0].branches) == 2


def test_margins_name_the_hole_with_the_least_room() -> None:
    line = _bed(0.001)
    profile = drain_profile(line)
    assert profile.rim_margin is not None
    deepest = max(line.inflows, key=lambda i: profile.depth_at(i.distance))
    assert profile.rim_margin.distance == deepest.distance
    assert profile.tip_margin is None
    tipped = replace(line, inflows=(*line.inflows[:-1], replace(line.inflows[-1], tip=0.02)))
    margin = drain_profile(tipped).tip_margin
    assert margin is not None
    assert margin.distance == line.inflows[-1].distance
    assert margin.margin == pytest.approx(0.02 - profile.depth_at(margin.distance))


@settings(max_examples=15, deadline=None)
@given(lines(lowest=0.0005), st.floats(0.3, 0.95))
def test_largest_flow_just_meets_the_limit(line: Line, fill: float) -> None:
    assume(line.flow > 0)
    found = largest_flow(line, fill)
    assert found is not None
    assert found.factor is not None
    assert found.flow == pytest.approx(line.flow * found.factor)
    if found.factor > 0:
        assert excess(drain_profile(line.scaled(found.factor * 0.999)), fill).height < 0
        assert excess(drain_profile(line.scaled(found.factor * 1.001)), fill).height > 0


def test_largest_flow_names_what_stops_it() -> None:
    line = _bed(0.005)
    found = largest_flow(line, 0.5)
    assert found is not None
    assert found.limit is Limit.FILL
    tips = tuple(replace(i, tip=0.02) for i in line.inflows)
    tipped = largest_flow(replace(line, inflows=tips), 0.9)
    assert tipped is not None
    assert tipped.limit is Limit.TIP
    assert tipped.flow < found.flow
    drowned = largest_flow(line, 0.5, tail_depth=0.04)
    assert drowned is not None
    assert drowned.flow == 0
    assert largest_flow(replace(line, inflows=())) is None


def test_largest_flow_of_a_dry_line_shares_alike() -> None:
    dry, wet = largest_flow(_bed(0.005, 0.0), 0.5), largest_flow(_bed(0.005), 0.5)
    assert dry is not None
    assert wet is not None
    assert dry.factor is None
    assert dry.flow == pytest.approx(wet.flow, rel=1e-5)


@pytest.mark.parametrize("holes", [6, 12, 60])
def test_smallest_fall_works_and_a_little_less_does_not(holes: int) -> None:
    line = _bed(0.0, holes=holes)
    fall = smallest_fall(line, 0.55)
    assert fall is not None
    assert 0 < fall < 0.05
    assert excess(drain_profile(with_slope(line, fall * 1.001)), 0.55).height <= 0
    assert excess(drain_profile(with_slope(line, fall * 0.99)), 0.55).height > 0


def test_smallest_fall_is_none_where_none_helps_and_level_where_level_works() -> None:
    assert smallest_fall(_bed(0.01), 0.5, tail_depth=0.04) is None
    assert smallest_fall(_bed(0.01, 100), 0.5) == 0.0


def test_no_fall_lowers_the_water_above_a_hole_that_brings_nearly_all_the_flow() -> None:
    # Its water comes in without momentum, so the force at critical depth below it holds the still
    # water above it at about 1.6 times critical depth, however steep the pipe.
    line = _bed(0.05, holes=1)
    profile = drain_profile(line)
    assert 1.5 < profile.depth_at(3.0) / profile.critical_depth[-1] < 1.7
    assert smallest_fall(line, 0.55) is None


def test_smallest_fall_may_leave_the_return_path_as_it_is() -> None:
    stretches = (Stretch(6.0, 0.0), Stretch(2.0, 0.02))
    line = _bed(0.0, stretches=stretches)
    fall = smallest_fall(line, 0.55, stretches={0})
    assert fall is not None
    assert fall > 0


def test_time_to_empty_is_near_that_of_stepping_the_storage_by_hand() -> None:
    line = _bed(0.005)
    found = time_to_empty(line)
    assert found.standing == 0
    start = drain_profile(line).volume
    volume, seconds, factor = start, 0.0, 1.0
    while volume > 0.05 * start:
        factor *= 0.98
        less = drain_profile(line.scaled(factor)).volume
        seconds += (volume - max(less, 0.05 * start)) / (line.flow * factor / 0.98**0.5)
        volume = less
    assert found.seconds == pytest.approx(seconds, rel=0.03)


def test_a_rising_pipe_keeps_standing_water() -> None:
    line = _bed(-0.002)
    found = time_to_empty(line)
    middles = (np.arange(6000) + 0.5) / 1000
    area = Circular(0.052).areas(0.002 * (6 - middles))
    assert found.standing == pytest.approx(float(np.sum(area)) / 1000, rel=0.01)
    assert time_to_empty(_bed(0.005, 0.0)).seconds == 0


def test_nonsense_is_refused_in_a_sentence() -> None:
    with pytest.raises(ValueError, match="bore of the drain"):
        Circular(0.0)
    with pytest.raises(ValueError, match="length of more than 0"):
        _bed(0.0, stretches=())
    with pytest.raises(ValueError, match="inflow"):
        _bed(0.0, inflows=(Inflow(1.0, float("nan")),))
    with pytest.raises(ValueError, match="fall"):
        _bed(float("nan"))
    with pytest.raises(ValueError, match="level at the outlet"):
        drain_profile(_bed(0.0), float("nan"))
