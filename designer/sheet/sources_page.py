"""Sources and assumptions: the starting values nobody has changed, the crops' values, and who says
what the checks compare with."""

from collections.abc import Callable, Mapping, Sequence

from reportlab.platypus import Flowable

from designer.analysis import Analysis
from designer.model.design import Fill, Water
from designer.model.parts import Crop
from designer.sheet.pages import (
    SMALL,
    SUBHEAD,
    SheetPage,
    flow_pages,
    gap,
    labelled,
    paragraph,
    table,
)
from designer.sheet.paper import Paper
from designer.sheet.words import length
from designer.units import MM_PER_INCH, UnitSystem, format_mass
from designer.water.demand import plants_per_square_foot
from designer.water.water_quality import degrees

SECTION = "Sources and assumptions"

_Said = Callable[[float, UnitSystem], str]


def _plain(unit: str) -> _Said:
    return lambda value, _: f"{value:g} {unit}".rstrip()


def _depth(value: float, units: UnitSystem) -> str:
    return f"{value:g} mm" if units == "metric" else f"{value / MM_PER_INCH:.2f} in"


_SETTINGS: Mapping[str, tuple[str, _Said, str]] = {
    "temperature": ("Temperature of the solution", degrees, "Hang a thermometer in it at noon."),
    "on_minutes": ("Pump on, each time", _plain("min"), "See that every bucket runs through."),
    "off_minutes": ("Pump off, between", _plain("min"), "See that no plant wilts at noon."),
    "evapotranspiration": (
        "Evapotranspiration of a hot day (ETo)",
        _depth,
        "Ask the weather service; or note what you top up in a hot week.",
    ),
    "target_uniformity": ("Least uniformity aimed at", _plain("%"), "Measure with a jug."),
    "top_up_days": ("Days between top-ups", _plain("days"), "Your own choice."),
    "reserve_hours": ("Hours to last without the pump", _plain("h"), "Your own choice."),
    "energy_price": ("Price of 1 kWh", _plain(""), "It stands on your bill."),
    "manning_n": ("Manning n of the drain", lambda value, _: f"{value:.3f}", "Not to be measured."),
    "settling": ("Settling of the medium", _plain("%"), "Fill one bucket, water it, measure."),
}
"""What a setting is called, how it is said, and how to measure one's own."""
_CROP: Mapping[str, tuple[str, _Said]] = {
    "plants_per_bucket": ("Plants in a bucket", _plain("")),
    "canopy_spread": ("Spread of the leaves", length),
    "crop_coefficient": ("Crop coefficient (Kc)", _plain("")),
    "plants_per_m2": (
        "Plants to an area",
        lambda value, units: (
            f"{value:g} on 1 m²"
            if units == "metric"
            else f"{plants_per_square_foot(value):.2f} on 1 ft²"
        ),
    ),
    "plant_mass": ("One plant with its fruit", format_mass),
    "plant_hole": ("Hole in the lid", length),
}


def source_pages(analysis: Analysis, paper: Paper) -> list[SheetPage]:
    """The grounds of the design, those of its parts aside; no page for a design without a run."""
    if not analysis.runs:
        return []
    blocks: list[Sequence[Flowable]] = []
    settings = untouched_settings(analysis)
    if settings:
        blocks.append(_settings(settings))
    crops = crops_grown(analysis)
    if crops:
        blocks.append(_crops(analysis, crops))
    blocks += _checks(analysis)
    return flow_pages(SECTION, blocks, paper)


def untouched_settings(analysis: Analysis) -> list[tuple[str, str, str]]:
    """(what, value, how to measure) of each setting that still is what the program began with."""
    found = []
    for own, start in ((analysis.design.water, Water()), (analysis.design.fill, Fill())):
        for name, (words, said, how) in _SETTINGS.items():
            value = getattr(own, name, None)
            if value is not None and value == getattr(start, name, None):
                found.append((words, said(value, analysis.design.units), how))
    return found


def crops_grown(analysis: Analysis) -> list[Crop]:
    """Each crop of the design once."""
    return list(dict.fromkeys(place.crop for layout in analysis.runs for place in layout.from_cap))


def _settings(rows: Sequence[tuple[str, str, str]]) -> list[Flowable]:
    return [
        paragraph("Settings that are still the program's starting values", SUBHEAD),
        paragraph("From memory, no source. Type your own where you know better.", SMALL),
        gap(1.5),
        table(
            ("What", "Used", "How to find yours", "Yours"),
            [(*row, "") for row in rows],
            (62, 24, 66, 28),
            right=(1,),
        ),
        gap(4),
    ]


def _crops(analysis: Analysis, crops: Sequence[Crop]) -> list[Flowable]:
    units = analysis.design.units
    sources: dict[str, int] = {}
    rows = []
    for crop in crops:
        for i, (name, (words, said)) in enumerate(_CROP.items()):
            evidence = analysis.catalogue.evidence_of(crop.id, name)
            number = sources.setdefault(evidence.source, len(sources) + 1)
            used = said(getattr(crop, name), units)
            rows.append((crop.name if i == 0 else "", words, used, f"{evidence.sure} ({number})"))
    listed = "; ".join(f"({number}) {source}" for source, number in sources.items())
    return [
        paragraph("What the crops were taken to be", SUBHEAD),
        gap(1.5),
        table(("Crop", "What", "Used", "How sure"), rows, (60, 50, 34, 36), right=(2,)),
        gap(0.8),
        paragraph(f"{listed}.", SMALL),
        gap(4),
    ]


def _checks(analysis: Analysis) -> list[list[Flowable]]:
    """Each source once, with the checks that rest on it."""
    found: dict[str, list[str]] = {}
    for finding in analysis.findings:
        titles = found.setdefault(finding.source, [])
        if finding.title not in titles:
            titles.append(finding.title)
    if not found:
        return []
    blocks: list[list[Flowable]] = [
        [paragraph("What the checks rest on", SUBHEAD), gap(1)],
    ]
    for source, titles in found.items():
        said = f"{source[:1].upper()}{source[1:].rstrip('.')}:"
        blocks.append([labelled(said, f"{'; '.join(titles)}.", SMALL), gap(0.6)])
    return blocks
