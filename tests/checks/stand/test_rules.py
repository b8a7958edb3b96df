"""Every rule of the stand: where it reads Good, where not, what it says, and its remedies."""

from collections.abc import Callable
from dataclasses import dataclass, replace

import pytest
from hypothesis import given, settings

from designer.analysis import analyse
from designer.checks.finding import Finding, State
from designer.checks.stand import STAND_RULES, stand_findings
from designer.checks.stand.situation import CAUTION, StandSituation
from designer.model import edits
from designer.model.design import Design
from designer.model.file import format_design, parse_design
from designer.stand.bed.solution import solve_stand
from designer.units import UnitSystem
from tests.beds import bed, texts
from tests.checks.test_any_design import NO_NUMBER
from tests.strategies import designs

Spoil = Callable[[Design], Design]


def all_findings(design: Design) -> list[Finding]:
    analysis = analyse(design)
    stands = [solve_stand(design, layout, analysis.catalogue) for layout in analysis.runs]
    return stand_findings(design, stands, analysis.catalogue)


def of(design: Design, rule: str) -> Finding | None:
    return next((found for found in all_findings(design) if found.rule == rule), None)


def stand(**values: object) -> Spoil:
    return lambda design: edits.set_run_part(design, "r1", "stand", **values)


def bucket(bucket_id: str, **values: object) -> Spoil:
    return lambda design: edits.set_bucket(design, bucket_id, **values)


@dataclass(frozen=True)
class Wrong:
    """A change that makes one rule speak up, what it must then say, and its remedies' labels."""

    rule: str
    spoil: Spoil
    state: State
    says: tuple[str, ...]
    remedies: tuple[str, ...] = ()


LONG_FLAT = {"on_edge": False, "supports": (0.0, 2100.0)}
WRONG = [
    # metric bed of six: run 2100 long, supports at 0, 1050, 2100; C16 45 x 70 on edge, blocks 190
    Wrong("rails-held", stand(supports=(0.0,)), "must_fix",
          ("from 0 mm to 2100 mm from the capped end would tip",), ("Set 2 supports evenly",)),
    Wrong("rails-held", stand(supports=()), "must_fix", ("would tip",), ("Set 2 supports evenly",)),
    Wrong("rails-held", stand(supports=(900.0, 1200.0)), "must_fix",
          ("would tip, only the",), ("Move the supports apart evenly",)),
    Wrong("rails-graded", stand(rail="board-1x3"), "look_again", ("1x3 board: not stress graded",),
          ("Use 45 x 70 mm planed timber on edge for the rails",)),
    Wrong("rails-bending", stand(bucket_weight=60.0, **LONG_FLAT), "must_fix",
          ("N/mm²", "% of what is allowed", "load taken 1.35 times"),
          ("Set 3 supports evenly", "Use 45 x 95 mm planed timber on edge for the rails")),
    Wrong("rails-shear", stand(bucket_weight=300.0), "must_fix",
          ("at most 1.23 N/mm²",),
          ("Set 5 supports evenly", "Use 45 x 120 mm planed timber on edge for the rails")),
    Wrong("rails-bearing", stand(rail="board-1x3", bucket_weight=500.0), "must_fix",
          ("at most 0.85 N/mm²",),
          ("Set 6 supports evenly", "Use 45 x 70 mm planed timber on edge for the rails")),
    # 26 mm over a span of 2100 is 1/80 of it; 1/240 is 8.75
    Wrong("rails-sag", stand(**LONG_FLAT), "must_fix",
          ("8.7 mm at first, 26.2 mm after years, 1/80 of the span", "at most 8.8 mm, 1/240"),
          ("Set 3 supports evenly", "Use 45 x 95 mm planed timber on edge for the rails")),
    Wrong("rails-sag", stand(supports=(0.0, 2100.0), bucket_weight=13.7), "look_again",
          ("after years",),
          ("Set 3 supports evenly", "Use 45 x 95 mm planed timber on edge for the rails")),
    Wrong("bucket-on-rails", stand(rails=2), "look_again",
          ("6 buckets do not stand well", "stands only 22 mm either side"),
          ("Lay two rails a side",)),
    Wrong("bucket-on-rails", bucket("b1", station=2000.0), "look_again",
          ("reaches over the end of the rails",), ("Slide the buckets onto the rails",)),
    Wrong("stack-height", stand(height=1100.0), "look_again",
          ("5 courses, 1030 mm high, 5.4 times the width", "at most 760 mm"),
          ("Lower the stand 270 mm",)),
    Wrong("soil-bears", stand(bucket_weight=110.0), "look_again",
          ("kPa under the stack 1050 mm from the capped end", "at most 72 kPa"),
          ("Set 4 supports evenly",)),
    Wrong("soil-bears", stand(bucket_weight=110.0, soil="clay"), "must_fix",
          ("(clay)",), ("Set 4 supports evenly",)),
    Wrong("stand-tipping", stand(pull=900.0), "must_fix",
          ("over the left side, bed dried out", "at least 1.5 to 1")),
    Wrong("stand-tipping", stand(rails=2, pull=500.0), "look_again",
          ("to 1 over the left side",), ("Lay two rails a side",)),
    Wrong("stand-tipping", stand(supports=(500.0, 800.0), pull=150.0), "must_fix",
          ("0.6 to 1 over the capped end",), ("Move the supports apart evenly",)),
    Wrong("stand-tipping", stand(pull=600.0), "look_again", ("to 1 over the", "N m against")),
    Wrong("bucket-lifting", lambda d: edits.set_run(d, "r1", medium="coir"), "look_again",
          ("24 kg wet", "never over 23 kg")),
]  # fmt: skip


