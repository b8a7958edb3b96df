"""Solved beds that the tests of the bed's water start from."""

from dataclasses import replace

from designer.analysis import analyse_fully
from designer.model import edits
from designer.model.design import Design, Point
from designer.water.bed.solution import BedWater
from tests.beds import bed


def water_of(design: Design) -> BedWater:
    """The water of a design that has a reservoir and a bucket."""
    water = analyse_fully(design).water
    assert water is not None
    return water


def flows(design: Design) -> dict[str, float]:
    """L/h by bucket id."""
    return dict(water_of(design).feed.flows)


def stretched(buckets: int = 6) -> Design:
    """A bed with more than enough pump, so that all its buckets run well."""
    return edits.set_reservoir(bed(buckets), pump="pump-medium")


def two_runs(lift: float = 0.0, heading: float = 0.0) -> Design:
    """Two alike beds of three buckets, mirrored about the line through the reservoir; the second
    stands `lift` mm higher and has buckets "n1" to "n3"."""
    design = stretched(3)
    place = design.reservoir.place if design.reservoir else Point(0.0, 0.0)
    first = design.runs[0]
    first = replace(
        first,
        start=Point(0.0, 800.0),
        return_path=(Point(0.0, 100.0), Point(place.x, 100.0)),
        manifold=replace(first.manifold, offset=0.0),
    )
    second = replace(
        first,
        id="r2",
        start=Point(0.0, -800.0),
        heading=heading,
        return_path=(Point(0.0, -100.0), Point(place.x, -100.0)),
        stand=replace(first.stand, height=first.stand.height + lift),
        buckets=tuple(
            replace(
                bucket,
                id=bucket.id.replace("b", "n"),
                side="left" if bucket.side == "right" else "right",
            )
            for bucket in first.buckets
        ),
    )
    return replace(design, runs=(first, second))
