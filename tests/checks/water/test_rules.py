"""Each rule of the water: Good on a sketched bed, not Good when its trouble is made, with the
numbers in the finding, and mended by every remedy in one step that can be undone."""

from collections.abc import Callable
from dataclasses import dataclass, replace

import pytest

from designer.analysis import analyse_fully
from designer.checks.finding import Finding
from designer.model import edits
from designer.model.design import Design
from designer.model.file import format_design, parse_design
from designer.model.history import History
from designer.units import UnitSystem
from tests.beds import bed
from tests.water.bed.solved import stretched, two_runs


def found(design: Design, rule: str) -> list[Finding]:
    return [f for f in analyse_fully(design).water_findings if f.rule == rule]


def text(design: Design, rule: str) -> str:
    """What the findings of a rule that are not Good say of what is."""
    return " / ".join(f.measured for f in found(design, rule) if f.state != "good")


@dataclass(frozen=True)
class Fault:
    """What makes a rule not Good, and what its finding then says; `remedies` are how many ways
    are offered at least."""

    rule: str
    state: str
    make: Callable[[Design], Design]
    says: str
    needs: str
    remedies: int = 1


def stand(height: float) -> Callable[[Design], Design]:
    return lambda d: edits.set_stand_height(d, "r1", height)


def reservoir(**values: object) -> Callable[[Design], Design]:
    return lambda d: edits.set_reservoir(d, **values)


def manifold(**values: object) -> Callable[[Design], Design]:
    return lambda d: edits.set_run_part(d, "r1", "manifold", **values)


def shut(design: Design) -> Design:
    every = [b.id for b in design.runs[0].buckets]
    return edits.change_buckets(design, every, lambda b: replace(b, feed="tied_off"))


def uneven(design: Design) -> Design:
    strong = edits.set_reservoir(design, pump="pump-medium")
    return edits.set_run_part(strong, "r1", "manifold", tube="tube-6-mm", feed_length=150.0)


