"""The page "Measure yours": every value of a part in use that nobody has measured or published.

Makers differ, so each stands with the value that was used and a line for the measured one.
"""

from collections.abc import Callable, Sequence
from dataclasses import fields

from reportlab.platypus import Flowable

from designer.analysis import Analysis
from designer.model.parts import EmitterPart, Evidence, Part
from designer.sheet.pages import SMALL, SUBHEAD, SheetPage, flow_pages, gap, paragraph, table
from designer.sheet.paper import Paper
from designer.sheet.words import diameter, length
from designer.units import UnitSystem, format_flow, format_head

SECTION = "Measure yours"
UNSURE = ("second-hand", "from memory", "common practice")
"""How sure a value is that is to be measured."""

_SMALL_LENGTHS = {"wall", "flange_thickness", "hole_diameter", "diameter"}
_LARGE_KINDS = {"board", "block", "reservoir"}
_NAMES = {
    "rim_diameter": "Across the rim, outside",
    "top_diameter": "Across the wall at the top, outside",
    "base_diameter": "Across the base, outside",
    "outside_diameter": "Across, outside",
    "inside_diameter": "Across, inside",
    "wall": "Thickness of the wall",
    "stick_length": "Length as it is sold",
    "pipe_outside_diameter": "Across the pipe it takes, outside",
    "socket_depth": "Depth of the socket",
    "centre_to_socket_bottom": "From its centre to the socket's bottom",
    "body_diameter": "Across its body, outside",
    "hole_diameter": "Hole it needs",
    "flange_thickness": "Thickness of the flange",
    "flange_diameter": "Across the flange",
    "diameter": "Hole it cuts",
    "bulk_density": "Weight when dry",
    "water_percent": "Water it holds when drained",
    "available_percent": "Water that roots take with ease",
    "flow_at_no_head": "Flow at no height",
    "head_at_no_flow": "Greatest height",
    "cover": "Least water over its foot",
    "watts": "Power",
    "coefficient": "Flow at 1 m of water",
    "exponent": "Exponent",
    "rim_length": "Length at the rim, inside",
    "rim_width": "Width at the rim, inside",
    "base_length": "Length at the floor, inside",
    "base_width": "Width at the floor, inside",
    "length": "Length",
    "width": "Width",
    "height": "Height",
    "thickness": "Thickness",
}
_QUANTITIES: dict[str, Callable[[float, UnitSystem], str]] = {
    "bulk_density": lambda value, _: f"{value:g} kg/m3",
    "water_percent": lambda value, _: f"{value:g} %",
    "available_percent": lambda value, _: f"{value:g} %",
    "flow_at_no_head": format_flow,
    "coefficient": format_flow,
    "head_at_no_flow": format_head,
    "watts": lambda value, _: f"{value:g} W",
    "exponent": lambda value, _: f"{value:g}",
}


def measure_pages(analysis: Analysis, paper: Paper) -> list[SheetPage]:
    """The values by part and, by number, where each comes from; no page where every one was
    measured or published."""
    found = unsure_values(analysis)
    if not found:
        return []
    units = analysis.design.units
    sources: dict[str, int] = {}
    rows = []
    for part, values in found:
        for i, (name, value, evidence) in enumerate(values):
            number = sources.setdefault(evidence.source, len(sources) + 1)
            sure = f"{evidence.sure} ({number})"
            used = value_in_words(part, name, value, units)
            rows.append((part.name if i == 0 else "", _NAMES[name], used, "", sure))
    lead = paragraph(
        "Makers differ. These values were used for the drawings and nobody has measured them on "
        "your parts. Measure each before you drill, write it down and, where it differs, enter it "
        "in the program as a part of your own and print again."
    )
    heads = ("Part", "What", "Used", "Yours", "How sure")
    blocks: list[Sequence[Flowable]] = [
        [lead, gap(3)],
        [table(heads, rows, (42, 54, 22, 28, 34), right=(2,)), gap(3)],
        [
            paragraph("Where the values come from", SUBHEAD),
            *(paragraph(f"({n}) {_sentence(source)}", SMALL) for source, n in sources.items()),
        ],
    ]
    return flow_pages(SECTION, blocks, paper)


def _sentence(source: str) -> str:
    return f"{source[:1].upper()}{source[1:].rstrip('.')}."


def unsure_values(analysis: Analysis) -> list[tuple[Part, list[tuple[str, float, Evidence]]]]:
    """Each part in use with its values (field, value, evidence) that are to be measured."""
    found = []
    for part in parts_in_use(analysis):
        values = []
        for one in fields(part):
            value = getattr(part, one.name)
            if not isinstance(value, int | float) or not value:
                continue
            evidence = analysis.catalogue.evidence_of(part.id, one.name)
            if evidence.sure in UNSURE:
                values.append((one.name, float(value), evidence))
        if values:
            found.append((part, values))
    return found


def parts_in_use(analysis: Analysis) -> list[Part]:
    """Every part of the design once, buckets first."""
    parts: dict[str, Part] = {}
    for layout in analysis.runs:
        parts |= {place.part.id: place.part for place in layout.places}
    for layout in analysis.runs:
        names = [one.name for one in fields(layout.parts) if one.name != "crop"]
        own = [getattr(layout.parts, name) for name in names if name != "bucket"]
        if layout.run.manifold.emitter is not None:
            own.append(analysis.catalogue.part(layout.run.manifold.emitter, EmitterPart))
        parts |= {part.id: part for part in own}
    if analysis.reservoir is not None:
        tank = analysis.reservoir
        parts |= {tank.part.id: tank.part, tank.pump.id: tank.pump}
    return list(parts.values())


def value_in_words(part: Part, name: str, value: float, units: UnitSystem) -> str:
    """A value of a part with its unit, as fine as a person can measure it."""
    if name in _QUANTITIES:
        return _QUANTITIES[name](value, units)
    large = part.kind in _LARGE_KINDS or name in ("stick_length", "height")
    if large and name not in _SMALL_LENGTHS:
        return length(value, units)
    return diameter(value, units)
