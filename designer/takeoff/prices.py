"""The price book: the person's own prices, as a table of comma-separated values.

Columns: item, price, unit, currency, tax included, date, note. `item` is the id of a part or
material. `unit` is what one price buys: "each", "10 pieces", "3 m", "10 ft", "100 L", "4 lb".
Several lines for one item are several sizes to choose among; for pipe and boards the unit is a
stick's length. A line without a price is one to fill in, and is passed over. Semicolons or tabs
between the columns and a decimal comma are read too, as some spreadsheets write them.
"""

import csv
import io
import re
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from pathlib import Path

from designer.takeoff.quantities import Amount
from designer.units import (
    KG_PER_POUND,
    LengthStyle,
    QuantityError,
    parse_length,
    parse_volume,
)

COLUMNS = ("item", "price", "unit", "currency", "tax included", "date", "note")
_YES, _NO = {"yes", "y", "true", "1"}, {"no", "n", "false", "0"}
_DEAREST = Decimal(10_000_000)


class PriceBookError(ValueError):
    """A price book that cannot be read; the message names the line and what to do."""


@dataclass(frozen=True, slots=True)
class Price:
    """What one pack of an item costs. `holds` is what is in it: pieces, mm, litres or kg; `unit`
    says it as the person wrote it. `day` is when the price was seen, None where not given."""

    item: str
    price: Decimal
    unit: str
    holds: Amount
    tax_included: bool
    day: date | None = None
    note: str = ""

    @property
    def cents(self) -> int:
        """The price in whole hundredths of the money unit."""
        return int((self.price * 100).to_integral_value())


@dataclass(frozen=True)
class PriceBook:
    """Prices in one currency, in the order of the file."""

    currency: str = ""
    prices: tuple[Price, ...] = ()

    def of(self, item: str) -> tuple[Price, ...]:
        """All prices of an item."""
        return tuple(price for price in self.prices if price.item == item)

    @property
    def oldest(self) -> date | None:
        """The date of the oldest dated price."""
        return min((price.day for price in self.prices if price.day), default=None)


def read_prices(path: Path) -> PriceBook:
    """The price book in a file. PriceBookError, naming the line, where it cannot be read; OSError
    where there is no such file."""
    try:
        return parse_prices(path.read_text("utf-8-sig"))
    except UnicodeDecodeError:
        raise PriceBookError(
            "The price book is not saved as UTF-8; save it again as CSV in UTF-8."
        ) from None


def parse_prices(text: str) -> PriceBook:
    """The price book in a text; see :func:`read_prices`."""
    first = text.split("\n", 1)[0]
    mark = max(",;\t", key=first.count)
    rows = csv.reader(io.StringIO(text.removeprefix("\ufeff"), newline=""), delimiter=mark)
    try:
        header = [cell.strip().lower() for cell in next(rows, [])]
        missing = [name for name in COLUMNS[:3] if name not in header]
        if missing:
            raise PriceBookError(
                f"Line 1: there is no column {missing[0]!r}; the first line names the columns "
                f"{', '.join(COLUMNS)}."
            )
        prices: list[Price] = []
        currency = ""
        for cells in rows:
            if not any(cell.strip() for cell in cells) or cells[0].lstrip().startswith("#"):
                continue
            row = dict(zip(header, (cell.strip() for cell in cells), strict=False))
            where = f"Line {rows.line_num}"
            if len(cells) > len(header) and any(cell.strip() for cell in cells[len(header) :]):
                raise PriceBookError(
                    f"{where}: there are more cells than columns; put a text that holds "
                    f"{mark!r} in quotation marks."
                )
            if row.get("price"):
                prices.append(_price(row, where))
            own = row.get("currency", "")
            if own and currency and own != currency:
                raise PriceBookError(
                    f"{where}: the currency is {own}, but above it is {currency}; keep one price "
                    "book for each currency."
                )
            currency = currency or own
    except csv.Error as error:
        raise PriceBookError(f"Line {rows.line_num}: {error}.") from None
    return PriceBook(currency, tuple(prices))


