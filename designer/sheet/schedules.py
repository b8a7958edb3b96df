"""The schedules: where every hole goes, how thick every shim is."""

from collections.abc import Sequence

from reportlab.platypus import Flowable

from designer.analysis import Analysis
from designer.layout.run import RunLayout
from designer.sheet.pages import SMALL, SUBHEAD, SheetPage, flow_pages, gap, paragraph, table
from designer.sheet.paper import Paper
from designer.sheet.words import diameter, length, saw_size
from designer.takeoff.ranges import bucket_ranges

SECTION = "Hole and shim schedules"


def schedule_pages(analysis: Analysis, paper: Paper) -> list[SheetPage]:
    """Outlet holes by bucket type, then each run's holes by station and its shims."""
    blocks: list[Sequence[Flowable]] = []
    if any(layout.places for layout in analysis.runs):
        blocks.append(_outlet_holes(analysis))
    for layout in analysis.runs:
        name = f": {layout.run.name}" if len(analysis.runs) > 1 else ""
        if layout.places:
            blocks.append(_holes(analysis, layout, name))
        if layout.shims:
            blocks.append(_shims(layout, name))
    return flow_pages(SECTION, blocks, paper) if blocks else []


def _outlet_holes(analysis: Analysis) -> list[Flowable]:
    rows: dict[tuple[str, str, str, str], list[str]] = {}
    for layout in analysis.runs:
        for place in layout.from_cap:
            key = (
                place.part.name,
                length(layout.run.outlet.height, layout.units),
                saw_size(layout.parts.outlet_saw, layout.units),
                layout.parts.grommet.name,
            )
            rows.setdefault(key, []).append(place.bucket.id)
    return [
        paragraph("Outlet hole of each bucket", SUBHEAD),
        paragraph(
            "Height of the hole's centre above the outside of the base, measured upright. "
            "The drill templates give it along the wall.",
            SMALL,
        ),
        gap(1.5),
        table(
            ("Bucket", "Hole above base", "Hole saw", "Grommet", "Letters"),
            [(*key, bucket_ranges(analysis, ids)) for key, ids in rows.items()],
            (42, 28, 34, 42, 34),
        ),
        gap(5),
    ]


def _holes(analysis: Analysis, layout: RunLayout, name: str) -> list[Flowable]:
    units, parts = layout.units, layout.parts
    number = analysis.run_number(layout)
    rows = []
    before = 0.0
    for place in layout.from_cap:
        from_cap = layout.run.length - place.station
        rows.append(
            (
                number + layout.letters[place.bucket.id],
                place.bucket.side,
                length(from_cap, units),
                length(from_cap - before, units),
                saw_size(parts.drain_saw, units),
                length(layout.tail_length(place), units),
            )
        )
        before = from_cap
    barb = diameter(parts.barb.hole_diameter, units)
    outlet_end = length(layout.run.length - before, units)
    return [
        paragraph(f"Holes in the drain and the manifold{name}", SUBHEAD),
        paragraph(
            f"In the crown of the {parts.drain.name}. Manifold: holes of {barb} for the "
            f"{parts.barb.name}, at the same distances from its plugged end. Measure every hole "
            "from the capped end; the distance from the hole before is a check. Left and right are "
            f"as seen from the outlet end. From the last hole to the outlet end: {outlet_end}.",
            SMALL,
        ),
        gap(1.5),
        table(
            ("Hole", "Side", "From the capped end", "From the hole before", "Hole saw", "Tail"),
            rows,
            (18, 20, 42, 42, 36, 22),
            right=(2, 3, 5),
        ),
        gap(5),
    ]


def _shims(layout: RunLayout, name: str) -> list[Flowable]:
    units = layout.units
    rows = [
        (
            str(i),
            length(layout.run.length - station, units),
            length(station, units),
            length(thickness, units) if thickness > 0 else "none",
        )
        for i, (station, thickness) in reversed(list(enumerate(layout.shims, 1)))
    ]
    return [
        paragraph(f"Shims under the drain{name}", SUBHEAD),
        paragraph(
            "Supports are numbered from the outlet end. Set the blocks level with each other "
            "first: the shims alone make the fall.",
            SMALL,
        ),
        gap(1.5),
        table(
            ("Support", "From the capped end", "From the outlet end", "Shim"),
            rows,
            (24, 44, 44, 34),
            right=(1, 2, 3),
        ),
        gap(5),
    ]
