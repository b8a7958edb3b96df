"""The water of the bed: its key numbers, every bucket's flow, the charts, and what they rest on."""

from collections.abc import Sequence

from reportlab.platypus import Flowable, Table

from designer.analysis import Analysis
from designer.checks.water.situation import WaterSituation
from designer.drawing.charts import cycle_chart, drain_chart, flow_bars, grade_chart, pump_chart
from designer.drawing.flow_classes import mean_flow
from designer.drawing.styles import PRINT
from designer.sheet.flowables import Pictured
from designer.sheet.pages import (
    SUBHEAD,
    SheetPage,
    flow_pages,
    gap,
    paragraph,
    table,
    text_page_room,
)
from designer.sheet.paper import POINTS_PER_MM, Paper
from designer.sheet.picture_words import charts_in_words
from designer.sheet.water_grounds import grounds
from designer.sheet.words import length
from designer.water.bed.drains import RunDrain
from designer.water.bed.feed import LITRES_PER_HOUR
from designer.water.outlet import OutletRegime

SECTION = "Water"
MANY = 24
"""More buckets than this, and their flows are set in narrow columns."""
WIDTH = 180.0
"""Width of the tables and charts, mm."""
_BETWEEN = 2.5


def water_pages(analysis: Analysis, paper: Paper) -> list[SheetPage]:
    """The pages about the water; none where it is not solved or not current."""
    water = analysis.water
    if water is None or not analysis.water_current:
        return []
    situation = WaterSituation(water, analysis.catalogue)
    blocks: list[Sequence[Flowable]] = [
        _key_numbers(analysis, situation),
        _flows(analysis, situation),
        grounds(situation),
        _charts(situation, paper),
    ]
    return flow_pages(SECTION, blocks, paper)


def _key_numbers(analysis: Analysis, s: WaterSituation) -> list[Flowable]:
    rows = [*_feed_rows(s), *_drain_rows(analysis, s), *_store_rows(analysis, s)]
    return [
        paragraph("What the water will do", SUBHEAD),
        gap(1.5),
        table(("What", "How much"), rows, (46, WIDTH - 46)),
        gap(_BETWEEN),
    ]


def _feed_rows(s: WaterSituation) -> list[tuple[str, str]]:
    feed = s.water.feed
    lift = s.head(max(feed.result.static_head, 0.0))
    most = s.head(feed.curve.shut_off_head)
    if not feed.running:
        return [("Pump", f"gives this bed no water: it lifts {most} at most, {lift} are needed")]
    least, greatest = feed.spread
    speeds = [
        max(abs(v) for n, v in feed.result.stretch_velocities.items() if n.startswith(f"{run}/"))
        for run in s.water.drains
    ]
    low = feed.low.flow / LITRES_PER_HOUR
    flows = feed.open_flows
    return [
        (
            "Pump, at its duty point",
            (
                f"{s.flow(feed.flow)} at {s.head(feed.head)} of head; {s.flow(least)} to "
                f"{s.flow(greatest)} by four published methods for fittings; "
                f"{s.flow(low)} at low water"
            ),
        ),
        ("Lift", f"{lift} of the {most} that the pump can lift"),
        (
            "Flow to a bucket",
            f"{s.flow(min(flows))} to {s.flow(max(flows))}, mean {s.flow(mean_flow(feed))}",
        ),
        (
            "Uniformity",
            (
                f"emission uniformity {feed.emission_uniformity:.0f} %, Christiansen uniformity "
                f"{feed.christiansen:.0f} %"
            ),
        ),
        ("Fastest in the manifold", " / ".join(map(s.speed, speeds))),
    ]


def _drain_rows(analysis: Analysis, s: WaterSituation) -> list[tuple[str, str]]:
    rows = []
    several = len(analysis.runs) > 1
    for run_id, drain in s.water.drains.items():
        name = f" of {drain.layout.run.name}" if several else ""
        station, fill = drain.fullest
        rows.append(
            (
                f"Drain{name}",
                (
                    f"{100 * fill:.0f} % full at most, {length(station, s.units)} from the outlet "
                    f"end. {drain.profile.regime.value}"
                ),
            )
        )
        rows.append((f"Drain{name} blocked", _blocked(analysis, s, run_id)))
    return rows


def _blocked(analysis: Analysis, s: WaterSituation, run_id: str) -> str:
    found = s.water.blocked(run_id)
    if found is None or found.bucket_id is None or found.seconds is None:
        return "nothing overflows: the reservoir is down to the pump first"
    label = analysis.bucket_label(found.bucket_id)
    where = f"out of hole {label} in the drain" if found.by_hole else f"over bucket {label}"
    return f"water runs {where} first, after {_duration(found.seconds)} of pumping"


def _duration(seconds: float) -> str:
    return f"{seconds / 60:.0f} minutes" if seconds >= 120 else f"{seconds:.0f} seconds"