def _price(row: dict[str, str], where: str) -> Price:
    item = row.get("item", "")
    if not item:
        raise PriceBookError(f"{where}: the item is missing; write its id from the shopping list.")
    price = _money(row["price"], where)
    unit = row.get("unit", "") or "each"
    holds = _holds(unit, where)
    included = row.get("tax included", "").lower() or "yes"
    if included not in _YES | _NO:
        raise PriceBookError(f"{where}: tax included is yes or no, not {included!r}.")
    day = None
    if row.get("date"):
        try:
            day = date.fromisoformat(row["date"])
        except ValueError:
            raise PriceBookError(
                f"{where}: {row['date']!r} is not a date; write one such as 2025-04-30."
            ) from None
    return Price(item, price, unit, holds, included in _YES, day, row.get("note", ""))


def _money(text: str, where: str) -> Decimal:
    plain = text.replace(",", ".") if re.fullmatch(r"\d+,\d{1,2}", text) else text
    price = Decimal(plain) if re.fullmatch(r"[0-9]{1,9}(\.[0-9]+)?", plain) else None
    if price is None or price > _DEAREST:
        raise PriceBookError(
            f"{where}: {text!r} is not a price; write a number such as 12.50, without the currency."
        )
    if price <= 0:
        raise PriceBookError(f"{where}: a price is above 0; leave out what costs nothing.")
    if price != price.quantize(Decimal("0.01")):
        raise PriceBookError(f"{where}: {text!r} has more than two decimals; give a larger unit.")
    return price


def _holds(unit: str, where: str) -> Amount:
    """What a unit of sale holds."""
    if unit.lower() in ("each", "piece", "1"):
        return 1.0, "pieces"
    counted = re.fullmatch(r"(\d{1,6}) *(pieces|pcs)", unit.lower())
    if counted and int(counted[1]):
        return float(counted[1]), "pieces"
    mass = re.fullmatch(r"(\d+(?:\.\d+)?) *(kg|lb)", unit.lower())
    if mass and float(mass[1]) > 0:
        return float(mass[1]) * (KG_PER_POUND if mass[2] == "lb" else 1.0), "kg"
    cubic_feet = re.fullmatch(r"(\d+(?:\.\d+)?) *(?:ft3|cu ft)", unit.lower())
    if cubic_feet and float(cubic_feet[1]) > 0:
        return parse_volume(f"{cubic_feet[1]} cu ft", "imperial"), "litres"
    if re.search(r"[a-z'\"]", unit.lower()):  # a bare number could be anything
        with suppress(QuantityError):
            if (length := parse_length(unit, LengthStyle.MM)) > 0:
                return length, "length"
        with suppress(QuantityError):
            if (litres := parse_volume(unit, "metric")) > 0:
                return litres, "litres"
    raise PriceBookError(
        f"{where}: the unit {unit!r} cannot be read; write what one price buys, such as each, "
        "10 pieces, 3 m, 10 ft, 100 L or 5 kg."
    )


def prices_text(book: PriceBook) -> str:
    """The price book as text that :func:`parse_prices` reads back to the same value."""
    out = io.StringIO(newline="")
    table = csv.writer(out, lineterminator="\n")
    table.writerow(COLUMNS)
    for p in book.prices:
        day = p.day.isoformat() if p.day else ""
        included = "yes" if p.tax_included else "no"
        table.writerow((p.item, f"{p.price:.2f}", p.unit, book.currency, included, day, p.note))
    return out.getvalue()


def blank_prices(items: Iterable[tuple[str, str]], currency: str) -> str:
    """A price book to fill in: a line without a price for each (id, name), which is the note."""
    out = io.StringIO(newline="")
    table = csv.writer(out, lineterminator="\n")
    table.writerow(COLUMNS)
    for item, name in items:
        table.writerow((item, "", "each", currency, "yes", "", name))
    return out.getvalue()
