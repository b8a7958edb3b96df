"""The elevation: true levels under the plan's own x, and redrawn where anything changed."""

import pytest
from hypothesis import given, settings

from designer.analysis import Analysis, analyse
from designer.drawing.elevation import elevation_groups
from designer.drawing.picture import picture_groups, picture_svg
from designer.drawing.plan import plan_groups
from designer.drawing.records import Circle, Group, Line, Text, extent
from designer.drawing.styles import STYLES
from designer.model import edits
from designer.model.design import Design, Point
from tests.beds import bed
from tests.strategies import designs


def groups(analysis: Analysis, scale: float = 10.0, run_id: str | None = None) -> dict[str, Group]:
    """Groups of the elevation by key; a key comes once."""
    drawn = list(elevation_groups(analysis, run_id, scale))
    assert len({group.key for group in drawn}) == len(drawn)
    return {group.key: group for group in drawn}


def spread(lines: list[Line]) -> tuple[float, float, float, float]:
    """Left, bottom, right and top of some lines."""
    box = extent(list(lines))
    assert box is not None
    return box


def lines(group: Group, style: str) -> list[Line]:
    return [r for r in group.build() if isinstance(r, Line) and r.style == style]


@settings(max_examples=25)
@given(designs(max_runs=2))
def test_stations_project_straight_down_from_the_plan(design: Design) -> None:
    analysis = analyse(design)
    if not analysis.runs:
        return
    plan = {g.key: g for g in plan_groups(analysis, None, 10.0)}
    drawn = groups(analysis)
    for place in analysis.runs[0].places:
        bucket = place.bucket.id
        circles = [r for r in plan[f"plan:{bucket}"].build() if isinstance(r, Circle)]
        hole = next(circle for circle in circles if circle.style == "elbow")
        (tail,) = lines(drawn[f"elev:{bucket}/tail"], "tail")
        left, _, right, _ = spread([tail])
        assert (left + right) / 2 == pytest.approx(hole.x, abs=1e-3)
        own = drawn[f"elev:{bucket}"]
        body = lines(own, "bucket") + lines(own, "bucket_front")
        left, bottom, right, top = spread(body)
        assert (left + right) / 2 == pytest.approx(hole.x, abs=1e-3)
        assert bottom == pytest.approx(place.base)
        assert top == pytest.approx(place.base + place.part.height)


def test_levels_are_drawn_as_they_are() -> None:
    analysis = analyse(bed(6))
    layout, drawn = analysis.runs[0], groups(analysis)
    for place in layout.places:
        (tail,) = lines(drawn[f"elev:{place.bucket.id}/tail"], "tail")
        tip = min(y for _, y in tail.points)
        assert tip == pytest.approx(place.socket - layout.tail_length(place))
        assert layout.levels.invert(place.station) < tip < layout.levels.crown(place.station)
    (drain,) = lines(drawn["elev:r1/drain"], "drain")
    assert (layout.run.length, layout.levels.crown(layout.run.length)) in drain.points
    assert analysis.reservoir is not None
    _, floor, _, rim = spread(lines(drawn["elev:reservoir"], "reservoir"))
    assert (floor, rim) == (analysis.reservoir.floor_level, analysis.reservoir.rim_level)


def test_the_near_row_is_drawn_as_parts_before_the_section() -> None:
    drawn = groups(analyse(bed(2)))
    assert lines(drawn["elev:b1"], "bucket")
    assert lines(drawn["elev:b2"], "bucket_front")
    assert STYLES["bucket_front"].dash != STYLES["bucket"].dash


@settings(max_examples=25)
@given(designs())
def test_every_style_exists(design: Design) -> None:
    analysis = analyse(design)
    for run in design.runs:
        for group in groups(analysis, 20.0, run.id).values():
            assert {r.style for r in group.build()} <= set(STYLES)


def test_a_moved_bucket_alone_is_drawn_anew() -> None:
    first = analyse(bed(12))
    moved = analyse(edits.move_buckets(first.design, ["b5"], -7.0), first)
    before, after = groups(first), groups(moved)
    changed = {k for k in before if before[k].token != after[k].token}
    assert changed == {"elev:b5", "elev:b5/tail", "elev:b5/letter"}


