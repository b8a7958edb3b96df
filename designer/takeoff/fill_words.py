"""The filling of a bed in words, for the panel, the command line and the sheet alike."""

from collections.abc import Iterator
from dataclasses import dataclass

from designer.model.design import DoseUnit
from designer.takeoff.fill import BucketFill, CropNeeds, Dose, FillPlan, MediumBags
from designer.takeoff.nutrients import Window
from designer.units import (
    LITRES_PER_GALLON,
    UnitSystem,
    format_bag,
    format_length,
    format_loose,
    format_mass,
    format_volume,
    style_for,
)

NEEDED_WORDS = {
    "label_rate": "the label’s rate",
    "rate_ec": "the EC that rate adds",
    "water_ec": "the EC of plain water",
    "target_ec": "the EC you aim at",
}


@dataclass(frozen=True, slots=True)
class FillLine:
    """One line: its name, what it says, and what it means."""

    label: str
    text: str
    why: str = ""


def medium_lines(plan: FillPlan, units: UnitSystem) -> Iterator[FillLine]:
    """What goes into each bucket, then each medium with its bags."""
    for alike in plan.buckets:
        yield FillLine(
            f"Each {alike.part.name}" + _among(alike, plan),
            f"{format_volume(alike.settled, units)} of {alike.medium.name}, "
            f"{format_length(alike.depth, style_for(units))} deep; "
            f"pour {format_volume(alike.poured, units)}",
            "Inside the bucket’s taper up to the depth. It settles when it is watered in, so more "
            "is poured.",
        )
    for medium in plan.media:
        need = medium.need
        yield FillLine(
            f"{need.medium.name} in all",
            f"{format_loose(need.to_buy, units)} loose for {_buckets(need.buckets)}, "
            f"{format_mass(need.dry_mass, units)} dry",
            "Dry mass of what is poured, from a typical density.",
        )
        if medium.bags:
            yield FillLine(
                f"Bags of {need.medium.name}",
                _bags(medium, units),
                "The fewest bags that hold enough. With a price book the cheapest are on the list.",
            )


def _among(alike: BucketFill, plan: FillPlan) -> str:
    return f", {alike.buckets} of them" if len(plan.buckets) > 1 else ""


def _bags(medium: MediumBags, units: UnitSystem) -> str:
    bags = " and ".join(f"{n} × {format_bag(size, units)}" for size, n in medium.bags)
    fills = "; ".join(
        f"{format_bag(size, units)} fills {buckets:.1f} buckets" for size, buckets in medium.fills
    )
    return f"{bags}, {format_volume(medium.left_over, units)} left over. A bag of {fills}"


def solution_lines(plan: FillPlan, units: UnitSystem) -> Iterator[FillLine]:
    """Where the water is: in the first fill, and while the pump runs."""
    v = plan.volumes
    yield FillLine(
        "First fill",
        f"{format_volume(v.first_fill, units)}: {format_volume(v.reservoir, units)} in the "
        f"reservoir, {format_volume(v.sumps, units)} in the sumps, "
        f"{format_volume(v.medium, units)} held by the medium",
        "What a dry bed takes until the reservoir stands at its full level with the pump off.",
    )
    tubes = "tubes and drain" if plan.drains_known else "the tubes; the drain is not worked out yet"
    yield FillLine(
        "While it runs",
        f"{format_volume(v.running, units)}: a full reservoir, and "
        f"{format_volume(v.in_transit, units)} in {tubes}",
        "What goes round. When the pump stops, what is on its way runs back.",
    )
    if plan.bucket_count and v.reservoir:
        yield FillLine(
            "Reservoir for each bucket", format_volume(v.per_bucket(plan.bucket_count), units)
        )


