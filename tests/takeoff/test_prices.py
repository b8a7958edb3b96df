"""The price book: read, refused with the line named, and written back the same."""

from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from designer.model.catalogue import load_catalogue
from designer.resources import resource_path
from designer.takeoff.prices import (
    Price,
    PriceBook,
    PriceBookError,
    blank_prices,
    parse_prices,
    prices_text,
    read_prices,
)

HEAD = "item,price,unit,currency,tax included,date,note\n"


def one(line: str) -> Price:
    (price,) = parse_prices(HEAD + line).prices
    return price


def test_a_line_of_the_price_book() -> None:
    price = one("pvc-2-in,12.50,10 ft,USD,no,2025-04-30,corner shop\n")
    assert (price.item, price.price, price.cents) == ("pvc-2-in", Decimal("12.50"), 1250)
    assert price.holds == (pytest.approx(3048.0), "length")
    assert (price.tax_included, price.day, price.note) == (False, date(2025, 4, 30), "corner shop")


@pytest.mark.parametrize(
    ("unit", "holds"),
    [
        ("each", (1, "pieces")),
        ("", (1, "pieces")),
        ("10 pieces", (10, "pieces")),
        ("3 m", (3000, "length")),
        ("8'", (2438.4, "length")),
        ("100 L", (100, "litres")),
        ("4 ft3", (113.267, "litres")),
        ("5 gal", (18.927, "litres")),
        ("5 kg", (5, "kg")),
        ("4 lb", (1.81437, "kg")),
    ],
)
def test_units_of_sale(unit: str, holds: tuple[float, str]) -> None:
    size, measure = one(f"thing,1,{unit},EUR,yes,,\n").holds
    assert (size, measure) == (pytest.approx(holds[0], rel=1e-4), holds[1])


def test_semicolons_and_a_decimal_comma_are_read_too() -> None:
    text = "\ufeff" + HEAD.replace(",", ";") + "cable-tie;3,50;100 pieces;EUR;yes;;\r\n"
    assert parse_prices(text).prices[0].price == Decimal("3.50")


def test_a_line_without_a_price_is_one_to_fill_in() -> None:
    blank = blank_prices([("timer", "Socket timer, for the pump")], "EUR")
    assert parse_prices(blank).prices == ()
    assert "Socket timer, for the pump" in blank


@pytest.mark.parametrize(
    ("line", "message"),
    [
        ("a,12.5 EUR,each,EUR,yes,,", "Line 3: '12.5 EUR' is not a price"),
        ("a,-3,each,EUR,yes,,", "Line 3: '-3' is not a price"),
        ('a,"1,250",each,EUR,yes,,', "Line 3: '1,250' is not a price"),
        ("a,0,each,EUR,yes,,", "Line 3: a price is above 0"),
        ("a,1.234,each,EUR,yes,,", "Line 3: '1.234' has more than two decimals"),
        ("a,1,12,EUR,yes,,", "Line 3: the unit '12' cannot be read"),
        ("a,1,a box,EUR,yes,,", "Line 3: the unit 'a box' cannot be read"),
        ("a,1,0 m,EUR,yes,,", "Line 3: the unit '0 m' cannot be read"),
        ("a,1,each,EUR,maybe,,", "Line 3: tax included is yes or no"),
        ("a,1,each,EUR,yes,30.4.2025,", "Line 3: '30.4.2025' is not a date"),
        ("a,1,each,USD,yes,,", "Line 3: the currency is USD, but above it is EUR"),
        (",1,each,EUR,yes,,", "Line 3: the item is missing"),
        ("a,1,each,EUR,yes,,note, more", "Line 3: there are more cells than columns"),
    ],
)
def test_a_bad_line_is_named_with_what_to_do(line: str, message: str) -> None:
    with pytest.raises(PriceBookError) as caught:
        parse_prices(f"{HEAD}first,1,each,EUR,yes,,\n{line}\n")
    assert str(caught.value).startswith(message)
    assert str(caught.value).endswith(".")


def test_a_table_of_something_else_is_refused() -> None:
    for text in ("", "name,cost\na,1\n", "\x00\x01"):
        with pytest.raises(PriceBookError, match="Line 1"):
            parse_prices(text)


def test_a_file_in_another_encoding_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "prices.csv"
    path.write_bytes((HEAD + "a,1,each,EUR,yes,,Händler\n").encode("latin-1"))
    with pytest.raises(PriceBookError, match="UTF-8"):
        read_prices(path)


@given(st.text(max_size=200))
def test_any_text_is_read_or_refused_in_one_sentence(text: str) -> None:
    for candidate in (text, HEAD + text):
        said = ""
        try:
            parse_prices(candidate)
        except PriceBookError as error:
            said = str(error)
        assert not said or (said.startswith("Line ") and said.endswith("."))


words = st.text(st.characters(codec="utf-8", exclude_categories=["C"]), max_size=20).map(str.strip)


@given(
    st.lists(
        st.builds(
            Price,
            item=st.from_regex(r"[a-z][a-z0-9-]{0,20}", fullmatch=True),
            price=st.decimals("0.01", 9999, places=2),
            unit=st.just("each"),
            holds=st.just((1.0, "pieces")),
            tax_included=st.booleans(),
            day=st.none() | st.dates(),
            note=words,
        ),
        max_size=6,
    )
)
def test_a_price_book_is_written_and_read_back_the_same(prices: list[Price]) -> None:
    book = PriceBook("EUR" if prices else "", tuple(prices))
    text = prices_text(book)
    assert parse_prices(text) == book
    assert prices_text(parse_prices(text)) == text


def test_the_sample_says_that_its_prices_are_invented_and_names_only_what_there_is() -> None:
    path = resource_path("prices-sample.csv")
    book = read_prices(path)
    assert "invented" in path.read_text("utf-8").splitlines()[1]
    assert {price.note for price in book.prices} == {"invented price"}
    parts = load_catalogue().parts
    priced = {price.item for price in book.prices}
    assert set(parts) <= priced
