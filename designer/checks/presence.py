"""Rules of what a bed cannot do without: a run, buckets, a reservoir that holds its levels."""

from collections.abc import Iterator
from functools import partial

from designer.checks.finding import PRACTICE, Finding, Remedy
from designer.checks.situation import RunSituation
from designer.layout.site import ReservoirLayout
from designer.model import edits
from designer.model.catalogue import Catalogue
from designer.model.design import Design
from designer.units import format_length, style_for


def buckets(s: RunSituation) -> Iterator[Finding]:
    """A run has buckets."""
    run = s.layout.run
    if run.buckets:
        return
    clear = s.catalogue.limit("end_distance")
    count = min(int((run.length - clear) / run.pitch + 1e-9), edits.MAX_BUCKETS_IN_RUN)
    remedies: tuple[Remedy, ...] = ()
    if count >= 1:
        remedies = (
            Remedy(
                f"Stand {count} buckets every {s.say(run.pitch)}"
                if count > 1
                else f"Stand a bucket {s.say(run.pitch)} from the capped end",
                partial(edits.repeat_stagger, run_id=run.id, count=count),
            ),
        )
    yield Finding(
        "run-has-buckets", "The run has buckets", "look_again", (run.id,), "no bucket yet",
        "one bucket or more", "A drain without buckets carries nothing.", PRACTICE, remedies,
    )  # fmt: skip


def design(design: Design, reservoir: ReservoirLayout | None) -> Iterator[Finding]:
    """There is a run, and a reservoir for it."""
    if not design.runs:
        yield Finding(
            "has-run", "There is a run", "must_fix", ("site",), "no run yet", "one run or more",
            "Buckets stand beside a run's drain.", PRACTICE,
        )  # fmt: skip
    elif reservoir is None:
        yield Finding(
            "has-reservoir", "There is a reservoir", "must_fix", ("site",),
            "no reservoir yet", "one reservoir",
            "The water has to run back to somewhere.", PRACTICE,
        )  # fmt: skip


def reservoir_levels(
    design: Design, reservoir: ReservoirLayout, catalogue: Catalogue
) -> Iterator[Finding]:
    """The reservoir's levels leave water over the pump, and room for what runs back."""
    style = style_for(design.units)

    def say(mm: float) -> str:
        return format_length(mm, style)

    depth = reservoir.full_level - reservoir.low_level
    cover = reservoir.reservoir.low_water - reservoir.pump.cover
    if cover < -1e-6:
        measured = f"pump {say(-cover)} short of cover at low water"
    elif depth <= 0:
        measured = "low water at or above the full level"
    else:
        measured = f"{say(depth)} between full and low water"
    good = depth > 0 and cover >= -1e-6
    low = reservoir.pump.cover
    possible = low < reservoir.part.height - reservoir.reservoir.freeboard
    remedy = Remedy(
        f"Set low water {say(low)} above the floor", partial(edits.set_reservoir, low_water=low)
    )
    yield Finding(
        "reservoir-levels", "The reservoir has water to give", "good" if good else "must_fix",
        ("reservoir",), measured,
        f"low water at least {say(low)} over the floor, and below the full level",
        "A pump that draws air runs dry and burns out.",
        "the pump's label; from memory until you read it",
        () if good or not possible else (remedy,),
    )  # fmt: skip
    needed, room = catalogue.limit("reservoir_freeboard"), reservoir.reservoir.freeboard
    enough = room >= needed - 1e-6
    remedy = Remedy(
        f"Set the full level {say(needed)} below the rim",
        partial(edits.set_reservoir, freeboard=needed),
    )
    possible = needed + reservoir.reservoir.low_water < reservoir.part.height
    yield Finding(
        "reservoir-freeboard", "Room above the full level", "good" if enough else "look_again",
        ("reservoir",), f"full level {say(room)} below the rim",
        f"at least {say(needed)} below the rim",
        catalogue.limits["reservoir_freeboard"].why, catalogue.source("reservoir_freeboard"),
        () if enough or not possible else (remedy,),
    )  # fmt: skip
