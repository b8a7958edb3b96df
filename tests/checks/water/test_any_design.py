"""Whatever is designed, the rules of the water answer in full, and their remedies work."""

from collections import Counter

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from designer.analysis import Analysis, analyse_fully
from designer.model import edits
from designer.model.design import Design, Reservoir, Water
from designer.model.file import format_design, parse_design
from tests.beds import texts
from tests.checks.test_any_design import NO_NUMBER, disturbed, owners
from tests.strategies import designs, reservoirs, waters

OPEN = "Open the feed of every bucket"
ALWAYS = {"pump-lifts", "drain-room", "outlets-pass", "drain-back", "pump-covered", "siphon-break"}
"""Rules that speak of every bed with a reservoir and a bucket."""


def check(design: Design) -> Analysis:
    """Solve, and look at every finding of the water and at what is missing."""
    analysis = analyse_fully(design)
    assert analysis.water_current
    if analysis.water is None:
        assert analysis.water_findings == ()
        return analysis
    for found in analysis.water_findings:
        for text in (found.title, found.measured, found.needed, found.why, found.source):
            assert text
        assert found.subjects
        assert not (found.state == "good" and found.remedies)
        for case in found.cases:
            assert set(case.subjects) <= set(found.subjects)
    for text in texts(analysis.water_findings):
        assert not NO_NUMBER.search(text), text
    states = {found.rule: found.state for found in analysis.water_findings}
    assert set(states) >= ALWAYS
    feed = analysis.water.feed
    assert (states["pump-lifts"] == "good") == feed.lifts
    least = analysis.catalogue.limit("bucket_flow_low")
    starved = [
        place.bucket.id
        for layout in analysis.runs
        for place in layout.places
        if place.bucket.feed is None and feed.low_flows[place.bucket.id] < least
    ]
    if starved:
        assert "must_fix" in (states["pump-lifts"], states.get("every-bucket-fed"))
    return analysis


def try_remedies(design: Design, tally: Counter[tuple[str, bool]]) -> None:
    """Apply every remedy; each gives another design that can be saved, and mends its rule."""
    for found in check(design).water_findings:
        for remedy in found.remedies:
            after = remedy.apply(design)
            assert after != design, remedy.label
            written = format_design(after)
            assert format_design(parse_design(written)) == written
            solved = check(after)
            if remedy.label == OPEN:  # whether the pump then lifts is another question
                assert solved.water is not None
                assert solved.water.feed.open_flows
                continue
            still = [
                other
                for other in solved.water_findings
                if other.rule == found.rule
                and other.state != "good"
                and owners(after, other) & owners(design, found)
            ]
            tally[found.rule, not still] += 1


def nearly_all_work(tally: Counter[tuple[str, bool]]) -> None:
    """Nineteen of twenty, and one: a remedy may meet another trouble of the same rule."""
    worked = sum(n for (_, works), n in tally.items() if works)
    failed = {rule: n for (rule, works), n in tally.items() if not works}
    assert worked >= 19 * (sum(failed.values()) - 1), failed


def test_any_design_is_judged_and_its_remedies_work() -> None:
    tally: Counter[tuple[str, bool]] = Counter()

    @settings(max_examples=30, suppress_health_check=list(HealthCheck))
    @given(designs(max_runs=2, max_buckets=5), reservoirs())
    def each(design: Design, reservoir: Reservoir) -> None:
        try_remedies(edits.place_reservoir(design, reservoir), tally)

    each()
    nearly_all_work(tally)


def test_any_disturbed_sketch_is_judged_and_its_remedies_work() -> None:
    tally: Counter[tuple[str, bool]] = Counter()

    @settings(max_examples=30, suppress_health_check=list(HealthCheck))
    @given(disturbed(), waters(), st.data())
    def each(design: Design, water: Water, data: st.DataObject) -> None:
        draw = data.draw
        design = edits.set_design(design, water=water)
        pumps = ("pump-tiny", "pump-medium", "pump-12000")
        if draw(st.booleans()):
            design = edits.set_reservoir(
                design,
                pump=draw(st.sampled_from(pumps)),
                bypass=draw(st.sampled_from([0.0, 0.1, 1.0])),
                siphon_break=draw(st.booleans()),
            )
        if draw(st.booleans()):
            design = edits.set_run_part(
                design, "r1", "manifold",
                tube=draw(st.sampled_from(["tube-6-mm", "tube-16-mm", "tube-1-in"])),
                valve=draw(st.sampled_from([0.02, 0.3, 1.0])),
                emitter=draw(st.sampled_from([None, "emitter-4-l-h"])),
            )  # fmt: skip
        try_remedies(design, tally)

    each()
    nearly_all_work(tally)
