"""Templates that are offered beside the usual ones, from a design: collars, lids, saddles, jigs
and supports."""

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from functools import partial

from designer.analysis import Analysis
from designer.layout.lid import feed_hole, plant_hole
from designer.layout.pitch import Repeat, repeating_spacing
from designer.layout.run import Place, RunLayout, RunParts
from designer.model.parts import BucketPart
from designer.sheet.template import Template
from designer.sheet.template_collar import BucketCollar, WallHole, collar_template
from designer.sheet.template_groups import (
    buckets_alike,
    buckets_of,
    evidence_note,
    shared,
    used_on,
    warning,
    where,
)
from designer.sheet.template_jig import jig_strip
from designer.sheet.template_lid import LidSheet, lid_template
from designer.sheet.template_saddle import SaddleSheet, saddle_template
from designer.sheet.template_strip import strip_template
from designer.sheet.template_supports import support_strip
from designer.sheet.template_wrap import PipeCollar, wrap_template
from designer.sheet.words import count_of, saw_size

Maker = Callable[[], Template]
"""Makes one template; raises ValueError, in words, where it cannot be drawn."""


def collars(analysis: Analysis) -> Iterator[Maker]:
    """A collar for each distinct bucket wall and hole."""
    for members in buckets_alike(analysis):
        yield partial(_collar, analysis, members)


def lids(analysis: Analysis) -> Iterator[Maker]:
    """A lid for each distinct bucket, number and size of plants, and feed tube."""
    used: dict[tuple[object, ...], list[tuple[RunLayout, Place]]] = defaultdict(list)
    for layout in analysis.runs:
        for place in layout.from_cap:
            hole = plant_hole(layout.run, place.crop)
            tube = feed_hole(layout.parts.feed_tube)
            used[place.part, place.crop.plants_per_bucket, hole, tube].append((layout, place))
    for members in used.values():
        yield partial(_lid, analysis, members)


def drain_collars(analysis: Analysis) -> Iterator[Maker]:
    """A collar for each distinct drain pipe and saw."""
    for alike in _runs_by(analysis, lambda parts: (parts.drain, parts.drain_saw)):
        yield partial(_drain_collar, analysis, alike)


def saddles(analysis: Analysis) -> Iterator[Maker]:
    """A saddle for each distinct pair of tail and drain pipe, the one place where a pipe of the
    bed meets another."""
    for alike in _runs_by(analysis, lambda parts: (parts.outlet_pipe, parts.drain)):
        yield partial(_saddle, analysis, alike)


def _runs_by(
    analysis: Analysis, parts_of: Callable[[RunParts], tuple[object, ...]]
) -> Iterable[list[RunLayout]]:
    """The runs with buckets, those together that have the same of some parts."""
    used: dict[tuple[object, ...], list[RunLayout]] = defaultdict(list)
    for layout in analysis.runs:
        if layout.places:
            used[parts_of(layout.parts)].append(layout)
    return used.values()


def jigs(analysis: Analysis) -> Iterator[Maker]:
    """A jig for each spacing that repeats along a run, one for all runs with the same."""
    used: dict[tuple[float, ...], list[tuple[RunLayout, Repeat]]] = defaultdict(list)
    for layout in analysis.runs:
        repeat = repeating_spacing(_stations(layout))
        if repeat is not None:
            used[tuple(round(s, 1) for s in repeat.spacings)].append((layout, repeat))
    for members in used.values():
        yield partial(_jig, analysis, members)


def supports(analysis: Analysis) -> Iterator[Maker]:
    """A support strip for each run, one for all runs whose stacks stand alike."""
    used: dict[tuple[object, ...], list[RunLayout]] = defaultdict(list)
    for layout in analysis.runs:
        stand, run = layout.run.stand, layout.run
        stations = tuple(sorted(round(run.length - s, 1) for s in stand.supports))
        if stations:
            used[stations, layout.parts.block.width].append(layout)
    for alike in used.values():
        yield partial(_supports, analysis, alike)


