"""Rules of what stands on the rails and what the rails stand on: bases, stacks, soil, tipping, and
lifting."""

from collections.abc import Iterator

from designer.checks.finding import Case, Finding, Remedy
from designer.checks.situation import judged
from designer.checks.stand.remedies import lower, more_supports, two_rails_a_side
from designer.checks.stand.situation import CAUTION, StandSituation
from designer.model import edits
from designer.model.design import Design
from designer.stand.bed.record import StandResult
from designer.stand.lifting import LOAD_CONSTANT
from designer.stand.loads import GRAVITY
from designer.stand.support import push_to_tip


def base_on_rails(s: StandSituation) -> Iterator[Finding]:
    """Every bucket's base really on its rails."""
    layout = s.stand.layout
    if not layout.places:
        return
    share, cover = s.catalogue.limit("base_margin"), s.catalogue.limit("base_cover")
    cases: list[Case] = []
    falls = False
    for place in layout.places:
        foot = s.stand.footings[place.bucket.id]
        least = share * place.part.base_diameter
        margin, strip = foot.margin * 1000, foot.cover * 1000
        who = (place.bucket.id,)
        if not foot.stands:
            falls = True
            text = "its middle hangs out over its rails" if strip else "no rail under it"
            cases.append(Case(who, text, "a rail under each side of its middle"))
        elif margin < least - 1e-6:
            text = f"stands only {s.say(s.down(margin))} either side of its middle"
            cases.append(Case(who, text, s.at_least(least)))
        elif strip < min(cover, s.stand.section.breadth * 1000) - 1e-6:
            text = f"catches only {s.say(s.down(strip))} of a rail"
            cases.append(Case(who, text, s.at_least(cover)))
        elif place.bucket.id in s.stand.off_rail:
            cases.append(Case(who, "reaches over the end of the rails", "all of its base on them"))
    margins = [foot.margin * 1000 for foot in s.stand.footings.values()]
    pushes = [
        push_to_tip(
            s.stand.weights.bucket(place.bucket.id) * GRAVITY,
            s.stand.footings[place.bucket.id].margin,
            place.part.height / 1000,
        )
        for place in layout.places
    ]
    yield judged(
        "bucket-on-rails",
        "Every bucket stands on its rails",
        "must_fix" if falls else "look_again",
        s.id,
        cases,
        f"{len(cases)} buckets do not stand well"
        if cases
        else f"rails reach at least {s.say(min(margins))} either side of each bucket's middle; "
        f"{s.force(min(pushes))} at its rim tips the easiest over",
        f"at least {share:.0%} of the base's diameter either side of its middle",
        f"{s.catalogue.limits['base_margin'].why} {CAUTION}",
        s.catalogue.source("base_margin"),
        _onto_rails(s) if cases else (),
    )


def _onto_rails(s: StandSituation) -> list[Remedy]:
    share = s.catalogue.limit("base_margin")
    diameters = {p.bucket.id: p.part.base_diameter / 1000 for p in s.stand.layout.places}

    def holds(r: StandResult) -> bool:
        return not r.off_rail and all(
            foot.margin >= share * diameters[bucket] for bucket, foot in r.footings.items()
        )

    remedies = two_rails_a_side(s, holds)
    if s.stand.off_rail:
        remedies.append(_along(s))
    return remedies


def _along(s: StandSituation) -> Remedy:
    """Slide the buckets that reach over an end back onto the rails."""
    moved: dict[str, float] = {}
    for place in s.stand.layout.places:
        if place.bucket.id in s.stand.off_rail:
            radius, length = place.part.base_diameter / 2, s.stand.layout.run.length
            near = s.up(radius)
            moved[place.bucket.id] = min(max(place.station, near), max(length - near, length / 2))

    def apply(design: Design) -> Design:
        for bucket_id, station in moved.items():
            design = edits.set_bucket(design, bucket_id, station=station)
        return design

    return Remedy("Slide the buckets onto the rails", apply)


