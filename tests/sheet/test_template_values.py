"""Templates as they come from a design: one for runs that are alike, and plain words."""

from dataclasses import replace

from designer.analysis import analyse
from designer.model import edits
from designer.model.design import Design
from designer.sheet.paper import A4
from designer.sheet.pdf_pages import Imprint, pages_pdf
from designer.sheet.template import KIND_WORDS, Printing, Template
from designer.sheet.template_pages import template_pages
from designer.sheet.template_tiles import HoleStrip, strip_heading
from designer.sheet.template_values import drain_strip, manifold_strip, runs_alike, templates_of
from designer.sketch import Answers, sketch
from tests.sheet.page_marks import read_marks
from tests.sheet.test_build_sheet import pdf_of, words_of


def two_runs() -> Design:
    design = sketch(Answers(buckets=60))
    assert len(design.runs) == 2
    return design


def strips_of(design: Design) -> list[HoleStrip]:
    analysis = analyse(design)
    alike = list(runs_alike(analysis))
    return [make(analysis, runs) for make in (drain_strip, manifold_strip) for runs in alike]


def test_runs_that_are_alike_share_their_strips() -> None:
    strips = strips_of(two_runs())
    found = templates_of(analyse(two_runs()))
    assert [template.kind for template in found.templates] == list(KIND_WORDS)
    assert found.problems == ()
    every = {bucket.id for run in two_runs().runs for bucket in run.buckets}
    assert all(template.buckets == every for template in found.templates)
    assert [strip.kind for strip in strips] == ["drain", "manifold"]
    for strip in strips:
        assert "for runs 1 and 2" in strip.title
        assert "Print it once: it is the same for Run 1 and Run 2." in strip.note
        assert [hole.letter for hole in strip.holes][:2] == ["A", "B"]


def test_a_run_with_a_hole_elsewhere_has_strips_of_its_own() -> None:
    design = two_runs()
    moved = edits.move_buckets(design, [design.runs[1].buckets[0].id], 3.0)
    strips = strips_of(moved)
    assert [strip.kind for strip in strips] == ["drain"] * 2 + ["manifold"] * 2
    assert [strip.holes[0].letter for strip in strips] == ["1A", "2A", "1A", "2A"]


def test_the_manifold_ends_in_one_word_and_is_punched_not_sawn() -> None:
    drain, manifold = strips_of(sketch(Answers(buckets=4)))
    words = " ".join(strip_heading(manifold, "metric").steps)
    words += strip_heading(manifold, "metric").caution + strip_heading(manifold, "metric").subtitle
    assert "Lay the strip along the tube, punch through each cross, pull the paper off." in words
    assert "plugged end" in words
    assert "capped end" not in words
    assert "saw" not in words
    assert "let the saw do the work" in strip_heading(drain, "metric").caution
    pages = [
        page
        for page in pdf_of(analyse(sketch(Answers(buckets=4)))).pages
        if page.extract_text().startswith("Manifold strip")
    ]
    assert pages
    assert "capped" not in words_of(pages)
    assert A4.name in words_of(pages)


def test_only_the_kinds_asked_for_are_made_and_only_their_problems_told() -> None:
    design = sketch(Answers(buckets=4))
    run = design.runs[0]
    wide = edits.set_run(design, run.id, outlet=replace(run.outlet, pipe=run.drain.pipe))
    usual = templates_of(analyse(wide), ["outlet", "drain"])
    assert [template.kind for template in usual.templates] == ["outlet", "drain"]
    assert usual.problems == ()
    saddle = templates_of(analyse(wide), ["saddle"])
    assert saddle.templates == ()
    (problem,) = saddle.problems
    assert "is as wide as the one it should stand on" in problem


def test_buckets_of_another_crop_have_a_lid_of_their_own() -> None:
    design = sketch(Answers(buckets=4))
    run = design.runs[0]
    buckets = (replace(run.buckets[0], crop="pepper"), *run.buckets[1:])
    mixed = edits.set_run(design, run.id, buckets=buckets)
    lids = templates_of(analyse(mixed), ["lid"]).templates
    assert [template.title for template in lids] == [
        "Lid: 20 L bucket, 2 plants",
        "Lid: 20 L bucket, 1 plant",
    ]
    assert lids[0].buckets == {run.buckets[0].id}
    assert lids[1].buckets == {bucket.id for bucket in run.buckets[1:]}


def test_a_hole_in_the_lid_that_was_set_wins_over_the_crop_s() -> None:
    design = sketch(Answers(buckets=4))
    (before,) = templates_of(analyse(design), ["lid"]).templates
    set_by_hand = edits.set_run(design, design.runs[0].id, plant_hole=82.0)
    (after,) = templates_of(analyse(set_by_hand), ["lid"]).templates
    said = [_pages_of([template]) for template in (before, after)]
    assert "plant: 51 mm" in said[0]
    assert "The plant's hole: the collar or net pot of a seedling" in said[0]
    assert "plant: 82 mm" in said[1]
    assert "The plant's hole" not in said[1]


def test_every_template_of_a_bed_that_must_be_mended_says_so() -> None:
    design = sketch(Answers(buckets=6))
    level = edits.set_run_part(design, design.runs[0].id, "drain", fall=-50.0)
    found = templates_of(analyse(level)).templates
    assert {template.kind for template in found} == set(KIND_WORDS)
    for template in found:
        assert "DO NOT DRILL YET" in _pages_of([template]), template.kind


def _pages_of(templates: list[Template]) -> str:
    imprint = Imprint("Templates", "drill templates", "2026-03-01", "mm")
    data = pages_pdf(template_pages(templates, Printing(A4, "metric")), imprint)
    return " ".join(page.said for page in read_marks(data).pages)
