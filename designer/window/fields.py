"""Fields that a person types in, with the reason below when something is refused.

A field knows nothing of the design: it shows a value and says what the person entered. What was
not touched is never entered, so that showing a rounded value never rounds the stored one.
"""

from typing import Any, Final

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QGridLayout, QLabel, QLineEdit, QWidget

from designer.units import (
    LITRES_PER_GALLON,
    QuantityError,
    UnitSystem,
    format_length,
    parse_length,
    style_for,
)
from designer.window.bounds import NO_BOUNDS, Bounds
from designer.window.tints import toned_label

SEVERAL: Final = object()
"""Shown instead of a value when several chosen things differ."""
SEVERAL_TEXT = "several values"
ENTRY_WIDTH = 116


class Field(QWidget):
    """A label with an entry, and below it a note or the reason of a refusal."""

    entered = Signal(object)
    """The person entered a value, and it is allowed."""

    def __init__(self, label: str, why: str, entry: QWidget, beside: bool) -> None:
        super().__init__()
        self.label = label
        self.why = why
        self.entry = entry
        self._value: Any = None
        name = QLabel(label, self)
        name.setWordWrap(True)
        name.setBuddy(entry)
        entry.setAccessibleName(label)
        self.setToolTip(why)
        self.grid = grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setVerticalSpacing(2)
        grid.setColumnStretch(0, 1)
        grid.addWidget(name, 0, 0)
        if beside:
            entry.setFixedWidth(ENTRY_WIDTH)
            grid.addWidget(entry, 0, 1)
        else:
            grid.addWidget(entry, 1, 0, 1, 2)
        self._note = toned_label("", "soft", self)
        self._reason = toned_label("", "refused", self)
        for row, below in ((2, self._note), (3, self._reason)):
            below.hide()
            grid.addWidget(below, row, 0, 1, 2)

    @property
    def reason(self) -> str:
        """Why what stands in the entry was refused; empty when it was not."""
        return self._reason.text()

    @property
    def value(self) -> Any:
        """The value last shown or entered; SEVERAL or None when there is no one value."""
        return self._value

    def show_value(self, value: Any) -> None:
        """Show a value, without a signal; half-typed text is left alone."""
        raise NotImplementedError

    def set_units(self, units: UnitSystem) -> None:
        """Show and read in another unit system."""

    def set_note(self, text: str) -> None:
        """A short remark below the entry; none when empty."""
        if text != self._note.text():
            self._note.setText(text)
            self._note.setVisible(bool(text))

    def finish(self) -> None:
        """Enter what is half typed, as when the entry loses the focus."""

    def revert(self) -> None:
        """Drop what is half typed."""

    def _refuse(self, reason: str) -> None:
        if reason != self._reason.text():
            self._reason.setText(reason)
            self._reason.setVisible(bool(reason))
            self.entry.setAccessibleDescription(reason or self.why)
            # The style sheet outlines an entry with this property.
            self.entry.setProperty("refused", bool(reason))
            self.entry.style().unpolish(self.entry)
            self.entry.style().polish(self.entry)


class _Line(QLineEdit):
    """A line that tells when its text is given up by Esc."""

    given_up = Signal()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.given_up.emit()
        super().keyPressEvent(event)


class TypedField(Field):
    """A field with one line of text. Subclasses say how a value is read and written."""

    def __init__(
        self,
        label: str,
        why: str = "",
        bounds: Bounds = NO_BOUNDS,
        beside: bool = True,
    ) -> None:
        self.line = _Line()
        super().__init__(label, why, self.line, beside)
        self.bounds = bounds
        self._shown = ""
        self.line.editingFinished.connect(self.finish)
        self.line.given_up.connect(self.revert)

    def read(self, text: str) -> Any:
        """The value that a text says; QuantityError with a sentence when it cannot be."""
        raise NotImplementedError

    def write(self, value: Any) -> str:
        """The text that shows a value."""
        raise NotImplementedError

    def exact(self, value: Any) -> str:
        """A line of the tooltip with the value unrounded; empty when the text says it all."""
        return ""

    @property
    def pending(self) -> bool:
        """Whether the text was typed and not yet entered."""
        return self.line.text() != self._shown

    def show_value(self, value: Any) -> None:
        same = value is self._value or (value == self._value and value is not SEVERAL)
        keep = self.pending and (same or self.line.hasFocus())
        if same and not keep:
            return
        self._set(value, keep)

    def _set(self, value: Any, keep_text: bool) -> None:
        self._value = value
        known = value is not SEVERAL and value is not None
        self._shown = self.write(value) if known else ""
        if value is SEVERAL:
            self.line.setPlaceholderText(SEVERAL_TEXT)
        exact = self.exact(value) if known else ""
        self.setToolTip("\n\n".join(filter(None, (self.why, exact))))
        if not keep_text:
            self._refuse("")
            # Text that only changed on the screen must not lose the place of the cursor.
            if self.line.text() != self._shown:
                self.line.setText(self._shown)

    def finish(self) -> None:
        text = self.line.text()
        if text.strip() == self._shown.strip():
            self.revert()
            return
        try:
            value = self.read(text)
        except QuantityError as error:
            self._refuse(self._stays(str(error)))
            return
        self._set(value, keep_text=False)
        self.entered.emit(value)

    def revert(self) -> None:
        self._refuse("")
        if self.pending:
            self.line.setText(self._shown)

    def _stays(self, reason: str) -> str:
        if self._value is SEVERAL:
            return f"{reason} The values stay as they are."
        return f"{reason} It stays {self._shown}." if self._shown else reason

    def _check(self, value: float) -> float:
        reason = self.bounds.refusal(self.label, value, self._bound)
        if reason:
            raise QuantityError(reason)
        return value

    def _bound(self, limit: float) -> str:
        return self.write(limit) if limit else "0"