def stacks(s: StandSituation) -> Iterator[Finding]:
    """Stacks of blocks not too high, nor too high for their width."""
    tallest = s.stand.tallest
    if tallest is None:
        return
    width = s.stand.layout.parts.block.width
    most = min(s.catalogue.limit("stack_height"), s.catalogue.limit("stack_slenderness") * width)
    high = tallest.stack.top
    bad = high > most + 1e-6
    courses = "1 course" if tallest.blocks == 1 else f"{tallest.blocks} courses"
    text = (
        f"{courses}, {s.say(high)} high, {high / width:.1f} times the width, "
        f"{s.at(tallest.station)}"
    )

    def holds(r: StandResult) -> bool:
        return r.tallest is not None and r.tallest.stack.top <= most

    yield judged(
        "stack-height",
        "No stack of blocks too high",
        "look_again",
        s.id,
        [Case((s.id,), text, s.at_most(most))] if bad else [],
        text,
        s.at_most(most),
        f"{s.catalogue.limits['stack_height'].why} {CAUTION}",
        f"{s.catalogue.source('stack_height')}; {s.catalogue.source('stack_slenderness')}",
        lower(s, holds) if bad else (),
    )


def soil(s: StandSituation) -> Iterator[Finding]:
    """The ground under the stacks bears them."""
    if not s.stand.supports:
        return
    kind = s.stand.layout.run.stand.soil
    limit = s.catalogue.limit(f"soil_{kind}")
    worst = max(s.stand.supports, key=lambda support: support.pressure)
    bad = worst.pressure > limit
    named = "ground not stated, taken as firm" if kind == "unknown" else kind
    text = f"{s.pressure(worst.pressure)} under the stack {s.at(worst.station)}"

    def holds(r: StandResult) -> bool:
        return all(support.pressure <= limit for support in r.supports)

    yield judged(
        "soil-bears",
        "The ground bears the stacks",
        "look_again" if kind == "unknown" else "must_fix",
        s.id,
        [Case((s.id,), text, f"at most {s.pressure(limit)} ({named})")] if bad else [],
        text,
        f"at most {s.pressure(limit)} ({named})",
        f"{s.catalogue.limits[f'soil_{kind}'].why} {CAUTION}",
        s.catalogue.source(f"soil_{kind}"),
        more_supports(s, holds) if bad else (),
    )


def tips(s: StandSituation) -> Iterator[Finding]:
    """The stand does not tip over, one side full and the other empty, pulled or blown on."""
    found = s.stand.tipping
    if found is None or len(s.stand.supports) < 2:
        return  # the latter told by the rules of the rails
    needed = s.catalogue.limit("tipping_ratio")
    bad = found.ratio < needed
    moments = f"{s.moment(found.resisting)} against {s.moment(found.overturning)}"
    text = (
        f"{found.ratio:.1f} to 1 over the {found.edge}, {found.case}: {moments}"
        if found.overturning > 0
        else "nothing tips it, one side full and the other empty included"
    )

    def holds(r: StandResult) -> bool:
        return r.tipping is not None and r.tipping.ratio >= needed

    def remedies() -> list[Remedy]:
        at_an_end = found.edge.endswith("end")
        wider = more_supports(s, holds) if at_an_end else two_rails_a_side(s, holds)
        return [*lower(s, holds), *wider]

    yield judged(
        "stand-tipping",
        "The stand does not tip over",
        "must_fix" if found.ratio < 1 else "look_again",
        s.id,
        [Case((s.id,), text, f"at least {needed:g} to 1")] if bad else [],
        text,
        f"at least {needed:g} to 1",
        f"{s.catalogue.limits['tipping_ratio'].why} {CAUTION}",
        s.catalogue.source("tipping_ratio"),
        remedies() if bad else (),
    )


def lifting(s: StandSituation) -> Iterator[Finding]:
    """A note on lifting a wet bucket; a fault only beyond what anyone should lift."""
    lift = s.stand.lift
    if lift is None:
        return
    text = f"the heaviest bucket weighs {s.mass(lift.mass)} wet"
    if lift.mass > lift.limit:
        text += "; lift it by two, or take water and plant out first"
    heavy = lift.mass > LOAD_CONSTANT
    needed = f"at most {s.mass(lift.limit)} here, and never over {s.mass(LOAD_CONSTANT)}, alone"
    yield judged(
        "bucket-lifting",
        "Lifting a wet bucket",
        "look_again",
        lift.bucket_id,
        [Case((lift.bucket_id,), text, needed)] if heavy else [],
        text,
        needed,
        "Most people hurt their back sooner or later by lifting more than this.",
        "revised NIOSH lifting equation, NIOSH 94-110 (second-hand)",
    )