def test_what_keeps_its_token_keeps_its_drawing() -> None:
    """A token that stays equal while the records differ would leave a stale drawing."""
    base = bed(6)
    first = analyse(base)
    before = groups(first)
    changes = [
        edits.move_buckets(base, ["b1"], 40.0),
        edits.set_bucket(base, "b1", part="bucket-10-l"),
        edits.flip_buckets(base, ["b3"]),
        edits.set_run(base, "r1", bucket="bucket-10-l", medium_depth=150.0),
        edits.set_run(base, "r1", return_fall=40.0),
        edits.set_run_part(base, "r1", "drain", pipe="pvc-110-mm", fall=60.0, packing=12.0),
        edits.set_run_part(base, "r1", "outlet", pipe="pvc-25-mm"),
        edits.set_run_part(base, "r1", "outlet", elbow="elbow-25-mm", height=90.0),
        edits.set_run_part(base, "r1", "stand", rail="board-1x3", follow_fall=True),
        edits.set_run_part(base, "r1", "stand", height=400.0, supports=(0.0, 900.0)),
        edits.set_tails(base, "r1", "common", 90.0),
        edits.set_tails(base, "r1", "graded"),
        edits.set_run_length(base, "r1", 2400.0),
        edits.move_reservoir(base, -300.0, 80.0),
        edits.set_reservoir(base, sunk=150.0, freeboard=120.0, low_water=60.0),
        edits.move_run(base, "r1", 300.0, 80.0),
        edits.set_design(base, units="imperial"),
        edits.delete(base, ["b1"]),
        edits.delete(base, [f"b{n}" for n in range(1, 7)]),
        edits.delete(base, ["reservoir"]),
    ]
    for design in changes:
        for previous in (first, None):
            after = groups(analyse(design, previous))
            for key in before.keys() & after.keys():
                if before[key].token == after[key].token:
                    assert before[key].build() == after[key].build(), key


@pytest.mark.parametrize(("units", "fall"), [("metric", "fall 30 mm"), ("imperial", 'fall 1 1/8"')])
def test_the_fall_is_told_in_the_persons_units(units: str, fall: str) -> None:
    drawn = groups(analyse(bed(8, units)))  # type: ignore[arg-type]
    texts = [r.text for r in drawn["dim:elev:r1"].build() if isinstance(r, Text)]
    assert any(text.startswith(fall) for text in texts)
    assert (units == "metric") == any(text.endswith("mm") for text in texts)


def test_a_bucket_at_fault_is_marked_here_too() -> None:
    design = edits.set_tails(bed(4), "r1", "common", 200.0)
    drawn = groups(analyse(design))
    for bucket in ("b1", "b4"):
        mark = drawn[f"mark:elev:{bucket}"]
        assert mark.subject == bucket
        assert "!" in [r.text for r in mark.build() if isinstance(r, Text)]


def test_there_is_nothing_to_see_without_a_run() -> None:
    assert groups(analyse(Design(title=""))) == {}
    assert "</svg>" in picture_svg(analyse(Design(title="")), "both")


def test_the_picture_puts_the_elevation_under_the_plan_at_the_same_stations() -> None:
    analysis = analyse(edits.set_run(bed(5), "r1", start=Point(700.0, 40.0)))
    drawn = {g.key: g for g in picture_groups(analysis, "both", None, 10.0)}
    plan = extent([r for k, g in drawn.items() if k.startswith("plan") for r in g.build()])
    below = extent([r for k, g in drawn.items() if k.startswith("elev") for r in g.build()])
    assert plan is not None
    assert below is not None
    assert below[3] < plan[1]
    hole = next(r for r in drawn["plan:b2"].build() if isinstance(r, Circle) and r.style == "elbow")
    left, _, right, _ = spread(lines(drawn["elev:b2/tail"], "tail"))
    assert (left + right) / 2 == pytest.approx(hole.x)


def test_a_badge_stands_above_the_rim_and_leaves_the_letter_free() -> None:
    design = edits.set_bucket(edits.set_fall(bed(4), "r1", 20.0), "b1", station=1400.0)
    analysis = analyse(edits.set_bucket(design, "b2", station=1390.0))
    marked = [i for i in ("b1", "b2", "b3", "b4") if i in analysis.marks]
    assert marked
    for scale in (5.0, 10.0, 30.0):
        drawn = groups(analysis, scale)
        for bucket in marked:
            _, place = analysis.places[bucket]
            box = extent(drawn[f"mark:elev:{bucket}"].build())
            assert box is not None
            assert box[1] > place.base + place.part.height


def test_two_letters_at_one_station_do_not_stand_on_each_other() -> None:
    design = bed(4)
    stations = {b.id: b.station for b in design.runs[0].buckets}
    moved = edits.move_buckets(design, ["b2"], stations["b1"] - stations["b2"])
    for scale in (5.0, 10.0, 30.0):
        plain, crowded = groups(analyse(design), scale), groups(analyse(moved), scale)
        texts = {}
        for name, drawn in (("plain", plain), ("crowded", crowded)):
            for bucket in ("b1", "b2"):
                (letter,) = drawn[f"elev:{bucket}/letter"].build()
                assert isinstance(letter, Text)
                texts[name, bucket] = letter
        assert abs(texts["plain", "b1"].y - texts["plain", "b2"].y) < 1
        behind, front = texts["crowded", "b1"], texts["crowded", "b2"]
        assert behind.y - front.y > (behind.height + front.height) / 2
        assert front.y - front.height / 2 > analyse(moved).places["b2"][1].base


