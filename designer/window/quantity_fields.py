"""Fields for quantities that have a unit of their own in each unit system, and a pump's curve."""

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from designer.model.parts import PumpPoint
from designer.units import (
    KG_PER_POUND,
    LITRES_PER_GALLON,
    MM_PER_INCH,
    NEWTON_PER_POUND,
    QuantityError,
    UnitSystem,
)
from designer.window.bounds import Bounds, bounds_of
from designer.window.fields import SEVERAL, TypedField


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit as it is shown: value = `zero` + shown x `size`, to so many `places`."""

    name: str
    size: float = 1.0
    zero: float = 0.0
    places: int = 3

    def write(self, value: float) -> str:
        """A value as text."""
        shown = round((value - self.zero) / self.size, self.places)
        return f"{shown:.9g} {self.name}".strip()


@dataclass(frozen=True, slots=True)
class Measure:
    """The units of one quantity in both unit systems."""

    metric: Unit
    imperial: Unit

    def unit(self, units: UnitSystem) -> Unit:
        """The unit of one system."""
        return self.metric if units == "metric" else self.imperial


def same(name: str, size: float = 1.0, places: int = 3) -> Measure:
    """A unit that readers of both systems use."""
    unit = Unit(name, size, places=places)
    return Measure(unit, unit)


TEMPERATURE = Measure(Unit("°C"), Unit("°F", 5 / 9, -160 / 9))
MINUTES, HOURS, DAYS = same("min"), same("h"), same("days")
PERCENT, SHARE = same("%"), same("%", 0.01)
DEPTH_A_DAY = Measure(Unit("mm a day", places=1), Unit("in a day", MM_PER_INCH, places=2))
VOLUME_A_DAY = Measure(Unit("L a day"), Unit("gal a day", LITRES_PER_GALLON))
FLOW = Measure(Unit("L/h"), Unit("gal/h", LITRES_PER_GALLON))
HEAD = Measure(Unit("m"), Unit("ft", 12 * MM_PER_INCH / 1000))
DIAMETER = Measure(Unit("mm", places=1), Unit("in", MM_PER_INCH))
MASS = Measure(Unit("kg"), Unit("lb", KG_PER_POUND))
FORCE = Measure(Unit("N", places=1), Unit("lb", NEWTON_PER_POUND, places=1))
PRICE = same("a kWh")
CONDUCTIVITY = same("mS/cm", places=2)
DOSE = Measure(Unit("a litre"), Unit("a gallon", 1 / LITRES_PER_GALLON))
EXAMPLE: Mapping[UnitSystem, str] = {
    "metric": "300 L/h at 0.8 m; 500 L/h at 0.4 m",
    "imperial": "80 gal/h at 2.5 ft; 130 gal/h at 1.3 ft",
}
"""Of a pump's curve."""
NUMBER = same("", places=4)


class QuantityField(TypedField):
    """A number with its unit. With `blank`, an empty entry means None and shows that text."""

    def __init__(
        self,
        label: str,
        why: str,
        bounds: Bounds,
        measure: Measure,
        units: UnitSystem,
        blank: str = "",
    ) -> None:
        self._measure = measure
        self.units: UnitSystem = units
        self._blank = blank
        super().__init__(label, why, bounds)
        self.line.setPlaceholderText(blank)

    @property
    def unit(self) -> Unit:
        """The unit that is shown now."""
        return self._measure.unit(self.units)

    def read(self, text: str) -> float | None:
        if not text.strip() and self._blank:
            return None
        shown = read_number(text, self.unit.name, self.label)
        return self._check(round(self.unit.zero + shown * self.unit.size, 9))

    def write(self, value: float) -> str:
        return self.unit.write(value)

    def set_units(self, units: UnitSystem) -> None:
        if units != self.units:
            pending = self.pending
            self.units = units
            self._set(self._value, pending)

    def _set(self, value: Any, keep_text: bool) -> None:
        if value is not SEVERAL:
            self.line.setPlaceholderText(self._blank)
        super()._set(value, keep_text)

    def _bound(self, limit: float) -> str:
        return self.write(limit)


class CurveField(TypedField):
    """Points of a pump's curve, such as "300 L/h at 0.8 m; 500 L/h at 0.4 m"; may be empty."""

    def __init__(self, label: str, why: str, units: UnitSystem) -> None:
        self._flow, self._head = FLOW.unit(units), HEAD.unit(units)
        super().__init__(label, why, beside=False)
        self.line.setPlaceholderText(EXAMPLE[units])
        self.show_value(())

    def read(self, text: str) -> tuple[PumpPoint, ...]:
        points = [self._point(part) for part in text.split(";") if part.strip()]
        points.sort(key=lambda point: point.flow)
        for lower, higher in pairwise(points):
            if not (lower.flow < higher.flow and lower.head > higher.head):
                raise QuantityError("A pump that lifts higher gives less: look at the points.")
        return tuple(points)

    def _point(self, text: str) -> PumpPoint:
        flow, at, head = text.partition("at")
        if not at:
            raise QuantityError("Type each point as a flow at a height, with semicolons between.")
        values = {}
        for name, part, unit in (("flow", flow, self._flow), ("head", head, self._head)):
            value = read_number(part, unit.name, "the curve") * unit.size
            label = "A flow of the curve" if name == "flow" else "A height of the curve"
            reason = bounds_of(PumpPoint, name).refusal(label, value, unit.write)
            if reason:
                raise QuantityError(reason)
            values[name] = value
        return PumpPoint(**values)

    def write(self, value: Any) -> str:
        return "; ".join(
            f"{self._flow.write(point.flow)} at {self._head.write(point.head)}" for point in value
        )


def read_number(text: str, unit: str, label: str) -> float:
    """A number with or without its unit; QuantityError with a sentence when it is none."""
    bare = text.strip().removesuffix(unit).strip().replace(",", ".").replace("−", "-")
    try:
        return float(bare)
    except ValueError:
        raise QuantityError(f"Type a number for {label[0].lower()}{label[1:]}.") from None
