"""What the Dimensions panel tells of a run's solved stand, in the person's units."""

from collections.abc import Callable

from designer.analysis import WORKING, Analysis
from designer.checks.stand.situation import StandSituation
from designer.units import format_slope
from designer.window.entries import Fact
from designer.window.facts import NONE_YET, say

Text = Callable[[Analysis, StandSituation], str]
NOT_HELD = "not held by two supports"


def _of_stand(text: Text) -> Callable[[Analysis, str], str]:
    """A text of the stand; while it is being worked out, that it is."""

    def shown(analysis: Analysis, run_id: str) -> str:
        stand = analysis.stands.get(run_id)
        if stand is None or not analysis.stands_current:
            return WORKING
        return text(analysis, StandSituation(analysis.design, stand, analysis.catalogue))

    return shown


def _grade(_: Analysis, s: StandSituation) -> str:
    return s.stand.grade.name


def _wet_bucket(analysis: Analysis, s: StandSituation) -> str:
    heaviest = s.stand.weights.heaviest
    if heaviest is None:
        return NONE_YET
    mass = s.mass(s.stand.weights.bucket(heaviest))
    if s.stand.layout.run.stand.bucket_weight is not None:
        return f"{mass}, as weighed"
    return f"{mass}, bucket {analysis.bucket_label(heaviest)}"


def _bending(_: Analysis, s: StandSituation) -> str:
    found = [rail.bending for rail in s.stand.rails if rail.bending is not None]
    if not found:
        return NOT_HELD
    worst = max(found, key=lambda stress: stress.ratio)
    not_graded = "" if s.stand.strength.graded else ", if it were graded"
    return f"{worst.ratio:.0%} of what is allowed{not_graded}"


def _sag(_: Analysis, s: StandSituation) -> str:
    found = [rail.sag for rail in s.stand.rails if rail.sag is not None]
    if not found:
        return NOT_HELD
    worst = min(found, key=lambda sag: sag.span_over_sag)
    return f"{s.sag(worst.first)} at first, {s.sag(worst.last)} after years"


def _soil(_: Analysis, s: StandSituation) -> str:
    worst = max((support.pressure for support in s.stand.supports), default=0.0)
    allowed = s.catalogue.limit(f"soil_{s.stand.layout.run.stand.soil}")
    return f"{s.pressure(worst)} of {s.pressure(allowed)}"


def _supports(analysis: Analysis, s: StandSituation) -> str:
    lines = []
    for support in s.stand.supports:
        stack = support.stack
        parts = ["1 block" if support.blocks == 1 else f"{support.blocks} blocks"]
        if stack.packing:
            parts.append(f"{say(analysis, stack.packing)} packing")
        if stack.sunk:
            parts.append(f"let in {say(analysis, stack.sunk)}")
        if support.rail_shim:
            parts.append(f"{say(analysis, support.rail_shim)} under the rails")
        parts.append(
            f"{say(analysis, support.shim)} under the drain" if support.shim else "no shim"
        )
        lines.append(f"At {say(analysis, support.station)}: {', '.join(parts)}")
    return "\n".join(lines)


def _fall(analysis: Analysis, s: StandSituation) -> str:
    fall = s.stand.fall
    if fall is None:
        return "no fall without two supports"
    units = analysis.design.units
    least, greatest = (format_slope(slope, units) for slope in (fall.least, fall.greatest))
    between = least if least == greatest else f"{least} to {greatest}"
    return f"{say(analysis, fall.total)}\n{between} between supports"


GRADE = Fact("Rails taken as", _of_stand(_grade), "The grade that the reckoning takes.")
WET_BUCKET = Fact(
    "Heaviest wet bucket",
    _of_stand(_wet_bucket),
    "Bucket, medium soaked to the outlet, the sump full, and plants with fruit.",
)
BENDING = Fact(
    "Bending of the rails",
    _of_stand(_bending),
    "The worst place of all rails, wet and loaded for years.",
)
SAG = Fact(
    "Sag of the rails",
    _of_stand(_sag),
    "The worst span. Wet wood creeps: it sags more over the years under the same load.",
)
SOIL = Fact(
    "Pressure on the soil", _of_stand(_soil), "Under the most loaded stack, and what it may be."
)
SUPPORTS = Fact(
    "Blocks and shims, from the outlet end",
    _of_stand(_supports),
    "What stands under rails and drain at each support, as thick as you can make it: to 1 mm or "
    "1/16 in.",
)
FALL_AS_BUILT = Fact(
    "Fall as built", _of_stand(_fall), "The fall that the rounded shims make over the whole run."
)
