"""The templates of a design, from its analysis."""

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import partial

from designer.analysis import Analysis
from designer.layout.run import RunLayout
from designer.model.catalogue import Catalogue
from designer.model.parts import BucketPart
from designer.sheet.template import KIND_WORDS, Template
from designer.sheet.template_patch import BucketPatch, patch_template
from designer.sheet.template_strip import strip_template
from designer.sheet.template_tiles import HoleStrip, StripHole
from designer.sheet.words import diameter, in_words, length, saw_size
from designer.takeoff.ranges import bucket_ranges


@dataclass(frozen=True)
class Templates:
    """What there is to drill, and in `problems` what cannot be drawn yet, as sentences."""

    templates: tuple[Template, ...]
    problems: tuple[str, ...]


def templates_of(analysis: Analysis) -> Templates:
    """One patch for each distinct bucket wall and hole; a drain and a manifold strip for each run
    that has buckets, or one for all runs that are alike. Distances are from the capped end; the
    manifold's plug lies there too."""
    problems: list[str] = []
    made: list[Template] = []
    for make in _makers(analysis):
        # What is refused, as a hole beyond the pipe's end, is told rather than drawn.
        try:
            made.append(make())
        except ValueError as error:
            problems.append(str(error))
    order = list(KIND_WORDS)
    made.sort(key=lambda template: order.index(template.kind))
    return Templates(tuple(made), tuple(problems))


def _makers(analysis: Analysis) -> Iterator[Callable[[], Template]]:
    for members in _walls(analysis):
        yield partial(_patch, analysis, members)
    for alike in runs_alike(analysis):
        buckets = [place.bucket.id for layout in alike for place in layout.from_cap]
        for make in (drain_strip, manifold_strip):
            yield partial(_strip, make, analysis, alike, buckets)


def _strip(
    make: Callable[[Analysis, list[RunLayout]], HoleStrip],
    analysis: Analysis,
    alike: list[RunLayout],
    buckets: list[str],
) -> Template:
    return strip_template(make(analysis, alike), buckets)


def _walls(analysis: Analysis) -> Iterable[list[tuple[RunLayout, BucketPart, str]]]:
    """Buckets that share a patch, with their runs."""
    used: dict[tuple[object, ...], list[tuple[RunLayout, BucketPart, str]]] = defaultdict(list)
    for layout in analysis.runs:
        for place in layout.from_cap:
            wall = (place.part, layout.run.outlet.height, layout.parts.outlet_saw)
            used[wall].append((layout, place.part, place.bucket.id))
    return used.values()


def _patch(analysis: Analysis, members: list[tuple[RunLayout, BucketPart, str]]) -> Template:
    layout, part, _ = members[0]
    ids = [bucket_id for _, _, bucket_id in members]
    patch = BucketPatch(
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
    return patch_template(patch, ids)


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


def drain_strip(analysis: Analysis, alike: list[RunLayout]) -> HoleStrip:
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


def manifold_strip(analysis: Analysis, alike: list[RunLayout]) -> HoleStrip:
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
