"""Read typed lengths and volumes, exactly, or say what to type instead."""

import difflib
import re
import unicodedata
from dataclasses import dataclass
from fractions import Fraction
from typing import NoReturn

from designer.units.sizes import CUBIC_FOOT_L, GALLON_L, INCH_MM, LengthStyle, UnitSystem, style_for

_LONGEST_TEXT = 60


class QuantityError(ValueError):
    """Typed text that cannot be read; the message says what to type instead."""


class LengthError(QuantityError):
    """Typed text that is not a length."""


class VolumeError(QuantityError):
    """Typed text that is not a volume."""


@dataclass(frozen=True, slots=True)
class _Unit:
    name: str
    size: Fraction  # in mm or litres
    system: UnitSystem


@dataclass(frozen=True, slots=True)
class _Kind:
    """A quantity that can be typed: its units by every spelling, and its error."""

    noun: str
    units: dict[str, _Unit]
    error: type[QuantityError]
    largest: int  # in mm or litres; beyond it a number is taken for a slip of the keys
    largest_text: str


_MM = _Unit("mm", Fraction(1), "metric")
_CM = _Unit("cm", Fraction(10), "metric")
_M = _Unit("m", Fraction(1000), "metric")
_INCH = _Unit("in", INCH_MM, "imperial")
_FOOT = _Unit("ft", 12 * INCH_MM, "imperial")
_ML = _Unit("ml", Fraction(1, 1000), "metric")
_LITRE = _Unit("L", Fraction(1), "metric")
_QUART = _Unit("qt", GALLON_L / 4, "imperial")
_GALLON = _Unit("gal", GALLON_L, "imperial")
_CUBIC_FOOT = _Unit("cu ft", CUBIC_FOOT_L, "imperial")


def _spellings(table: dict[_Unit, str]) -> dict[str, _Unit]:
    return {word: unit for unit, words in table.items() for word in words.split()}


_LENGTH = _Kind(
    "length",
    _spellings(
        {
            _MM: "mm millimetre millimetres millimeter millimeters",
            _CM: "cm centimetre centimetres centimeter centimeters",
            _M: "m metre metres meter meters",
            _INCH: 'in inch inches ins "',
            _FOOT: "ft foot feet '",
        }
    ),
    LengthError,
    10_000_000,
    "10 km",
)
_VOLUME = _Kind(
    "volume",
    _spellings(
        {
            _ML: "ml millilitre millilitres milliliter milliliters",
            _LITRE: "l litre litres liter liters",
            _QUART: "qt quart quarts",
            _GALLON: "gal gals gallon gallons",
            _CUBIC_FOOT: "cuft",
        }
    ),
    VolumeError,
    10_000_000,
    "10 million litres",
)
_BARE_LENGTH: dict[LengthStyle, _Unit] = {
    LengthStyle.MM: _MM,
    LengthStyle.CM: _CM,
    LengthStyle.M: _M,
    LengthStyle.INCHES: _INCH,
    LengthStyle.FEET_INCHES: _INCH,
}

_SAME_SIGN = str.maketrans(
    dict.fromkeys("\u2212\u2010\u2011\u2012\u2013\u2014", "-")  # minus sign, hyphens, dashes
    | dict.fromkeys("\u2032\u2019\u2018\u00b4`", "'")  # prime, curly quotes, accents
    | dict.fromkeys("\u2033\u201d\u201c", '"')
    | dict.fromkeys("\u2044\u2215", "/")
)
_TWO_WORDS = re.compile(r"cu(?:bic|\.)? *(?:feet|foot|ft)", re.IGNORECASE)
_GROUPED = re.compile(r"[0-9]+(?:[.,][0-9]+){2,}")
_THOUSANDS_OR_DECIMAL = re.compile(r"([1-9][0-9]{0,2}),([0-9]{3})(?![0-9])")
_NUMBER = re.compile(
    r"(?:(?P<whole>[0-9]+)(?: *- *| +))?(?P<top>[0-9]+) */ *(?P<bottom>[0-9]+)"
    r"|(?P<decimal>[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+)"
)
_UNIT = re.compile(r" *(?:(?P<word>[^\W\d_]+)\.?|(?P<mark>['\"]))")
_JOIN = re.compile(r" *(?P<mark>[,-]?) *")


