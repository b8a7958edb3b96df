"""Words of a drawing are read: gaps in lines, badges aside, names apart."""

from hypothesis import given
from hypothesis import strategies as st
from shapely import box

from designer.drawing.marks import BADGES, badge
from designer.drawing.records import Circle, Line, Record, Text, extent, text_box
from designer.sheet.clear_words import clear_words
from designer.sheet.name_places import named_apart

WORDS = Text(100.0, 100.0, "300 mm", 10.0)


def gaps(records: list[Record]) -> list[Record]:
    return [record for record in records if record.style == "gap"]


def test_words_are_on_top_and_a_line_through_them_is_interrupted() -> None:
    line = Line(((0.0, 100.0), (200.0, 100.0)), "dimension")
    drawn = clear_words([WORDS, line])
    assert drawn[0] == line
    assert drawn[-1] == WORDS
    (gap,) = gaps(drawn)
    assert box(*(extent([gap]) or ())).covers(box(*text_box(WORDS)))


def test_a_line_beside_words_or_under_a_bucket_is_not_interrupted() -> None:
    beside = Line(((0.0, 80.0), (200.0, 80.0)), "dimension")
    under = Line(((0.0, 100.0), (200.0, 100.0)), "rail")
    bucket = Circle(100.0, 100.0, 60.0, "rim")
    assert not gaps(clear_words([WORDS, beside, under, bucket]))
    assert len(gaps(clear_words([WORDS, bucket, under]))) == 1


def test_upright_words_are_cleared_as_they_stand() -> None:
    upright = WORDS._replace(angle=90.0)
    across = Line(((80.0, 120.0), (120.0, 120.0)), "dimension")
    assert len(gaps(clear_words([upright, across]))) == 1
    assert not gaps(clear_words([WORDS, across]))


@given(st.lists(st.tuples(st.floats(60, 140), st.floats(60, 140)), max_size=8))
def test_badges_stand_off_words_and_off_each_other(places: list[tuple[float, float]]) -> None:
    records: list[Record] = [WORDS]
    for x, y in places:
        records += badge(x, y, "must_fix", 2.0)
    drawn = [record for record in clear_words(records) if record.style in BADGES]
    assert len(drawn) == 2 * len(places)
    shapes = [box(*(extent([shape]) or ())) for shape in drawn[::2]]
    for i, shape in enumerate(shapes):
        assert not shape.intersects(box(*text_box(WORDS)))
        assert not any(shape.intersects(other) for other in shapes[:i])
    for shape, sign in zip(shapes, drawn[1::2], strict=True):
        assert shape.contains(box(*text_box(sign)).centroid)  # type: ignore[arg-type]


def thing(x: float, y: float, name: str) -> list[Record]:
    corners = ((x - 3, y - 3), (x + 3, y - 3), (x + 3, y + 3), (x - 3, y + 3))
    return [Line(corners, "post", True), Text(x, y + 10.0, name, 8.0)]


def test_names_of_things_that_stand_close_are_put_apart() -> None:
    posts = [thing(x, 0.0, f"Post {i}") for i, x in enumerate((0.0, 12.0, 24.0, 36.0))]
    letter = Text(0.0, 10.0, "A", 8.0, "letter")
    placed = named_apart(posts, [letter])
    names = [record for one in placed for record in one if isinstance(record, Text)]
    assert [name.text for name in names] == ["Post 0", "Post 1", "Post 2", "Post 3"]
    boxes = [box(*text_box(word)) for word in (letter, *names)]
    for i, one in enumerate(boxes):
        assert not any(one.intersects(other) for other in boxes[:i])


def test_a_name_that_is_clear_stays_where_it_was_put() -> None:
    post = thing(0.0, 0.0, "Post")
    assert named_apart([post], []) == [post]
