"""The corrections of the person's printers, by printer and paper, kept in the settings."""

import json
from dataclasses import dataclass

from PySide6.QtCore import QSettings

from designer.sheet.calibration import UNCORRECTED, Correction

_KEY = "printer_corrections"


@dataclass(frozen=True, slots=True)
class KeptCorrection:
    """What was measured of one printer on one paper, such as "A4"."""

    printer: str
    paper: str
    correction: Correction


class PrinterCorrections:
    """All that is kept. A printer may be one of this system or one that only has a name here."""

    def __init__(self, settings: QSettings) -> None:
        self._settings = settings

    def all(self) -> tuple[KeptCorrection, ...]:
        """Everything kept, by printer and paper. What cannot be read is as if it were not there."""
        text = str(self._settings.value(_KEY, "", type=str))
        try:
            lines = json.loads(text or "[]")
        except ValueError:
            return ()
        found = []
        for line in lines if isinstance(lines, list) else ():
            match line:
                case [str(printer), str(paper), float(across), float(along)]:
                    try:
                        correction = Correction(across, along)
                    except ValueError:
                        continue
                    found.append(KeptCorrection(printer, paper, correction))
        return tuple(sorted(found, key=lambda kept: (kept.printer.casefold(), kept.paper)))

    def of(self, printer: str, paper: str) -> Correction:
        """What was measured of a printer on a paper; UNCORRECTED where nothing was."""
        found = (k.correction for k in self.all() if (k.printer, k.paper) == (printer, paper))
        return next(found, UNCORRECTED)

    def keep(self, printer: str, paper: str, correction: Correction) -> None:
        """Keep a correction in place of an earlier one of the same printer and paper."""
        others = self._others(printer, paper)
        self._write([*others, KeptCorrection(printer, paper, correction)])

    def forget(self, printer: str, paper: str) -> None:
        """Print on that paper as the printer does it."""
        self._write(self._others(printer, paper))

    def _others(self, printer: str, paper: str) -> list[KeptCorrection]:
        return [k for k in self.all() if (k.printer, k.paper) != (printer, paper)]

    def _write(self, kept: list[KeptCorrection]) -> None:
        lines = [[k.printer, k.paper, k.correction.across, k.correction.along] for k in kept]
        self._settings.setValue(_KEY, json.dumps(lines))


def correction_words(correction: Correction) -> str:
    """What a correction does: "0.3 % smaller across and 0.1 % larger along"."""
    ways = (("across", correction.across), ("along", correction.along))
    shown = [(way, round(100 * (factor - 1), 1)) for way, factor in ways]
    told = [f"{abs(by)} % {'larger' if by > 0 else 'smaller'} {way}" for way, by in shown if by]
    return " and ".join(told) or "as they are"