def uneven(levels: tuple[float, ...], **stand: object) -> Analysis:
    """Twelve buckets with the ground as measured at each support, from the outlet end."""
    design = bed(12)
    assert len(design.runs[0].stand.supports) == len(levels)
    return analyse(edits.set_run_part(design, "r1", "stand", ground=levels, **stand))


FALLING = (0.0, -60.0, -180.0, -120.0, 40.0)


def test_the_ground_runs_through_the_levels_measured_at_the_supports() -> None:
    analysis = uneven(FALLING)
    run = analysis.runs[0].run
    drawn = groups(analysis)["elev:ground"]
    points = [point for line in lines(drawn, "ground") for point in line.points]
    origin = min(x for line in lines(groups(analysis)["elev:r1"], "rail") for x, _ in line.points)
    for station, level in zip(run.stand.supports, FALLING, strict=True):
        assert (pytest.approx(origin + station), pytest.approx(level)) in points
    assert [r.text for r in drawn.build() if isinstance(r, Text)] == ["level line"]


def test_level_ground_is_one_straight_line_at_the_datum() -> None:
    drawn = groups(analyse(bed(12)))["elev:ground"]
    assert {y for line in lines(drawn, "ground") for _, y in line.points} == {0.0}
    assert not [r for r in drawn.build() if isinstance(r, Text)]


@pytest.mark.parametrize("levels", [(0.0,) * 5, FALLING, (30.0, 90.0, -400.0, 0.0, -33.0)])
def test_each_stack_reaches_from_its_ground_to_the_rails(levels: tuple[float, ...]) -> None:
    """Blocks are drawn at their own height; packing fills up, and a stack that is too high is let
    into the ground."""
    analysis = uneven(levels)
    layout = analysis.runs[0]
    drawn = groups(analysis)["elev:r1"]
    high = layout.parts.block.height
    stacks: dict[float, list[tuple[float, float]]] = {}
    for line in lines(drawn, "block") + lines(drawn, "shim"):
        left, bottom, right, top = spread([line])
        stacks.setdefault(round((left + right) / 2, 3), []).append((bottom, top))
    assert len(stacks) == len(levels)
    for level, (_, boxes) in zip(levels, sorted(stacks.items()), strict=True):
        blocks = [box for box in boxes if box[1] - box[0] == pytest.approx(high)]
        assert blocks
        foot = min(bottom for bottom, _ in boxes)
        assert foot <= level + 1e-6
        under = [top for _, top in boxes if top <= layout.levels.block_top + 1.0]
        assert max(under) == pytest.approx(layout.levels.block_top, abs=1.0)
        if foot < level - 1e-6:
            assert all(top > level for _, top in blocks)


def test_rails_that_follow_the_fall_lie_on_shims_of_their_own() -> None:
    level, sloped = uneven(FALLING), uneven(FALLING, follow_fall=True)
    before = lines(groups(level)["elev:r1"], "shim")
    after = lines(groups(sloped)["elev:r1"], "shim")
    rise = sloped.runs[0].run.drain.fall
    assert len(after) > len(before)
    tops = [spread([line])[3] - sloped.runs[0].levels.block_top for line in after]
    assert max(tops) == pytest.approx(rise, abs=1.0)


def test_words_stand_below_the_ground_however_low_it_lies() -> None:
    analysis = uneven((0.0, 0.0, 0.0, -250.0, -300.0))
    said = [r for r in groups(analysis)["dim:elev:r1"].build() if isinstance(r, Text)]
    (fall,) = [r for r in said if r.text.startswith("fall ")]
    assert fall.y < -300.0


def test_a_step_of_a_drag_draws_neither_the_ground_nor_the_stacks_again() -> None:
    before = uneven(FALLING)
    after = analyse(edits.move_buckets(before.design, ["b1"], 5.0), before)
    one, two = groups(before), groups(after)
    for key in ("elev:ground", "elev:r1", "elev:r1/drain"):
        assert one[key].token == two[key].token


@settings(max_examples=25)
@given(designs(max_runs=2))
def test_the_ground_of_any_design_is_drawn_from_left_to_right(design: Design) -> None:
    analysis = analyse(design)
    if not analysis.runs:
        return
    for line in lines(groups(analysis)["elev:ground"], "ground"):
        xs = [x for x, _ in line.points]
        assert xs == sorted(xs)
        assert len(set(xs)) == len(xs)
