"""A line of the shopping list: what it is, how much of it, why, and where in the shop it is."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import ceil
from typing import Literal

Department = Literal["plumbing", "timber", "masonry", "garden", "electrical", "hardware"]
DEPARTMENTS: tuple[Department, ...] = (
    "plumbing", "timber", "masonry", "garden", "electrical", "hardware",
)  # fmt: skip
DEPARTMENT_WORDS: Mapping[Department, str] = {
    "plumbing": "Plumbing",
    "timber": "Timber",
    "masonry": "Bricks and blocks",
    "garden": "Garden and watering",
    "electrical": "Electrical",
    "hardware": "Hardware and household",
}
Role = Literal["material", "consumable", "tool"]


@dataclass(frozen=True, slots=True)
class BuyOptions:
    """What else is bought. `spare_percent` of small parts and tubes, at least one of each;
    `lids` and `liner_bags` for each bucket."""

    spare_percent: float = 5.0
    lids: bool = True
    liner_bags: bool = True

    def spare(self, amount: float, measure: str = "pieces") -> float:
        """What to buy beyond an amount: the share of a length, of pieces whole ones."""
        share = amount * self.spare_percent / 100
        if measure == "length":
            return share
        return max(1.0, float(ceil(share - 1e-9))) if share > 0 else 0.0


@dataclass(frozen=True, slots=True)
class Material:
    """One line to buy.

    `needed` is what the drawing needs and `spare` what is bought beyond it, both in `measure`
    (pieces, mm, litres). `stick` is the length in mm of each piece where sticks are bought. `mass`
    is the dry mass in kg of a medium with its spare, 0 for anything else.
    """

    id: str
    name: str
    department: Department
    needed: float
    spare: float
    measure: Literal["pieces", "length", "litres"]
    why: str
    role: Role = "material"
    stick: float = 0.0
    mass: float = 0.0

    @property
    def to_buy(self) -> float:
        """What is needed and the spare."""
        return self.needed + self.spare