def _store_rows(analysis: Analysis, s: WaterSituation) -> list[tuple[str, str]]:
    store, buckets = s.water.reservoir, list(s.water.buckets.values())
    highest = max(buckets, key=lambda b: b.high)
    standing = "no water"
    if highest.band.regime is not OutletRegime.DRY:
        standing = (
            f"at most {s.say(max(highest.high, 0.0))} over the outlet, the uncertainty counted. "
            f"{highest.band.regime.value}"
        )
    back = f"{s.volume(store.drain_back)} run back, "
    if store.overflow > 0:
        back += f"{s.volume(store.overflow)} of it over the rim"
    else:
        back += f"which leaves {s.say(store.freeboard)} below the rim"
    rows = [("Water in a bucket", standing), ("When the pump stops", back)]
    if store.top_up_days is not None:
        rows.append(
            (
                "Top up",
                (
                    f"every {store.top_up_days:.1f} days: {s.volume(store.working)} between full "
                    f"and low water, {s.volume(store.daily_use)} used on a hot day"
                ),
            )
        )
    if store.hours_without_pump is not None:
        rows.append(
            ("Without the pump", f"{store.hours_without_pump:.1f} hours in the heat of the day")
        )
    energy, price = store.energy, s.design.water.energy_price
    rows.append(
        (
            "Pump's energy",
            f"{energy.kilowatt_hours:.1f} kWh a month, {energy.cost:.2f} at {price:.2f} for a kWh",
        )
    )
    return rows


def _flows(analysis: Analysis, s: WaterSituation) -> list[Flowable]:
    """Every bucket's flow from the capped end, down one group of columns and on in the next."""
    feed = s.water.feed
    mean = mean_flow(feed)
    cells = []
    for layout in s.water.runs:
        for place in layout.from_cap:
            bucket = s.water.buckets[place.bucket.id]
            flow = s.flow(bucket.flow)
            share = f"{100 * bucket.flow / mean:.0f} %" if mean > 0 else ""
            if place.bucket.feed is not None:
                flow, share = place.bucket.feed.replace("_", " "), ""
            cells.append((analysis.bucket_label(place.bucket.id), flow, share))
    groups = 6 if len(cells) > MANY else min(3, len(cells))
    heads: tuple[str, ...] = ("Bucket", "Flow", "Of mean")
    widths: tuple[float, ...] = (18, 24, 18)
    if groups == 6:
        heads, widths = ("", "Flow"), (12, 18)
    deep = -(-len(cells) // groups)
    rows = []
    for row in range(deep):
        words: list[str] = []
        for group in range(groups):
            at = group * deep + row
            cell = cells[at] if at < len(cells) else ("", "", "")
            words += cell[: len(heads)]
        rows.append(words)
    right = [i for i in range(groups * len(heads)) if i % len(heads)]
    return [
        paragraph("Flow of each bucket", SUBHEAD),
        gap(1.5),
        table(heads * groups, rows, widths * groups, right),
        gap(_BETWEEN),
    ]


def _charts(s: WaterSituation, paper: Paper) -> list[Flowable]:
    """The charts of the whole bed and of the run whose drain is fullest, one page of them."""
    water = s.water
    room = text_page_room(paper)
    wide = min(WIDTH, room.width)
    half = (wide - _BETWEEN) / 2
    free = room.height - 3 * _BETWEEN - 1.0
    tall = [share * free for share in (0.26, 0.2, 0.22, 0.32)]
    run_id = max(water.drains.values(), key=_fill).layout.run.id
    said = charts_in_words(s, run_id)
    return [
        _beside(
            Pictured(pump_chart(water, half, tall[0], PRINT), said.pump),
            Pictured(grade_chart(water, run_id, half, tall[0], PRINT), said.pressure),
            wide,
        ),
        gap(_BETWEEN),
        Pictured(flow_bars(water, wide, tall[1], PRINT), said.flows),
        gap(_BETWEEN),
        Pictured(drain_chart(water, run_id, wide, tall[2], PRINT), said.drain),
        gap(_BETWEEN),
        Pictured(cycle_chart(water, wide, tall[3], PRINT), said.day),
    ]


def _fill(drain: RunDrain) -> float:
    return drain.fullest[1]


def _beside(left: Flowable, right: Flowable, wide: float) -> Table:
    """Two charts side by side, together `wide` mm."""
    columns = [wide / 2 * POINTS_PER_MM] * 2
    made = Table([[left, right]], colWidths=columns, hAlign="LEFT")
    edges = [(f"{edge}PADDING", (0, 0), (-1, -1), 0) for edge in ("LEFT", "RIGHT", "TOP", "BOTTOM")]
    made.setStyle([*edges, ("ALIGN", (1, 0), (1, 0), "RIGHT")])
    return made
