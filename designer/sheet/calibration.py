"""The correction of a printer that does not print true to size."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Correction:
    """Factors by which a template is drawn larger, across and along the paper held upright, so
    that this printer prints it true."""

    across: float = 1.0
    along: float = 1.0


UNCORRECTED = Correction()
