"""A bucket's outlet nipple: how high the water stands above its invert for the bucket's flow.

A horizontal nipple with an elbow facing down on either side. At small flows air reaches in and the
nipple works as a weir with critical depth at its inlet. At large flows it runs full. Between, the
elbow outside fills, sucks, breaks and fills again: the outlet gulps and the level swings. So the
answer is a band, never one level.

Limits by the Froude number of the full bore, V/√(g D): air comes up freely against the water to
0.3, full bore from 2 (from memory, unverified). Nearly all published coefficients are for heads
of 0.3 m and more; at 5 to 30 mm surface tension counts (Bond number ρ g D²/σ about 34 for a bore
of 16 mm) and no source was at hand, so every height is uncertain by `UNCERTAINTY` (judgement).
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from math import inf, isfinite, pi, sqrt

from designer.water.crossing import crossing
from designer.water.properties import STANDARD_GRAVITY as GRAVITY
from designer.water.section import Circular

UNCERTAINTY = 0.30
"""Share by which any height above the invert may be off; judgement, no source."""
VENTED_FROUDE = 0.3
"""Froude number of the full bore up to which air rises freely; from memory, unverified."""
SIPHON_FROUDE = 2.0
"""Froude number of the full bore from which it runs full; from memory, unverified."""
ENTRY_LOSSES = (0.0, 0.5)
"""Loss at the inlet over velocity head: rounded and square (Hydraulic Institute, Table 32a)."""
FULL_BORE_COEFFICIENTS = (0.51, 0.82)
"""Discharge coefficient, re-entrant and short cylindrical mouthpiece (Unwin, "Hydraulics", 1911;
the first figure from a textbook's page)."""
WEIR_FILL = 0.8
"""Fill at critical depth above which the inlet counts as covered."""


class OutletRegime(StrEnum):
    """How the nipple runs, in words for people."""

    DRY = "No water."
    WEIR = "Runs part full, quietly."
    GULPING = "Gulps: the level swings up and down."
    FULL = "Runs full."


@dataclass(frozen=True)
class LevelBand:
    """Water level in the bucket above the outlet's invert, m; `low` may be below it (negative).

    `highest` adds the uncertainty to `high`: hold this against the rim of the bucket.
    """

    low: float
    high: float
    regime: OutletRegime

    @property
    def highest(self) -> float:
        """Upper end with the uncertainty on top, m."""
        return self.high * (1 + UNCERTAINTY)


@dataclass(frozen=True)
class Outlet:
    """A horizontal nipple of `bore` m with elbows facing down.

    `mouth_below` is how far the mouth of the inner elbow lies below the invert, m: while the
    outlet gulps it may draw the bucket down to there before air breaks it; 0 without one.
    """

    bore: float
    mouth_below: float = 0.0

    def __post_init__(self) -> None:
        if not 0 < self.bore < inf:
            raise ValueError("The bore of the outlet must be more than 0.")
        if not 0 <= self.mouth_below < inf:
            raise ValueError("The elbow's mouth lies at the outlet or below it.")

    def _flow_at(self, froude: float) -> float:
        return froude * pi / 4 * self.bore**2 * sqrt(GRAVITY * self.bore)

    @property
    def vented_flow(self) -> float:
        """Flow up to which the outlet runs quietly, m³/s; 83 L/h for a bore of 15.8 mm."""
        return self._flow_at(VENTED_FROUDE)

    @property
    def siphon_flow(self) -> float:
        """Flow from which the outlet runs full, m³/s; 556 L/h for a bore of 15.8 mm."""
        return self._flow_at(SIPHON_FROUDE)

    def critical_depth(self, flow: float) -> float:
        """Critical depth at the inlet of the nipple, m."""
        return float(Circular(self.bore).critical_depths(flow))

    def weir_head(self, flow: float, entry_loss: float) -> float:
        """Level above the invert with critical depth at the inlet, m: y + (1 + k) V²/2g.

        Range: fill at critical depth up to about 0.8. Source: energy, critical depth of a round
        section; `entry_loss` k as in ENTRY_LOSSES.
        """
        depth = self.critical_depth(flow)
        area = float(Circular(self.bore).areas(depth))
        if area <= 0:
            return depth
        return depth + (1 + entry_loss) * (flow / area) ** 2 / (2 * GRAVITY)

    def full_bore_head(self, flow: float, coefficient: float) -> float:
        """Level above the invert with the nipple full, m: D/2 + (Q / (C A))²/2g.

        Source: flow through an orifice; `coefficient` C as in FULL_BORE_COEFFICIENTS.
        """
        area = pi / 4 * self.bore**2
        return self.bore / 2 + (flow / (coefficient * area)) ** 2 / (2 * GRAVITY)

    def level_band(self, flow: float) -> LevelBand:
        """Band of the level above the invert for a steady flow in m³/s."""
        if not (isfinite(flow) and flow >= 0):
            raise ValueError("The flow of a bucket must be 0 or more.")
        if flow == 0:
            return LevelBand(0.0, 0.0, OutletRegime.DRY)
        high = self._high(flow)
        if flow <= self.vented_flow:
            return LevelBand(self.weir_head(flow, ENTRY_LOSSES[0]), high, OutletRegime.WEIR)
        if flow < self.siphon_flow:
            return LevelBand(-self.mouth_below, high, OutletRegime.GULPING)
        low = self.full_bore_head(flow, FULL_BORE_COEFFICIENTS[1])
        return LevelBand(low, high, OutletRegime.FULL)

    def _high(self, flow: float) -> float:
        """The higher of weir and full bore, each with its larger loss; grows with the flow."""
        covered = self.critical_depth(flow) > WEIR_FILL * self.bore
        weir = 0.0 if covered else self.weir_head(flow, ENTRY_LOSSES[1])
        if flow <= self.vented_flow:
            return weir
        return max(weir, self.full_bore_head(flow, FULL_BORE_COEFFICIENTS[0]))

    def flooding_flow(self, free_height: float) -> tuple[float, float]:
        """(safe, likely) flow in m³/s at which water reaches `free_height` m above the invert.

        `safe` counts the uncertainty against the bucket, `likely` takes the band's upper end as
        it is. Both are 0 where there is no height left.
        """
        return (
            self._flow_for(free_height / (1 + UNCERTAINTY)),
            self._flow_for(free_height),
        )

    def _flow_for(self, height: float) -> float:
        if height <= 0:
            return 0.0
        most = self.siphon_flow
        while self._high(most) < height:
            most *= 2
        return crossing(lambda flow: self._high(flow) - height, 0.0, most, 1e-9)
