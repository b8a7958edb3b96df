"""Rules of the way back: drain and bucket outlets."""

from collections.abc import Callable, Iterator

from designer.checks.finding import Case, Finding, Remedy, State
from designer.checks.refit import refit_tails
from designer.checks.situation import judged
from designer.checks.water.feed import close_valves
from designer.checks.water.situation import WaterSituation
from designer.model import edits
from designer.model.design import Design
from designer.water.bed.drains import RunDrain
from designer.water.bed.feed import MM
from designer.water.drain import Regime
from designer.water.drain_limits import excess


def drain_room(s: WaterSituation) -> Iterator[Finding]:
    """Each drain with room above its water, no tail tip under water, not held up or full."""
    fill = s.catalogue.limit("drain_fill")
    for drain in s.water.drains.values():
        run = drain.layout.run
        over = excess(drain.profile, fill)
        tip, rim = drain.profile.tip_margin, drain.profile.rim_margin
        drowned = max(-tip.margin if tip else 0.0, 0.0)
        spills = rim is not None and rim.margin < -1e-6
        station, fullest = drain.fullest
        depth = fullest * drain.layout.parts.drain.bore
        text = (
            f"{fullest:.0%} full, {s.say(depth)} deep, "
            f"{s.say(run.length - station)} from the capped end"
        )
        held_up = drain.profile.regime is Regime.DROWNED
        bad = over.height > 1e-6 or drain.profile.surcharged or held_up
        state: State = "look_again"
        if drain.profile.surcharged or drowned > 1e-6 or spills:
            state = "must_fix"
        needed = f"at most {fill:.0%} full, below every tail"
        if drowned > 1e-6:
            text = f"water {s.say(s.up(drowned / MM))} over a tail's end; {text}"
        elif drain.profile.surcharged:
            text = f"the drain runs full; {text}"
        elif held_up:
            text = f"held up by the reservoir's water; {text}"
        yield judged(
            "drain-room",
            "The drain carries the water away",
            state,
            run.id,
            [Case((run.id,), text, needed)] if bad else [],
            f"{text}. {drain.profile.regime.value}",
            needed,
            s.catalogue.limits["drain_fill"].why,
            "spatially varied flow with an inflow at each hole; Novak et al., Hydraulic "
            f"Structures, Eq. 4.25 (excerpt); how full: {s.catalogue.source('drain_fill')}",
            _drain_remedies(s, drain, fill) if bad else (),
        )


def _drain_remedies(s: WaterSituation, drain: RunDrain, fill: float) -> list[Remedy]:
    run = drain.layout.run
    remedies = []
    fall = drain.smallest_fall(fill)
    if fall is not None:
        higher = s.up(fall + s.grain)
        if run.drain.fall < higher < run.drain.fall + 150:
            remedies.append(
                Remedy(
                    f"Raise the capped end {s.say(higher - run.drain.fall)}",
                    _then_refit(s, run.id, lambda d: edits.set_fall(d, run.id, higher)),
                )
            )
    wider = s.catalogue.wider_pipe(drain.layout.parts.drain)
    if wider is not None:
        remedies.append(
            Remedy(
                f"Use {wider.name} for the drain",
                _then_refit(
                    s,
                    run.id,
                    lambda d: edits.set_run_part(d, run.id, "drain", pipe=wider.id),
                ),
            )
        )
    return remedies


def _then_refit(
    s: WaterSituation, run_id: str, edit: Callable[[Design], Design]
) -> Callable[[Design], Design]:
    def apply(design: Design) -> Design:
        return refit_tails(edit(design), run_id, s.catalogue)

    return apply


def outlets_pass(s: WaterSituation) -> Iterator[Finding]:
    """Every bucket's outlet passes its flow without the bucket filling up."""
    buckets = list(s.water.buckets.values())
    cases = [
        Case(
            (b.bucket_id,),
            f"{s.flow(b.flow)} in, water could stand {s.say(b.high)} over the outlet",
            f"at most {s.flow(b.flood_flow)}",
        )
        for b in buckets
        if b.flow > b.flood_flow
    ]
    highest = max(buckets, key=lambda b: b.high)
    quiet = s.flow(min(b.flood_flow for b in buckets))
    yield judged(
        "outlets-pass",
        "Bucket outlets pass the flow",
        "must_fix",
        s.water.runs[0].run.id,
        cases,
        f"{len(cases)} outlets too small"
        if cases
        else f"water stands at most {s.say(max(highest.high, 0.0))} over the outlet. "
        f"{highest.band.regime.value}",
        f"less than {quiet} to a bucket",
        "An outlet that cannot pass the flow fills its bucket to the rim. Heights over small "
        "outlets are good to a third only.",
        "weir and full-bore flow; limits of gulping from memory",
        _less_flow(s) if cases else (),
    )


def _less_flow(s: WaterSituation) -> list[Remedy]:
    """Close the valves of the runs until every bucket gets a safe flow."""
    safe = {b.bucket_id: b.flood_flow for b in s.water.buckets.values()}
    return close_valves(s, lambda trial: all(trial.flows[i] <= safe[i] for i in safe))