FAULTS = {
    # 700 mm of rails and 328 mm of medium, low water at -280 mm: 1308 mm; this pump lifts 1200 mm
    "a stand over the pump's reach": Fault(
        "pump-lifts", "must_fix", stand(700.0), "lifts 1.20 m at most", "more than the 1.31 m"
    ),
    "a bypass that takes all": Fault(
        "pump-lifts", "must_fix", reservoir(bypass=1.0), "runs back by the bypass", "0.87 m"
    ),
    "every feed tied off": Fault(
        "pump-lifts", "must_fix", shut, "the feed of every bucket is shut", "one that is open"
    ),
    "far too much pump": Fault(
        "pump-range", "look_again", reservoir(pump="pump-12000"), "% of its best", "30% to 140%"
    ),
    "emitters on a pump": Fault(
        "pump-range", "look_again",
        lambda d: edits.set_reservoir(manifold(emitter="emitter-8-l-h")(d), pump="pump-medium"),
        "% of its best flow", "30% to 140%",
    ),
    # 588 mm of lift at -280 mm and some: the pump of 1200 mm gives the buckets a trickle
    "a stand just within reach": Fault(
        "every-bucket-fed", "must_fix", stand(590.0), "at low water", "at least 4 L/h"
    ),
    "a manifold as thin as its feed tubes": Fault(
        "uniformity", "look_again", uneven, "% emission uniformity", "at least 80 %"
    ),
    "a thin manifold for much water": Fault(
        "feed-velocity", "look_again",
        lambda d: edits.set_run_part(edits.set_reservoir(d, pump="pump-12000"), "r1", "manifold",
                                     tube="tube-6-mm"),
        "m/s", "at most 1.50 m/s", 0,
    ),
    "a thin drain for much water": Fault(
        "drain-room", "must_fix",
        lambda d: edits.set_run_part(
            edits.set_reservoir(
                edits.set_run_part(d, "r1", "manifold", feed_tube="tube-16-mm"), pump="pump-12000"
            ), "r1", "drain", pipe="pvc-25-mm"),
        "full", "at most 60% full",
    ),
    "a reservoir that drowns the outfall": Fault(
        "drain-room", "look_again", reservoir(sunk=190.0, freeboard=5.0),
        "held up by the reservoir's water", "at most 60% full",
    ),
    "much water through small outlets": Fault(
        "outlets-pass", "must_fix",
        lambda d: edits.set_run_part(
            edits.set_reservoir(manifold(feed_tube="tube-16-mm", feed_length=200.0)(d),
                                pump="pump-12000"), "r1", "outlet", height=340.0),
        "6 outlets too small", "less than 243 L/h to a bucket",
    ),
    "a reservoir filled to the brim": Fault(
        "drain-back", "must_fix", reservoir(freeboard=0.0), "over the rim", "at least 15 mm"
    ),
    "a reservoir filled too high": Fault(
        "drain-back", "look_again", reservoir(freeboard=15.0), "leaving", "at least 15 mm"
    ),
    "low water that leaves the pump dry": Fault(
        "pump-covered", "must_fix", reservoir(low_water=10.0), "of water over the floor",
        "at least 40 mm",
    ),
    "a fortnight between top-ups": Fault(
        "top-up", "look_again", lambda d: edits.set_water(d, top_up_days=14.0),
        "76.6 L last 5.6 days at 13.8 L a day", "at least 14 days",
    ),
    # on the ground the full level is at 320 mm; rails at 100 mm and 100 mm of medium: 200 mm
    "tubes that end below the full reservoir": Fault(
        "siphon-break", "must_fix",
        lambda d: edits.set_run(
            edits.set_reservoir(stand(100.0)(d), sunk=0.0, siphon_break=False), "r1",
            medium_depth=100.0),
        "a feed tube ends 120 mm below the full reservoir", "air hole",
    ),
    "a longer power cut to live through": Fault(
        "reserve", "look_again", lambda d: edits.set_water(d, reserve_hours=16.0),
        "14.8 hours in the hottest part of the day", "at least 16 hours",
    ),
}  # fmt: skip


@pytest.mark.parametrize("units", ["metric", "imperial"])
@pytest.mark.parametrize("count", [1, 2, 6, 12])
def test_every_rule_of_the_water_is_good_on_a_sketched_bed(count: int, units: UnitSystem) -> None:
    said = analyse_fully(bed(count, units)).water_findings
    assert [f.rule for f in said if f.state != "good"] == []
    rules = {fault.rule for fault in FAULTS.values()}
    assert {f.rule for f in said} == (rules if count > 1 else rules - {"uniformity"})


@pytest.mark.parametrize("name", FAULTS)
def test_a_fault_is_found_with_its_numbers(name: str) -> None:
    fault = FAULTS[name]
    (one,) = found(fault.make(bed(6)), fault.rule)
    said = " ".join([one.measured, *(case.measured for case in one.cases)])
    assert one.state == fault.state
    assert fault.says in said
    assert fault.needs in one.needed
    assert len(one.remedies) >= fault.remedies, said
    assert one.why
    assert one.source


@pytest.mark.parametrize("units", ["metric", "imperial"])
@pytest.mark.parametrize("name", FAULTS)
def test_each_remedy_mends_its_rule_in_one_step(name: str, units: UnitSystem) -> None:
    fault = FAULTS[name]
    design = fault.make(bed(6, units))
    for one in found(design, fault.rule):
        for remedy in one.remedies:
            mended = remedy.apply(design)
            assert [f.measured for f in found(mended, fault.rule) if f.state != "good"] == []
            written = format_design(mended)
            assert format_design(parse_design(written)) == written
            history = History(design)
            assert history.push(mended, remedy.label)
            assert history.undo()
            assert history.present == design


