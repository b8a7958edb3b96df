"""What pictures show, in words, agrees with what they draw."""

from dataclasses import replace

from designer.analysis import analyse
from designer.drawing.section_plane import section_of
from designer.sheet.picture_words import section_in_words
from designer.sheet.words import length
from tests.beds import bed


def test_the_words_of_a_section_tell_of_the_bucket_that_is_cut() -> None:
    design = bed(6)
    run = design.runs[0]
    other = next(
        part.id
        for part in analyse(design).catalogue.parts.values()
        if type(part).__name__ == "BucketPart" and part.id != run.buckets[0].part
    )
    first = replace(run.buckets[0], part=other)
    run = replace(run, buckets=(first, *run.buckets[1:]))
    analysis = analyse(replace(design, runs=(run,)))
    section = section_of(analysis, run.id)
    assert section is not None
    assert section.place.bucket.id != first.id
    away = section.place.assembly.bucket_axis
    assert away != analysis.places[first.id][1].assembly.bucket_axis
    said = section_in_words(analysis, analysis.runs, "Section X–X")
    assert f"its middle {length(away, 'metric')} beside the drain's" in said
