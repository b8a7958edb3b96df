"""How the person buys and cuts, kept from design to design in the program's settings."""

import json
from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal
from math import isfinite
from pathlib import Path
from typing import Any

from PySide6.QtCore import QLocale, QSettings

from designer.resources import resource_path
from designer.takeoff.cost import stock_lengths
from designer.takeoff.prices import PriceBook, PriceBookError, read_prices
from designer.takeoff.sticks import CutOptions, StockLength
from designer.takeoff.whole import TakeoffOptions
from designer.units import UnitSystem
from designer.window.bounds import Bounds

KERF_BOUNDS = Bounds(at_least=0.0, at_most=20.0)
STICK_BOUNDS = Bounds(above=0.0, at_most=20_000.0)
TAX_BOUNDS = Bounds(at_least=0.0, at_most=100.0)
SEARCH_SECONDS = 2.0
"""For each part. A longer search would keep the answer to the next edit waiting."""
Lengths = Mapping[str, tuple[float, ...]]


class TakeoffSettings:
    """Kerf, sticks and offcuts by part id (mm), price book, tax. `trouble` is why the price book
    that was chosen last could not be read; empty when it could."""

    def __init__(self) -> None:
        self._store = QSettings("Rillwright", "Rillwright")
        self._own_kerf: dict[str, float | None] = {
            units: self._number(f"kerf_{units}", KERF_BOUNDS) for units in ("metric", "imperial")
        }
        self.stocks: Lengths = self._lengths("sticks")
        self.offcuts: Lengths = self._lengths("offcuts")
        self.tax: float = self._number("tax", TAX_BOUNDS) or 0.0
        self.tools = self._store.value("takeoff/tools", False, type=bool) is True
        self.book: PriceBook | None = None
        self.book_path: Path | None = None
        self.trouble = ""
        path = str(self._store.value("takeoff/prices", "", type=str))
        if path:
            self.open_book(Path(path))

    def kerf(self, units: UnitSystem) -> float | None:
        """The saw's cut that was typed; None for the usual one of the units."""
        return self._own_kerf[units]

    def set_kerf(self, units: UnitSystem, kerf: float | None) -> None:
        """Remember the saw's cut."""
        self._own_kerf[units] = kerf
        self._keep(f"kerf_{units}", "" if kerf is None else kerf)

    def set_lengths(self, name: str, part_id: str, lengths: tuple[float, ...]) -> None:
        """Remember the "sticks" or the "offcuts" of a part; none where empty."""
        found = dict(self.stocks if name == "sticks" else self.offcuts)
        found.pop(part_id, None)
        if lengths:
            found[part_id] = lengths
        if name == "sticks":
            self.stocks = found
        else:
            self.offcuts = found
        self._keep(name, json.dumps(found))

    def set_tax(self, percent: float) -> None:
        """Remember the tax."""
        self.tax = percent
        self._keep("tax", percent)

    def set_tools(self, counted: bool) -> None:
        """Remember whether tools are in the cost."""
        self.tools = counted
        self._keep("tools", counted)

    @property
    def currency(self) -> str:
        """Of the price book, else the one last typed, else that of the computer's country."""
        if self.book is not None and self.book.currency:
            return self.book.currency
        return str(self._store.value("takeoff/currency", "", type=str)) or usual_currency()

    def set_currency(self, currency: str) -> None:
        """Remember the currency of a price book to come."""
        self._keep("currency", currency)

    def open_book(self, path: Path) -> bool:
        """Read a price book and remember it. One that cannot be read changes nothing but
        `trouble`."""
        try:
            book = read_prices(path)
        except PriceBookError as error:
            self.trouble = f"“{path.name}”: {error}"
            return False
        except OSError:
            self.trouble = f"“{path.name}” cannot be opened; choose the price book again."
            return False
        self.book, self.book_path, self.trouble = book, path, ""
        self._keep("prices", str(path))
        return True

    def close_book(self) -> None:
        """Go on without prices."""
        self.book, self.book_path, self.trouble = None, None, ""
        self._keep("prices", "")

    @property
    def invented(self) -> bool:
        """Whether any price of the book is made up."""
        prices = self.book.prices if self.book is not None else ()
        return any("invented" in price.note for price in prices)

    def options(self, units: UnitSystem) -> TakeoffOptions:
        """What the take-off is worked out with."""
        cut = CutOptions(
            kerf=self.kerf(units),
            stocks={part: self._priced(part, found) for part, found in self.stocks.items()},
            offcuts=dict(self.offcuts),
            seconds=SEARCH_SECONDS,
        )
        tax = Decimal(f"{self.tax:g}")
        return TakeoffOptions(cut=cut, book=self.book, tax_percent=tax, tools=self.tools)

    def _priced(self, part: str, lengths: tuple[float, ...]) -> tuple[StockLength, ...]:
        """Typed lengths, with the book's price where it sells that length."""
        sold = stock_lengths(self.book).get(part, ()) if self.book is not None else ()
        return tuple(
            next(
                (replace(stick, length=mm) for stick in sold if abs(stick.length - mm) <= 1.0),
                StockLength(mm),
            )
            for mm in lengths
        )

    def _keep(self, name: str, value: Any) -> None:
        self._store.setValue(f"takeoff/{name}", value)

    def _number(self, name: str, bounds: Bounds) -> float | None:
        try:
            number = float(str(self._store.value(f"takeoff/{name}", "")))
        except ValueError:
            return None
        allowed = isfinite(number) and bounds.refusal("", number, str) is None
        return number if allowed else None

    def _lengths(self, name: str) -> Lengths:
        """What was remembered, without what a person could not have typed."""
        try:
            kept = json.loads(str(self._store.value(f"takeoff/{name}", "{}")))
            return {
                str(part): tuple(
                    float(mm) for mm in lengths if STICK_BOUNDS.refusal("", float(mm), str) is None
                )
                for part, lengths in kept.items()
            }
        except (ValueError, TypeError, AttributeError):
            return {}


def usual_currency() -> str:
    """The currency code of the computer's country."""
    return QLocale.system().currencySymbol(QLocale.CurrencySymbolFormat.CurrencyIsoCode) or "EUR"


def sample_book() -> Path:
    """The price book that comes with the program; every price in it is invented."""
    return resource_path("prices-sample.csv")