@pytest.mark.parametrize("name", FAULTS)
def test_imperial_texts_have_no_metric_unit(name: str) -> None:
    for one in analyse_fully(FAULTS[name].make(bed(6, "imperial"))).water_findings:
        said = [one.measured, one.needed]
        for case in one.cases:
            said += [case.measured, case.needed]
        words = " ".join(said).replace(",", " ").replace(";", " ").split()
        assert not {"mm", "m", "L", "L/h", "m/s", "cm"} & set(words), said


def test_a_bypass_does_not_hide_a_dry_bed() -> None:
    """Water runs, all of it back; the pump's finding says so and nothing else calls it good."""
    design = edits.set_reservoir(stand(2000.0)(bed(3)), bypass=0.5)
    said = {f.rule: f.state for f in analyse_fully(design).water_findings}
    assert said["pump-lifts"] == "must_fix"
    assert not {"pump-range", "every-bucket-fed", "uniformity", "feed-velocity"} & set(said)


def test_a_pump_that_lifts_only_from_a_full_reservoir_does_not_lift() -> None:
    """Full at -60 mm and low water at -280 mm: 1.2 m of head reach 1140 and 920 mm."""
    design = stand(600.0)(bed(6))  # tubes end at 928 mm
    (one,) = found(design, "pump-lifts")
    assert one.state == "must_fix"
    assert "0.93" not in one.measured
    assert "1.21 m to the buckets at low water" in one.needed


def test_one_starved_bucket_is_named() -> None:
    design = two_runs(lift=1100.0)
    (one,) = found(design, "every-bucket-fed")
    assert one.state == "must_fix"
    assert one.subjects == ("n1", "n2", "n3")
    assert {case.measured for case in one.cases} == {"0 L/h at low water"}


def test_a_tail_end_under_water_is_worse_than_a_full_pipe() -> None:
    """Both limits are passed; the tail's is the one that must be fixed."""
    design = edits.set_tails(stretched(6), "r1", "common", 112.0)
    (one,) = found(design, "drain-room")
    assert one.state == "must_fix"
    assert "over a tail's end" in one.measured


def test_a_tail_on_the_bottom_of_a_dry_drain_is_not_under_water() -> None:
    design = edits.set_tails(shut(bed(3)), "r1", "common", 200.0)
    (one,) = found(design, "drain-room")
    assert one.state == "good"


def test_an_air_hole_breaks_the_siphon() -> None:
    design = FAULTS["tubes that end below the full reservoir"].make(bed(2))
    mended = edits.set_reservoir(design, siphon_break=True)
    (one,) = found(mended, "siphon-break")
    assert (one.state, one.measured) == ("good", "an air hole breaks the siphon")


def test_a_typed_use_is_not_put_down_to_a_paper() -> None:
    (one,) = found(edits.set_water(bed(2), plant_use=1.0), "top-up")
    assert "FAO" not in one.source
    assert "FAO" in found(bed(2), "top-up")[0].source


@pytest.mark.parametrize(
    ("rule", "says"),
    [
        ("pump-lifts", "from memory"),
        ("pump-range", "from memory"),
        ("every-bucket-fed", "from memory"),
        ("uniformity", "second-hand"),
        ("feed-velocity", "from memory"),
        ("drain-room", "excerpt"),
        ("outlets-pass", "from memory"),
        ("drain-back", "from memory"),
        ("pump-covered", "from memory"),
        ("top-up", "Kc second-hand"),
        ("siphon-break", "common practice, no source"),
        ("reserve", "from memory"),
    ],
)
def test_how_sure_a_source_is_stands_beside_it(rule: str, says: str) -> None:
    (one,) = found(bed(3), rule)
    assert says in one.source


def test_a_pump_measured_by_the_grower_is_its_own_source() -> None:
    design = bed(3)
    pump = analyse_fully(design).reservoir.pump  # type: ignore[union-attr]
    own = edits.keep_own_part(design, replace(pump, head_at_no_flow=1.0))
    (one,) = found(own, "pump-covered")
    assert "measured by the grower" in one.source
