"""What the numbers of the water rest on: each assumption, its value, its source and how sure."""

from reportlab.platypus import Flowable

from designer.checks.water.situation import WaterSituation
from designer.layout.volume import pore_share
from designer.model.design import Water
from designer.model.parts import Evidence
from designer.sheet.pages import SMALL, SUBHEAD, gap, labelled, paragraph
from designer.units import MM_PER_INCH
from designer.water.outlet import UNCERTAINTY

STARTING = Water()
"""What a new design begins with, before the person chooses."""
MEMORY = Evidence("from memory", "judgement")
Row = tuple[str, str, str]


def grounds(s: WaterSituation) -> list[Flowable]:
    """The assumptions, one to a line."""
    rows = [*_of_the_feed(s), *_of_the_drain(s), *_of_the_plants(s)]
    return [
        paragraph("What these numbers rest on", SUBHEAD),
        paragraph(
            "Measure the flow of a few buckets with a jug and a watch once the bed runs.", SMALL
        ),
        gap(1.0),
        *(
            labelled(f"{what}:", f"{value}. {source[:1].upper()}{source[1:]}.", SMALL)
            for what, value, source in rows
        ),
    ]


def _of_the_feed(s: WaterSituation) -> list[Row]:
    catalogue, feed, pump = s.catalogue, s.water.feed, s.water.layout.pump
    ends = str(catalogue.evidence_of(pump.id, "flow_at_no_head"))
    curve: Row = ("Pump's curve", f"{len(feed.curve.points)} points of it", ends)
    if feed.curve.exponent is not None:
        bend = catalogue.source("pump_exponent")
        curve = (
            "Bend of the pump's curve between its two known ends",
            f"exponent {feed.curve.exponent:g}",
            f"{bend}; the ends: {ends}",
        )
    rough = catalogue.limit("tube_roughness")
    rough_text = f"{rough:g} mm" if s.units == "metric" else f"{rough / MM_PER_INCH:.5f} in"
    least, most = feed.spread
    return [
        curve,
        ("Roughness of tubes", rough_text, catalogue.source("tube_roughness")),
        (
            "Losses in fittings by four published methods",
            f"{s.flow(least)} to {s.flow(most)} pumped",
            (
                "Crane TP-410, Hooper 2-K, Darby 3-K, Hydraulic Institute (published); none was "
                "made for small barbs"
            ),
        ),
    ]


def _of_the_drain(s: WaterSituation) -> list[Row]:
    water = s.design.water
    n = water.manning_n
    friction: Row = ("Friction in the drain", f"Manning n {n:.3f}", _chosen(n, STARTING.manning_n))
    if water.drain_friction == "darcy":
        friction = (
            "Friction in the drain",
            "Darcy-Weisbach",
            f"roughness as of the tubes: {s.catalogue.source('tube_roughness')}",
        )
    return [
        friction,
        (
            "Heights of water over a bucket's outlet",
            f"good to {100 * UNCERTAINTY:.0f} %",
            f"weir and full-bore flow, made for larger heads ({MEMORY.sure})",
        ),
    ]


def _chosen(value: float, starting: float) -> str:
    """Whose value it is."""
    return "the program's starting value" if value == starting else "as entered"


def _of_the_plants(s: WaterSituation) -> list[Row]:
    water = s.design.water
    media = {layout.parts.medium.id: layout.parts.medium for layout in s.water.runs}
    pores = sorted({pore_share(m.water_percent) for m in media.values()})
    rows: list[Row] = [
        (
            "Share of the medium that free water fills",
            " / ".join(f"{100 * share:.0f} %" for share in pores),
            MEMORY.sure,
        )
    ]
    seen: set[Row] = set()
    for bucket in s.water.buckets.values():
        # the last two are each bucket's own use and sump, not assumptions of the bed
        for one in bucket.power_cut.assumptions[:3]:
            row = (one.text, f"{one.value:.3g} {one.unit}", one.basis)
            if row not in seen:
                seen.add(row)
                rows.append(row)
    if water.plant_use is not None:
        rows.append(
            ("Use of a plant on a hot day", f"{s.volume(water.plant_use)} a day", "as entered")
        )
    else:
        eto = f"{water.evapotranspiration:g} mm"
        if s.units == "imperial":
            eto = f"{water.evapotranspiration / MM_PER_INCH:.2f} in"
        whose = _chosen(water.evapotranspiration, STARTING.evapotranspiration)
        rows.append(
            (
                "Evapotranspiration (ETo) of a hot day",
                f"{eto} a day",
                f"{whose}; use = ETo x Kc x area, FAO 56, Eq. 58; Kc second-hand",
            )
        )
    return rows
