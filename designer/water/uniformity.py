"""How evenly outlets give water."""

import math
from collections.abc import Sequence

import numpy as np


def emission_uniformity(
    flows: Sequence[float], manufacturing_variation: float = 0.0, outlets_per_plant: float = 1.0
) -> float:
    """EU in percent: 100 (1 - 1.27 Cv / sqrt n) qmin / qavg.

    Cv is the maker's coefficient of variation, n the outlets at each plant. Keller and Karmeli
    1974, ASABE EP405.1 (attribution from memory; formula second-hand). Zero when nothing flows.
    """
    q = np.asarray(flows, dtype=float)
    if not q.size or not q.mean() > 0.0:
        return 0.0
    spread = 1.0 - 1.27 * manufacturing_variation / math.sqrt(outlets_per_plant)
    return float(100.0 * max(spread, 0.0) * q.min() / q.mean())


def christiansen_uniformity(flows: Sequence[float]) -> float:
    """CU in percent: 100 (1 - sum|q - qavg| / sum q), Christiansen 1942 (from memory).

    Zero when nothing flows; below zero when very few outlets take it all.
    """
    q = np.asarray(flows, dtype=float)
    if not q.size or not q.sum() > 0.0:
        return 0.0
    return float(100.0 * (1.0 - np.abs(q - q.mean()).sum() / q.sum()))


def low_quarter_uniformity(flows: Sequence[float]) -> float:
    """DU in percent: mean of the lowest quarter over the mean of all (second-hand).

    A quarter that is no whole number takes the share of the next outlet. Zero when nothing flows.
    """
    q = np.sort(np.asarray(flows, dtype=float))
    if not q.size or not q.mean() > 0.0:
        return 0.0
    quarter = q.size / 4.0
    weights = np.clip(quarter - np.arange(q.size), 0.0, 1.0)
    return float(100.0 * (weights @ q) / quarter / q.mean())


def christiansen_factor(outlets: int, exponent: float, half_spacing: bool = False) -> float:
    """F by formula: head lost in a manifold of equal outlets over that of its whole flow.

    1/(m+1) + 1/(2N) + sqrt(m-1)/(6N²) with the first outlet one spacing from the inlet
    (Christiansen 1942, from memory); (2N F - 1)/(2N - 1) at half a spacing (Jensen and Fratini
    1957, from memory). 1 for one outlet, where the formula is up to 1.6 % too high.
    """
    if outlets == 1:
        return 1.0
    n = float(outlets)
    full = 1.0 / (exponent + 1.0) + 0.5 / n + math.sqrt(exponent - 1.0) / (6.0 * n * n)
    return (2.0 * n * full - 1.0) / (2.0 * n - 1.0) if half_spacing else full


def christiansen_factor_exact(outlets: int, exponent: float, half_spacing: bool = False) -> float:
    """F by its exact sum; arguments as in christiansen_factor."""
    powers = [math.pow(k, exponent) for k in range(1, outlets + 1)]
    if half_spacing:
        return (sum(powers[:-1]) + 0.5 * powers[-1]) / ((outlets - 0.5) * powers[-1])
    return sum(powers) / (outlets * powers[-1])
