"""The water on the sheet: whether it is drawn over the parts, and at what time of the day."""

from collections.abc import Iterator
from dataclasses import dataclass

from PySide6.QtCore import SignalInstance

from designer.analysis import Analysis
from designer.canvas.document import Document
from designer.drawing.records import Group


@dataclass(frozen=True, slots=True)
class WaterShown:
    """What of the water is drawn: the bed running steadily, or the stores at a time of the day in
    seconds from midnight."""

    at_seconds: float | None = None

    def plan(self, analysis: Analysis, run_id: str, scale: float) -> Iterator[Group]:
        """What lies over the plan."""
        # Imported here: a sheet that does not show the water does not wait for it.
        from designer.drawing.water import water_plan_groups

        yield from water_plan_groups(analysis, run_id, scale)

    def elevation(self, analysis: Analysis, run_id: str, scale: float) -> Iterator[Group]:
        """What lies over the elevation."""
        from designer.drawing.water import water_elevation_groups

        yield from water_elevation_groups(analysis, run_id, scale, self.at_seconds)


class WaterOnSheet:
    """The part of the sheet that answers for its water. Off until it is asked for."""

    document: Document
    water_changed: SignalInstance
    _water_shown = False
    _water_time: float | None = None

    @property
    def water_shown(self) -> bool:
        """Whether the water is drawn over the parts."""
        return self._water_shown

    @water_shown.setter
    def water_shown(self, shown: bool) -> None:
        if shown != self._water_shown:
            self._water_shown = shown
            self._refresh()
            self.water_changed.emit(shown)

    @property
    def water_time(self) -> float | None:
        """The time of the day whose water is drawn, s from midnight; None: running steadily."""
        return self._water_time

    @water_time.setter
    def water_time(self, seconds: float | None) -> None:
        if seconds != self._water_time:
            self._water_time = seconds
            if self._water_shown:
                self._refresh()

    def show_water(self, shown: bool) -> None:
        """Draw the water, or take it away."""
        self.water_shown = shown

    def show_water_at(self, seconds: float | None) -> None:
        """Draw the water of a time of the day, or running steadily."""
        self.water_time = seconds

    def _refresh(self) -> None:
        """Bring the scene in step; the sheet does."""
        raise NotImplementedError

    def _water(self) -> WaterShown | None:
        """What to draw of the water now: nothing until what is there is current."""
        if not self._water_shown or self.document.analysis.water is None:
            return None
        # A day that is not worked out would hold the window up.
        return WaterShown(self._water_time if self.document.day_known else None)

    def _day_came(self) -> None:
        if self._water_shown and self._water_time is not None:
            self._refresh()
