"""How large the screen really is: what it says of itself, or what a ruler held to it says."""

from PySide6.QtCore import QSettings
from PySide6.QtGui import QScreen

from designer.units import MM_PER_INCH

LEAST, MOST = 1.5, 40.0
"""Pixels per mm that a screen may have: 38 to 1000 to the inch."""


class ScreenScale:
    """The pixels per mm of each screen, corrected ones kept in the settings.

    Lengths on the screen are in its own pixels, so that a change of the system's scaling does not
    spoil a correction.
    """

    def __init__(self, settings: QSettings) -> None:
        self._settings = settings

    def per_mm(self, screen: QScreen) -> float:
        """Logical pixels per mm."""
        own = self._kept(screen) if self.corrected(screen) else self.stated(screen)
        return own / screen.devicePixelRatio()

    def corrected(self, screen: QScreen) -> bool:
        """Whether a ruler was held to this screen."""
        return LEAST <= self._kept(screen) <= MOST

    def stated(self, screen: QScreen) -> float:
        """The screen's own pixels per mm by what it says of itself; of 96 to the inch where it says
        nothing that can be."""
        ratio = screen.devicePixelRatio()
        stated = screen.physicalDotsPerInch() * ratio / MM_PER_INCH
        return stated if LEAST <= stated <= MOST else 96 * ratio / MM_PER_INCH

    def keep(self, screen: QScreen, per_mm: float) -> None:
        """Keep logical pixels per mm as a ruler says. ValueError where no screen is like that."""
        own = per_mm * screen.devicePixelRatio()
        if not LEAST <= own <= MOST:
            raise ValueError("No screen is that coarse or fine; measure once more.")
        self._settings.setValue(_key(screen), own)

    def forget(self, screen: QScreen) -> None:
        """Believe the screen again."""
        self._settings.remove(_key(screen))

    def _kept(self, screen: QScreen) -> float:
        """The screen's own pixels per mm by a ruler; 0 where none was held to it."""
        return float(str(self._settings.value(_key(screen), 0.0, type=float)))


def _key(screen: QScreen) -> str:
    words = (screen.manufacturer(), screen.model(), screen.serialNumber(), screen.name())
    shown = " ".join(filter(None, words)) or "the screen"
    return "screens/" + shown.replace("/", " ").replace("\\", " ")
