"""The plain values of the drill templates, from an analysis."""

from collections import defaultdict
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import partial
from typing import TypeVar

from designer.analysis import Analysis
from designer.layout.run import RunLayout
from designer.model.catalogue import Catalogue
from designer.model.parts import BucketPart
from designer.sheet.templates import BucketPatch, HoleStrip, StripHole
from designer.sheet.words import diameter, in_words, length, saw_size
from designer.takeoff.ranges import bucket_ranges

Made = TypeVar("Made")


@dataclass(frozen=True)
class Templates:
    """What there is to drill, and in `problems` what cannot be drawn yet, as sentences."""

    patches: tuple[BucketPatch, ...]
    strips: tuple[HoleStrip, ...]
    problems: tuple[str, ...]


def templates_of(analysis: Analysis) -> Templates:
    """One patch for each distinct bucket wall and hole; a drain and a manifold strip for each run
    that has buckets, or one for all runs that are alike. Distances are from the capped end; the
    manifold's plug lies there too."""
    problems: list[str] = []
    patches = _made((partial(_patch, analysis, members) for members in _walls(analysis)), problems)
    strips = _made(
        (
            partial(make, analysis, alike)
            for alike in _alike(analysis)
            for make in (_drain_strip, _manifold_strip)
        ),
        problems,
    )
    return Templates(patches, strips, tuple(problems))


def _made(makers: Iterable[Callable[[], Made]], problems: list[str]) -> tuple[Made, ...]:
    """What can be made; what is refused, as a hole beyond the pipe's end, goes to `problems`."""
    made = []
    for make in makers:
        try:
            made.append(make())
        except ValueError as error:
            problems.append(str(error))
    return tuple(made)


def _walls(analysis: Analysis) -> Iterable[list[tuple[RunLayout, BucketPart, str]]]:
    """Buckets that share a patch, with their runs."""
    used: dict[tuple[object, ...], list[tuple[RunLayout, BucketPart, str]]] = defaultdict(list)
    for layout in analysis.runs:
        for place in layout.from_cap:
            wall = (place.part, layout.run.outlet.height, layout.parts.outlet_saw)
            used[wall].append((layout, place.part, place.bucket.id))
    return used.values()


def _patch(analysis: Analysis, members: list[tuple[RunLayout, BucketPart, str]]) -> BucketPatch:
    layout, part, _ = members[0]
    ids = [bucket_id for _, _, bucket_id in members]
    return BucketPatch(
        title=f"Outlet hole: {part.name}",
        bottom_diameter=part.base_diameter,
        top_diameter=part.top_diameter,
        height=part.height,
        hole_height=layout.run.outlet.height,
        hole_diameter=layout.parts.outlet_saw.diameter,
        hole_saw=saw_size(layout.parts.outlet_saw, layout.units),
        note=_warning(analysis) + _evidence_note(analysis.catalogue, part),
        used_on=f"{'buckets' if len(ids) > 1 else 'bucket'} {bucket_ranges(analysis, ids)}",
    )


def _evidence_note(catalogue: Catalogue, part: BucketPart) -> str:
    evidence = catalogue.evidence_of(part.id, "height")
    if evidence.sure == "measured":
        return "The sizes of this bucket were measured by the grower."
    return f"The sizes of this bucket are not yet measured: {evidence}."


def _warning(analysis: Analysis) -> str:
    count = analysis.counts["must_fix"]
    if not count:
        return ""
    checks = "1 check reads" if count == 1 else f"{count} checks read"
    return f"DO NOT DRILL YET: {checks} Must fix. "


def _alike(analysis: Analysis) -> Iterable[list[RunLayout]]:
    """Runs with buckets, those together whose strips are the same but for the run's number."""
    found: dict[tuple[object, ...], list[RunLayout]] = defaultdict(list)
    for layout in analysis.runs:
        if layout.places:
            parts = layout.parts
            stations = tuple(round(place.station, 1) for place in layout.from_cap)
            same = (parts.drain, parts.drain_saw, parts.manifold, parts.barb)
            found[*same, layout.run.length, stations].append(layout)
    return found.values()


def _drain_strip(analysis: Analysis, alike: list[RunLayout]) -> HoleStrip:
    layout = alike[0]
    parts, units = layout.parts, layout.units
    whole = length(layout.run.length, units)
    return HoleStrip(
        title=f"Drain holes{_where(analysis, alike)}: {parts.drain.name}",
        pipe_diameter=parts.drain.outside_diameter,
        hole_diameter=parts.drain_saw.diameter,
        hole_saw=saw_size(parts.drain_saw, units),
        length=0.0,
        holes=_holes(analysis, alike),
        kind="drain",
        note=(
            f"{_warning(analysis)}The drain runs {whole} from its capped to its outlet end."
            f"{_shared(alike)}"
        ),
    )


def _manifold_strip(analysis: Analysis, alike: list[RunLayout]) -> HoleStrip:
    layout = alike[0]
    parts, units = layout.parts, layout.units
    return HoleStrip(
        title=f"Manifold holes{_where(analysis, alike)}: {parts.manifold.name}",
        pipe_diameter=parts.manifold.outside_diameter,
        hole_diameter=parts.barb.hole_diameter,
        hole_saw=diameter(parts.barb.hole_diameter, units),
        length=0.0,
        holes=_holes(analysis, alike),
        kind="manifold",
        note=(
            f"{_warning(analysis)}The holes take the {parts.barb.name}; try one on a scrap first."
            f"{_shared(alike)}"
        ),
    )


def _where(analysis: Analysis, alike: list[RunLayout]) -> str:
    if len(analysis.runs) == 1:
        return ""
    if len(alike) == 1:
        return f", {alike[0].run.name}"
    return f" for runs {in_words([analysis.run_number(layout) for layout in alike])}"


def _shared(alike: list[RunLayout]) -> str:
    if len(alike) == 1:
        return ""
    names = in_words([layout.run.name for layout in alike])
    return f" Print it once: it is the same for {names}."


def _holes(analysis: Analysis, alike: list[RunLayout]) -> tuple[StripHole, ...]:
    """The holes by letter, with the run's number where the strip is that run's alone."""
    layout = alike[0]
    number = analysis.run_number(layout) if len(alike) == 1 else ""
    return tuple(
        StripHole(layout.run.length - place.station, number + layout.letters[place.bucket.id])
        for place in layout.from_cap
    )
