"""The plan: things where they are, texts in the person's units, groups redrawn only if changed."""

from dataclasses import replace

import pytest
from hypothesis import given, settings

from designer.analysis import Analysis, analyse
from designer.drawing.frame import view_frame
from designer.drawing.part_places import plan_parts
from designer.drawing.picture import picture_scale
from designer.drawing.plan import plan_groups
from designer.drawing.records import Box, Circle, Group, Line, Record, Text, extent, text_box
from designer.drawing.styles import STYLES
from designer.model import edits
from designer.model.design import Design, Point
from designer.sketch import Answers, fresh_obstacle, sketch
from tests.beds import bed
from tests.strategies import designs


def groups(analysis: Analysis, scale: float = 10.0, run_id: str | None = None) -> dict[str, Group]:
    """Groups of the plan by key; a key comes once."""
    drawn = list(plan_groups(analysis, run_id, scale))
    assert len({group.key for group in drawn}) == len(drawn)
    return {group.key: group for group in drawn}


def records(drawn: dict[str, Group]) -> list[Record]:
    return [record for group in drawn.values() for record in group.build()]


def dimension_texts(drawn: dict[str, Group]) -> list[Text]:
    """Texts of the dimensions."""
    return [
        record
        for key, group in drawn.items()
        if key.startswith("dim:")
        for record in group.build()
        if isinstance(record, Text)
    ]


def overlap(a: Box, b: Box) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


@settings(max_examples=25)
@given(designs(max_runs=2))
def test_buckets_and_holes_are_drawn_where_they_are(design: Design) -> None:
    analysis = analyse(design)
    drawn = groups(analysis)
    view = view_frame(analysis, None)
    for bucket_id, (layout, place) in analysis.places.items():
        circles = [r for r in drawn[f"plan:{bucket_id}"].build() if isinstance(r, Circle)]
        (rim,) = [c for c in circles if c.style == "rim"]
        assert (rim.x, rim.y) == pytest.approx(view.to_view(place.x, place.y))
        assert rim.radius == place.part.rim_diameter / 2
        (hole,) = [c for c in circles if c.style == "elbow"]
        on_axis = layout.frame.at(place.bucket.station)
        assert (hole.x, hole.y) == pytest.approx(view.to_view(*on_axis))


@settings(max_examples=25)
@given(designs())
def test_every_style_exists_and_every_subject_is_in_the_design(design: Design) -> None:
    analysis = analyse(design)
    known = {"site", "reservoir"} | set(analysis.places)
    known |= {run.id for run in design.runs} | {o.id for o in design.obstacles}
    for run in design.runs or (None,):
        drawn = groups(analysis, 20.0, run.id if run else None)
        assert {r.style for r in records(drawn)} <= set(STYLES)
        assert {g.subject for g in drawn.values()} - {None} <= known


def test_the_active_run_lies_level_with_its_cap_to_the_right() -> None:
    design = edits.set_run(bed(6), "r1", heading=117.0, start=Point(500.0, -300.0))
    analysis = analyse(design)
    drawn = groups(analysis)
    holes = {
        key: next(r for r in group.build() if isinstance(r, Circle) and r.style == "elbow")
        for key, group in drawn.items()
        if key in {f"plan:b{n}" for n in range(1, 7)}
    }
    ys = [hole.y for hole in holes.values()]
    assert max(ys) - min(ys) < 1e-6
    assert holes["plan:b1"].x > holes["plan:b6"].x


def test_nothing_changed_keeps_every_token() -> None:
    a, b = groups(analyse(bed(8))), groups(analyse(bed(8)))
    assert {k: g.token for k, g in a.items()}.keys() == b.keys()
    first = analyse(bed(8))
    again = analyse(edits.set_design(first.design, notes="Nothing of this is drawn"), first)
    before, after = groups(first), groups(again)
    assert [k for k in before if before[k].token != after[k].token] == []


