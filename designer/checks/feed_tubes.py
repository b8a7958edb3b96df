"""The rule of the small feed tubes: long enough from the manifold over the rim to the medium."""

from collections.abc import Iterator
from functools import partial
from math import hypot

from designer.checks.finding import Case, Finding, Remedy
from designer.checks.situation import RunSituation, judged
from designer.layout.run import Place, RunLayout
from designer.model import edits


def reach_needed(layout: RunLayout, place: Place) -> float:
    """Tube from the manifold up to a bucket's rim, across to its middle and down to the medium,
    mm (common practice, no source)."""
    run = layout.run
    level = layout.levels.rail_top(place.station) + run.manifold.height
    rise = place.base + place.part.height - level
    across = abs(place.offset) + (-1 if place.offset > 0 else 1) * run.manifold.offset
    down = max(place.part.height - run.medium_depth, 0.0)
    return hypot(across, rise) + down


def feed_tubes(s: RunSituation) -> Iterator[Finding]:
    """Every feed tube reaches its bucket's medium."""
    layout = s.layout
    if not layout.places:
        return
    length = layout.run.manifold.feed_length
    needed = {p.bucket.id: reach_needed(layout, p) for p in layout.places}
    longest = max(needed.values())
    cases = [
        Case((bucket,), f"a feed tube of {s.say(s.down(length))}", s.at_least(need))
        for bucket, need in needed.items()
        if need > length + 1e-6
    ]
    step = 50.0 if s.units == "metric" else 50.8
    enough = -(-longest // step) * step
    yield judged(
        "feed-tubes-reach",
        "Feed tubes reach their buckets",
        "must_fix",
        s.id,
        cases,
        f"{len(cases)} feed tubes are too short" if cases else f"feed tubes {s.say(length)} long",
        s.at_least(longest),
        "A tube that is pulled tight slips out of its bucket and waters the ground.",
        "common practice, no source",
        [
            Remedy(
                f"Cut the feed tubes {s.say(enough)} long",
                partial(edits.set_run_part, run_id=s.id, group="manifold", feed_length=enough),
            )
        ],
    )
