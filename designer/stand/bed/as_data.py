"""The stands of a bed as plain data, for the command line. mm, kg and N/mm2."""

from collections.abc import Iterable, Sequence
from math import isfinite
from typing import Any

from designer.stand.bed.record import RailResult, StandResult, Stress, SupportResult
from designer.stand.loads import Weight


def stand_record(
    stands: Iterable[StandResult], findings: Sequence[dict[str, Any]]
) -> dict[str, Any]:
    """Every line of rail and every support, run by run, and the findings as they are handed over.

    `shim_mm` is the shim under the drain, `blocks` the courses of a stack. A ratio is what is over
    what is allowed; null where no piece of the rail is held, or nothing can be said.
    """
    stands = list(stands)
    return {
        "rails": [_rail(stand, rail) for stand in stands for rail in stand.rails],
        "supports": [_support(support) for stand in stands for support in stand.supports],
        "findings": list(findings),
    }


def weights_record(stands: Iterable[StandResult]) -> dict[str, Any]:
    """What each wet bucket weighs, kg, what the heaviest one's weight is made of, and the rest of
    each run; every value with its source and how sure."""
    buckets: dict[str, float] = {}
    runs = []
    for stand in stands:
        weights = stand.weights
        buckets |= {name: _r(weights.bucket(name)) for name in weights.buckets}
        heaviest = weights.heaviest
        runs.append(
            {
                "run": stand.layout.run.id,
                "heaviest_bucket": heaviest,
                "made_of": [_weight(w) for w in weights.buckets[heaviest]] if heaviest else [],
                "drain": _weight(weights.drain),
                "manifold": _weight(weights.manifold),
                "rails": _weight(weights.rails),
                "block": _weight(weights.block),
                "lifting_limit_kg": _r(stand.lift.limit) if stand.lift else None,
            }
        )
    return {"buckets_kg": buckets, "runs": runs}


def _rail(stand: StandResult, rail: RailResult) -> dict[str, Any]:
    sag = rail.sag
    return {
        "run": stand.layout.run.id,
        "name": rail.name,
        "grade": stand.grade.name,
        "stress_graded": stand.strength.graded,
        "offset_mm": _r(rail.offset),
        "pieces_mm": [[_r(piece.start), _r(piece.end)] for piece in rail.pieces],
        "supports_mm": [_r(support.station) for support in stand.supports],
        "held": not rail.loose,
        "bending": _stress(rail.bending),
        "shear": _stress(rail.shear),
        "bearing": _stress(rail.bearing),
        "sag_first_mm": _r(sag.first) if sag else None,
        "sag_last_mm": _r(sag.last) if sag else None,
        "span_over_sag": _finite(sag.span_over_sag) if sag else None,
    }


def _stress(stress: Stress | None) -> dict[str, Any] | None:
    if stress is None:
        return None
    return {
        "n_mm2": _r(stress.value),
        "allowed_n_mm2": _r(stress.allowed),
        "ratio": _finite(stress.ratio),
        "station_mm": _r(stress.station),
        "case": stress.case,
    }


def _support(support: SupportResult) -> dict[str, Any]:
    return {
        "station_mm": _r(support.station),
        "blocks": support.blocks,
        "shim_mm": _r(support.shim),
    }


def _weight(weight: Weight) -> dict[str, Any]:
    return {
        "name": weight.name,
        "kg": _r(weight.mass),
        "source": weight.evidence.source,
        "sure": weight.evidence.sure,
    }


def _finite(value: float) -> float | None:
    return _r(value) if isfinite(value) else None


def _r(value: float) -> float:
    return round(value, 3)
