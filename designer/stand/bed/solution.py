"""All of one run's stand in one value."""

from designer.layout.run import RunLayout
from designer.model.catalogue import Catalogue
from designer.model.design import Design
from designer.stand.bed.rails import Rails, footings, off_rail, rail_section
from designer.stand.bed.record import StandResult
from designer.stand.bed.supports import built_fall, solve_lift, solve_supports, solve_tipping
from designer.stand.bed.weights import bed_weights
from designer.stand.timber import load_timber


def solve_stand(design: Design, layout: RunLayout, catalogue: Catalogue) -> StandResult:
    """The stand of one run: weights, rails, supports, stability, lifting.

    The timber's method follows its grade, and the default grade the design's units. Rails are wet
    and the load is permanent.
    """
    grade = load_timber().grade(layout.run.stand.timber, design.units)
    section = rail_section(layout)
    weights = bed_weights(layout, catalogue, grade, section)
    feet = footings(layout)
    rails = Rails(layout, grade, section, weights, feet)
    lines = rails.solve()
    supports = solve_supports(layout, lines, weights)
    ground = min((s.ground for s in supports), default=0.0)
    return StandResult(
        layout,
        grade,
        section,
        rails.strength,
        lines,
        supports,
        feet,
        off_rail(layout),
        weights,
        solve_tipping(layout, supports, weights, catalogue),
        solve_lift(layout, weights, ground),
        built_fall(layout),
    )