def parse_length(text: str, default: LengthStyle | UnitSystem) -> float:
    """The length in mm that ``text`` says.

    A bare number takes the unit of ``default`` (inches for feet and inches), and after feet a
    bare number is inches. A dash between a whole number and a fraction, or between feet and
    inches, joins; it never subtracts. Point and comma both mark decimals.

    Raises LengthError, and nothing else, when the text is not one clear length up to 10 km.

    >>> parse_length("3' 4 1/2\\"", "metric")
    1028.7
    >>> parse_length("40.5", "imperial")
    1028.7
    >>> parse_length("3,5 cm", LengthStyle.MM)
    35.0
    """
    style = default if isinstance(default, LengthStyle) else style_for(default)
    return _read(text, _LENGTH, _BARE_LENGTH[style], style.value)


def parse_volume(text: str, system: UnitSystem) -> float:
    """The volume in litres that ``text`` says; a bare number is litres, or US gallons if imperial.

    Raises VolumeError, and nothing else, when the text is not one clear volume of 0 or more.

    >>> parse_volume("5 gal", "metric")
    18.92705892
    >>> parse_volume("1,5", "metric")
    1.5
    """
    return _volume(text, *((_LITRE, "19 L") if system == "metric" else (_GALLON, "5 gal")))


def parse_bag(text: str, system: UnitSystem) -> float:
    """The litres in a bag of medium: a bare number is litres, or cubic feet if imperial.

    Raises VolumeError as :func:`parse_volume` does.

    >>> parse_bag("2", "imperial"), parse_bag("8 qt", "imperial")
    (56.633693184, 7.570823568)
    """
    return _volume(text, *((_LITRE, "50 L") if system == "metric" else (_CUBIC_FOOT, "2 cu ft")))


def _volume(text: str, bare: _Unit, example: str) -> float:
    litres = _read(_TWO_WORDS.sub("cuft", text), _VOLUME, bare, example)
    if litres < 0:
        raise VolumeError(f"A volume cannot be less than 0; type one such as {example}.")
    return litres


def _read(text: str, kind: _Kind, bare: _Unit, example: str) -> float:
    """Sum of the numbers with units in ``text``, in mm or litres."""
    clean = _clean(text)
    if len(clean) > _LONGEST_TEXT:
        raise kind.error(f"That is too long for one {kind.noun}; type one such as {example}.")
    negative = clean.startswith("-")
    rest = clean[1:].lstrip() if clean[:1] in ("-", "+") else clean
    if not rest:
        raise kind.error(f"Type a {kind.noun}, such as {example}.")

    total = Fraction(0)
    last: _Unit | None = None
    while rest:
        value, shown, rest = _take_number(rest, kind, example)
        unit, rest = _take_unit(rest, kind)
        if unit is None and last is None:
            if rest:
                _refuse_second_number(shown, rest, kind, example)
            unit = bare
        elif unit is None and last is _FOOT:
            unit = _INCH
        elif unit is None:
            raise kind.error(f"Say the unit of {shown} too, or type it all in one unit.")
        if last is not None:
            _check_follows(last, unit, value, shown, kind)
        total += value * unit.size
        last = unit
        if rest:
            rest = _drop_join(rest, unit, kind, example)

    if total > kind.largest:
        raise kind.error(f"That is more than {kind.largest_text}; check the number and its unit.")
    return -float(total) if negative and total else float(total)


def _clean(text: str) -> str:
    """One spelling for every dash, prime, space and fraction, in lower case."""
    out: list[str] = []
    for char in text.strip()[: _LONGEST_TEXT + 1]:
        if char.isspace():
            out.append(" ")
        elif unicodedata.decomposition(char).startswith("<fraction>"):
            # Spaces keep whole numbers apart: 3 and a one-half sign are 3 1/2, not 31/2. Only the
            # "one over" sign, which ends in its slash, goes on into the next digit.
            plain = unicodedata.normalize("NFKC", char)
            out.append(f" {plain}" if plain.endswith("\u2044") else f" {plain} ")
        elif char.isprintable():
            out.append(char)
        elif unicodedata.category(char) != "Cf":  # invisible marks of pasted text are dropped
            out.append("\N{REPLACEMENT CHARACTER}")
    return "".join(out).translate(_SAME_SIGN).replace("''", '"').lower().strip()


