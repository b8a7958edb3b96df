"""What a rule of the stand looks at, and how it says forces, stresses and pressures."""

from dataclasses import dataclass

from designer.checks.situation import InUnits
from designer.model.catalogue import Catalogue
from designer.model.design import Design
from designer.stand.bed.record import StandResult
from designer.stand.timber import INCH, PSI
from designer.units import MM_PER_INCH, NEWTON_PER_POUND, UnitSystem, format_mass

CAUTION = "This is guidance only: local codes and a licensed engineer come first."
PSF = PSI / 144
"""Pa in one pound-force per square foot."""


@dataclass(frozen=True, eq=False)
class StandSituation(InUnits):
    """The solved stand of one run."""

    design: Design
    stand: StandResult
    catalogue: Catalogue

    @property
    def id(self) -> str:
        """The run's id."""
        return self.stand.layout.run.id

    @property
    def units(self) -> UnitSystem:
        """The person's units."""
        return self.design.units

    @property
    def _metric(self) -> bool:
        return self.units == "metric"

    def at(self, station: float) -> str:
        """A station as the tape reads it, hooked at the capped end."""
        away = self.stand.layout.run.length - station
        return f"{self.say(abs(away))} {'from' if away >= 0 else 'beyond'} the capped end"

    def stress(self, newton_per_mm2: float) -> str:
        """A stress in the person's units."""
        if self._metric:
            return f"{newton_per_mm2:.2f} N/mm²"
        return f"{newton_per_mm2 * 1e6 / PSI:.0f} psi"

    def pressure(self, kilopascal: float) -> str:
        """A pressure on the ground in the person's units."""
        return f"{kilopascal:.0f} kPa" if self._metric else f"{kilopascal * 1e3 / PSF:.0f} lb/ft²"

    def force(self, newton: float) -> str:
        """A force in the person's units."""
        return f"{newton:.0f} N" if self._metric else f"{newton / NEWTON_PER_POUND:.0f} lb"

    def moment(self, newton_metre: float) -> str:
        """A moment in the person's units."""
        if self._metric:
            return f"{newton_metre:.0f} N m"
        return f"{newton_metre / (NEWTON_PER_POUND * 12 * INCH):.0f} lb ft"

    def mass(self, kg: float) -> str:
        """A mass in the person's units."""
        return format_mass(kg, self.units)

    def sag(self, mm: float) -> str:
        """A small sag in the person's units, finer than a tape measure reads."""
        size, unit, places = (1.0, "mm", 1) if self._metric else (MM_PER_INCH, "in", 2)
        least = 0.1**places
        if 0 < mm / size < least:
            return f"under {least:.{places}f} {unit}"
        return f"{mm / size:.{places}f} {unit}"
