"""The take-off as lines of text: what to buy, cut and fill in, and what the stand carries."""

from collections.abc import Iterator

from designer.analysis import Analysis
from designer.checks.stand.situation import StandSituation
from designer.takeoff.cost import Costing
from designer.takeoff.fill_words import fill_lines
from designer.takeoff.material import DEPARTMENT_WORDS, Material
from designer.takeoff.materials import shopping_list, stick_text
from designer.takeoff.pieces import joined_otherwise
from designer.takeoff.sticks import PartPlan, PlannedStick
from designer.takeoff.whole import BedTakeoff
from designer.units import LengthStyle, UnitSystem, format_length, format_loose, style_for

JOINED_OTHERWISE = (
    "The stand was worked out with joints as in the usual stick. Measure the board as your own "
    "part, with the length of your sticks, to have it worked out with these."
)


def takeoff_lines(analysis: Analysis, takeoff: BedTakeoff) -> Iterator[str]:
    """The shopping list by department, each stick with its cuts in order, the filling, the stand
    in a few lines, and the cost where there are prices."""
    units = analysis.design.units
    for department, materials in shopping_list(takeoff.materials).items():
        yield f"{DEPARTMENT_WORDS[department]}:"
        for line in materials:
            yield f"  {buy_text(line, units)}  {line.name} ({line.why})"
    otherwise = joined_otherwise(analysis, takeoff.plan.sold)
    for part in takeoff.plan.parts:
        yield f"{part.part}, {proof_text(part)}:"
        if part.part_id in otherwise:
            yield f"  {JOINED_OTHERWISE}"
        for number, stick in enumerate(part.sticks, 1):
            yield f"  {number}. {_stick(stick, units)}"
        for cut in part.unplaced:
            size = format_length(cut.length, style_for(units))
            yield f"  {cut.mark}, {size}, is longer than any stick that is sold: join it"
    if takeoff.fill.bucket_count:
        yield from fill_lines(takeoff.fill, units)
    for stand in analysis.stands.values():
        yield from _stand(StandSituation(analysis.design, stand, analysis.catalogue))
    if takeoff.cost is not None:
        yield from _cost(takeoff.cost)


def buy_text(line: Material, units: UnitSystem) -> str:
    """How much of a material is bought, its spare in it."""
    if line.measure == "length":
        style = LengthStyle.M if units == "metric" else LengthStyle.FEET_INCHES
        return format_length(line.to_buy, style)
    if line.measure == "litres":
        return format_loose(line.to_buy, units)
    return f"{line.to_buy:.0f}"


def proof_text(part: PartPlan) -> str:
    """How good a part's plan is: proven, or how many sticks a better one could save at most."""
    if part.proven:
        return "proven: no other plan needs less"
    if part.shortfall == 1:
        return "within 1 stick of the least possible"
    return f"within {part.shortfall} sticks of the least possible"


def _stick(stick: PlannedStick, units: UnitSystem) -> str:
    style = style_for(units)
    cuts = ", ".join(f"{cut.mark} {format_length(cut.length, style)}" for cut in stick.cuts)
    owned = "own offcut, " if stick.owned else ""
    offcut = format_length(stick.offcut, style)
    return f"{owned}{stick_text(stick.stock, units)}: {cuts}; {offcut} left"


def _stand(s: StandSituation) -> Iterator[str]:
    stand = s.stand
    name = f"Stand of {stand.layout.run.name}"
    board = f"{stand.layout.parts.rail.name}, taken as {stand.grade.name}"
    if not stand.strength.graded:
        board = f"{stand.layout.parts.rail.name}, not stress graded"
    yield f"{name}: {len(stand.rails)} rails of {board}"
    stresses = [
        stress
        for rail in stand.rails
        for stress in (rail.bending, rail.shear, rail.bearing)
        if stress is not None
    ]
    sags = [rail.sag.last for rail in stand.rails if rail.sag is not None]
    if stresses and sags:
        most = max(stress.ratio for stress in stresses)
        yield f"  worst stress {most:.0%} of what is allowed, sag {s.sag(max(sags))} after years"
    for number, support in enumerate(stand.supports, 1):
        courses = "1 course" if support.blocks == 1 else f"{support.blocks} courses"
        shim = f"shim {s.say(support.shim)}" if support.shim > 0 else "no shim"
        yield f"  support {number}, {s.at(support.station)}: {courses} of blocks, {shim}"
    if stand.lift is not None:
        yield (
            f"  heaviest bucket {s.mass(stand.lift.mass)} wet, at most {s.mass(stand.lift.limit)} "
            "to lift alone"
        )


def _cost(cost: Costing) -> Iterator[str]:
    each = f", {cost.per_bucket:.2f} for each bucket" if cost.per_bucket is not None else ""
    yield f"Cost: {cost.total:.2f} {cost.currency}{each}"
    if cost.missing:
        yield f"  without a price: {', '.join(material.name for material in cost.missing)}"
