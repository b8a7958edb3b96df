"""The templates of a design, from its analysis."""

from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass
from functools import partial
from types import MappingProxyType

from designer.analysis import Analysis
from designer.layout.run import RunLayout
from designer.model.parts import BucketPart
from designer.sheet.template import KIND_WORDS, Template, TemplateKind
from designer.sheet.template_groups import (
    buckets_alike,
    buckets_of,
    evidence_note,
    runs_alike,
    shared,
    used_on,
    warning,
    where,
)
from designer.sheet.template_offered import (
    Maker,
    collars,
    drain_collars,
    jigs,
    lids,
    saddles,
    supports,
)
from designer.sheet.template_patch import BucketPatch, patch_template
from designer.sheet.template_strip import strip_template
from designer.sheet.template_tiles import HoleStrip, StripHole
from designer.sheet.words import diameter, length, saw_size


@dataclass(frozen=True)
class Templates:
    """What there is to drill, and in `problems` what cannot be drawn yet, as sentences."""

    templates: tuple[Template, ...]
    problems: tuple[str, ...]


def templates_of(analysis: Analysis, kinds: Collection[TemplateKind] | None = None) -> Templates:
    """The templates of these kinds, or of all, in the order of printing: one for whatever buckets,
    pipes and runs are alike. Distances are from the capped end; the manifold's plug lies there
    too."""
    problems: list[str] = []
    made: list[Template] = []
    for kind in KIND_WORDS:
        if kinds is not None and kind not in kinds:
            continue
        for make in _MAKERS[kind](analysis):
            # What is refused, as a hole beyond the pipe's end, is told rather than drawn.
            try:
                made.append(make())
            except ValueError as error:
                problems.append(str(error))
    return Templates(tuple(made), tuple(problems))


def _outlets(analysis: Analysis) -> Iterator[Maker]:
    for members in buckets_alike(analysis):
        yield partial(_patch, analysis, members)


def _drains(analysis: Analysis) -> Iterator[Maker]:
    for alike in runs_alike(analysis):
        yield partial(_strip, drain_strip, analysis, alike)


def _manifolds(analysis: Analysis) -> Iterator[Maker]:
    for alike in runs_alike(analysis):
        yield partial(_strip, manifold_strip, analysis, alike)


def _strip(
    make: Callable[[Analysis, list[RunLayout]], HoleStrip],
    analysis: Analysis,
    alike: list[RunLayout],
) -> Template:
    return strip_template(make(analysis, alike), buckets_of(alike))


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
        note=warning(analysis) + evidence_note(analysis.catalogue, part),
        used_on=used_on(analysis, ids),
    )
    return patch_template(patch, ids)


def drain_strip(analysis: Analysis, alike: list[RunLayout]) -> HoleStrip:
    """The strip of the drain for runs that are alike. Raises ValueError as the strip does."""
    layout = alike[0]
    parts, units = layout.parts, layout.units
    whole = length(layout.run.length, units)
    return HoleStrip(
        title=f"{KIND_WORDS['drain']}{where(analysis, alike)}: {parts.drain.name}",
        pipe_diameter=parts.drain.outside_diameter,
        hole_diameter=parts.drain_saw.diameter,
        hole_saw=saw_size(parts.drain_saw, units),
        length=0.0,
        holes=_holes(analysis, alike),
        kind="drain",
        note=(
            f"{warning(analysis)}The drain runs {whole} from its capped to its outlet end."
            f"{shared(alike)}"
        ),
    )


def manifold_strip(analysis: Analysis, alike: list[RunLayout]) -> HoleStrip:
    """The strip of the manifold for runs that are alike. Raises ValueError as the strip does."""
    layout = alike[0]
    parts, units = layout.parts, layout.units
    return HoleStrip(
        title=f"{KIND_WORDS['manifold']}{where(analysis, alike)}: {parts.manifold.name}",
        pipe_diameter=parts.manifold.outside_diameter,
        hole_diameter=parts.barb.hole_diameter,
        hole_saw=diameter(parts.barb.hole_diameter, units),
        length=0.0,
        holes=_holes(analysis, alike),
        kind="manifold",
        note=(
            f"{warning(analysis)}The holes take the {parts.barb.name}; try one on a scrap first."
            f"{shared(alike)}"
        ),
    )


def _holes(analysis: Analysis, alike: list[RunLayout]) -> tuple[StripHole, ...]:
    """The holes by letter, with the run's number where the strip is that run's alone."""
    layout = alike[0]
    number = analysis.run_number(layout) if len(alike) == 1 else ""
    return tuple(
        StripHole(layout.run.length - place.station, number + layout.letters[place.bucket.id])
        for place in layout.from_cap
    )


_MAKERS: Mapping[TemplateKind, Callable[[Analysis], Iterator[Maker]]] = MappingProxyType(
    {
        "outlet": _outlets,
        "collar": collars,
        "lid": lids,
        "drain": _drains,
        "drain_collar": drain_collars,
        "manifold": _manifolds,
        "jig": jigs,
        "saddle": saddles,
        "supports": supports,
    }
)
