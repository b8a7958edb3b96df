"""The sag of the rails on the sheet: whether it is drawn."""


class SagOnSheet:
    """The part of the sheet that answers for the rails' sag. Off until it is asked for."""

    _sag_shown = False

    @property
    def sag_shown(self) -> bool:
        """Whether the sag of the rails is drawn in the elevation."""
        return self._sag_shown

    @sag_shown.setter
    def sag_shown(self, shown: bool) -> None:
        if shown != self._sag_shown:
            self._sag_shown = shown
            self._refresh()

    def _refresh(self) -> None:
        """Bring the scene in step; the sheet does."""
        raise NotImplementedError
