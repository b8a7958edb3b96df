"""Two designs side by side, as plain rows of numbers."""

from dataclasses import dataclass
from typing import Literal

from designer.analysis import Analysis
from designer.takeoff.whole import BedTakeoff

Kind = Literal["count", "money", "length", "litres", "kg", "share"]


@dataclass(frozen=True, slots=True)
class CompareRow:
    """One line: what is compared, both values (None where one is not known), and of which kind.
    Lengths are mm; a share is 0 to 1. `less_is_better` is None where neither is."""

    key: str
    label: str
    kind: Kind
    left: float | None
    right: float | None
    less_is_better: bool | None = None

    @property
    def difference(self) -> float | None:
        """Right less left; None where one is not known."""
        if self.left is None or self.right is None:
            return None
        return self.right - self.left


def compare(
    left: tuple[Analysis, BedTakeoff], right: tuple[Analysis, BedTakeoff]
) -> tuple[CompareRow, ...]:
    """Buckets, findings, materials, cost and weights of two beds. Weights are there once the
    stands are worked out. Two costs in different currencies are not compared: both read None."""
    one, two = _values(*left), _values(*right)
    currencies = {t.cost.currency for _, t in (left, right) if t.cost is not None}
    rows = []
    for key, label, kind, less in _ROWS:
        a, b = one[key], two[key]
        if kind == "money" and len(currencies) > 1:
            a = b = None
        if a is not None or b is not None:
            rows.append(CompareRow(key, label, kind, a, b, less))
    return tuple(rows)


_ROWS: tuple[tuple[str, str, Kind, bool | None], ...] = (
    ("buckets", "Buckets", "count", None),
    ("must_fix", "Must fix", "count", True),
    ("look_again", "Look again", "count", True),
    ("cost", "Cost", "money", True),
    ("cost_per_bucket", "Cost for each bucket", "money", True),
    ("missing", "Materials without a price", "count", True),
    ("sticks", "Sticks to buy", "count", True),
    ("waste", "Waste of pipe and boards", "share", True),
    ("drain", "Drain, capped end to outfall", "length", True),
    ("medium", "Medium in the buckets", "litres", None),
    ("first_fill", "Solution for the first fill", "litres", None),
    ("heaviest", "Heaviest bucket, wet", "kg", True),
    ("wet", "All buckets, wet", "kg", None),
    ("whole", "Everything on the ground, wet", "kg", None),
)


def _values(analysis: Analysis, takeoff: BedTakeoff) -> dict[str, float | None]:
    cost = takeoff.cost
    each = cost.per_bucket if cost is not None else None
    return {
        "buckets": len(analysis.places),
        "must_fix": analysis.counts["must_fix"],
        "look_again": analysis.counts["look_again"],
        "cost": float(cost.total) if cost is not None else None,
        "cost_per_bucket": float(each) if each is not None else None,
        "missing": len(cost.missing) if cost is not None else None,
        "sticks": takeoff.plan.sticks,
        "waste": takeoff.plan.waste,
        "drain": sum(layout.drain_length for layout in analysis.runs),
        "medium": sum(medium.need.filled for medium in takeoff.fill.media),
        "first_fill": takeoff.fill.volumes.first_fill,
        **_weights(analysis),
    }


def _weights(analysis: Analysis) -> dict[str, float | None]:
    """The heaviest bucket, all of them, and all that the ground carries but for the reservoir."""
    if not analysis.stands_current:
        return dict.fromkeys(("heaviest", "wet", "whole"))
    heaviest = wet = whole = 0.0
    for stand in analysis.stands.values():
        w = stand.weights
        heaviest = max([heaviest, *map(w.bucket, w.buckets)])
        wet += w.all_buckets
        whole += stand.whole
    return {"heaviest": heaviest, "wet": wet, "whole": whole}