def _take_number(rest: str, kind: _Kind, example: str) -> tuple[Fraction, str, str]:
    """The value of the number that starts ``rest``, its text, and what comes after it."""
    if grouped := _GROUPED.match(rest):
        raise kind.error(f"Type {grouped[0]} with no mark between the thousands, such as 1200.5.")
    if either := _THOUSANDS_OR_DECIMAL.match(rest):
        point = f"{either[1]}.{either[2]}".rstrip("0").rstrip(".")
        raise kind.error(
            f"Is {either[0]} meant as {either[1]}{either[2]} or {point}? Type it with no comma."
        )
    found = _NUMBER.match(rest)
    if found is None:
        raise kind.error(f"Cannot read '{rest}' as a {kind.noun}; type one such as {example}.")
    if decimal := found["decimal"]:
        value = Fraction("0" + decimal.replace(",", ".").rstrip("."))
    else:
        top, bottom = int(found["top"]), int(found["bottom"])
        if bottom == 0:
            raise kind.error("A fraction cannot have 0 below the line; type one such as 1/2.")
        if found["whole"] and top >= bottom:
            raise kind.error(
                f"After {found['whole']} the fraction must be less than 1, so {top}/{bottom} "
                "does not fit; type one such as 3 1/4."
            )
        value = int(found["whole"] or 0) + Fraction(top, bottom)
    return value, found[0], rest[found.end() :]


def _take_unit(rest: str, kind: _Kind) -> tuple[_Unit | None, str]:
    """The unit that starts ``rest``, if one does, and what comes after it."""
    found = _UNIT.match(rest)
    if found is None:
        return None, rest.lstrip()
    word = found["word"] or found["mark"]
    if word not in kind.units:
        raise kind.error(f"Unknown unit '{word}'; {_advice(word, kind)}")
    return kind.units[word], rest[found.end() :].lstrip()


def _advice(word: str, kind: _Kind) -> str:
    close = difflib.get_close_matches(word, kind.units)
    if close:
        names = dict.fromkeys(kind.units[spelling].name for spelling in close)
        return f"did you mean {' or '.join(names)}?"
    *most, final = dict.fromkeys(unit.name for unit in kind.units.values())
    return f"use {', '.join(most)} or {final}."


def _check_follows(last: _Unit, unit: _Unit, value: Fraction, shown: str, kind: _Kind) -> None:
    """Refuse a second part that cannot belong to the first: 20 cm 1 m, 1 ft 20 cm, 1 m 200 cm."""
    if unit.system != last.system:
        raise kind.error(f"Use {last.name} or {unit.name}, not both in one {kind.noun}.")
    if unit.size >= last.size:
        raise kind.error(f"Type the larger unit first and each unit once, not {unit.name} here.")
    if value * unit.size >= last.size:
        raise kind.error(
            f"After {last.name}, {shown} {unit.name} is too much: "
            f"it must be less than {last.size / unit.size} {unit.name}."
        )


def _drop_join(rest: str, unit: _Unit, kind: _Kind, example: str) -> str:
    """``rest`` without the comma, or the dash after feet, that leads on to the next number."""
    join = _JOIN.match(rest)
    assert join is not None  # the pattern matches nothing at all, too
    after = rest[join.end() :]
    if not after:
        raise kind.error(f"Leave out the '{join['mark']}' at the end, or finish the {kind.noun}.")
    if join["mark"] == "-" and unit is not _FOOT:
        _refuse_dash(kind, example)
    return after


def _refuse_second_number(shown: str, rest: str, kind: _Kind, example: str) -> NoReturn:
    if rest[0] == "-":
        _refuse_dash(kind, example)
    if number := re.match(r"[0-9][0-9.,/]*", rest):
        raise kind.error(
            f"Is {shown} {number[0]} one number? Type it with no space, "
            "or give each number its unit."
        )
    raise kind.error(f"Cannot read '{rest}' after {shown}; type a {kind.noun} such as {example}.")


def _refuse_dash(kind: _Kind, example: str) -> NoReturn:
    raise kind.error(f"A dash does not subtract here; type one {kind.noun}, such as {example}.")
