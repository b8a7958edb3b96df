"""Rules of the way back: drain and bucket outlets."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from enum import StrEnum
from functools import partial

from designer.checks.finding import Case, Finding, Remedy, State
from designer.checks.refit import refit_tails
from designer.checks.situation import judged
from designer.checks.water.feed import close_valves
from designer.checks.water.situation import WaterSituation
from designer.layout.run import lay_out_run
from designer.model import edits
from designer.model.design import Design
from designer.water.bed.drains import RunDrain, solve_drain
from designer.water.bed.feed import MM
from designer.water.properties import water_at


def drain_room(s: WaterSituation) -> Iterator[Finding]:
    """Each drain with room above its water, no tail tip under water, not held up or full."""
    fill = s.catalogue.limit("drain_fill")
    for drain in s.water.drains.values():
        run = drain.layout.run
        station, fullest = drain.fullest
        place = f"{s.say(run.length - station)} from the capped end"
        text = f"full {place}"
        if fullest < 1:
            depth = fullest * drain.line.section.height / MM
            text = f"{fullest:.0%} full, {s.say(depth)} deep, {place}"
        trouble = _trouble(drain, fill)
        state: State = "look_again"
        if trouble in (Trouble.SPILLS, Trouble.TIP, Trouble.FULL):
            state = "must_fix"
        if trouble is Trouble.TIP:
            text = f"water {s.say(s.up(_over_tip(drain) / MM))} over a tail's end; {text}"
        elif trouble not in (None, Trouble.FILL):
            text = f"{trouble}; {text}"
        needed = f"at most {fill:.0%} full, below every tail"
        yield judged(
            "drain-room",
            "The drain carries the water away",
            state,
            run.id,
            [Case((run.id,), text, needed)] if trouble else [],
            f"{text}. {drain.profile.regime.value}",
            needed,
            s.catalogue.limits["drain_fill"].why,
            "spatially varied flow with an inflow at each hole; Novak et al., Hydraulic "
            f"Structures, Eq. 4.25 (excerpt); how full: {s.catalogue.source('drain_fill')}",
            _drain_remedies(s, drain, fill) if trouble else (),
        )


class Trouble(StrEnum):
    """What is wrong with the water in a drain, the worst first."""

    SPILLS = "water comes out of a hole"
    TIP = "water over a tail's end"
    FULL = "the drain runs full"
    HELD_UP = "held up by the reservoir's water"
    FILL = "too full"


def _trouble(drain: RunDrain, fill: float) -> Trouble | None:
    rim, profile = drain.profile.rim_margin, drain.profile
    found = {
        Trouble.SPILLS: rim is not None and rim.margin < -1e-6,
        Trouble.TIP: _over_tip(drain) > 1e-6,
        Trouble.FULL: profile.surcharged,
        Trouble.HELD_UP: drain.tail_depth > float(profile.critical_depth[-1]) + 1e-6,
        Trouble.FILL: drain.fullest[1] > fill + 1e-6,
    }
    return next((trouble for trouble, so in found.items() if so), None)


def _over_tip(drain: RunDrain) -> float:
    """How far water stands over the end of the tail it covers most, m."""
    margin = drain.profile.tip_margin
    return max(-margin.margin, 0.0) if margin else 0.0


def _drain_remedies(s: WaterSituation, drain: RunDrain, fill: float) -> list[Remedy]:
    """Ways that work for this run: more fall, a wider pipe, a return path that falls, a lower full
    line; of the pipes the narrowest."""
    run_id = drain.layout.run.id
    ways = [*_more_fall(s, drain, fill), *_lower_full(s, drain), *_falling_return(s, drain)]
    found = [remedy for remedy in ways if _drains(s, run_id, remedy.apply, fill)]
    pipe = drain.layout.parts.drain
    while (wider := s.catalogue.wider_pipe(pipe)) is not None:
        pipe = wider
        edit = partial(edits.set_run_part, run_id=run_id, group="drain", pipe=pipe.id)
        remedy = Remedy(f"Use {pipe.name} for the drain", _then_refit(s, run_id, edit))
        if _drains(s, run_id, remedy.apply, fill):
            return [*found, remedy]
    return found


def _drains(s: WaterSituation, run_id: str, edit: Callable[[Design], Design], fill: float) -> bool:
    """Whether a run's drain carries the present flows after an edit."""
    design = edit(s.design)
    assert design.reservoir is not None
    trial = solve_drain(
        design,
        lay_out_run(design.run(run_id), design.units, s.catalogue),
        replace(s.water.layout, reservoir=design.reservoir),
        s.water.feed.flows,
        water_at(design.water.temperature),
        s.catalogue.limit("tube_roughness"),
    )
    return _trouble(trial, fill) is None


def _more_fall(s: WaterSituation, drain: RunDrain, fill: float) -> Iterator[Remedy]:
    run = drain.layout.run
    fall = drain.smallest_fall(fill)
    if fall is None:
        return
    higher = s.up(fall + s.grain)
    if run.drain.fall < higher < run.drain.fall + 150:
        edit = partial(edits.set_fall, run_id=run.id, fall=higher)
        label = f"Raise the capped end {s.say(higher - run.drain.fall)}"
        yield Remedy(label, _then_refit(s, run.id, edit))


def _lower_full(s: WaterSituation, drain: RunDrain) -> Iterator[Remedy]:
    """Fill the reservoir only to below the drain's outfall."""
    layout, run = s.water.layout, drain.layout.run
    outfall = drain.built[0][1] - run.return_fall
    lower = s.up(layout.rim_level - outfall + s.grain)
    if layout.reservoir.freeboard < lower < layout.part.height - layout.reservoir.low_water:
        edit = partial(edits.set_reservoir, freeboard=lower)
        yield Remedy(f"Fill only to {s.say(lower)} below the rim", edit)


def _falling_return(s: WaterSituation, drain: RunDrain) -> Iterator[Remedy]:
    """Let the return path fall as steeply as the run does."""
    layout, run = drain.layout, drain.layout.run
    fall = s.up(layout.levels.slope * layout.return_length)
    if run.return_fall < fall <= 2000:
        edit = partial(edits.set_run, run_id=run.id, return_fall=fall)
        yield Remedy(f"Let the pipe to the reservoir fall {s.say(fall)}", edit)


def _then_refit(
    s: WaterSituation, run_id: str, edit: Callable[..., Design]
) -> Callable[[Design], Design]:
    """An edit after which the run's tails are cut to fit."""

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
