"""The bill of materials by count: what the design needs, each line with a short why.

Counts follow from the design alone. Nothing is bought here by the stick or the bag.
"""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Literal

from designer.analysis import Analysis
from designer.layout.run import RunLayout, path_length
from designer.layout.volume import bucket_litres
from designer.model.parts import EmitterPart, Part, PipePart
from designer.stand.bed.stacks import Standing, standing
from designer.takeoff.pieces import AS_IN_CATALOGUE, DrainLine, Piece, Sold, cut_list, drain_line
from designer.units import format_diameter

Measure = Literal["pieces", "length", "litres", "kg"]
Amount = tuple[float, Measure]
"""A number and what it counts: pieces, mm, litres or kg."""

"""Feed tubes are cut to the next 50 mm or 2 in."""


@dataclass(frozen=True, slots=True)
class Item:
    """One line of the bill: where it belongs, what it is, how much of it and why. `id` is the
    part's id in the catalogue, or one made from it for what the catalogue does not hold."""

    heading: str
    name: str
    amounts: tuple[Amount, ...]
    why: str
    id: str


@dataclass(frozen=True, slots=True)
class Takeoff:
    """The bill of materials and the cut list of a whole design."""

    items: tuple[Item, ...]
    pieces: tuple[Piece, ...]


def take_off(analysis: Analysis, sold: Sold = AS_IN_CATALOGUE) -> Takeoff:
    """Count everything a design is built of. Couplings are as few as the sticks allow that pipe is
    `sold` in, mm by part id; the catalogue's where none are named."""
    bill = _Bill()
    for layout in analysis.runs:
        line = drain_line(layout, sold)
        _buckets(bill, layout)
        _outlets(bill, layout)
        _drain(bill, layout, line)
        _feed(bill, analysis, layout)
        _emitters(bill, analysis, layout)
        _stand(bill, layout)
        _medium(bill, layout)
    if analysis.reservoir is not None:
        heading = "Reservoir and pump"
        bill.add(heading, analysis.reservoir.part, "holds the water")
        bill.add(heading, analysis.reservoir.pump, "feeds every manifold")
    return Takeoff(bill.items, cut_list(analysis, sold))


@dataclass
class _Bill:
    """Lines by heading and id, in the order they were first asked for."""

    lines: dict[tuple[str, str], Item] = field(default_factory=dict)

    def add(self, heading: str, part: Part, why: str, *amounts: Amount) -> None:
        """Add amounts (one piece when none is given) to the line of this heading and part."""
        self.add_other(heading, part.id, part.name, why, *amounts)

    def add_other(self, heading: str, item: str, name: str, why: str, *amounts: Amount) -> None:
        """The same for something the catalogue does not hold."""
        added = amounts or ((1.0, "pieces"),)
        key = (heading, item)
        if key in self.lines:
            before = self.lines[key]
            added = tuple(
                (old[0] + new[0], old[1]) for old, new in zip(before.amounts, added, strict=True)
            )
            why = before.why
        self.lines[key] = Item(heading, name, added, why, item)

    @property
    def items(self) -> tuple[Item, ...]:
        """The lines, those of one heading together, without those that count nothing."""
        headings = list(dict.fromkeys(heading for heading, _ in self.lines))
        kept = [item for item in self.lines.values() if any(a > 0 for a, _ in item.amounts)]
        return tuple(sorted(kept, key=lambda item: headings.index(item.heading)))


def _pieces(count: float) -> Amount:
    return count, "pieces"


def _buckets(bill: _Bill, layout: RunLayout) -> None:
    counted = Counter(place.part for place in layout.places)
    for part, count in counted.items():
        why = "one at each letter on the drawing"
        bill.add("Buckets and outlets", part, why, _pieces(count))


def _outlets(bill: _Bill, layout: RunLayout) -> None:
    heading, parts, count = "Buckets and outlets", layout.parts, len(layout.places)
    bill.add(heading, parts.grommet, "one in each bucket's outlet hole", _pieces(count))
    bill.add(
        heading,
        parts.elbow,
        "two to a bucket: one inside facing down, one outside over the drain",
        _pieces(2 * count),
    )
    length = count * layout.run.outlet.nipple_length + sum(map(layout.tail_length, layout.places))
    bill.add(
        heading,
        parts.outlet_pipe,
        "nipples and tails, as in the cut list, without saw cuts",
        (length, "length"),
    )


def _drain(bill: _Bill, layout: RunLayout, line: DrainLine) -> None:
    heading, pipe = "Drain", layout.parts.drain
    bill.add(heading, pipe, "from the capped end to the outfall", (line.length, "length"))
    bill.add(heading, layout.parts.cap, "closes the capped end; left loose to clean the pipe")
    bill.add_other(
        heading,
        f"{pipe.id}-coupling",
        f"Coupling for {pipe.name}",
        "joins the pieces of a straight",
        _pieces(line.couplings),
    )
    for angle, count in Counter(map(_elbow_angle, line.bends)).items():
        why = "at each corner of the return path; slacken the joint for the fall"
        name = f"{angle}° elbow for {pipe.name}"
        bill.add_other(heading, _elbow_id(pipe, angle), name, why, _pieces(count))