def test_a_moved_bucket_alone_is_drawn_anew() -> None:
    first = analyse(edits.move_buckets(bed(12), ["b5"], -7.0))
    moved = analyse(edits.move_buckets(first.design, ["b5"], -2.0), first)
    before, after = groups(first), groups(moved)
    assert before.keys() == after.keys()
    changed = {k for k in before if before[k].token != after[k].token}
    assert changed == {"plan:b5", "plan:b5/canopy", "dim:b5", "dim:r1/chain:1", "dim:r1/chain:2"}


def test_what_keeps_its_token_keeps_its_drawing() -> None:
    """A token that stays equal while the records differ would leave a stale drawing."""
    base = edits.add_obstacle(bed(6), fresh_obstacle(bed(6), "wall", Point(0.0, 1500.0)))
    first = analyse(base)
    before = groups(first)
    changes = [
        edits.move_buckets(base, ["b1"], 40.0),
        edits.move_buckets(base, ["b6"], -40.0),
        edits.flip_buckets(base, ["b3"]),
        edits.set_bucket(base, "b2", part="bucket-10-l"),
        edits.set_bucket(base, "b2", crop="squash"),
        edits.set_run(base, "r1", bucket="bucket-10-l", crop="bean", pitch=350.0),
        edits.set_run_part(base, "r1", "drain", pipe="pvc-110-mm"),
        edits.set_run_part(base, "r1", "outlet", nipple_length=220.0),
        edits.set_run_part(base, "r1", "outlet", pipe="pvc-25-mm", elbow="elbow-25-mm"),
        edits.set_run_part(base, "r1", "stand", rail="board-1x3", rails=2, supports=(0.0, 9.0)),
        edits.set_run_part(base, "r1", "manifold", offset=-90.0),
        edits.set_run_length(base, "r1", 2400.0),
        edits.move_reservoir(base, -300.0, 80.0),
        edits.set_reservoir(base, turn=30.0, part="tank-500-l"),
        edits.move_run(base, "r1", 300.0, 80.0),
        edits.set_obstacle(base, "o1", width=500.0, name="Shed"),
        edits.set_outline(base, [Point(-2e3, -2e3), Point(4e3, -2e3), Point(4e3, 2e3)]),
        edits.set_design(base, units="imperial"),
        edits.delete(base, [f"b{n}" for n in range(1, 7)]),
        edits.set_fall(base, "r1", -4.0),
    ]
    for design in changes:
        for previous in (first, None):
            after = groups(analyse(design, previous))
            for key in before.keys() & after.keys():
                if before[key].token == after[key].token:
                    assert before[key].build() == after[key].build(), key


def test_dimensions_speak_the_persons_units() -> None:
    metric = {t.text for t in dimension_texts(groups(analyse(bed(6))))}
    assert {"300 mm", "600 mm", "7 × 300 mm (= 2100 mm)"} <= metric
    inches = {t.text for t in dimension_texts(groups(analyse(bed(6, "imperial"))))}
    assert {"1' 0\"", "7 × 1' 0\" (= 7' 0\")"} <= inches
    assert not [text for text in inches if "mm" in text]


def test_distances_that_differ_are_a_chain_above_the_overall_length() -> None:
    moved = edits.move_buckets(bed(6), ["b3"], -70.0)
    said = [t.text for t in dimension_texts(groups(analyse(moved)))]
    for words in ("2 × 300 mm", "370 mm", "230 mm", "3 × 300 mm", "2100 mm"):
        assert said.count(words) == 1, words


@pytest.mark.parametrize("pitch", [100.0, 150.0, 250.0, 300.0, 450.0, 700.0, 1000.0])
@pytest.mark.parametrize("units", ["metric", "imperial"])
@pytest.mark.parametrize("count", [1, 8, 20])
def test_dimension_texts_do_not_overlap(pitch: float, units: str, count: int) -> None:
    design = bed(2, units)  # type: ignore[arg-type]
    design = edits.set_run(design, "r1", pitch=pitch)
    design = edits.set_run_length(design, "r1", pitch * (count + 1))
    design = edits.repeat_stagger(design, "r1", count)
    analysis = analyse(design)
    scale = picture_scale(analysis, "plan")
    texts = dimension_texts(groups(analysis, scale))
    assert texts
    boxes = [(text.text, text_box(text)) for text in texts]
    for i, (a, box) in enumerate(boxes):
        for b, other in boxes[i + 1 :]:
            assert not overlap(box, other), (a, b)


