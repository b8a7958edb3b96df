"""Dissolved oxygen and temperature of the solution: what is possible, and notes for the grower."""

from dataclasses import dataclass
from math import exp

from designer.units import UnitSystem

KELVIN = 273.15
OXYGEN_TARGET = 6.0
"""mg/L; common practice, no source."""
OXYGEN_WARNING = 4.0
"""mg/L; tomato seedlings did worse at 1 and 2 than at 4 and 8 mg/L (Rong and Tachibana, Journal of
the Japanese Society for Horticultural Science 66(2), 1997)."""
COOL_BELOW = 18.0
WARM_ABOVE = 24.0
TOO_WARM_ABOVE = 26.0
"""Solution temperatures in degrees C; common practice, and the pages that state them disagree."""
PRACTICE = "Common practice; sources disagree"

_COEFFICIENTS = (-139.34410, 1.575701e5, -6.642308e7, 1.243800e10, -8.621949e11)
_COLDEST, _WARMEST = 0.0, 40.0


def oxygen_saturation(temperature: float) -> float:
    """Dissolved oxygen in mg/L of fresh water in balance with air at 1 atm, 0 to 40 degrees C.

    ln C = -139.34410 + 1.575701e5/T - 6.642308e7/T2 + 1.243800e10/T3 - 8.621949e11/T4, T in K
    (APHA 1985, read second-hand). Salts of a feed solution take less than 0.1 mg/L off.
    Raises ValueError outside the range.
    """
    if not _COLDEST <= temperature <= _WARMEST:
        raise ValueError("oxygen in water is known here from 0 to 40 °C only")
    kelvin = temperature + KELVIN
    return exp(sum(c / kelvin**power for power, c in enumerate(_COEFFICIENTS)))


def degrees(celsius: float, system: UnitSystem) -> str:
    """A temperature in the person's units: "20 °C", "68 °F"."""
    return f"{celsius:.0f} °C" if system == "metric" else f"{celsius * 1.8 + 32:.0f} °F"


@dataclass(frozen=True, slots=True)
class WaterNote:
    """A remark on the solution: whether it is a warning, the sentence, and where it comes from."""

    warning: bool
    text: str
    source: str


def water_notes(temperature: float, system: UnitSystem = "metric") -> tuple[WaterNote, ...]:
    """What to know of a solution at `temperature` degrees C (0 to 40)."""
    most = oxygen_saturation(temperature)
    notes = [
        WaterNote(
            most < OXYGEN_TARGET,
            f"At {degrees(temperature, system)} water holds at most {most:.1f} mg of oxygen per "
            f"litre. Aim for {OXYGEN_TARGET:.0f} or more; below {OXYGEN_WARNING:.0f} roots suffer.",
            "APHA 1985; Rong and Tachibana 1997; the aim is common practice, no source",
        )
    ]
    suits = f"{degrees(COOL_BELOW, system)} to {degrees(WARM_ABOVE, system)} suits most crops."
    if temperature > TOO_WARM_ABOVE:
        text = "The solution is too warm: shade the reservoir or insulate it."
        notes.append(WaterNote(True, text, PRACTICE))
    elif temperature > WARM_ABOVE:
        notes.append(WaterNote(False, f"The solution is warm: {suits}", PRACTICE))
    elif temperature < COOL_BELOW:
        notes.append(WaterNote(False, f"The solution is cool: {suits}", PRACTICE))
    return tuple(notes)
