"""The stand of each run: what it carries, how its rails do, its supports, tipping and lifting."""

from collections.abc import Sequence

from reportlab.platypus import Flowable

from designer.analysis import Analysis
from designer.checks.stand.situation import CAUTION, StandSituation
from designer.layout.site import ReservoirLayout
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
from designer.sheet.words import count_of, courses
from designer.stand.bed.record import Stress
from designer.stand.loads import Weight, water_mass

SECTION = "Stand"


def stand_pages(analysis: Analysis, paper: Paper) -> list[SheetPage]:
    """The pages about the stand; none where it is not solved or not current."""
    if not analysis.stands_current or not analysis.stands:
        return []
    blocks: list[Sequence[Flowable]] = [[paragraph(CAUTION), gap(3)]]
    for stand in analysis.stands.values():
        s = StandSituation(analysis.design, stand, analysis.catalogue)
        name = f": {stand.layout.run.name}" if len(analysis.stands) > 1 else ""
        blocks += [_weights(analysis, s, name), _rails(s, name), _stability(s, name)]
        if stand.supports:
            blocks.insert(-1, _supports(s, name))
    return flow_pages(SECTION, blocks, paper)


def _weights(analysis: Analysis, s: StandSituation, name: str) -> list[Flowable]:
    weights = s.stand.weights
    heaviest = weights.heaviest
    rows: list[tuple[str, str, str]] = []
    if heaviest is not None:
        rows += [_weight(s, weight) for weight in weights.buckets[heaviest]]
        label = f"Bucket {analysis.bucket_label(heaviest)}, wet, the heaviest"
        rows.append((label, s.mass(weights.bucket(heaviest)), "all of the above"))
        rows.append((f"All {len(weights.buckets)}, wet", s.mass(weights.all_buckets), ""))
    rows += [_weight(s, w) for w in (weights.drain, weights.manifold, weights.rails)]
    rows.append(("One block", s.mass(weights.block.mass), str(weights.block.evidence)))
    whole = "buckets, drain, manifold, rails and blocks"
    rows.append(("All of it, full, on the ground", s.mass(s.stand.whole), whole))
    if analysis.reservoir is not None and s.id == list(analysis.stands)[-1]:
        rows.append(_reservoir(analysis.reservoir, s))
    return [
        paragraph(f"Weights{name}", SUBHEAD),
        gap(1.5),
        table(("What", "Weighs", "Where it comes from, and how sure"), rows, (50, 24, 106), (1,)),
        gap(4),
    ]


def _reservoir(tank: ReservoirLayout, s: StandSituation) -> tuple[str, str, str]:
    water = s.mass(water_mass(tank.litres_full))
    return "Water in the full reservoir", water, "besides; without the reservoir itself"


def _weight(s: StandSituation, weight: Weight) -> tuple[str, str, str]:
    return weight.name, s.mass(weight.mass), str(weight.evidence)


def _rails(s: StandSituation, name: str) -> list[Flowable]:
    stand = s.stand
    board = stand.layout.parts.rail.name
    edge = "on edge" if stand.layout.run.stand.on_edge else "flat"
    grade = f"reckoned as {stand.grade.name}; look for that mark on the board"
    if not stand.strength.graded:
        grade = "not stress graded, so nothing about it can be proven"
    rows = []
    for rail in stand.rails:
        sag = "not held"
        if rail.sag is not None:
            sag = f"{s.sag(rail.sag.first)}, {s.sag(rail.sag.last)} after years"
        shares = (_share(rail.bending), _share(rail.shear), _share(rail.bearing))
        rows.append((rail.name.capitalize() or "Rail", *shares, sag))
    return [
        paragraph(f"Rails{name}", SUBHEAD),
        paragraph(
            f"{count_of(len(stand.rails), 'rail')} of {board}, {edge}, {grade}. Shares are of what "
            "is allowed for wet timber under a lasting load; over 100 % is too much.",
            SMALL,
        ),
        gap(1.5),
        table(
            ("Rail", "Bending", "Shear", "Crushing on blocks", "Sag"),
            rows,
            (36, 26, 26, 38, 54),
            (1, 2, 3, 4),
        ),
        gap(4),
    ]


def _share(stress: Stress | None) -> str:
    return "not held" if stress is None else f"{100 * stress.ratio:.0f} %"


def _supports(s: StandSituation, name: str) -> list[Flowable]:
    rows = []
    for number, support in reversed(list(enumerate(s.stand.supports, 1))):
        rows.append(
            (
                str(number),
                s.at(support.station).removesuffix(" from the capped end"),
                courses(support.stack, s.units),
                s.say(support.shim) if support.shim > 0 else "none",
                s.say(support.rail_shim) if support.rail_shim > 0 else "none",
                s.pressure(support.pressure),
            )
        )
    return [
        paragraph(f"Supports{name}", SUBHEAD),
        paragraph(
            "Numbered from the outlet end, measured from the capped end. Blocks are courses of "
            f"{count_of(len(s.stand.layout.block_offsets), 'block')} end to end.",
            SMALL,
        ),
        gap(1.5),
        table(
            ("Support", "Station", "Blocks high", "Shim, drain", "Shim, rails", "On the soil"),
            rows,
            (20, 30, 52, 26, 26, 26),
            (1, 3, 4, 5),
        ),
        gap(4),
    ]


def _stability(s: StandSituation, name: str) -> list[Flowable]:
    made: list[Flowable] = [paragraph(f"Tipping and lifting{name}", SUBHEAD)]
    tipping, lift = s.stand.tipping, s.stand.lift
    if tipping is not None:
        words = "nothing tips it, one side full and the other empty included."
        if tipping.overturning > 0:
            words = (
                f"what holds it down is {tipping.ratio:.1f} times what tips it, over the "
                f"{tipping.edge}, {tipping.case}."
            )
        made.append(labelled("Tipping:", words))
    if lift is not None:
        words = (
            f"the heaviest bucket weighs {s.mass(lift.mass)} wet. Alone, lift at most "
            f"{s.mass(lift.limit)} here (revised NIOSH lifting equation, second-hand)."
        )
        if lift.mass > lift.limit:
            words += " Lift it by two, or take water and plant out first."
        block = s.stand.weights.block.mass
        if block > lift.limit:
            words += f" One block, {s.mass(block)}, is over that limit: let two people lift it."
        made.append(labelled("Lifting:", words))
    return [*made, gap(5)] if len(made) > 1 else []