def test_a_number_left_out_for_room_still_has_its_tick() -> None:
    design = edits.set_bucket(bed(6), "b2", station=bed(6).runs[0].buckets[0].station - 10.0)
    drawn = groups(analyse(design), 10.0)
    ticks = drawn["dim:b2"].build()
    assert [r for r in ticks if isinstance(r, Line)]
    assert not [r for r in ticks if isinstance(r, Text)]


def test_a_fault_is_marked_by_shape_and_letter_and_not_by_colour_alone() -> None:
    design = edits.set_bucket(edits.set_fall(bed(4), "r1", 20.0), "b1", station=1400.0)
    design = edits.set_bucket(design, "b2", station=1390.0)
    drawn = groups(analyse(design))
    must = drawn["mark:b1"].build()
    look = drawn["mark:r1"].build()
    assert "!" in [r.text for r in must if isinstance(r, Text)]
    assert "?" in [r.text for r in look if isinstance(r, Text)]
    assert STYLES["must_ring"].dash != STYLES["look_ring"].dash
    assert drawn["mark:b1"].subject == "b1"


def test_each_run_of_several_is_numbered_before_its_letters() -> None:
    analysis = analyse(sketch(Answers(buckets=40)))
    drawn = groups(analysis)
    letters = [r.text for r in drawn["plan:b1"].build() if isinstance(r, Text)]
    assert letters == ["1A"]


def test_an_empty_design_is_an_empty_plan() -> None:
    assert records(groups(analyse(Design(title="")))) == []


def test_texts_grow_with_the_scale_and_things_do_not() -> None:
    analysis = analyse(bed(3))
    small, large = groups(analysis, 10.0), groups(analysis, 20.0)
    rim = [r for r in small["plan:b1"].build() if isinstance(r, Circle)][1]
    assert rim in large["plan:b1"].build()
    heights = [
        next(t.height for t in dimension_texts(drawn) if t.text == "300 mm")
        for drawn in (small, large)
    ]
    assert heights[1] == 2 * heights[0]
    assert replace(analysis.design) == analysis.design


def test_an_obstacles_badge_leaves_its_name_free() -> None:
    post = replace(fresh_obstacle(bed(4), "post", Point(600.0, 0.0)), width=100.0, depth=100.0)
    wall = replace(fresh_obstacle(bed(4), "wall", Point(600.0, 300.0)), id="o2", depth=120.0)
    for scale in (5.0, 10.0, 30.0):
        drawn = groups(analyse(replace(bed(4), obstacles=(post, wall))), scale)
        for subject in ("o1", "o2"):
            (name,) = (r for r in drawn[f"plan:{subject}"].build() if isinstance(r, Text))
            _, *sign = drawn[f"mark:{subject}"].build()
            box, badge = text_box(name), extent(sign)
            assert badge is not None
            assert badge[0] > box[2] or badge[3] < box[1]


def test_the_manifold_is_drawn_as_far_as_its_plug_at_the_capped_end() -> None:
    analysis = analyse(sketch(Answers(buckets=4)))
    (layout,) = analysis.runs
    view = view_frame(analysis, layout.run.id)
    (tube,) = groups(analysis)[f"plan:{layout.run.id}/feed"].build()
    assert isinstance(tube, Line)
    plug = view.to_view(*layout.frame.at(layout.run.length, layout.run.manifold.offset))
    assert tube.points[-1] == pytest.approx(plug)
    assert plug in [(part.x, part.y) for part in plan_parts(layout, view)]
