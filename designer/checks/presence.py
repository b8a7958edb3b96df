"""Rules of what a bed cannot do without: a run, buckets, a reservoir that holds its levels."""

from collections.abc import Iterator
from functools import partial

from designer.checks.finding import Finding, Remedy
from designer.checks.situation import RunSituation
from designer.layout.site import ReservoirLayout
from designer.model import edits
from designer.model.design import Design
from designer.units import format_length, style_for

PRACTICE = "common practice, no source"


def buckets(s: RunSituation) -> Iterator[Finding]:
    """A run has buckets."""
    run = s.layout.run
    if run.buckets:
        return
    count = max(int(run.length / run.pitch - 1e-9), 1)
    remedies: tuple[Remedy, ...] = ()
    if edits.fits(run, count, run.pitch):
        remedies = (
            Remedy(
                f"Stand {count} buckets every {s.say(run.pitch)}",
                partial(edits.repeat_stagger, run_id=run.id, count=count),
            ),
        )
    yield Finding(
        "run-has-buckets", "The run has buckets", "look_again", (run.id,), "no bucket yet",
        "one bucket or more", "A drain without buckets carries nothing.", PRACTICE, remedies,
    )  # fmt: skip


def design(design: Design, reservoir: ReservoirLayout | None) -> Iterator[Finding]:
    """There is a run, and a reservoir whose levels leave water between them."""
    if not design.runs:
        yield Finding(
            "has-run", "There is a run", "must_fix", ("site",), "no run yet", "one run or more",
            "Buckets stand beside a run's drain.", PRACTICE,
        )  # fmt: skip
    if reservoir is None:
        if design.runs:
            yield Finding(
                "has-reservoir", "There is a reservoir", "must_fix", ("site",),
                "no reservoir yet", "one reservoir",
                "The water has to run back to somewhere.", PRACTICE,
            )  # fmt: skip
        return
    style = style_for(design.units)
    depth = reservoir.full_level - reservoir.low_level
    cover = reservoir.reservoir.low_water - reservoir.pump.cover
    good = depth > 0 and cover >= -1e-6
    low = max(reservoir.pump.cover, 0.0)
    possible = low < reservoir.part.height - reservoir.reservoir.freeboard
    yield Finding(
        "reservoir-levels", "The reservoir has water to give", "good" if good else "must_fix",
        ("reservoir",),
        f"{format_length(max(depth, 0.0), style)} between full and low water"
        if cover >= 0
        else f"pump {format_length(-cover, style)} short of cover at low water",
        f"low water at least {format_length(reservoir.pump.cover, style)} over the floor, and "
        "below the full level",
        "A pump that draws air runs dry and burns out.",
        "the pump's label; from memory until you read it",
        ()
        if good or not possible
        else (
            Remedy(
                f"Set low water {format_length(low, style)} above the floor",
                partial(edits.set_reservoir, low_water=low),
            ),
        ),
    )  # fmt: skip
