"""Rules of the rails: held, graded, bending, shear, bearing, sag."""

from collections.abc import Callable, Iterator

from designer.checks.finding import Case, Finding, Remedy, State
from designer.checks.situation import judged
from designer.checks.stand.remedies import more_supports, next_board, stiffer
from designer.checks.stand.situation import CAUTION, StandSituation
from designer.stand.bed.record import RailResult, StandResult, Stress

METHODS = {
    "nds": "NDS allowable stress design, values second-hand, wet and permanent load",
    "ec5": "EN 1995-1-1 on EN 338:2016 classes, second-hand and from memory, service class 3",
}
Pick = Callable[[RailResult], Stress | None]


def held(s: StandSituation) -> Iterator[Finding]:
    """Every piece of every rail safely on two supports."""
    length = s.stand.layout.run.length
    loose = [piece for rail in s.stand.rails for piece in rail.loose]
    spans = {(piece.start, piece.end): piece.tips for piece in loose}
    yield judged(
        "rails-held",
        "Every piece of rail lies on two supports",
        "must_fix",
        s.id,
        [
            Case(
                (s.id,),
                f"the piece from {s.say(length - b)} to {s.at(a)} would tip, {case}",
                "two supports under it, nearer its ends",
            )
            for (a, b), case in spans.items()
        ],
        f"{len(spans)} pieces would tip" if spans else "no piece can tip",
        "a support under both ends of every piece, and joints over supports",
        f"A rail on one support, or loaded beyond its last one, tips and drops its buckets. "
        f"{CAUTION}",
        "statics of rails laid on blocks, not tied down",
        more_supports(s, lambda r: not any(rail.loose for rail in r.rails)) if spans else (),
    )


def graded(s: StandSituation) -> Iterator[Finding]:
    """Rails of a size and a grade for which a table states what they bear."""
    name, grade = s.stand.layout.parts.rail.name, s.stand.grade
    cases: list[Case] = []
    remedies: list[Remedy] = []
    if not s.stand.strength.graded:
        cases = [Case((s.id,), f"{name}: not stress graded", "a stress-graded size")]
        remedies = next_board(s, lambda r: r.strength.graded and _all_hold(s, r))
    yield judged(
        "rails-graded",
        "Rails of stress-graded timber",
        "look_again",
        s.id,
        cases,
        f"{name}, taken as {grade.name}",
        f"the grade mark of {grade.name} or better on the board",
        "No table states what a thin board bears, so nothing about it can be proven; the other "
        f"checks take it as if it were graded. {CAUTION}",
        str(grade.evidence["bending"]),
        remedies,
    )


def bending(s: StandSituation) -> Iterator[Finding]:
    """Bending of the rails."""
    yield from _stress(
        s,
        "rails-bending",
        "The rails are strong enough in bending",
        "bending",
        lambda rail: rail.bending,
        "A rail that is bent too far breaks under the wet bed.",
    )


def shear(s: StandSituation) -> Iterator[Finding]:
    """Shear of the rails."""
    yield from _stress(
        s,
        "rails-shear",
        "The rails are strong enough in shear",
        "shear",
        lambda rail: rail.shear,
        "A short, heavily loaded rail splits along its middle near a support.",
    )


def bearing(s: StandSituation) -> Iterator[Finding]:
    """Bearing of the rails on their blocks."""
    yield from _stress(
        s,
        "rails-bearing",
        "The rails are not crushed on their blocks",
        "bearing",
        lambda rail: rail.bearing,
        "Wet wood crushes where much weight presses on a narrow edge.",
    )


def _stress(
    s: StandSituation, rule: str, title: str, word: str, pick: Pick, why: str
) -> Iterator[Finding]:
    """One stress of all rails. A board without a published value never reads Good here."""
    found = [(rail, stress) for rail in s.stand.rails if (stress := pick(rail)) is not None]
    if not found:
        return  # told by `held`
    rail, worst = max(found, key=lambda one: one[1].ratio)
    bad = worst.ratio > 1
    if not bad and not s.stand.strength.graded:
        return  # told by `graded`
    effect = s.moment(abs(worst.effect)) if word == "bending" else s.force(abs(worst.effect))
    text = (
        f"{s.stress(worst.value)} from {effect}, {worst.ratio:.0%} of what is allowed, in the "
        f"{rail.name} rail {s.at(worst.station)}, {worst.case}"
    )
    factor = s.stand.strength.load_factor
    needed = f"at most {s.stress(worst.allowed)}"
    if factor != 1:
        needed += f", the load taken {factor:g} times"

    def holds(r: StandResult) -> bool:
        stresses = [pick(other) for other in r.rails]
        return all(x is not None and x.ratio <= 1 for x in stresses)

    yield judged(
        rule,
        title,
        "must_fix",
        s.id,
        [Case((s.id,), text, needed)] if bad else [],
        text,
        needed,
        f"{why} {CAUTION}",
        METHODS[s.stand.grade.method],
        stiffer(s, holds) if bad else (),
    )


def deflection(s: StandSituation) -> Iterator[Finding]:
    """Sag of the rails, at first and after years."""
    sags = [(rail, rail.sag) for rail in s.stand.rails if rail.sag is not None]
    if not sags:
        return
    rail, worst = min(sags, key=lambda one: one[1].span_over_sag)
    good, most = (s.catalogue.limit(f"span_over_sag{end}") for end in ("", "_most"))
    bad = worst.span_over_sag < good
    if not bad and not s.stand.strength.graded:
        return
    state: State = "must_fix" if worst.span_over_sag < most else "look_again"
    where = "overhang" if worst.overhang else "span"
    share = f"1/{min(worst.span_over_sag, 9999):.0f} of"
    text = (
        f"{s.sag(worst.first)} at first, {s.sag(worst.last)} after years, {share} the {where} "
        f"{s.at(worst.station)} in the {rail.name} rail, {worst.case}"
    )
    needed = f"at most {s.sag(worst.span / good)}, 1/{good:g} of the {where}"

    def holds(r: StandResult) -> bool:
        return all(x.sag is not None and x.sag.span_over_sag >= good for x in r.rails)

    yield judged(
        "rails-sag",
        "The rails hardly sag",
        state,
        s.id,
        [Case((s.id,), text, needed)] if bad else [],
        text,
        needed,
        f"{s.catalogue.limits['span_over_sag'].why} {CAUTION}",
        s.catalogue.source("span_over_sag"),
        stiffer(s, holds) if bad else (),
    )


def _all_hold(s: StandSituation, r: StandResult) -> bool:
    good = s.catalogue.limit("span_over_sag")
    return all(
        stress is not None and stress.ratio <= 1
        for rail in r.rails
        for stress in (rail.bending, rail.shear, rail.bearing)
    ) and all(rail.sag is not None and rail.sag.span_over_sag >= good for rail in r.rails)
