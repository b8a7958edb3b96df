"""What templates are for: buckets and runs that share one, and the words that say so."""

from collections import defaultdict
from collections.abc import Iterable, Sequence

from designer.analysis import Analysis
from designer.layout.run import RunLayout
from designer.model.catalogue import Catalogue
from designer.model.parts import BucketPart
from designer.sheet.words import checks_read, in_words
from designer.takeoff.ranges import bucket_ranges


def buckets_alike(analysis: Analysis) -> Iterable[list[tuple[RunLayout, BucketPart, str]]]:
    """Buckets that share a patch, with their runs."""
    used: dict[tuple[object, ...], list[tuple[RunLayout, BucketPart, str]]] = defaultdict(list)
    for layout in analysis.runs:
        for place in layout.from_cap:
            wall = (place.part, layout.run.outlet.height, layout.parts.outlet_saw)
            used[wall].append((layout, place.part, place.bucket.id))
    return used.values()


def buckets_of(alike: Iterable[RunLayout]) -> list[str]:
    """The ids of all buckets of some runs, each run from its capped end."""
    return [place.bucket.id for layout in alike for place in layout.from_cap]


def evidence_note(catalogue: Catalogue, part: BucketPart) -> str:
    """Where the sizes of a bucket come from, as a sentence."""
    evidence = catalogue.evidence_of(part.id, "height")
    if evidence.sure == "measured":
        return "The sizes of this bucket were measured by the grower."
    return f"The sizes of this bucket are not yet measured: {evidence}."


def warning(analysis: Analysis) -> str:
    """What stands first on a template while something must be fixed; empty when nothing is."""
    count = analysis.counts["must_fix"]
    if not count:
        return ""
    return f"DO NOT DRILL YET: {checks_read(count)} Must fix. "


def runs_alike(analysis: Analysis) -> Iterable[list[RunLayout]]:
    """Runs with buckets, those together whose strips are the same but for the run's number."""
    found: dict[tuple[object, ...], list[RunLayout]] = defaultdict(list)
    for layout in analysis.runs:
        if layout.places:
            parts = layout.parts
            stations = tuple(round(place.station, 1) for place in layout.from_cap)
            same = (parts.drain, parts.drain_saw, parts.manifold, parts.barb)
            found[*same, layout.run.length, stations].append(layout)
    return found.values()


def where(analysis: Analysis, alike: list[RunLayout]) -> str:
    """Which runs a template is for, behind its title; empty when there is only one."""
    if len(analysis.runs) == 1:
        return ""
    if len(alike) == 1:
        return f", {alike[0].run.name}"
    return f" for runs {in_words([analysis.run_number(layout) for layout in alike])}"


def shared(alike: list[RunLayout]) -> str:
    """A sentence for a template that several runs share; empty for one."""
    if len(alike) == 1:
        return ""
    names = in_words([layout.run.name for layout in alike])
    return f" Print it once: it is the same for {names}."


def used_on(analysis: Analysis, bucket_ids: Sequence[str]) -> str:
    """The buckets as they are named on the drawings: "buckets A to H"."""
    noun = "buckets" if len(bucket_ids) > 1 else "bucket"
    return f"{noun} {bucket_ranges(analysis, bucket_ids)}"
