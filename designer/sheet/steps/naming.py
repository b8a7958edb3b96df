"""What the steps call tools, parts and runs: names and amounts of the take-off."""

from collections.abc import Collection, Sequence

from designer.analysis import Analysis
from designer.layout.run import Place, RunLayout
from designer.sheet.steps.step import Row
from designer.sheet.words import amount
from designer.takeoff.extras import consumables, extras
from designer.takeoff.material import BuyOptions
from designer.takeoff.quantities import take_off
from designer.takeoff.ranges import bucket_ranges
from designer.takeoff.tools import tools


def tool_names(analysis: Analysis, wanted: Collection[str]) -> tuple[str, ...]:
    """The names of the tools whose ids are wanted; "saw-" stands for all that begin so."""
    begins = tuple(one for one in wanted if one.endswith("-"))
    return tuple(
        tool.name
        for tool in tools(analysis)
        if tool.id in wanted or (begins and tool.id.startswith(begins))
    )


def in_a_sentence(name: str) -> str:
    """A part's name within a sentence: "Drain end cap" becomes "drain end cap"."""
    return name[:1].lower() + name[1:] if name[1:2].islower() else name


def parts_taken(analysis: Analysis, heading: str) -> tuple[tuple[str, str], ...]:
    """(name, how much) of what the bill of materials counts under a heading."""
    units = analysis.design.units
    return tuple(
        (item.name, ", ".join(amount(one, units) for one in item.amounts))
        for item in take_off(analysis).items
        if item.heading == heading
    )


def extras_taken(analysis: Analysis, wanted: Sequence[str]) -> tuple[tuple[str, str], ...]:
    """(name, how many) of what is bought beside the drawn parts, without spares, in the order
    wanted by id; "plant-" stands for all that begin so."""
    bought = [*extras(analysis, BuyOptions()), *consumables(analysis)]
    return tuple(
        (line.name, amount((line.needed, "pieces"), analysis.design.units))
        for one in wanted
        for line in bought
        if line.id == one or (one.endswith("-") and line.id.startswith(one))
    )


def of_run(analysis: Analysis, layout: RunLayout, title: str) -> str:
    """A title, with the run's name where there are several."""
    return f"{title}, {layout.run.name}" if len(analysis.runs) > 1 else title


def grouped(analysis: Analysis, places: Sequence[tuple[tuple[str, ...], Place]]) -> tuple[Row, ...]:
    """Buckets with the same cells on one row, which ends in their letters; in the order met."""
    found: dict[tuple[str, ...], list[str]] = {}
    for cells, place in places:
        found.setdefault(cells, []).append(place.bucket.id)
    return tuple(
        Row((*cells, bucket_ranges(analysis, ids)), tuple(ids)) for cells, ids in found.items()
    )


def every(layouts: Sequence[RunLayout]) -> list[tuple[RunLayout, Place]]:
    """Every bucket of some runs with its run, in drilling order."""
    return [(layout, place) for layout in layouts for place in layout.from_cap]
