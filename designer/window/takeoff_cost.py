"""The cost page of the Take-off panel: the person's price book, the total, and one more bucket."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QPushButton, QVBoxLayout, QWidget

from designer.takeoff.cost import CostDifference
from designer.takeoff.whole import BedTakeoff
from designer.units import UnitSystem
from designer.window.bounds import Bounds
from designer.window.choice_fields import YesNoField
from designer.window.entries import Fact
from designer.window.fields import TextField
from designer.window.quantity_fields import PERCENT, QuantityField
from designer.window.sections import FactLine
from designer.window.takeoff_settings import TAX_BOUNDS, TakeoffSettings
from designer.window.takeoff_words import NOTHING, amount_words, money_words
from designer.window.tints import toned_label

NO_BOOK = "No price book yet. Save a blank one, fill in your prices, and open it here."
INVENTED = "Sample prices: they are invented, not those of any shop. Do not buy by them."
_FACTS = (
    ("total", "Total, with tax", "All that has a price, in whole packs and sticks"),
    ("net", "Without tax", ""),
    ("tax", "Tax", ""),
    ("each", "For each bucket", "The total divided by the buckets"),
    ("more", "One more bucket", "What one more at the last run's capped end adds to the total"),
)


class CostPage(QWidget):
    """Shows the settings' price book and what it makes of a take-off."""

    entered = Signal()
    """The settings have changed."""

    def __init__(self, settings: TakeoffSettings, units: UnitSystem) -> None:
        super().__init__()
        self._settings = settings
        self.book = toned_label("", "soft")
        self.book.setAccessibleName("Price book")
        self.trouble = toned_label("", "refused")
        self.trouble.setAccessibleName("Why the price book was not read")
        self.invented = toned_label(INVENTED, "strong")
        self.open = QPushButton("&Open a price book…")
        self.blank = QPushButton("Save a &blank one…")
        self.blank.setToolTip("A table with a line for each item, for you to fill in the prices")
        self.sample = QPushButton("&Try sample prices")
        self.close_book = QPushButton("&Without prices")
        self.currency = TextField(
            "Currency of a blank price book",
            "Three letters or a sign",
            Bounds(shortest=1, longest=8),
        )
        self.tax = QuantityField(
            "Tax on the prices",
            "Added to prices without tax, and taken as part of those with it",
            TAX_BOUNDS,
            PERCENT,
            units,
        )
        self.tools = YesNoField("Count the tools", "Saws, bits and the rest, if you have none")
        self.facts = {name: FactLine(Fact(label, _no_text, why)) for name, label, why in _FACTS}
        self.more = toned_label("", "soft")
        self.missing = toned_label("", "plain")
        self.missing.setAccessibleName("Without a price")
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 4, 4, 0)
        column.setSpacing(6)
        for shown in (
            self.book, self.trouble, self.invented, *self.facts.values(), self.open, self.blank,
            self.sample, self.close_book, self.tax, self.tools, self.currency, self.more,
            self.missing,
        ):  # fmt: skip
            column.addWidget(shown)
        column.addStretch(1)
        self.tax.entered.connect(self._tax_entered)
        self.tools.entered.connect(self._tools_entered)
        self.currency.entered.connect(settings.set_currency)
        self.show_settings()

    def results(self) -> list[QWidget]:
        """What is pale while it is worked out again."""
        return [*self.facts.values(), self.more, self.missing, self.blank]

    def show_settings(self) -> None:
        """Show which price book is open, and the fields."""
        book, path = self._settings.book, self._settings.book_path
        words = NO_BOOK
        if book is not None and path is not None:
            words = f"Prices from “{path.name}”"
            words += f", the oldest of {book.oldest.isoformat()}." if book.oldest else "."
        self.book.setText(words)
        self.trouble.setText(self._settings.trouble)
        self.trouble.setVisible(bool(self._settings.trouble))
        self.invented.setVisible(self._settings.invented)
        self.close_book.setVisible(book is not None)
        self.sample.setVisible(book is None)
        self.tax.show_value(self._settings.tax)
        self.tools.show_value(self._settings.tools)
        self.currency.show_value(self._settings.currency)

    def show_takeoff(self, takeoff: BedTakeoff, units: UnitSystem) -> None:
        """Show the cost of a take-off; that of one more bucket comes later."""
        cost = takeoff.cost
        for line in self.facts.values():
            line.setVisible(cost is not None)
        self.missing.setVisible(cost is not None)
        self.more.setVisible(False)
        if cost is None:
            return
        for name, money in (
            ("total", cost.total), ("net", cost.net), ("tax", cost.tax), ("each", cost.per_bucket),
        ):  # fmt: skip
            text = NOTHING if money is None else money_words(money, cost.currency)
            self.facts[name].show_text(text)
        self.facts["more"].show_text("Being worked out…")
        names = "; ".join(f"{line.name} ({line.id})" for line in cost.missing)
        self.missing.setText(
            f"Without a price, and in no total: {names}." if names else "Everything has a price."
        )

    def show_one_more(self, more: CostDifference | None, units: UnitSystem, currency: str) -> None:
        """Show what one more bucket would cost; None where that cannot be said."""
        if more is None:
            self.facts["more"].show_text(NOTHING)
            return
        self.facts["more"].show_text(money_words(more.total, currency))
        words = ""
        for start, sign in (("One more bucket buys", 1), (" Not bought then", -1)):
            changes = "; ".join(
                f"{material.name}, {amount_words(material, units, sign * change)}"
                for material, change in more.changes
                if sign * change > 0
            )
            words += f"{start}: {changes}." if changes else ""
        unpriced = ", ".join(material.name for material in more.missing)
        if unpriced:
            words += f" Without a price: {unpriced}."
        self.more.setText(words)
        self.more.setVisible(bool(words))

    def _tax_entered(self, tax: float) -> None:
        self._settings.set_tax(tax)
        self.entered.emit()

    def _tools_entered(self, counted: bool) -> None:
        self._settings.set_tools(counted)
        self.entered.emit()


def _no_text(*_: object) -> str:
    return ""