def drain_elbow_id(pipe: PipePart, turn: float) -> str:
    """The id of the elbow at a turn of the drain, degrees."""
    return _elbow_id(pipe, _elbow_angle(turn))


def _elbow_angle(turn: float) -> int:
    """Elbows are sold at 45 and 90 degrees; another turn is made up of two or sprung."""
    return 45 if turn < 67.5 else 90


def _elbow_id(pipe: PipePart, angle: int) -> str:
    return f"{pipe.id}-elbow-{angle}"


def _feed(bill: _Bill, analysis: Analysis, layout: RunLayout) -> None:
    heading, parts, count = "Feed", layout.parts, len(layout.places)
    bill.add(
        heading,
        parts.manifold,
        "from the pump, up to the rails and along the run",
        (manifold_length(analysis, layout), "length"),
    )
    bill.add(heading, parts.plug, "closes the manifold at the capped end")
    bill.add(heading, parts.barb, "one in the manifold at each bucket", _pieces(count))
    bill.add(
        heading,
        parts.feed_tube,
        "manifold to the middle of each bucket, over the rim (common practice, no source)",
        (layout.run.manifold.feed_length * count, "length"),
    )


def _emitters(bill: _Bill, analysis: Analysis, layout: RunLayout) -> None:
    emitter = layout.run.manifold.emitter
    if emitter is not None:
        part = analysis.catalogue.part(emitter, EmitterPart)
        bill.add("Feed", part, "one at the end of each feed tube", _pieces(len(layout.places)))


def manifold_length(analysis: Analysis, layout: RunLayout) -> float:
    """Length of a run's manifold tube, mm: the feed path from the pump's floor up to the rails,
    and the whole run. Without a reservoir the run alone."""
    run = layout.run
    reservoir = analysis.reservoir
    if reservoir is None:
        return run.length
    pump = (reservoir.reservoir.place.x, reservoir.reservoir.place.y)
    start = layout.frame.at(0.0, run.manifold.offset)
    path = (pump, *((p.x, p.y) for p in run.feed_path), start)
    level = layout.levels.rail_top(0.0) + run.manifold.height
    return path_length(path) + abs(level - reservoir.floor_level) + run.length


def _stand(bill: _Bill, layout: RunLayout) -> None:
    heading, rails = "Stand", layout.run.stand.rails
    bill.add(
        heading,
        layout.parts.rail,
        "rails under the buckets, as in the cut list",
        (rails * layout.run.length, "length"),
    )
    supports, abreast = standing(layout), len(layout.block_offsets)
    shimmed = f"{_where_shimmed(supports)}, as thick as the shim schedule says"
    wide = format_diameter(layout.parts.drain.outside_diameter, layout.units)
    high = " or ".join(str(n) for n in sorted({at.stack.courses for at in supports}))
    bill.add(
        heading,
        layout.parts.block,
        f"at every support {abreast} end to end across the bed, "
        f"{high} course{'' if high == '1' else 's'} high",
        _pieces(abreast * sum(at.stack.courses for at in supports)),
    )
    for item, name, count, why in (
        (
            "packing",
            "Packing for block stacks",
            abreast * sum(at.stack.packing > 0 for at in supports),
            "one on each block of the top course, to bring the stack up to its height",
        ),
        (
            "shims",
            "Shims for the drain, rot-proof",
            sum(at.shim > 0 for at in supports),
            f"plastic or hardwood, as wide as the drain ({wide}): one under the drain {shimmed}",
        ),
        (
            "rail-shims",
            "Shims for the rails, rot-proof",
            rails * sum(at.rail_shim > 0 for at in supports),
            "plastic or hardwood: one under each rail at a support, for they rise with the drain",
        ),
    ):
        bill.add_other(heading, item, name, why, _pieces(float(count)))


def _where_shimmed(supports: Sequence[Standing]) -> str:
    """At which supports the drain has a shim: it lies on the lowest without one."""
    bare = sum(at.shim <= 0 for at in supports)
    if bare > 1:
        return "where the schedule has one"
    return "at each support but the lowest" if bare else "at each support"


def _medium(bill: _Bill, layout: RunLayout) -> None:
    litres = medium_litres([layout])
    medium = layout.parts.medium
    kg = litres / 1000 * medium.bulk_density
    why = "fills every bucket to the depth of the design; dry mass from a typical density"
    bill.add("Medium", medium, why, (litres, "litres"), (kg, "kg"))


def medium_litres(layouts: Iterable[RunLayout]) -> float:
    """Litres of medium in all buckets of some runs."""
    return sum(
        bucket_litres(place.part, layout.run.medium_depth)
        for layout in layouts
        for place in layout.places
    )


def timer_item(analysis: Analysis) -> Item | None:
    """The timer of a pump that pauses; None for one that runs on, or where there is none."""
    water = analysis.design.water
    if analysis.reservoir is None or water.off_minutes <= 0:
        return None
    why = (
        f"runs the pump {water.on_minutes:g} minutes on and {water.off_minutes:g} minutes off; "
        "plug it into a socket with earth-fault protection"
    )
    pieces: tuple[Amount, ...] = ((1.0, "pieces"),)
    return Item("Reservoir and pump", "Socket timer for the pump", pieces, why, "timer")
