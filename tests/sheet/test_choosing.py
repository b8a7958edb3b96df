"""Templates and buckets by the names that people use."""

import pytest

from designer.analysis import analyse
from designer.sheet.choosing import buckets_named, kind_name, kinds_named
from designer.sheet.template import KIND_WORDS
from designer.sketch import Answers, sketch
from tests.beds import bed


def test_every_kind_has_a_plain_name_that_finds_it() -> None:
    for kind in KIND_WORDS:
        for name in (kind_name(kind), kind_name(kind).upper(), kind.replace("_", "-")):
            assert kinds_named(f" {name} ,") == {kind}
    assert kinds_named("outlet,drain collar") == {"outlet", "drain_collar"}
    assert kinds_named("all") == set(KIND_WORDS)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("lids", "There is no template 'lids'; did you mean lid"),
        ("outlet, qqq", "There is no template 'qqq'; choose from outlet, collar, lid"),
        (" , ", "Name a template; choose from outlet"),
    ],
)
def test_an_unknown_template_is_refused_in_words(words: str, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        kinds_named(words)


def test_buckets_go_by_the_letters_on_the_drawings() -> None:
    assert buckets_named(analyse(bed(6)), "a, F") == {"b1", "b6"}
    two = analyse(sketch(Answers(buckets=60)))
    (found,) = buckets_named(two, "2b")
    assert two.bucket_label(found) == "2B"


def test_an_unknown_bucket_is_refused_in_words() -> None:
    with pytest.raises(ValueError, match="There is no bucket 'Z'; the bed has A to F"):
        buckets_named(analyse(bed(6)), "A,Z")
    with pytest.raises(ValueError, match="Name a bucket"):
        buckets_named(analyse(bed(6)), "")
