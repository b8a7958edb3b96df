"""Nutrient doses and the windows of EC and pH to hold, each as its source gives it.

EC in mS/cm. A dose is by the person's own product: its label's rate, or the EC that a known rate
of it gives in plain water.
"""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from designer.model.parts import Evidence
from designer.resources import resource_path


@dataclass(frozen=True, slots=True)
class Window:
    """A range that one source gives, and for when."""

    low: float
    high: float
    evidence: Evidence
    when: str = ""


@dataclass(frozen=True, slots=True)
class CropWindows:
    """What the sources say of one crop's solution; `ec` and `ph` as each source gives them."""

    ec: tuple[Window, ...]
    ph: tuple[Window, ...]

    @property
    def ec_range(self) -> tuple[float, float]:
        """From the lowest to the highest that any source gives."""
        return _range(self.ec)

    @property
    def ph_range(self) -> tuple[float, float]:
        """From the lowest to the highest that any source gives."""
        return _range(self.ph)

    @property
    def ec_agreed(self) -> tuple[float, float] | None:
        """What all sources allow, or None where they contradict each other."""
        low, high = max(w.low for w in self.ec), min(w.high for w in self.ec)
        return (low, high) if low <= high else None


def _range(windows: tuple[Window, ...]) -> tuple[float, float]:
    return min(w.low for w in windows), max(w.high for w in windows)


@cache
def nutrient_windows() -> Mapping[str, CropWindows]:
    """The windows by crop id."""
    document = tomllib.loads(resource_path("nutrients.toml").read_text("utf-8"))
    sources = {key: Evidence(**value) for key, value in document["sources"].items()}
    gathered: dict[str, dict[str, list[Window]]] = {}
    for record in document["window"]:
        window = Window(
            record["low"], record["high"], sources[record["evidence"]], record.get("when", "")
        )
        for crop in record["crops"]:
            gathered.setdefault(crop, {"ec": [], "ph": []})[record["of"]].append(window)
    return {crop: CropWindows(tuple(w["ec"]), tuple(w["ph"])) for crop, w in gathered.items()}


def dose_by_label(litres: float, rate: float) -> float:
    """Millilitres or grams for so many litres at a label's rate of ml/L or g/L. ValueError for a
    volume or rate below 0."""
    if litres < 0 or rate < 0:
        raise ValueError("A volume and a label's rate are 0 or more.")
    return litres * rate


@dataclass(frozen=True, slots=True)
class EcDose:
    """A dose to a target EC: `rate` in ml/L or g/L, `amount` in ml or g. `over` is how far the
    plain water's EC already lies above the target; then the dose is 0."""

    rate: float
    amount: float
    over: float


def dose_for_ec(
    litres: float, target: float, water: float, product_ec: float, product_rate: float = 1.0
) -> EcDose:
    """The dose that lifts plain water of EC `water` to `target`.

    `product_ec` is what `product_rate` of the product (ml/L or g/L) adds, as its label states or
    as measured. EC is taken to rise in proportion to the dose, which holds well at growing
    strength (from memory): rate = product_rate (target - water) / product_ec. Measure after
    stirring. ValueError for a value below 0 or a product that adds nothing.
    """
    if min(litres, target, water) < 0 or product_ec <= 0 or product_rate <= 0:
        raise ValueError("Volumes and EC are 0 or more, and the product adds some EC.")
    rate = max(0.0, target - water) / product_ec * product_rate
    return EcDose(rate, rate * litres, max(0.0, water - target))
