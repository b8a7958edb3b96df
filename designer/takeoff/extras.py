"""What is bought beside what is drawn: lids, wedges, plants, nutrient, and what is used up."""

from collections import Counter
from collections.abc import Iterator

from designer.analysis import Analysis
from designer.model.parts import Crop
from designer.takeoff.fill import fill_plan
from designer.takeoff.fill_words import amount_text
from designer.takeoff.material import BuyOptions, Department, Material, Role
from designer.takeoff.quantities import timer_item


def extras(analysis: Analysis, options: BuyOptions) -> Iterator[Material]:
    """Materials that go by the bucket, the support or the reservoir, and the plants."""
    wedges = 2.0 * sum(len(layout.shims) for layout in analysis.runs)
    if wedges:
        why = (
            "two to a support: one on each side of the drain, so that it cannot roll (common "
            "practice, no source)"
        )
        yield _line("wedge", "Timber wedge", "timber", wedges, why)
    if analysis.reservoir is not None:
        why = (
            "firm, cut out for the drain, the tube and the cable; keeps children, light and leaves "
            "out (common practice, no source)"
        )
        yield _line("reservoir-cover", "Cover for the reservoir", "hardware", 1.0, why)
    count = float(len(analysis.places))
    if not count:
        return
    if options.lids:
        why = "one to a bucket, cut out for the plant; keeps light and insects off the medium"
        yield _line("bucket-lid", "Bucket lid", "hardware", count, why)
    if options.liner_bags:
        why = "one to a bucket; keeps the medium out of the outlet (common practice, no source)"
        yield _line("liner-bag", "Mesh liner bag", "garden", count, why)
    ties = 2 * count
    why = "two to a bucket: one holds the manifold, one the feed tube (common practice, no source)"
    yield _line("cable-tie", "Cable tie", "hardware", ties, why, spare=options.spare(ties))
    if analysis.reservoir is not None:
        why = (
            "holds the tube on the pump's outlet where it slips on; with any other outlet buy the "
            "adapter that fits both (common practice, no source)"
        )
        yield _line("hose-clamp", "Hose clamp", "garden", 1.0, why)
    timer = timer_item(analysis)
    if timer is not None:
        yield _line(timer.id, timer.name, "electrical", 1.0, timer.why)
    yield from _plants(analysis)


def _plants(analysis: Analysis) -> Iterator[Material]:
    """Young plants by crop, without buckets that are tied off."""
    grown: Counter[Crop] = Counter(
        place.crop
        for layout in analysis.runs
        for place in layout.from_cap
        if place.bucket.feed != "tied_off"
    )
    for crop, buckets in grown.items():
        each = crop.plants_per_bucket
        why = f"{each} to a bucket, in {buckets} {'bucket' if buckets == 1 else 'buckets'}"
        name = f"Young plant: {crop.name}"
        yield _line(f"plant-{crop.id}", name, "garden", float(each * buckets), why)


def consumables(analysis: Analysis) -> Iterator[Material]:
    """What building and running uses up."""
    if not analysis.places:
        return
    for item, name, why in (
        ("marker", "Marker pen", "writes the labels of the cut list on each piece"),
        ("tape", "Adhesive tape", "holds the drill templates while you mark the holes"),
        ("abrasive", "Abrasive paper", "takes the burr off cut pipe and drilled holes"),
    ):
        yield _line(item, name, "hardware", 1.0, why, role="consumable")
    if analysis.reservoir is None:
        return
    name = analysis.design.fill.nutrient or "Nutrient for hydroponics"
    yield _line("nutrient", name, "garden", 1.0, _dosed(analysis), role="consumable")
    for item, name, way in (("ph-down", "pH down", "lowers"), ("ph-up", "pH up", "raises")):
        why = f"{way} the solution's pH to its window (common practice, no source)"
        yield _line(item, name, "garden", 1.0, why, role="consumable")


def _dosed(analysis: Analysis) -> str:
    """How much nutrient: to the EC aimed at, or else by the label, where the design has a rate."""
    plan = fill_plan(analysis)
    dose = plan.by_ec or plan.by_label
    if dose is None or dose.first_fill <= 0:
        return "made for growing in water; dose it by its own label"
    first, full = (
        amount_text(amount, plan.fill.dose_unit) for amount in (dose.first_fill, dose.reservoir)
    )
    return f"{first} for the first fill, then {full} for each full reservoir"


def _line(
    item: str,
    name: str,
    department: Department,
    count: float,
    why: str,
    *,
    spare: float = 0.0,
    role: Role = "material",
) -> Material:
    return Material(item, name, department, count, spare, "pieces", why, role)