class LengthField(TypedField):
    """A length in mm, shown and typed in the person's units."""

    def __init__(
        self,
        label: str,
        why: str = "",
        bounds: Bounds = NO_BOUNDS,
        units: UnitSystem = "metric",
        places: int = 0,
        beside: bool = True,
    ) -> None:
        self.units: UnitSystem = units
        self._places = places
        super().__init__(label, why, bounds, beside)

    def read(self, text: str) -> float:
        return self._check(parse_length(text, self.units))

    def write(self, value: float) -> str:
        return format_length(value, style_for(self.units), self._places)

    def exact(self, value: float) -> str:
        return f"Exactly {value:.3f}".rstrip("0").rstrip(".") + " mm"

    def set_units(self, units: UnitSystem) -> None:
        if units != self.units:
            pending = self.pending
            self.units = units
            self._set(self._value, pending)


class LengthsField(LengthField):
    """Several lengths in mm, with semicolons between them."""

    def __init__(
        self, label: str, why: str, bounds: Bounds, units: UnitSystem, fewest: int = 2
    ) -> None:
        super().__init__(label, why, bounds, units, beside=False)
        self._fewest = fewest

    def read(self, text: str) -> tuple[float, ...]:
        lengths = {
            self._check(parse_length(part, self.units)) for part in text.split(";") if part.strip()
        }
        if len(lengths) < self._fewest:
            raise QuantityError(f"Type {self._fewest} or more, with semicolons between them.")
        return tuple(sorted(lengths))

    def write(self, value: float | tuple[float, ...]) -> str:
        if isinstance(value, tuple):
            return "; ".join(LengthField.write(self, length) for length in value)
        return super().write(value)

    def exact(self, value: tuple[float, ...]) -> str:
        return "Exactly " + "; ".join(f"{length:.3f}".rstrip("0").rstrip(".") for length in value)


class LevelsField(LengthsField):
    """A level in mm for each of several things, in their order; as many as it shows."""

    def read(self, text: str) -> tuple[float, ...]:
        if self._value is SEVERAL:
            raise QuantityError("Choose one run to type its levels.")
        levels = tuple(
            self._check(parse_length(part, self.units)) for part in text.split(";") if part.strip()
        )
        if len(levels) != len(self._value):
            raise QuantityError(
                f"Type {len(self._value)} levels with semicolons between, one for each support."
            )
        return levels


class NumberField(TypedField):
    """A number with a unit behind it; `size` is one shown unit in the unit of the value."""

    def __init__(
        self,
        label: str,
        why: str = "",
        bounds: Bounds = NO_BOUNDS,
        unit: str = "",
        whole: bool = False,
        size: float = 1.0,
    ) -> None:
        self._unit = unit
        self._whole = whole
        self._size = size
        super().__init__(label, why, bounds)

    def read(self, text: str) -> float:
        bare = text.strip().removesuffix(self._unit).strip().replace(",", ".").replace("−", "-")
        try:
            value = float(bare)
        except ValueError:
            raise QuantityError(f"Type a number for {self.label.lower()}, such as 2.") from None
        if self._whole and value != int(value):
            raise QuantityError(f"{self.label} must be a whole number.")
        return self._check(int(value) if self._whole else value * self._size)

    def write(self, value: float) -> str:
        number = f"{value / self._size:.4g}" if not self._whole else str(value)
        gap = "" if self._unit == "°" else " "
        return f"{number}{gap}{self._unit}".strip()

    def exact(self, value: float) -> str:
        return "" if self._whole else f"Exactly {value:.6g}" if self._size == 1 else ""


class FlowField(NumberField):
    """A flow in L/h, shown in US gallons per hour to a reader of inches."""

    def __init__(self, label: str, why: str, bounds: Bounds, units: UnitSystem) -> None:
        unit, size = ("L/h", 1.0) if units == "metric" else ("gal/h", LITRES_PER_GALLON)
        super().__init__(label, why, bounds, unit, size=size)


class TextField(TypedField):
    """A short text."""

    def __init__(self, label: str, why: str, bounds: Bounds) -> None:
        super().__init__(label, why, bounds, beside=False)

    def read(self, text: str) -> str:
        text = text.strip()
        reason = self.bounds.text_refusal(self.label, text)
        if reason:
            raise QuantityError(reason)
        return text

    def write(self, value: str) -> str:
        return value
