"""The tools that building and running a bed takes."""

from collections.abc import Iterator, Sequence

from designer.analysis import Analysis
from designer.layout.lid import plant_hole
from designer.layout.run import RunLayout
from designer.model.parts import HoleSawPart
from designer.takeoff.material import Material
from designer.units import UnitSystem, format_diameter

_DRILLING = (
    ("drill", "Drill and arbor", "turns the hole saws at low speed"),
    ("clamp", "Clamp", "holds bucket and pipe while you drill"),
    ("eye-protection", "Safety glasses", "for drilling and sawing"),
    ("dust-mask", "Dust mask", "wet dry medium before you pour it, and wear a mask"),
    ("steel-rule", "Steel rule", "measures the bars on the printed templates"),
    ("template-knife", "Scissors or craft knife", "cuts out the drill templates"),
    (
        "awl",
        "Awl or nail",
        "pricks the middle of each hole through its template (common practice, no source)",
    ),
)
"""(id, name, why) of what every bed with buckets takes."""
_RUN = (
    ("saw", "Saw for pipe and timber", "cuts the pipe and the rails"),
    ("tape-measure", "Tape measure", "marks the cut list and the supports"),
    ("level", "Spirit level", "sets the rails and the drain's fall"),
    ("string-line", "String line and pegs", "sets out the run and the supports"),
)
_WATER = (
    ("jug", "Measuring jug and watch", "measure the flow of a bucket"),
    ("ec-meter", "EC meter", "reads the strength of the solution"),
    ("ph-meter", "pH meter or test drops", "reads the pH of the solution"),
    ("thermometer", "Thermometer", "reads the temperature of the solution"),
)


def tools(analysis: Analysis) -> Iterator[Material]:
    """Each tool with what it is for; sizes in the design's units, as the templates say them."""
    units = analysis.design.units
    with_buckets = [layout for layout in analysis.runs if layout.places]
    saws: dict[HoleSawPart, list[str]] = {}
    for layout in with_buckets:
        for saw, use in (
            (layout.parts.outlet_saw, "the grommet's hole in each bucket"),
            (layout.parts.drain_saw, "the hole in the drain under each tail"),
        ):
            uses = saws.setdefault(saw, [])
            if use not in uses:
                uses.append(use)
    for saw, uses in sorted(saws.items(), key=lambda pair: pair[0].diameter):
        yield _tool(saw.id, saw.name, f"cuts {' and '.join(uses)}")
    bits = {layout.parts.barb.hole_diameter for layout in with_buckets}
    for bit in sorted(b for b in bits if b > 0):
        name = f"{format_diameter(bit, units)} drill bit"
        yield _tool(f"drill-{bit:g}-mm", name, "drills the manifold for each barb")
    if with_buckets:
        yield from (_tool(*words) for words in _DRILLING)
        why = f"cuts the plants' holes in the lids, {_plant_holes(with_buckets, units)}"
        yield _tool("lid-cutter", "Hole saw or knife for the lids", why)
    if analysis.runs:
        yield from (_tool(*words) for words in _RUN)
    if analysis.reservoir is not None:
        if analysis.reservoir.reservoir.sunk > 0:
            yield _tool("spade", "Spade", "digs the reservoir's hole")
        yield from (_tool(*words) for words in _WATER)


def _tool(item: str, name: str, why: str) -> Material:
    return Material(item, name, "hardware", 1.0, 0.0, "pieces", why, "tool")


def _plant_holes(layouts: Sequence[RunLayout], units: UnitSystem) -> str:
    """The sizes of the holes for plants, as the lids' templates have them."""
    holes = {plant_hole(layout.run, place.crop) for layout in layouts for place in layout.places}
    return " and ".join(format_diameter(hole, units) for hole in sorted(holes))