@pytest.mark.parametrize("wrong", WRONG, ids=lambda w: w.rule)
def test_a_rule_speaks_up_with_numbers_and_working_remedies(wrong: Wrong) -> None:
    design = wrong.spoil(bed(6))
    found = of(design, wrong.rule)
    assert found is not None
    assert found.state == wrong.state
    said = " ".join(texts([found]))
    for text in wrong.says:
        assert text in said
    assert tuple(remedy.label for remedy in found.remedies) == wrong.remedies
    for remedy in found.remedies:
        after = remedy.apply(design)
        assert format_design(parse_design(format_design(after))) == format_design(after)
        mended = of(after, wrong.rule)
        if mended is None:  # a board without a published value is spoken of by one rule only
            mended = of(after, "rails-graded")
            assert mended is not None
            assert mended.state == "look_again"
        else:
            assert mended.state == "good", remedy.label


@pytest.mark.parametrize("units", ["metric", "imperial"])
@pytest.mark.parametrize("count", [1, 2, 6, 20])
def test_a_sketched_bed_stands(units: str, count: int) -> None:
    design = bed(count, units)  # type: ignore[arg-type]
    found = all_findings(design)
    assert [f.rule for f in found if f.state != "good"] == []
    assert len(found) == len(STAND_RULES)


def test_every_rule_of_strength_defers_to_codes_and_licensed_people() -> None:
    for found in all_findings(bed(2)):
        if found.rule != "bucket-lifting":
            assert CAUTION in found.why
        assert found.source


def test_a_board_that_no_table_knows_is_never_good() -> None:
    """However light the load: nothing about its strength can be proven."""
    for weight in (2.0, 500.0):
        design = stand(rail="board-1x3", bucket_weight=weight)(bed(6, "imperial"))
        rails = [f for f in all_findings(design) if f.rule.startswith("rails-")]
        assert {f.state for f in rails if f.rule != "rails-held"} <= {"look_again", "must_fix"}
        assert of(design, "rails-graded").state == "look_again"  # type: ignore[union-attr]


def test_a_turned_rail_keeps_its_blocks_and_cuts_tails_to_fit() -> None:
    design = stand(on_edge=False, supports=(0.0, 2100.0), bucket_weight=5.0)(bed(6))
    found = of(design, "rails-sag")
    assert found is not None
    turn = next(r for r in found.remedies if r.label == "Turn the rails on edge")
    after = turn.apply(design)
    before = analyse(design).runs[0].levels.block_top
    assert analyse(after).runs[0].levels.block_top == pytest.approx(before)
    assert after.runs[0].stand.height == design.runs[0].stand.height + 25


def test_more_supports_keep_the_ground_they_stand_on() -> None:
    design = stand(supports=(0.0, 2100.0), on_edge=False, ground=(0.0, -90.0))(bed(6))
    found = of(design, "rails-sag")
    assert found is not None
    after = found.remedies[0].apply(design).runs[0].stand
    assert after.supports == (0, 1050, 2100)
    assert after.ground == (0, -45, -90)


@pytest.mark.parametrize(
    ("units", "mm", "words"),
    [
        ("imperial", 0.05, "under 0.01 in"),
        ("imperial", 0.3, "0.01 in"),
        ("imperial", 2.54, "0.10 in"),
        ("metric", 0.04, "under 0.1 mm"),
        ("metric", 1.26, "1.3 mm"),
        ("metric", 0.0, "0.0 mm"),
    ],
)
def test_a_sag_too_small_to_tell_is_never_said_to_be_nothing(
    units: UnitSystem, mm: float, words: str
) -> None:
    design = bed(2, units)
    analysis = analyse(design)
    solved = solve_stand(design, analysis.runs[0], analysis.catalogue)
    assert StandSituation(design, solved, analysis.catalogue).sag(mm) == words


def test_imperial_findings_speak_pounds_and_inches() -> None:
    said = " ".join(texts(all_findings(bed(6, "imperial"))))
    for word in (" psi", " lb/ft²", " lb ft", " in after years", " lb wet"):
        assert word in said
    assert "N/mm²" not in said
    assert "kPa" not in said


@settings(max_examples=20)
@given(designs(max_runs=2))
def test_any_design_is_judged_in_words_without_nan(design: Design) -> None:
    own = tuple(replace(part, name="Part") for part in design.own_parts)
    for found in all_findings(replace(design, own_parts=own)):
        for text in texts([found]):
            assert text
            assert not NO_NUMBER.search(text), text
        if found.state == "good":
            assert not found.remedies
        for case in found.cases:
            assert set(case.subjects) <= set(found.subjects)
