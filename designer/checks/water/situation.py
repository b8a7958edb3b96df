"""What a rule of the water looks at."""

from dataclasses import dataclass

from designer.checks.situation import InUnits
from designer.model.catalogue import Catalogue
from designer.model.design import Design
from designer.units import UnitSystem, format_flow, format_head, format_speed, format_volume
from designer.water.bed.solution import BedWater


@dataclass(frozen=True, eq=False)
class WaterSituation(InUnits):
    """A bed's solved water."""

    water: BedWater
    catalogue: Catalogue

    @property
    def design(self) -> Design:
        """The design."""
        return self.water.design

    @property
    def units(self) -> UnitSystem:
        """The person's units."""
        return self.design.units

    def evidence(self, part_id: str, field_name: str) -> str:
        """Where a value of a part comes from, as printed beside a finding."""
        return str(self.catalogue.evidence_of(part_id, field_name))

    def flow(self, litres_per_hour: float) -> str:
        """A flow in the person's units."""
        return format_flow(litres_per_hour, self.units)

    def volume(self, litres: float) -> str:
        """A volume in the person's units."""
        return format_volume(litres, self.units)

    def head(self, metres: float) -> str:
        """A head of water in the person's units."""
        return format_head(metres, self.units)

    def speed(self, metres_per_second: float) -> str:
        """A velocity in the person's units."""
        return format_speed(metres_per_second, self.units)
