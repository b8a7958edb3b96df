"""Which fields each kind of thing has, section by section."""

from collections.abc import Mapping
from dataclasses import replace

from designer.analysis import Analysis
from designer.model import edits
from designer.model.design import Bucket, Design, ObstacleKind, Point
from designer.window import facts
from designer.window.entries import (
    LENGTH_OF_A_PLACE,
    Entry,
    Ids,
    Kind,
    Section,
    bucket_entry,
    design_entry,
    obstacle,
    obstacle_entry,
    place_entries,
    reservoir_entry,
)
from designer.window.quantity_fields import SHARE
from designer.window.run_fields import RUN_SECTIONS

OBSTACLE_WORDS: Mapping[ObstacleKind, str] = {
    "wall": "Wall",
    "post": "Post",
    "door": "Door",
    "path": "Path",
    "keep_free": "Area to keep free",
}


def _from_cap(analysis: Analysis, bucket_id: str) -> float:
    layout, place = analysis.places[bucket_id]
    return layout.run.length - place.station


def _set_from_cap(design: Design, ids: Ids, distance: float) -> Design:
    chosen = frozenset(ids)
    for run in design.runs:
        station = run.length - distance

        def stand_at(bucket: Bucket, station: float = station) -> Bucket:
            return bucket if bucket.station == station else replace(bucket, station=station)

        design = edits.change_buckets(
            design, [b.id for b in run.buckets if b.id in chosen], stand_at
        )
    return design


def _reservoir_place(design: Design, _: str) -> Point:
    assert design.reservoir is not None
    return design.reservoir.place


def _is_box(analysis: Analysis, obstacle_id: str) -> bool:
    return obstacle(analysis.design, obstacle_id).shape == "box"


def _square_reservoir(analysis: Analysis, _: str) -> bool:
    return analysis.reservoir is not None and analysis.reservoir.part.shape == "box"


_BUCKET = (
    Section(
        "Bucket",
        (
            bucket_entry(
                "station",
                "From the capped end",
                "Where its hole is drilled in the drain, as the tape lies from the capped end.",
                "length",
                read=_from_cap,
                write=_set_from_cap,
                step="Move the bucket",
            ),
            bucket_entry(
                "side",
                "Side of the drain",
                "Looking from the outlet end to the capped end.",
                "choice",
                options=(("left", "left"), ("right", "right")),
                step="Change the side",
            ),
            bucket_entry(
                "part",
                "Bucket",
                "The bucket itself, where it differs from its run.",
                "part",
                parts="bucket",
                blank="as its run",
            ),
            bucket_entry(
                "crop",
                "Crop",
                "What grows in it, where it differs from its run.",
                "crop",
                blank="as its run",
            ),
            bucket_entry(
                "feed",
                "Feed",
                "Tie it off where nothing grows; block it to see what follows when it clogs.",
                "choice",
                options=((None, "open"), ("tied_off", "tied off"), ("blocked", "blocked")),
                step="Change the feed",
            ),
            facts.BUCKET_DISTANCE,
            facts.BUCKET_STAND,
            facts.BUCKET_WINDOW,
            facts.BUCKET_TAIL,
            facts.BUCKET_VOLUME,
        ),
    ),
)

_RESERVOIR = (
    Section(
        "Reservoir",
        (
            reservoir_entry(
                "part", "Reservoir", "The tote, box or barrel.", "part", parts="reservoir"
            ),
            reservoir_entry("pump", "Pump", "Stands in the reservoir.", "part", parts="pump"),
            reservoir_entry("sunk", "Sunk", "How deep it stands below the ground."),
            reservoir_entry(
                "freeboard",
                "Rim to full level",
                "Room left for what runs back when the pump stops.",
            ),
            reservoir_entry(
                "low_water",
                "Floor to low water",
                "The level at which you top it up; the pump must stay covered.",
                step="Set the low water",
            ),
            reservoir_entry(
                "bypass",
                "Valve straight back",
                "How far a valve at the pump is open that lets water back into the reservoir; "
                "0 % where there is none. It holds the feed back.",
                "quantity",
                measure=SHARE,
                step="Turn the valve straight back",
            ),
            reservoir_entry(
                "siphon_break",
                "Air hole in the feed",
                "A small hole above the full level, so that the feed cannot siphon when the pump "
                "stops.",
                "yes_no",
                step="Change the air hole in the feed",
            ),
            facts.RESERVOIR_FULL,
            facts.RESERVOIR_WORKING,
            facts.RESERVOIR_LEVELS,
        ),
    ),
    Section(
        "Place of the reservoir",
        (
            *place_entries(_reservoir_place, "the middle of the reservoir"),
            reservoir_entry(
                "turn",
                "Turn",
                "Against the clock.",
                "degrees",
                shown_if=_square_reservoir,
                step="Turn the reservoir",
            ),
        ),
    ),
)

_OBSTACLE = (
    Section(
        "Obstacle",
        (
            obstacle_entry("name", "Name", "What the drawings call it.", "text"),
            obstacle_entry(
                "kind",
                "Kind",
                "Walls and posts stand in the way; doors, paths and areas are kept free.",
                "choice",
                options=tuple(OBSTACLE_WORDS.items()),
            ),
            obstacle_entry(
                "shape",
                "Shape",
                "As seen from above.",
                "choice",
                options=(("box", "box"), ("round", "round")),
            ),
            obstacle_entry("width", "Width", "Across, before it is turned."),
            obstacle_entry("depth", "Depth", "Up the plan, before it is turned.", shown_if=_is_box),
            obstacle_entry(
                "turn",
                "Turn",
                "Against the clock.",
                "degrees",
                shown_if=_is_box,
                step="Turn the obstacle",
            ),
            *place_entries(
                lambda design, i: obstacle(design, i).place, "the middle of the obstacle"
            ),
        ),
    ),
)

_SITE = (
    Section(
        "Site outline",
        (
            Entry(
                "Corners",
                "Change the site outline",
                "The corners of the ground you have, in turn around it.",
                "corners",
                lambda a, _: a.design.outline,
                lambda design, _, corners: edits.set_outline(design, corners),
                bounds=LENGTH_OF_A_PLACE,
            ),
        ),
    ),
)

_DESIGN = (
    Section(
        "Design",
        (
            design_entry("title", "Title", "Stands on every sheet.", "text"),
            design_entry("notes", "Notes", "Kept with the design and printed.", "notes"),
            design_entry(
                "units",
                "Units",
                "How lengths, volumes and weights are shown and typed.",
                "choice",
                options=(("metric", "metric (mm, L, kg)"), ("imperial", "feet, inches, gallons")),
                step="Change the units",
            ),
            design_entry(
                "paper",
                "Paper",
                "What the build sheet and the templates are printed on.",
                "choice",
                options=(("a4", "A4"), ("letter", "Letter")),
                step="Change the paper",
            ),
            facts.RUNS,
            facts.BUCKETS,
        ),
    ),
)

SECTIONS: Mapping[Kind, tuple[Section, ...]] = {
    "design": _DESIGN,
    "run": RUN_SECTIONS,
    "bucket": _BUCKET,
    "reservoir": _RESERVOIR,
    "obstacle": _OBSTACLE,
    "site": _SITE,
    "mixed": (),
}
