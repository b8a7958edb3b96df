"""What was neither measured nor published is to be measured before anything is drilled."""

from dataclasses import fields, replace

from designer.analysis import analyse
from designer.model import edits
from designer.model.design import Design
from designer.sheet.measure_yours import (
    UNSURE,
    measure_pages,
    parts_in_use,
    unsure_values,
    value_in_words,
)
from designer.sheet.paper import A4
from designer.sketch import Answers, sketch
from tests.sheet.test_build_sheet import pdf_of, words_of


def test_every_value_that_nobody_measured_is_listed_with_a_value_and_a_blank() -> None:
    analysis = analyse(sketch(Answers(buckets=4)))
    pages = [p for p in pdf_of(analysis).pages if p.extract_text().startswith("Measure yours")]
    text = words_of(pages).replace(" ", "")
    assert "Yours" in text
    found = unsure_values(analysis)
    assert sum(len(values) for _, values in found) > 20
    for part, values in found:
        assert all(word in text for word in part.name.replace(",", " ").split())
        for name, value, evidence in values:
            assert evidence.sure in UNSURE
            assert value_in_words(part, name, value, "metric").replace(" ", "") in text
            assert evidence.source[1:].replace(" ", "") in text


def test_published_and_measured_values_are_left_out() -> None:
    analysis = analyse(sketch(Answers(buckets=2)))
    listed = {(part.id, name) for part, values in unsure_values(analysis) for name, *_ in values}
    for part in parts_in_use(analysis):
        for one in fields(part):
            value = getattr(part, one.name)
            if isinstance(value, int | float) and value:
                sure = analysis.catalogue.evidence_of(part.id, one.name).sure
                assert ((part.id, one.name) in listed) == (sure in UNSURE)


def test_a_bucket_that_was_measured_is_not_asked_for_again() -> None:
    design = sketch(Answers(buckets=2))
    part = analyse(design).runs[0].parts.bucket
    own = replace(part, id="own-bucket", name="My bucket")
    design = edits.set_run(replace(design, own_parts=(own,)), "r1", bucket="own-bucket")
    assert part.id in {p.id for p, _ in unsure_values(analyse(sketch(Answers(buckets=2))))}
    assert "own-bucket" not in {p.id for p, _ in unsure_values(analyse(design))}


def test_a_design_without_parts_has_no_such_page() -> None:
    assert measure_pages(analyse(Design(title="")), A4) == []