def nutrient_lines(plan: FillPlan, units: UnitSystem) -> Iterator[FillLine]:
    """The dose by the label and the one to the target EC, as far as the design holds them."""
    unit = plan.fill.dose_unit
    name = plan.fill.nutrient or "Nutrient"
    if plan.by_label is not None:
        yield FillLine(
            f"{name} by its label",
            _dose(plan.by_label, unit, units),
            "The label’s rate times the litres. Of a nutrient in two parts, so much of each.",
        )
    if plan.by_ec is None:
        lacking = _listed([NEEDED_WORDS[field] for field in plan.missing])
        yield FillLine("To the EC you aim at", f"type {lacking}")
    elif plan.by_ec.over > 0:
        yield FillLine(
            "To the EC you aim at",
            f"none: plain water is {ec_text(plan.by_ec.over)} above it already",
        )
    else:
        aim = ec_text(plan.fill.target_ec or 0.0)
        yield FillLine(
            f"{name} to {aim}",
            _dose(plan.by_ec, unit, units),
            "EC is taken to rise in proportion to the dose (from memory). Stir, measure, and "
            "correct.",
        )


def _dose(dose: Dose, unit: DoseUnit, units: UnitSystem) -> str:
    return (
        f"{rate_text(dose.rate, unit, units)}: {amount_text(dose.first_fill, unit)} for the first "
        f"fill, {amount_text(dose.reservoir, unit)} for a full reservoir"
    )


def crop_lines(plan: FillPlan) -> Iterator[FillLine]:
    """For each crop the whole range that its sources give, and whether the target is in it."""
    for need in plan.crops:
        ec, ph = range_text(*need.windows.ec_range), range_text(*need.windows.ph_range)
        text = f"EC {ec} mS/cm, pH {ph}"
        target = plan.fill.target_ec
        if target is not None and not need.allows(target):
            text += f". No source allows the {ec_text(target)} you aim at"
        elif need.windows.ec_agreed is None:
            text += ". The sources differ: see what each says"
        yield FillLine(
            f"{need.crop.name}, {_buckets(need.buckets)}",
            text,
            "From the lowest to the highest that any of the sources gives.",
        )


def source_lines(need: CropNeeds) -> Iterator[FillLine]:
    """What each source says of a crop: the range, and who gives it."""
    for name, unit, windows in (("EC", " mS/cm", need.windows.ec), ("pH", "", need.windows.ph)):
        for window in windows:
            said = f"{name} {range_text(window.low, window.high)}{unit}{_when(window)}"
            yield FillLine(said, str(window.evidence))


def fill_lines(plan: FillPlan, units: UnitSystem) -> Iterator[str]:
    """All of it as lines of text."""
    for heading, lines in (
        ("Medium", medium_lines(plan, units)),
        ("Solution", solution_lines(plan, units)),
        ("Nutrient", nutrient_lines(plan, units)),
    ):
        yield f"{heading}:"
        yield from (f"  {line.label}: {line.text}" for line in lines)
    if plan.crops:
        yield "EC and pH to hold:"
    for need, line in zip(plan.crops, crop_lines(plan), strict=True):
        yield f"  {line.label}: {line.text}"
        yield from (f"    {said.label}: {said.text}" for said in source_lines(need))


def rate_text(rate: float, unit: DoseUnit, units: UnitSystem) -> str:
    """A rate in ml or g for a litre, or for a US gallon to a reader of gallons."""
    if units == "metric":
        return f"{_figures(rate)} {unit} a litre"
    return f"{_figures(rate * LITRES_PER_GALLON)} {unit} a gallon"


def amount_text(amount: float, unit: DoseUnit) -> str:
    """An amount of nutrient: "85 ml", "1.2 L". Millilitres and grams stand on every jug."""
    if amount >= 1000:
        return f"{amount / 1000:.2f} {'L' if unit == 'ml' else 'kg'}"
    return f"{_figures(amount)} {unit}"


def ec_text(ec: float) -> str:
    """An EC to the tenth, as meters show it."""
    return f"{ec:.1f} mS/cm"


def _figures(amount: float) -> str:
    return f"{amount:.2f}".rstrip("0").rstrip(".") if amount < 10 else f"{amount:.0f}"


def range_text(low: float, high: float) -> str:
    """A range of EC or pH to the tenth: "5.5 to 6.5"."""
    return f"{low:.1f}" if low == high else f"{low:.1f} to {high:.1f}"


def _when(window: Window) -> str:
    return f", {window.when}" if window.when else ""


def _buckets(count: int) -> str:
    return "1 bucket" if count == 1 else f"{count} buckets"


def _listed(words: list[str]) -> str:
    return " and ".join(filter(None, (", ".join(words[:-1]), words[-1])))