def _collar(analysis: Analysis, members: list[tuple[RunLayout, BucketPart, str]]) -> Template:
    layout, part, _ = members[0]
    ids = [bucket_id for _, _, bucket_id in members]
    saw, height = layout.parts.outlet_saw, layout.run.outlet.height
    collar = BucketCollar(
        title=f"Collar: {part.name}",
        bottom_diameter=part.base_diameter,
        top_diameter=part.top_diameter,
        height=part.height,
        holes=(WallHole(0.0, height, saw.diameter, f"Outlet: {saw_size(saw, layout.units)}"),),
        note=warning(analysis) + evidence_note(analysis.catalogue, part),
        used_on=used_on(analysis, ids),
    )
    return collar_template(collar, layout.units, ids)


def _lid(analysis: Analysis, members: list[tuple[RunLayout, Place]]) -> Template:
    layout, place = members[0]
    ids = [place.bucket.id for _, place in members]
    part, crop = place.part, place.crop
    own = layout.run.plant_hole
    evidence = "" if own else analysis.catalogue.evidence_of(crop.id, "plant_hole")
    sheet = LidSheet(
        title=f"Lid: {part.name}, {count_of(crop.plants_per_bucket, 'plant')}",
        rim_diameter=part.rim_diameter,
        plants=crop.plants_per_bucket,
        plant_diameter=plant_hole(layout.run, crop),
        feed_diameter=feed_hole(layout.parts.feed_tube),
        note=warning(analysis)
        + evidence_note(analysis.catalogue, part)
        + (f" The plant's hole: {evidence}." if evidence else ""),
        used_on=used_on(analysis, ids),
    )
    return lid_template(sheet, layout.units, ids)


def _drain_collar(analysis: Analysis, alike: list[RunLayout]) -> Template:
    parts, units = alike[0].parts, alike[0].units
    ids = buckets_of(alike)
    collar = PipeCollar(
        title=f"Collar round the drain: {parts.drain.name}",
        pipe_diameter=parts.drain.outside_diameter,
        hole_diameter=parts.drain_saw.diameter,
        hole_saw=saw_size(parts.drain_saw, units),
        note=warning(analysis) + "One collar serves every hole.",
        used_on=used_on(analysis, ids),
    )
    return wrap_template(collar, units, ids)


def _saddle(analysis: Analysis, alike: list[RunLayout]) -> Template:
    parts, units = alike[0].parts, alike[0].units
    ids = buckets_of(alike)
    sheet = SaddleSheet(
        title=f"Saddle: {parts.outlet_pipe.name} on {parts.drain.name}",
        main_name=parts.drain.name,
        main_diameter=parts.drain.outside_diameter,
        branch_name=parts.outlet_pipe.name,
        branch_diameter=parts.outlet_pipe.outside_diameter,
        used_on=used_on(analysis, ids),
        note=warning(analysis).strip(),
    )
    return saddle_template(sheet, units, ids)


def _stations(layout: RunLayout) -> list[float]:
    """Stations of the holes from the capped end, those that share one once, mm."""
    return sorted({round(layout.run.length - place.station, 3) for place in layout.places})


def _jig(analysis: Analysis, members: list[tuple[RunLayout, Repeat]]) -> Template:
    layout, repeat = members[0]
    ids = [
        place.bucket.id
        for layout, found in members
        for stations in [_stations(layout)[found.first : found.last + 1]]
        for place in layout.from_cap
        if round(layout.run.length - place.station, 3) in stations
    ]
    note = warning(analysis)
    return strip_template(
        jig_strip(repeat.spacings, used_on(analysis, ids), note, layout.units), ids
    )


def _supports(analysis: Analysis, alike: list[RunLayout]) -> Template:
    layout = alike[0]
    run = layout.run
    strip = support_strip(
        f"Supports{where(analysis, alike)}: {count_of(len(run.stand.supports), 'stack')}",
        [run.length - station for station in run.stand.supports],
        layout.parts.block.width,
        f"{warning(analysis)}The thickness of each shim is in the shim schedule.{shared(alike)}",
        layout.units,
    )
    return strip_template(strip, buckets_of(alike))
